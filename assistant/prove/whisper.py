"""A Whisper model as a recogniser to measure against, in development only: faster-whisper must be installed."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np

from assistant.errors import Slip
from assistant.hearing.recogniser import Hypothesis, nothing
from assistant.language.text import to_words

__all__ = ["Whisper"]

PROMPT = "fifty three and five eighths, six foot four and a half, center of thirteen sixteenths, take off an eighth"
"""What the talk is about, so that it is heard as numbers of our kind."""


class Whisper:
    name = "whisper"

    def __init__(self, folder: str) -> None:
        """``folder``: a model in CTranslate2's format. ImportError where faster-whisper is not installed."""
        from faster_whisper import WhisperModel

        model = WhisperModel(folder, device="cpu", compute_type="int8", cpu_threads=1)
        self._transcribe: Callable[..., tuple[object, object]] = model.transcribe
        self._pcm = b""

    def start(self, expecting: str) -> None:
        self._pcm = b""

    def accept(self, pcm: bytes) -> None:
        self._pcm += pcm

    def partial(self) -> str:
        return ""

    def peek(self) -> str:
        return self.partial()

    def finish(self) -> Hypothesis:
        sound = np.frombuffer(self._pcm, np.int16).astype(np.float32) / 32768
        found, _ = self._transcribe(sound, language="en", beam_size=5, initial_prompt=PROMPT)
        text = " ".join(segment.text for segment in found)  # type: ignore[attr-defined]
        try:
            words = [w for w in to_words(re.sub(r"[.!?]+(?=\s|$)", " ", text)) if w != ","]
        except Slip:
            return nothing()
        return Hypothesis(" ".join(words), 1.0) if words else nothing()

    def close(self) -> None:
        pass
