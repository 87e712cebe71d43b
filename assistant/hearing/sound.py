"""Sound as it travels through hearing: 16 kHz, one channel, signed 16-bit little-endian."""

from __future__ import annotations

import math
import sys
from array import array
from dataclasses import dataclass
from typing import Protocol

__all__ = ["QUIET_DBFS", "RATE", "SAMPLE_BYTES", "Block", "Found", "Lost", "Source", "Taken", "dbfs", "seconds_of"]

RATE = 16_000
"""Samples a second. What every recogniser and the voice detector here were trained on."""
SAMPLE_BYTES = 2
QUIET_DBFS = -96.0
"""The level given for digital silence: the smallest step of 16 bits below full scale."""


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch of sound."""

    pcm: bytes
    at: float
    """When its last sample was heard, in seconds on the source's own clock."""


@dataclass(frozen=True, slots=True)
class Lost:
    """The source has gone quiet for good, or was never there. It keeps looking for it by itself."""

    sentence: str
    """What to do about it, fit to be shown and spoken."""


@dataclass(frozen=True, slots=True)
class Found:
    """Sound comes in again after a Lost."""


Taken = Block | Lost | Found | None
"""What a source hands out. None: nothing came in the time given."""


class Source(Protocol):
    """Where sound comes from. One thread owns it."""

    clock_is_wall: bool
    """True when ``Block.at`` is ``time.monotonic()``; False when it counts from the start of a recording."""

    def take(self, timeout: float) -> Taken:
        """The next thing that happened, waiting at most ``timeout`` seconds. EOFError when a recording ends."""

    def close(self) -> None:
        """Let go of the device or file. Closing twice is no error."""


def seconds_of(pcm: bytes) -> float:
    return len(pcm) / (SAMPLE_BYTES * RATE)


def dbfs(pcm: bytes) -> float:
    """The level in decibels below full scale: 0 for a full-scale square wave, QUIET_DBFS for silence."""
    samples = array("h", pcm[: len(pcm) // SAMPLE_BYTES * SAMPLE_BYTES])
    if sys.byteorder == "big":
        samples.byteswap()
    if not samples:
        return QUIET_DBFS
    power = sum(sample * sample for sample in samples) / len(samples)
    return max(QUIET_DBFS, 10 * math.log10(power / 32768**2)) if power else QUIET_DBFS
