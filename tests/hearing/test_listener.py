"""The listening thread: what is told, in which order, and what is not. Sound by the frame, words by script."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable, Iterable

import pytest

from assistant.errors import ModelUnusable
from assistant.hearing.listener import (
    DEAF_AFTER_SPEAKING,
    RESTING_FRAMES,
    STOPPED,
    WAKE,
    Back,
    Changed,
    Failed,
    Gone,
    HeardWords,
    Level,
    Listener,
    Partial,
    Rejected,
    Told,
    UtteranceStarted,
    Woken,
)
from assistant.hearing.recogniser import Hypothesis, Reason, ScriptedRecogniser
from assistant.hearing.recording import Recording
from assistant.hearing.sound import RATE, Block, Found, Lost, Taken, seconds_of
from assistant.hearing.voice_activity import FRAME_BYTES, FRAME_SECONDS

VOICE, SILENCE, LOUD = b"\x00\x10", b"\x00\x00", b"\xff\x7f"


class ByVolume:
    """A voice detector for sound made of VOICE, SILENCE and LOUD."""

    def probability(self, frame: bytes) -> float:
        return float(frame[:2] == VOICE)

    def forget(self) -> None:
        pass


class Ear(ScriptedRecogniser):
    """The scripted recogniser; remembers the sound it was given."""

    def __init__(self, script: Iterable[str | Hypothesis]) -> None:
        super().__init__(script)
        self.sound: list[bytes] = []

    def start(self, expecting: str) -> None:
        super().start(expecting)
        self.sound.append(b"")

    def accept(self, pcm: bytes) -> None:
        self.sound[-1] += pcm


def stretch(kind: bytes, seconds: float) -> bytes:
    return kind * (round(seconds / FRAME_SECONDS) * FRAME_BYTES // 2)


def sentence(seconds: float = 0.5) -> bytes:
    return stretch(SILENCE, 0.6) + stretch(VOICE, seconds) + stretch(SILENCE, 0.6)


def parses(root: str, words: str) -> bool:
    return words.startswith("tape hand") if root == WAKE else words != "gibberish"


def listen(pcm: bytes, script: Iterable[str | Hypothesis], at_rest: str | None = "request") -> tuple[list[Told], Ear]:
    """What a recording makes the listener tell, levels left out."""
    told: list[Told] = []
    ear = Ear(script)
    Listener(Recording(pcm), ByVolume(), ear, told.append, parses=parses, at_rest=at_rest).run()
    return [t for t in told if not isinstance(t, Level)], ear


def heard(told: list[Told]) -> list[str]:
    return [t.words for t in told if isinstance(t, HeardWords)]


def test_one_sentence() -> None:
    told, ear = listen(sentence(), ["next"])
    assert [type(t) for t in told] == [UtteranceStarted, Partial, HeardWords]
    words = told[-1]
    assert isinstance(words, HeardWords)
    assert (words.words, words.confidence, words.engine) == ("next", 1.0, "scripted")
    assert 0.9 < words.seconds < 1.6  # the voice, the sound kept from before it, the silence that ended it
    assert ear.expected == ["request"]


@pytest.mark.parametrize(
    ("root", "words", "confidence", "acted_on"),
    [
        ("walking", "next", 0.4, True),  # it changes no number
        ("walking", "next", 0.3, False),
        ("walking", "ten of those", 0.4, False),
        ("request", "next", 0.4, False),
    ],
)
def test_a_step_between_marks_may_be_less_sure(root: str, words: str, confidence: float, acted_on: bool) -> None:
    told: list[Told] = []
    ear = Ear([Hypothesis(words, confidence)])
    ear.name = "vosk"
    source = Recording(sentence())
    Listener(source, ByVolume(), ear, told.append, parses=parses, step=lambda said: said == "next", at_rest=root).run()
    assert heard(told) == ([words] if acted_on else [])


def test_two_sentences_and_their_sound() -> None:
    told, ear = listen(sentence() + sentence(), ["next", "back"])
    assert heard(told) == ["next", "back"]
    voiced = [pcm.count(VOICE) for pcm in ear.sound]
    assert voiced == [stretch(VOICE, 0.5).count(VOICE)] * 2  # all of each, nothing of the other


def test_what_is_still_being_said_at_the_end_of_a_recording_is_finished() -> None:
    told, _ = listen(stretch(SILENCE, 0.3) + stretch(VOICE, 0.5), ["next"])
    assert heard(told) == ["next"]


def test_what_else_it_may_have_been_is_told() -> None:
    told, _ = listen(sentence(), [Hypothesis("half of nineteen", 0.9, rival="half of ninety")])
    assert [(t.words, t.rival) for t in told if isinstance(t, HeardWords)] == [("half of nineteen", "half of ninety")]


@pytest.mark.parametrize("frames", range(RESTING_FRAMES))
def test_frames_looked_at_together_lose_nothing_of_a_sentence(frames: int) -> None:
    told, ear = listen(stretch(SILENCE, frames * FRAME_SECONDS) + stretch(VOICE, 0.16), ["next"])
    assert heard(told) == ["next"]
    assert ear.sound[0].count(VOICE) == stretch(VOICE, 0.16).count(VOICE)


@pytest.mark.parametrize("pcm", [b"", b"\x00", bytes(1023), stretch(SILENCE, 3), stretch(LOUD, 3)])
def test_without_a_voice_nothing_is_told(pcm: bytes) -> None:
    told, ear = listen(pcm, ["next"])
    assert told == []
    assert ear.expected == []


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("gibberish", Reason.NOT_FOR_US),
        (Hypothesis("next", 0.1), Reason.UNCLEAR),
        (Hypothesis("", 0.0, Reason.NOISE), Reason.NOISE),
        ("", Reason.NOTHING),
    ],
)
def test_what_is_not_to_be_acted_on(said: str | Hypothesis, reason: str) -> None:
    told, _ = listen(sentence(), [said])
    rejected = told[-1]
    assert isinstance(rejected, Rejected)
    assert rejected.reason == reason
    assert heard(told) == []


def test_a_knock_is_not_acted_on_whatever_its_words() -> None:
    told, _ = listen(sentence(0.064), ["next"])
    assert [t.reason for t in told if isinstance(t, Rejected)] == [Reason.NOISE]


def test_endless_talk_is_not_acted_on_whatever_its_words() -> None:
    told, _ = listen(sentence(17), ["next", "next"])
    assert [t.reason for t in told if isinstance(t, Rejected)] == [Reason.NOT_FOR_US]
    assert heard(told) == []


class TestWakePhrase:
    def test_alone(self) -> None:
        told, ear = listen(sentence(), ["tape hand"], WAKE)
        assert told == [Woken()]
        assert ear.expected == [WAKE]

    def test_what_else_it_may_have_been_comes_without_the_phrase(self) -> None:
        both = Hypothesis("tape hand half of nineteen", 0.9, rival="tape hand half of ninety")
        told, _ = listen(sentence(), [both], WAKE)
        assert [(t.words, t.rival) for t in told if isinstance(t, HeardWords)] == [
            ("half of nineteen", "half of ninety")
        ]
        told, _ = listen(sentence(), [Hypothesis("tape hand half of nineteen", 0.9, rival="half of ninety")], WAKE)
        assert [t.rival for t in told if isinstance(t, HeardWords)] == [""]

    def test_with_a_request_in_the_same_breath(self) -> None:
        told, _ = listen(sentence(), ["tape hand center of five"], WAKE)
        assert [type(t) for t in told] == [Woken, HeardWords]
        assert heard(told) == ["center of five"]

    @pytest.mark.parametrize("said", ["center of five", "", "gibberish", Hypothesis("tape hand", 0.2)])
    def test_without_it_nothing_is_told_at_all(self, said: str | Hypothesis) -> None:
        told, _ = listen(sentence(), [said], WAKE)
        assert told == []


def test_with_a_talk_key_nothing_is_heard_at_rest() -> None:
    told, ear = listen(sentence(), ["next"], at_rest=None)
    assert told == []
    assert ear.expected == []


def test_the_level_is_told_and_too_loud_is_only_what_is_no_voice() -> None:
    told: list[Told] = []
    pcm = stretch(LOUD, 1) + stretch(SILENCE, 1)
    Listener(Recording(pcm), ByVolume(), Ear([]), told.append, parses=parses, at_rest="request").run()
    levels = [t for t in told if isinstance(t, Level)]
    assert [t.too_loud for t in levels] == [True] * 5 + [False] * 5
    assert levels[0].dbfs == pytest.approx(0, abs=0.01)


class Fed:
    """A source fed by the test, on the wall clock, that ends never."""

    clock_is_wall = True

    def __init__(self) -> None:
        self.takings: queue.Queue[Taken] = queue.Queue()
        self.closed = threading.Event()

    def feed(self, pcm: bytes, at: float | None = None) -> None:
        """``at``: when its last sample is heard."""
        self.takings.put(Block(pcm, time.monotonic() if at is None else at))

    def take(self, timeout: float) -> Taken:
        try:
            return self.takings.get(timeout=timeout)
        except queue.Empty:
            return None

    def close(self) -> None:
        self.closed.set()


class Bench:
    """A listener on its thread, and what it tells, waited for with a deadline."""

    def __init__(self, script: Iterable[str | Hypothesis], at_rest: str | None = "request", **more: object) -> None:
        self.told: queue.Queue[Told] = queue.Queue()
        self.source = Fed()
        self.ear = Ear(script)
        self.listener = Listener(
            self.source,
            ByVolume(),
            self.ear,
            self.told.put,
            parses=parses,
            at_rest=at_rest,
            **more,  # type: ignore[arg-type]
        )
        self.listener.start()

    def next(self) -> Told:
        while isinstance(told := self.told.get(timeout=10), Level):
            pass
        return told

    def until(self, kind: type) -> list[Told]:
        """Everything told up to and with the first of a kind."""
        all_told = [self.next()]
        while not isinstance(all_told[-1], kind):
            all_told.append(self.next())
        return all_told


@pytest.fixture
def bench() -> Iterable[Callable[..., Bench]]:
    made: list[Bench] = []

    def make(*args: object, **more: object) -> Bench:
        made.append(Bench(*args, **more))  # type: ignore[arg-type]
        return made[-1]

    yield make
    for one in made:
        one.listener.close()
        assert one.source.closed.is_set()
    assert not [t for t in threading.enumerate() if t.name == "listener"]


def test_deaf_while_speaking_and_a_little_after(bench: Callable[..., Bench]) -> None:
    one = bench(["our own voice", "next"])
    one.listener.mute()
    one.source.feed(sentence())
    one.listener.unmute()
    now = time.monotonic()
    one.source.feed(sentence(), at=now + 0.9 * DEAF_AFTER_SPEAKING)
    one.source.feed(sentence(), at=now + 2 * DEAF_AFTER_SPEAKING + seconds_of(sentence()))
    one.until(HeardWords)
    assert len(one.ear.sound) == 1  # the ear was only opened for the last of the three
    assert one.ear.sound[0].count(VOICE) == stretch(VOICE, 0.5).count(VOICE)


def test_a_sentence_under_way_is_forgotten_when_we_speak(bench: Callable[..., Bench]) -> None:
    one = bench(["half of it", "next"])
    one.source.feed(stretch(VOICE, 0.5))
    one.until(UtteranceStarted)
    one.listener.mute()
    one.source.feed(stretch(SILENCE, 1))
    one.listener.unmute()
    one.source.feed(sentence(), at=time.monotonic() + 1 + seconds_of(sentence()))
    told = one.until(HeardWords)
    assert heard(told) == ["next"]
    assert one.ear.sound[1].count(VOICE) == stretch(VOICE, 0.5).count(VOICE)


def test_what_is_expected_goes_to_the_recogniser_and_rest_goes_back(bench: Callable[..., Bench]) -> None:
    one = bench(["two", "tape hand"], at_rest=WAKE)
    one.listener.listen("answer")
    one.source.feed(sentence())
    assert heard(one.until(HeardWords)) == ["two"]
    one.listener.rest()
    one.source.feed(sentence())
    one.until(Woken)
    assert one.ear.expected == ["answer", WAKE]


def test_what_is_listened_for_at_rest_may_change(bench: Callable[..., Bench]) -> None:
    one = bench(["tape hand", "next"], at_rest=None)
    one.listener.rest_with(WAKE)
    one.source.feed(sentence())
    one.until(Woken)
    one.listener.rest_with("request")
    one.source.feed(sentence())
    assert heard(one.until(HeardWords)) == ["next"]
    assert one.ear.expected == [WAKE, "request"]


def test_what_is_said_while_the_talk_key_goes_down_is_not_cut(bench: Callable[..., Bench]) -> None:
    one = bench(["next"], at_rest=None)
    one.source.feed(stretch(SILENCE, 1) + stretch(VOICE, 0.192))  # he began to speak before he pressed
    wait_until_taken(one.source)
    one.listener.listen("request")
    one.source.feed(stretch(VOICE, 0.32) + stretch(SILENCE, 1))
    one.until(HeardWords)
    assert one.ear.sound[0].count(VOICE) == stretch(VOICE, 0.192 + 0.32).count(VOICE)


def test_the_talk_key_coming_up_ends_the_sentence(bench: Callable[..., Bench]) -> None:
    one = bench(["next"], at_rest=None)
    one.listener.listen("request")
    one.source.feed(stretch(VOICE, 0.5))
    one.until(UtteranceStarted)
    one.listener.finish()
    one.source.feed(stretch(VOICE, 0.032))  # without a pause: the next frame is where it ends
    assert heard(one.until(HeardWords)) == ["next"]


def wait_until_taken(source: Fed) -> None:
    deadline = time.monotonic() + 10
    while not source.takings.empty():
        assert time.monotonic() < deadline
        time.sleep(0.01)
    source.takings.put(None)
    while not source.takings.empty():  # it is back for more: what it took before has been heard
        assert time.monotonic() < deadline
        time.sleep(0.01)


def test_a_microphone_lost_in_mid_word_and_found_again(bench: Callable[..., Bench]) -> None:
    one = bench(["half of it", "next"])
    one.source.feed(stretch(VOICE, 0.5))
    one.source.takings.put(Lost("Check its plug."))
    one.source.takings.put(Found())
    one.source.feed(sentence())
    told = one.until(HeardWords)
    assert [t for t in told if not isinstance(t, UtteranceStarted | Partial)][:2] == [Gone("Check its plug."), Back()]
    assert heard(told) == ["next"]  # and nothing of the half before
    assert one.ear.sound[1].count(VOICE) == stretch(VOICE, 0.5).count(VOICE)


class Broken(ScriptedRecogniser):
    def start(self, expecting: str) -> None:
        raise ModelUnusable("The model is broken. Copy it again.")


def test_a_spare_takes_over_from_a_recogniser_that_fails(bench: Callable[..., Bench]) -> None:
    one = bench([], spare=lambda: Ear(["next"]))
    one.listener._recogniser = Broken([])
    one.source.feed(sentence())
    told = one.until(HeardWords)
    assert heard(told) == ["next"]
    assert next(t.sentence for t in told if isinstance(t, Changed)).startswith("The model is broken.")


def test_without_a_spare_listening_ends_with_a_sentence(bench: Callable[..., Bench]) -> None:
    one = bench([])
    one.listener._recogniser = Broken([])
    one.source.feed(sentence())
    assert one.until(Failed)[-1] == Failed("The model is broken. Copy it again.")


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_fault_of_our_own_is_told_and_not_hidden(bench: Callable[..., Bench]) -> None:
    one = bench([])
    one.source.takings.put(Block(None, 0.0))  # type: ignore[arg-type]
    assert one.until(Failed)[-1] == Failed(STOPPED)


def test_closing_twice_and_from_the_listening_thread() -> None:
    told: list[Told] = []
    listener: Listener

    def tell(what: Told) -> None:
        told.append(what)
        listener.close()

    source = Fed()
    listener = Listener(source, ByVolume(), Ear(["next"]), tell, parses=parses, at_rest="request")
    listener.start()
    source.feed(sentence())
    assert source.closed.wait(10)
    listener.close()
    listener.close()
    assert told


def test_the_rate_is_what_the_frames_say() -> None:
    assert FRAME_BYTES / 2 / RATE == FRAME_SECONDS
