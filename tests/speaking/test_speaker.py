"""The order of things: queue, hush, finished, trouble. Real sound is in tests/real/test_loudspeaker.py."""

from __future__ import annotations

import queue
import threading
from collections.abc import Iterator

import pytest

from assistant.errors import LoudspeakerUnavailable, VoiceUnavailable
from assistant.speaking.earcons import earcon
from assistant.speaking.player import RecordingPlayer
from assistant.speaking.sound import Sound
from assistant.speaking.speaker import Speaker
from assistant.speaking.voice import SilentVoice

DEADLINE = 10.0


class HeldPlayer(RecordingPlayer):
    """Every sound lasts until it is cut or let go."""

    def __init__(self) -> None:
        super().__init__()
        self.sounding = threading.Semaphore(0)
        self._over: queue.SimpleQueue[bool] = queue.SimpleQueue()

    def play(self, sound: Sound) -> None:
        super().play(sound)
        self._over = queue.SimpleQueue()
        self.sounding.release()

    def wait(self) -> bool:
        return self._over.get(timeout=DEADLINE)

    def stop(self) -> None:
        self._over.put(False)

    def let_go(self) -> None:
        self._over.put(True)


class Bench:
    """A speaker with all that it calls back."""

    def __init__(self, player: RecordingPlayer, voice: SilentVoice) -> None:
        self.player, self.voice = player, voice
        self.finished = threading.Semaphore(0)
        self.troubles: list[str] = []
        self.speaker = Speaker(voice, player, on_finished=self.finished.release, on_trouble=self.troubles.append)

    def wait_finished(self) -> None:
        assert self.finished.acquire(timeout=DEADLINE)


@pytest.fixture
def bench() -> Iterator[Bench]:
    made = Bench(RecordingPlayer(), SilentVoice())
    yield made
    made.speaker.close()


@pytest.fixture
def held() -> Iterator[Bench]:
    made = Bench(HeldPlayer(), SilentVoice())
    yield made
    made.speaker.close()


def sounding(bench: Bench) -> None:
    assert isinstance(bench.player, HeldPlayer)
    assert bench.player.sounding.acquire(timeout=DEADLINE)


def test_things_are_said_in_order_and_then_it_is_finished(held: Bench) -> None:
    assert isinstance(held.player, HeldPlayer)
    held.speaker.sound("got-it")
    held.speaker.say("ten")
    held.speaker.say("eleven")
    for _ in range(3):
        assert not held.finished.acquire(blocking=False)
        assert held.speaker.saying
        sounding(held)
        held.player.let_go()
    held.wait_finished()
    assert not held.speaker.saying
    assert held.voice.said == ["ten", "eleven"]
    assert held.player.played[0] == earcon("got-it")
    assert len(held.player.played) == 3
    assert not held.finished.acquire(blocking=False), "finished once, not once a sentence"


def test_hush_cuts_and_forgets_the_rest(held: Bench) -> None:
    for text in ("ten", "eleven", "twelve"):
        held.speaker.say(text)
    sounding(held)
    held.speaker.hush()
    held.wait_finished()
    held.speaker.say("thirteen")
    sounding(held)
    assert held.voice.said == ["ten", "thirteen"]


def test_hush_with_nothing_said_changes_nothing(bench: Bench) -> None:
    bench.speaker.hush()
    bench.speaker.say("ten")
    bench.wait_finished()
    assert bench.voice.said == ["ten"]
    assert not bench.finished.acquire(blocking=False)


def test_hush_while_the_voice_is_still_at_work_keeps_it_from_starting() -> None:
    class SlowVoice(SilentVoice):
        started, go = threading.Event(), threading.Event()

        def render(self, text: str) -> Sound:
            self.started.set()
            assert self.go.wait(DEADLINE)
            return super().render(text)

    voice = SlowVoice()
    bench = Bench(RecordingPlayer(), voice)
    bench.speaker.say("ten")
    assert voice.started.wait(DEADLINE)
    bench.speaker.hush()
    voice.go.set()
    bench.wait_finished()
    assert bench.player.played == []
    bench.speaker.close()


def test_an_earcon_alone_does_not_count_as_speech(held: Bench) -> None:
    assert isinstance(held.player, HeldPlayer)
    held.speaker.sound("key")
    sounding(held)
    assert not held.speaker.saying
    held.player.let_go()
    held.speaker.sound("key-back")
    sounding(held)
    assert not held.finished.acquire(blocking=False)


def test_a_name_that_is_no_earcon_is_refused_at_once(bench: Bench) -> None:
    with pytest.raises(KeyError):
        bench.speaker.sound("doorbell")


def test_a_voice_that_fails_is_told_once_and_holds_up_nothing() -> None:
    class BadVoice(SilentVoice):
        works = False

        def render(self, text: str) -> Sound:
            if not self.works:
                raise VoiceUnavailable("The voice has gone. Look at the screen.")
            return super().render(text)

    voice = BadVoice()
    bench = Bench(RecordingPlayer(), voice)

    def say(text: str) -> None:
        bench.speaker.sound("got-it")  # sounds all the same, and is no news of the voice
        bench.speaker.say(text)
        bench.wait_finished()

    say("ten")
    say("eleven")
    assert bench.troubles == ["The voice has gone. Look at the screen."]
    assert bench.player.played == [earcon("got-it")] * 2
    voice.works = True
    say("twelve")
    voice.works = False
    say("thirteen")
    assert bench.troubles == ["The voice has gone. Look at the screen."] * 2
    assert voice.said == ["twelve"]
    bench.speaker.close()


def test_a_loudspeaker_that_fails_is_told_once() -> None:
    class DeafPlayer(RecordingPlayer):
        def wait(self) -> bool:
            raise LoudspeakerUnavailable("The loudspeaker is gone. Look at the screen.")

    bench = Bench(DeafPlayer(), SilentVoice())
    for text in ("ten", "eleven"):
        bench.speaker.say(text)
        bench.wait_finished()
    assert bench.troubles == ["The loudspeaker is gone. Look at the screen."]
    bench.speaker.close()


def test_finished_may_say_something_more() -> None:
    voice = SilentVoice()
    done = threading.Event()

    def finished() -> None:
        if len(voice.said) < 3:
            speaker.say("more")
        else:
            done.set()

    speaker = Speaker(voice, RecordingPlayer(), on_finished=finished)
    speaker.say("first")
    assert done.wait(DEADLINE)
    assert voice.said == ["first", "more", "more"]
    speaker.close()


def test_volume_holds_for_words_and_earcons_and_stays_within_bounds(bench: Bench) -> None:
    for volume, factor in ((0.5, 0.5), (-3, 0.0)):
        bench.speaker.set_volume(volume)
        bench.speaker.sound("got-it")
        bench.speaker.say("ten")
        bench.wait_finished()
        assert bench.player.played[-2] == earcon("got-it").at_volume(factor)


def test_closing_cuts_and_ends_the_thread(held: Bench) -> None:
    held.speaker.say("ten")
    held.speaker.say("eleven")
    sounding(held)
    held.speaker.close()
    held.speaker.close()
    assert len(held.player.played) == 1
    assert not [thread for thread in threading.enumerate() if thread.name == "speaker"]
