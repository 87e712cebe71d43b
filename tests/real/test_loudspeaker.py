"""What comes out of the loudspeaker: recorded at the virtual sound card, then heard or measured."""

from __future__ import annotations

import math
import os
import signal
import subprocess
import threading
import time
from array import array
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from assistant.errors import LoudspeakerUnavailable
from assistant.speaking.earcons import EARCONS, earcon
from assistant.speaking.player import Loudspeaker, loudspeakers
from assistant.speaking.sound import Sound
from assistant.speaking.speaker import Speaker
from assistant.speaking.voice import PyttsxVoice
from tests.real.sound_card import Recording, SoundCard, wait_until
from tests.speaking.ears import heard, real_voice

pytestmark = pytest.mark.real

numpy = pytest.importorskip("numpy", reason="no numpy here to measure with")

ANSWERS = [
    "fifty three and five eighths",
    "twenty six and thirteen sixteenths minus",
    "twenty six and eleven sixteenths plus",
    "four foot two and a quarter plus",
    "three of seven",
]
DEADLINE = 30.0


class Bench:
    """The real voice on the real player, with the real callbacks."""

    def __init__(self, voice: PyttsxVoice) -> None:
        self.player = Loudspeaker()
        self.finished = threading.Semaphore(0)
        self.troubles: list[str] = []
        self.speaker = Speaker(voice, self.player, on_finished=self.finished.release, on_trouble=self.troubles.append)

    def say(self, *texts: str) -> None:
        for text in texts:
            self.speaker.say(text)
        self.wait_finished()

    def wait_finished(self) -> None:
        assert self.finished.acquire(timeout=DEADLINE)


@pytest.fixture
def bench(sound_card: SoundCard) -> Iterator[Bench]:
    with real_voice() as voice:
        made = Bench(voice)
        yield made
        made.speaker.close()


@pytest.fixture
def loudspeaker(sound_card: SoundCard) -> Iterator[Loudspeaker]:
    made = Loudspeaker()
    yield made
    made.close()


@contextmanager
def record(sound_card: SoundCard) -> Iterator[Recording]:
    """Record to the end: what has left the card is still on its way to the recorder for a moment."""
    with sound_card.record_loudspeaker() as recording:
        yield recording
        time.sleep(0.4)


def samples(recording: Recording):
    return numpy.frombuffer(recording.pcm, dtype=numpy.int16).astype(float)


def tone(hertz: float, seconds: float, rate: int) -> Sound:
    values = (round(12_000 * math.sin(math.tau * hertz * n / rate)) for n in range(int(rate * seconds)))
    return Sound(array("h", values).tobytes(), rate)


def until_it_plays(loudspeaker: Loudspeaker, sound: Sound) -> None:
    """Try again until it does: the loudspeaker waits longer and longer between its own tries."""
    deadline = time.monotonic() + DEADLINE
    while True:
        loudspeaker.play(sound)
        try:
            assert loudspeaker.wait()
            return
        except LoudspeakerUnavailable:
            assert time.monotonic() < deadline
            time.sleep(0.1)


TRIES = 4
"""A sound server starved by a busy machine drops stretches of what it plays; it does not drop them every time."""


def said_and_heard(bench: Bench, sound_card: SoundCard, say: list[str], choices: list[str], wanted: str) -> str:
    """What was heard at the loudspeaker, the last time it was tried."""
    said = ""
    for _ in range(TRIES):
        with record(sound_card) as recording:
            bench.say(*say)
        said = heard(Sound(recording.pcm, recording.rate), choices)
        if said == wanted:
            break
    return said


@pytest.mark.parametrize("answer", ANSWERS)
def test_the_answer_heard_at_the_loudspeaker_is_the_answer_given(
    bench: Bench, sound_card: SoundCard, answer: str
) -> None:
    assert said_and_heard(bench, sound_card, [answer], ANSWERS, answer) == answer
    assert bench.troubles == []


def test_answers_come_one_after_the_other_and_whole(bench: Bench, sound_card: SoundCard) -> None:
    first, second, third = ANSWERS[0], ANSWERS[4], ANSWERS[3]
    orders = [f"{first} {second} {third}", f"{second} {first} {third}", f"{first} {third} {second}", f"{first} {third}"]
    assert said_and_heard(bench, sound_card, [first, second, third], orders, orders[0]) == orders[0]


def test_hush_cuts_the_voice_and_what_is_said_next_is_whole(bench: Bench, sound_card: SoundCard) -> None:
    long = "seventeen thousand seven hundred and seventy seven " * 8
    bench.speaker.prepare([long])
    with record(sound_card) as recording:
        bench.speaker.say(long)
        wait_until(lambda: bench.player.first_sample_at > 0, "the first sound")
        time.sleep(1.0)  # this much of it is to be heard
        bench.speaker.hush()
        bench.wait_finished()
        time.sleep(0.7)  # and this much silence after it
    sounding = numpy.flatnonzero(numpy.abs(samples(recording)) > 100)
    assert len(sounding) > 0, "nothing was heard at all"
    assert (sounding[-1] - sounding[0]) / recording.rate < 10, "all of it was said"
    assert (len(samples(recording)) - sounding[-1]) / recording.rate > 0.5, "it went on after the hush"
    with record(sound_card) as recording:
        bench.say(ANSWERS[0])
    assert heard(Sound(recording.pcm, recording.rate), ANSWERS) == ANSWERS[0]


@pytest.mark.parametrize("name", EARCONS)
def test_an_earcon_comes_out_as_it_was_made(loudspeaker: Loudspeaker, sound_card: SoundCard, name: str) -> None:
    with record(sound_card) as recording:
        loudspeaker.play(earcon(name))
        assert loudspeaker.wait()
    made = numpy.frombuffer(earcon(name).at_rate(recording.rate).pcm, dtype=numpy.int16).astype(float)
    assert likeness(samples(recording), made) > 0.95


def likeness(recorded, made) -> float:
    """The highest correlation of the made sound with as long a piece of the recording."""
    shifts = numpy.correlate(recorded[::4], made[::4], "valid")
    at = int(numpy.abs(shifts).argmax()) * 4
    piece = recorded[at : at + len(made)]
    return float(abs(piece @ made[: len(piece)]) / math.sqrt((piece**2).sum() * (made**2).sum()))


@pytest.mark.parametrize(("made_at", "card_at"), [(22_050, 48_000), (16_000, None), (44_100, 8_000)])
def test_any_rate_is_heard_at_its_own_pitch(sound_card: SoundCard, made_at: int, card_at: int | None) -> None:
    player = Loudspeaker(card_rate=card_at)
    with record(sound_card) as recording:
        player.play(tone(1000, 0.5, made_at))
        assert player.wait()
    player.close()
    spectrum = numpy.abs(numpy.fft.rfft(samples(recording)))
    assert spectrum.argmax() * recording.rate / len(samples(recording)) == pytest.approx(1000, abs=5)
    sounding = numpy.flatnonzero(numpy.abs(samples(recording)) > 1000)
    assert (sounding[-1] - sounding[0]) / recording.rate == pytest.approx(0.5, abs=0.02), "cut short or stretched"


def test_a_loudspeaker_named_in_part_is_found(sound_card: SoundCard) -> None:
    assert any("pulse" in name for name in loudspeakers())
    player = Loudspeaker(device="PULSE")
    player.play(earcon("got-it"))
    assert player.wait()
    player.close()


def test_a_killed_player_sounds_again(loudspeaker: Loudspeaker, sound_card: SoundCard) -> None:
    until_it_plays(loudspeaker, earcon("key"))
    pid = loudspeaker.child_pid
    assert pid is not None
    os.kill(pid, signal.SIGKILL)
    with record(sound_card) as recording:
        until_it_plays(loudspeaker, tone(1000, 0.3, 22_050))
    assert numpy.abs(samples(recording)).max() > 8000


def test_a_loudspeaker_pulled_out_is_told_and_found_again(loudspeaker: Loudspeaker, sound_card: SoundCard) -> None:
    until_it_plays(loudspeaker, earcon("key"))
    loudspeaker.play(tone(1000, 20, 22_050))
    subprocess.run(["pactl", "suspend-sink", "muffs", "1"], check=True)
    try:
        with pytest.raises(LoudspeakerUnavailable, match=r"loudspeaker is gone\. Check its plug"):
            loudspeaker.wait()
    finally:
        subprocess.run(["pactl", "suspend-sink", "muffs", "0"], check=True)
    with record(sound_card) as recording:
        until_it_plays(loudspeaker, tone(1000, 0.3, 22_050))
    assert numpy.abs(samples(recording)).max() > 8000


def test_the_sound_server_dying_is_told_once_and_the_bench_goes_on(sound_card: SoundCard) -> None:
    with SoundCard() as own, real_voice() as voice:
        bench = Bench(voice)
        bench.say("ready")
        bench.speaker.say("seventeen thousand seven hundred and seventy seven " * 4)
        wait_until(own.loudspeaker_in_use, "the loudspeaker in use")
        own.stop()
        bench.wait_finished()
        bench.say(*ANSWERS)
        assert len(bench.troubles) == 1
        assert "loudspeaker" in bench.troubles[0]
        bench.speaker.close()
