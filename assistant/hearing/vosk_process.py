"""The Vosk recogniser's own process: ``python -m assistant.hearing.vosk_process MODEL``.

It lives apart from the rest because bad input to the library's C side ends the whole process, and because a
decode must not hold up anything else. Messages both ways are a letter, a length (4 bytes, little-endian) and that
many bytes: in, ``g`` a grammar (JSON: root, sentences or null), ``s`` start (root), ``a`` sound, ``p`` words so far?,
``f`` finish; out, ``r`` ready or ``x`` why not (a sentence), ``g`` words the model lacks (JSON), ``p`` words,
``f`` the result (JSON: words, confidence, unknown).
"""

from __future__ import annotations

import json
import os
import signal
import struct
import sys
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any

__all__ = ["UNKNOWN", "receive", "send"]

UNKNOWN = "[unk]"
"""Vosk's word for anything that is not in the grammar."""
RATE = 16_000
_HEAD = struct.Struct("<cI")
_LONGEST = 64 * 1024 * 1024


def send(pipe: IO[bytes], kind: bytes, payload: bytes = b"") -> None:
    """One message."""
    pipe.write(_HEAD.pack(kind, len(payload)) + payload)
    pipe.flush()


def receive(pipe: IO[bytes]) -> tuple[bytes, bytes]:
    """The next message. EOFError when the other side is gone or talks nonsense."""
    head = pipe.read(_HEAD.size)
    if len(head) < _HEAD.size:
        raise EOFError
    kind, length = _HEAD.unpack(head)
    if length > _LONGEST:
        raise EOFError
    payload = pipe.read(length)
    if len(payload) < length:
        raise EOFError
    return kind, payload


class _Ear:
    """The model and one recogniser a root. A recogniser is only ever asked again after its result was taken."""

    def __init__(self, folder: str) -> None:
        from vosk import KaldiRecognizer, Model, SetLogLevel

        SetLogLevel(-1)
        self._make: Callable[..., Any] = KaldiRecognizer
        self._model = Model(model_path=folder)
        self._ears: dict[str, Any] = {}
        self._ear: Any = None
        self._heard: list[dict[str, Any]] = []
        self._sound = bytearray()
        self._phones = _rejector(Path(folder))

    def grammar(self, root: str, sentences: list[str] | None, words: list[str]) -> list[str]:
        missing = [w for w in words if self._model.vosk_model_find_word(w) < 0]
        if sentences is None:
            self._ears[root] = self._make(self._model, RATE)
        else:
            unsaid = set(missing)
            known = [s for s in sentences if unsaid.isdisjoint(s.split())]
            # An empty or ill-typed list would end the process.
            phrases = [*known, *([UNKNOWN] if self._model.vosk_model_find_word(UNKNOWN) >= 0 else [])]
            if phrases:
                self._ears[root] = self._make(self._model, RATE, json.dumps(phrases))
        if root in self._ears:
            self._ears[root].SetWords(True)
        return missing

    def start(self, root: str) -> None:
        """A root of which the model knows no sentence at all is listened to in vain."""
        self.finish()  # unlike Reset, a final result leaves no sound of the last utterance behind
        self._ear = self._ears.get(root)

    def accept(self, pcm: bytes) -> None:
        if self._phones is not None:
            self._sound += pcm
        # True: the library takes a pause for the end, and its next step would drop the words so far.
        if self._ear is not None and len(pcm) > 1 and self._ear.AcceptWaveform(pcm[: len(pcm) // 2 * 2]):
            self._heard += json.loads(self._ear.Result()).get("result", [])

    def partial(self) -> str:
        if self._ear is None:
            return ""
        words = [w["word"] for w in self._heard]
        words += json.loads(self._ear.PartialResult()).get("partial", "").split()
        return " ".join(w for w in words if w != UNKNOWN)

    def finish(self) -> dict[str, Any]:
        if self._ear is not None:
            self._heard += json.loads(self._ear.FinalResult()).get("result", [])
        words = [w["word"] for w in self._heard]
        confidence = min((float(w["conf"]) for w in self._heard), default=0.0)
        said = " ".join(w for w in words if w != UNKNOWN)
        if self._phones is not None and said:
            confidence = min(confidence, self._phones(bytes(self._sound), said))
        self._ear = None
        self._heard = []
        self._sound.clear()
        return {"words": said, "confidence": confidence, "unknown": UNKNOWN in words}


def _rejector(folder: Path) -> Callable[[bytes, str], float] | None:
    """For our own model: how surely words were said in a sound, 0 to 1. None for other models."""
    try:
        import numpy

        from assistant.hearing.rejection import Rejector

        judge = Rejector(folder)
    except (ImportError, OSError, ValueError, KeyError, struct.error):
        return None

    def confidence(sound: bytes, words: str) -> float:
        return judge.confidence(numpy.frombuffer(sound[: len(sound) // 2 * 2], numpy.int16), words)

    return confidence


def main(folder: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the bench: it closes our input when it goes
    incoming = sys.stdin.buffer
    # The library prints to file 1 when it feels like it: keep our messages on a file of their own.
    outgoing = os.fdopen(os.dup(1), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    try:
        ear = _Ear(folder)
    except Exception:
        send(outgoing, b"x", b"The speech model can't be loaded.")
        return
    send(outgoing, b"r")
    while True:
        try:
            kind, payload = receive(incoming)
        except EOFError:
            return
        if kind == b"g":
            root, sentences, words = json.loads(payload)
            send(outgoing, b"g", json.dumps(ear.grammar(root, sentences, words)).encode())
        elif kind == b"s":
            ear.start(payload.decode())
        elif kind == b"a":
            ear.accept(payload)
        elif kind == b"p":
            send(outgoing, b"p", ear.partial().encode())
        elif kind == b"f":
            send(outgoing, b"f", json.dumps(ear.finish()).encode())


if __name__ == "__main__":
    main(sys.argv[1])
