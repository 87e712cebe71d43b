"""The short sounds: told apart by spectrum, by shape, and in noise. numpy's FFT is the reference."""

from __future__ import annotations

from itertools import combinations

import pytest

from assistant.session.effects import Sound as SoundEffect
from assistant.speaking.earcons import EARCONS, KEY_SOUNDS, earcon

numpy = pytest.importorskip("numpy", reason="no numpy here to measure with")

ALL = [*EARCONS, *KEY_SOUNDS]


def samples(name: str):
    sound = earcon(name)
    return numpy.frombuffer(sound.pcm, dtype=numpy.int16).astype(float)


def notes(name: str) -> list[float]:
    """The strongest frequency of each 60th of a second that sounds, repeats and in-betweens left out."""
    data, rate = samples(name), earcon(name).rate
    window = rate // 60
    found: list[float] = []
    for start in range(0, len(data) - window + 1, window):
        piece = data[start : start + window]
        if numpy.abs(piece).max() < 8000:
            found.append(0.0)
            continue
        spectrum = numpy.abs(numpy.fft.rfft(piece * numpy.hanning(window), 8 * window))
        found.append(float(spectrum.argmax()) * rate / (8 * window))
    return found


def test_the_four_that_a_session_asks_for_are_there() -> None:
    assert set(EARCONS) == {"listening", "got-it", "not-understood", "error"}
    assert all(name in (SoundEffect.__doc__ or "") for name in EARCONS)


def test_direction_is_the_meaning() -> None:
    rising = notes("listening")
    assert rising[-2] > rising[1] * 1.3
    falling = notes("not-understood")
    assert falling[-2] < falling[1] / 1.3
    flat = notes("got-it")[1:-1]
    assert max(flat) - min(flat) < 60
    assert 0.0 in notes("error")[3:-3], "three notes with silence between"
    swept = notes("wiped")
    assert swept[1] > 1400
    assert swept[-2] < 800


@pytest.mark.parametrize("name", ALL)
def test_energy_is_where_a_noisy_shop_lets_it_through(name: str) -> None:
    data, rate = samples(name), earcon(name).rate
    power = numpy.abs(numpy.fft.rfft(data)) ** 2
    hertz = numpy.fft.rfftfreq(len(data), 1 / rate)
    # ISO 7731: danger signals have their energy between 500 and 2,500 Hz (from memory).
    assert power[(hertz > 450) & (hertz < 2500)].sum() > 0.8 * power.sum()


@pytest.mark.parametrize("name", ALL)
def test_no_click_at_either_end_and_nothing_clipped(name: str) -> None:
    data = samples(name)
    assert abs(data[0]) < 600 > abs(data[-1])
    assert 10_000 < numpy.abs(data).max() < 32_767


def test_key_sounds_are_shorter_than_every_earcon() -> None:
    assert max(earcon(name).seconds for name in KEY_SOUNDS) < min(earcon(name).seconds for name in EARCONS)


def likeness(first, second) -> float:
    """The highest normalized cross-correlation at any shift: 1 for the same sound, near 0 for unlike ones."""
    size = 1 << (len(first) + len(second)).bit_length()
    product = numpy.fft.irfft(numpy.fft.rfft(first, size) * numpy.conj(numpy.fft.rfft(second, size)), size)
    return float(numpy.abs(product).max() / numpy.sqrt((first**2).sum() * (second**2).sum()))


@pytest.mark.parametrize(("one", "other"), list(combinations(ALL, 2)))
def test_no_two_are_alike(one: str, other: str) -> None:
    assert likeness(samples(one), samples(one)) == pytest.approx(1)
    # A key taken back begins with the same tick as a key; nothing else shares more than a little.
    assert likeness(samples(one), samples(other)) < (0.8 if {one, other} <= set(KEY_SOUNDS) else 0.45)


@pytest.mark.parametrize("color", ["white", "pink"])
@pytest.mark.parametrize("name", EARCONS)
def test_each_is_picked_out_of_noise_twice_as_strong(name: str, color: str) -> None:
    generator = numpy.random.default_rng(7)
    clean = numpy.concatenate([numpy.zeros(4000), samples(name), numpy.zeros(4000)])
    for _ in range(10):
        noise = generator.standard_normal(len(clean))
        if color == "pink":  # power falling as 1/f, as machines sound more than white noise does
            spectrum = numpy.fft.rfft(noise)
            noise = numpy.fft.irfft(spectrum / numpy.sqrt(numpy.maximum(1, numpy.arange(len(spectrum)))), len(noise))
        noise *= 2 * samples(name).std() / noise.std()
        scores = {other: likeness(clean + noise, samples(other)) for other in EARCONS}
        assert max(scores, key=scores.__getitem__) == name


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(KeyError):
        earcon("doorbell")
