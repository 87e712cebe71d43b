"""A stretch of sound, and the few things done to it."""

from __future__ import annotations

import math
import wave
from array import array
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from assistant.errors import Slip

__all__ = ["Sound", "join", "silence"]

FULL_SCALE = 32_767
"""The largest 16-bit sample."""


@dataclass(frozen=True, slots=True)
class Sound:
    pcm: bytes
    """16-bit little-endian samples, one channel."""
    rate: int
    """Samples a second."""

    @property
    def seconds(self) -> float:
        return len(self.pcm) / 2 / self.rate

    def at_volume(self, volume: float) -> Sound:
        """Every sample times ``volume``, 0 or more.

        Above 1 the peaks are rounded off, not chopped: speech comes through louder and stays clear.
        """
        if volume == 1:
            return self
        samples = array("h", self.pcm)
        if volume < 1:
            changed = array("h", (int(sample * volume) for sample in samples))
        else:
            gain = volume / FULL_SCALE
            changed = array("h", (int(FULL_SCALE * math.tanh(sample * gain)) for sample in samples))
        return Sound(changed.tobytes(), self.rate)

    def at_rate(self, rate: int) -> Sound:
        """The same sound at another sample rate."""
        if rate == self.rate:
            return self
        import numpy
        import soxr

        samples = numpy.frombuffer(self.pcm, dtype=numpy.int16)
        return Sound(soxr.resample(samples, self.rate, rate).tobytes(), rate)

    def trimmed(self, floor: int = 150, margin_ms: int = 8) -> Sound:
        """Without the silence at both ends: what stays under ``floor`` (of 32,767), all but ``margin_ms``."""
        samples = array("h", self.pcm)
        loud = (index for index, sample in enumerate(samples) if abs(sample) > floor)
        first = next(loud, None)
        if first is None:
            return Sound(b"", self.rate)
        last = next(index for index in range(len(samples) - 1, -1, -1) if abs(samples[index]) > floor)
        margin = self.rate * margin_ms // 1000
        return Sound(samples[max(0, first - margin) : last + 1 + margin].tobytes(), self.rate)

    def save(self, path: Path) -> None:
        """Write a WAV file. Slip when it cannot be written there."""
        try:
            with path.open("wb") as file, wave.open(file, "wb") as out:
                out.setnchannels(1)
                out.setsampwidth(2)
                out.setframerate(self.rate)
                out.writeframes(self.pcm)
        except OSError:
            raise Slip(f"{path} cannot be written. Choose another folder, or make room on the disk.") from None


def silence(milliseconds: int, rate: int) -> Sound:
    return Sound(bytes(2 * (rate * milliseconds // 1000)), rate)


def join(sounds: Iterable[Sound], rate: int) -> Sound:
    """One after the other, all at ``rate``."""
    return Sound(b"".join(sound.at_rate(rate).pcm for sound in sounds), rate)
