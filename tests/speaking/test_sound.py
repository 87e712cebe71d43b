"""Sounds as samples and as WAV files, read back by soundfile (libsndfile), which did not write them."""

from __future__ import annotations

import struct
from array import array
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import Slip
from assistant.speaking.sound import Sound, join, silence

samples = st.lists(st.integers(-32768, 32767), max_size=200)


def sound(values: list[int], rate: int = 8000) -> Sound:
    return Sound(array("h", values).tobytes(), rate)


@given(samples, st.floats(0, 2))
def test_volume_scales_down_exactly_and_up_without_wrapping_round(values: list[int], volume: float) -> None:
    for before, after in zip(values, array("h", sound(values).at_volume(volume).pcm), strict=True):
        assert before * after >= 0
        assert abs(after) <= abs(before) * volume
        if volume < 1:
            assert after == int(before * volume)
        elif volume > 1.01 and abs(before) > 1000:
            assert abs(after) >= min(abs(before) * volume * 0.76, 24000)  # tanh(x) >= 0.76 x up to 1


@given(samples)
def test_trimming_takes_only_silence_from_the_ends(values: list[int]) -> None:
    trimmed = list(array("h", sound(values).trimmed(floor=100, margin_ms=0).pcm))
    if not trimmed:
        assert all(abs(value) <= 100 for value in values)
        return
    assert abs(trimmed[0]) > 100 < abs(trimmed[-1])
    at = next(i for i in range(len(values)) if values[i : i + len(trimmed)] == trimmed)
    assert all(abs(v) <= 100 for v in values[:at] + values[at + len(trimmed) :])


def test_a_wav_file_has_the_right_header(tmp_path: Path) -> None:
    soundfile = pytest.importorskip("soundfile", reason="no libsndfile here to read the file with")
    path = tmp_path / "said.wav"
    sound([0, 1000, -1000, 32767, -32768], 22050).save(path)
    data, rate = soundfile.read(path, dtype="int16")
    assert (rate, data.tolist()) == (22050, [0, 1000, -1000, 32767, -32768])
    raw = path.read_bytes()
    # "Multimedia Programming Interface and Data Specifications 1.0" (IBM, Microsoft, 1991): RIFF size is the file
    # less 8 bytes, and the data chunk's size its samples in bytes.
    assert struct.unpack("<4sI4s", raw[:12]) == (b"RIFF", len(raw) - 8, b"WAVE")
    assert struct.unpack("<4sI", raw[36:44]) == (b"data", 10)


def test_a_file_that_cannot_be_written_is_one_plain_sentence(tmp_path: Path) -> None:
    with pytest.raises(Slip, match=r"cannot be written\. Choose another folder"):
        sound([1]).save(tmp_path / "nowhere" / "said.wav")


def test_joining_brings_all_to_one_rate() -> None:
    pytest.importorskip("soxr", reason="no resampler here")
    joined = join([silence(100, 8000), silence(100, 48000)], 16000)
    assert joined.rate == 16000
    assert joined.seconds == pytest.approx(0.2, abs=0.001)
