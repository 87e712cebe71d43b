"""Level, and recordings of every kind read to the one form everything here works on."""

from __future__ import annotations

import contextlib
import math
import wave
from array import array
from pathlib import Path

import pytest

from assistant.errors import SoundFileUnreadable
from assistant.hearing.recording import LONGEST_MINUTES, Recording, read
from assistant.hearing.sound import QUIET_DBFS, RATE, dbfs, seconds_of

numpy = pytest.importorskip("numpy", reason="the voice parts are not installed")
soundfile = pytest.importorskip("soundfile", reason="the voice parts are not installed")


def sine(rate: int, seconds: float = 1.0, hertz: float = 440.0, peak: float = 0.5) -> list[float]:
    return [peak * math.sin(math.tau * hertz * n / rate) for n in range(int(rate * seconds))]


@pytest.mark.parametrize(
    ("samples", "level"),
    [
        ([32767, -32768] * 800, 0.0),  # a full-scale square wave is 0 dBFS (AES17 counts a sine as 0; this is power)
        ([3277, -3277] * 800, -20.0),  # a tenth of it: 20 log10(0.1)
        ([0] * 1600, QUIET_DBFS),
        ([], QUIET_DBFS),
    ],
)
def test_level(samples: list[int], level: float) -> None:
    assert dbfs(array("h", samples).tobytes()) == pytest.approx(level, abs=0.01)


def test_level_of_a_sine_is_three_decibels_under_a_square_of_its_peak() -> None:
    pcm = array("h", (round(32767 * s) for s in sine(RATE, peak=1.0))).tobytes()
    assert dbfs(pcm) == pytest.approx(-3.01, abs=0.01)  # 10 log10(1/2)


def test_seconds() -> None:
    assert seconds_of(bytes(32000)) == 1.0


def pitch_and_peak(pcm: bytes) -> tuple[float, float]:
    """The strongest frequency by numpy's own Fourier transform, and the peak, of the middle of the sound."""
    samples = numpy.frombuffer(pcm, numpy.int16).astype(float) / 32768
    middle = samples[len(samples) // 4 : 3 * len(samples) // 4]
    spectrum = numpy.abs(numpy.fft.rfft(middle * numpy.hanning(len(middle))))
    return float(numpy.argmax(spectrum)) * RATE / len(middle), float(numpy.max(numpy.abs(middle)))


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE"])
@pytest.mark.parametrize("rate", [8000, 11025, 16000, 22050, 44100, 48000, 96000])
@pytest.mark.parametrize("channels", [1, 2])
def test_every_kind_of_wav(tmp_path: Path, subtype: str, rate: int, channels: int) -> None:
    path = tmp_path / "tone.wav"
    soundfile.write(path, numpy.tile(numpy.array(sine(rate))[:, None], channels), rate, subtype=subtype)
    pcm = read(path)
    assert seconds_of(pcm) == pytest.approx(1.0, abs=0.001)
    hertz, peak = pitch_and_peak(pcm)
    assert hertz == pytest.approx(440, abs=3)
    assert peak == pytest.approx(0.5, abs=0.02)


def test_extensible_wav(tmp_path: Path) -> None:
    path = tmp_path / "tone.wav"
    soundfile.write(path, sine(48000), 48000, format="WAVEX", subtype="PCM_24")
    assert seconds_of(read(path)) == pytest.approx(1.0, abs=0.001)


def test_sixteen_kilohertz_mono_comes_through_bit_for_bit(tmp_path: Path) -> None:
    samples = array("h", [0, 1, -1, 32767, -32768, 12345, -12345] * 300)
    path = tmp_path / "exact.wav"
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, RATE, len(samples), "NONE", ""))
        out.writeframes(samples.tobytes())
    assert read(path) == samples.tobytes()


def test_floats_beyond_full_scale_and_no_numbers_are_clipped(tmp_path: Path) -> None:
    path = tmp_path / "wild.wav"
    soundfile.write(path, numpy.array([2.0, -2.0, math.nan, math.inf, 0.0] * 100), RATE, subtype="DOUBLE")
    assert list(array("h", read(path))[:5]) == [32767, -32768, 0, 32767, 0]


def unreadable(folder: Path, kind: str) -> Path:
    path = folder / "sound.wav"
    if kind == "text":
        path.write_text("fifty-three and five eighths")
    elif kind == "nothing at all":
        path.write_bytes(b"")
    elif kind == "no sound in it":
        soundfile.write(path, [], RATE)
    elif kind == "cut inside the header":
        soundfile.write(path, sine(RATE), RATE)
        path.write_bytes(path.read_bytes()[:20])
    elif kind == "a folder":
        path.mkdir()
    elif kind == "too long":
        soundfile.write(path, numpy.zeros(LONGEST_MINUTES * 60 * 100 + 1, numpy.int16), 100)
    elif kind == "raw":
        path = folder / "sound.raw"
        path.write_bytes(bytes(3200))
    return path


@pytest.mark.parametrize(
    ("kind", "what_to_do"),
    [
        ("missing", "Check the name"),
        ("text", "Save it as WAV"),
        ("nothing at all", "Save it as WAV"),
        ("no sound in it", "Record it again"),
        ("cut inside the header", "Save it as WAV"),
        ("a folder", "Check the name"),
        ("too long", "Cut it shorter"),
        ("raw", "Save it as WAV"),
    ],
)
def test_what_cannot_be_read_says_what_to_do(tmp_path: Path, kind: str, what_to_do: str) -> None:
    with pytest.raises(SoundFileUnreadable, match=what_to_do):
        read(unreadable(tmp_path, kind))


def test_a_recording_hands_out_all_of_its_sound_in_order() -> None:
    pcm = array("h", range(2000)).tobytes()
    source, got, times = Recording(pcm), b"", []
    with contextlib.suppress(EOFError):
        while True:
            block = source.take(0)
            got += block.pcm
            times.append(block.at)
    with pytest.raises(EOFError):  # and it stays at its end
        source.take(0)
    assert got == pcm
    assert times == sorted(times)
    assert times[-1] == pytest.approx(2000 / RATE)
