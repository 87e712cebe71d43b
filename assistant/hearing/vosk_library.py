"""The Vosk library itself: the few functions of its C interface (vosk_api.h) that are needed, through ctypes.

The package's own Python module would do the same, but first loads a web client and a subtitle writer: 20 MB and a
sixth of a second in the one process that should be small and quick to start again.
"""

from __future__ import annotations

import ctypes
import importlib.util
import sys
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["Model", "Recognizer"]

_NAMES = {"win32": "libvosk.dll", "darwin": "libvosk.dyld"}
_QUIET = -1
_HANDLE, _TEXT, _INT = ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int
_FUNCTIONS: dict[str, tuple[Any, list[Any]]] = {
    "vosk_set_log_level": (None, [_INT]),
    "vosk_model_new": (_HANDLE, [_TEXT]),
    "vosk_model_free": (None, [_HANDLE]),
    "vosk_model_find_word": (_INT, [_HANDLE, _TEXT]),
    "vosk_recognizer_new": (_HANDLE, [_HANDLE, ctypes.c_float]),
    "vosk_recognizer_new_grm": (_HANDLE, [_HANDLE, ctypes.c_float, _TEXT]),
    "vosk_recognizer_free": (None, [_HANDLE]),
    "vosk_recognizer_set_words": (None, [_HANDLE, _INT]),
    "vosk_recognizer_set_max_alternatives": (None, [_HANDLE, _INT]),
    "vosk_recognizer_accept_waveform": (_INT, [_HANDLE, _TEXT, _INT]),
    "vosk_recognizer_result": (_TEXT, [_HANDLE]),
    "vosk_recognizer_partial_result": (_TEXT, [_HANDLE]),
    "vosk_recognizer_final_result": (_TEXT, [_HANDLE]),
}
"""By name: what comes back, and what goes in."""


@cache
def _library() -> ctypes.CDLL:
    """Loaded once, and told to keep quiet. OSError where it is not there."""
    found = importlib.util.find_spec("vosk")
    if found is None or found.origin is None:
        raise OSError("vosk is not installed")
    folder = Path(found.origin).resolve().parent
    if sys.platform == "win32":
        import os

        os.add_dll_directory(str(folder))  # for what the library itself needs
    library = ctypes.CDLL(str(folder / _NAMES.get(sys.platform, "libvosk.so")))
    for name, (gives, takes) in _FUNCTIONS.items():
        function = getattr(library, name)
        function.restype, function.argtypes = gives, takes
    library.vosk_set_log_level(_QUIET)
    return library


class Model:
    def __init__(self, folder: Path) -> None:
        """OSError where the library cannot be loaded, or the folder holds no model."""
        self._library = _library()
        self.handle = self._library.vosk_model_new(str(folder).encode())
        if not self.handle:
            raise OSError(f"no model in {folder}")

    def __del__(self) -> None:
        if getattr(self, "handle", None):
            self._library.vosk_model_free(self.handle)

    def knows(self, word: str) -> bool:
        return int(self._library.vosk_model_find_word(self.handle, word.encode())) >= 0


class Recognizer:
    """Results are JSON, as the library writes them, with times for each word. With ``alternatives`` they are the
    likeliest sentences, at most so many, each with its score; without, one, with a confidence for each word."""

    def __init__(self, model: Model, rate: int, phrases: str | None = None, alternatives: int = 0) -> None:
        """``phrases``: a JSON list of at least one sentence; anything else would end the process. None: the model's
        own graph. OSError where the library makes none of it."""
        self._library, self._model = _library(), model  # the model must live as long
        self._handle = (
            self._library.vosk_recognizer_new(model.handle, rate)
            if phrases is None
            else self._library.vosk_recognizer_new_grm(model.handle, rate, phrases.encode())
        )
        if not self._handle:
            raise OSError("no recognizer")
        self._library.vosk_recognizer_set_words(self._handle, 1)
        self._library.vosk_recognizer_set_max_alternatives(self._handle, alternatives)

    def __del__(self) -> None:
        if getattr(self, "_handle", None):
            self._library.vosk_recognizer_free(self._handle)

    def accept(self, pcm: bytes) -> bool:
        """True where the library takes a pause for the end. RuntimeError where it fails."""
        ended = self._library.vosk_recognizer_accept_waveform(self._handle, pcm, len(pcm))
        if ended < 0:
            raise RuntimeError("the recognizer failed")
        return bool(ended)

    def result(self) -> bytes:
        return bytes(self._library.vosk_recognizer_result(self._handle))

    def partial(self) -> bytes:
        return bytes(self._library.vosk_recognizer_partial_result(self._handle))

    def final(self) -> bytes:
        return bytes(self._library.vosk_recognizer_final_result(self._handle))
