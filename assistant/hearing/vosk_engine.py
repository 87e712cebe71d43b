"""Vosk as a recogniser, in a process of its own that may die without taking the bench with it.

A model that carries our grammar in its own graph says so in ``tapehand.json`` ({"strict_graph": true}) and is used
as it is. Any other Vosk model takes sentences sampled from the grammar: to the library those are only word pairs,
so what it hears must still parse. ``[unk]`` in a result rejects it. Its own confidence keeps most noise out but not
other talk (wrong words come back with 1.0); for our own model the phones are asked again (``rejection``).
"""

from __future__ import annotations

import contextlib
import importlib.util
import json
import os
import queue
import random
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO

from assistant.errors import ModelUnusable
from assistant.hearing.recogniser import GrammarSource, Hypothesis, Reason, nothing
from assistant.hearing.vosk_process import receive, send

__all__ = ["Vosk", "check_folder"]

SAMPLED_SENTENCES = 4000
"""Enough that their word pairs mirror the grammar's; a recogniser from 10,000 takes 40 ms to build (measured)."""
LOADING_SECONDS = 60.0
ANSWER_SECONDS = 5.0
"""A process that has not answered by then hangs, and is started again."""
RESTARTS = 3
"""In a row without a single result; after that the model is taken to be past help."""
_NEEDED = ("am/final.mdl", "conf/model.conf", "conf/mfcc.conf")
_SEED = 1


def check_folder(folder: Path) -> None:
    """Raise ModelUnusable, saying what to do, where a folder cannot be a Vosk model that takes our grammar."""
    if not folder.is_dir():
        raise ModelUnusable(f"There is no speech model in {folder}. Put one there, or name its folder in the settings.")
    missing = [name for name in _NEEDED if not (folder / name).is_file()]
    if missing:
        raise ModelUnusable(f"The speech model in {folder} has no {missing[0]}. Copy the whole model folder again.")
    if not (folder / "graph" / "HCLr.fst").is_file():
        raise ModelUnusable(
            f"The speech model in {folder} takes no grammar. Use one of the small Vosk models, with graph/HCLr.fst."
        )


def _strict(folder: Path) -> bool:
    try:
        about = json.loads((folder / "tapehand.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return bool(isinstance(about, dict) and about.get("strict_graph")) and (folder / "graph" / "Gr.fst").is_file()


class Vosk:
    name = "vosk"

    def __init__(
        self,
        grammar: GrammarSource,
        roots: Sequence[str],
        folder: Path,
        said: Callable[[str], Sequence[str]] | None = None,
    ) -> None:
        """``said`` gives a text of what is said to a rule, for models without our graph; else it is sampled evenly.

        ModelUnusable when vosk is not installed, or the model cannot be used.
        """
        if importlib.util.find_spec("vosk") is None:
            raise ModelUnusable("A Vosk model needs the voice parts: run ./tapehand to install them.")
        check_folder(folder)
        self._folder = folder
        strict = _strict(folder)
        self._grammars: list[tuple[str, list[str] | None, list[str]]] = []
        for root in roots:
            text = None if strict else list(said(root)) if said else _sampled(grammar, root)
            self._grammars.append((root, text, sorted(grammar.words)))
        self.missing: frozenset[str] = frozenset()
        """Words of the grammar that this model cannot hear."""
        self._failures = 0
        self._process: subprocess.Popen[bytes] | None = None
        self._messages: queue.Queue[tuple[bytes, bytes] | None] = queue.Queue()
        self._replies: queue.Queue[tuple[bytes, bytes] | None] = queue.Queue()
        self._launch()

    @property
    def pid(self) -> int | None:
        """The process, for those who watch over it."""
        return self._process.pid if self._process else None

    def start(self, expecting: str) -> None:
        if self._process is not None and self._process.poll() is not None:
            self.close()
        if self._process is None:
            self._launch()
        self._send(b"s", expecting.encode())

    def accept(self, pcm: bytes) -> None:
        self._send(b"a", pcm)

    def partial(self) -> str:
        reply = self._ask(b"p")
        return reply.decode() if reply is not None else ""

    def finish(self) -> Hypothesis:
        if self._process is None:
            return nothing(Reason.RESTARTED)
        reply = self._ask(b"f")
        if reply is None:
            return nothing(Reason.RESTARTED)
        self._failures = 0
        result = json.loads(reply)
        if result["unknown"]:
            return Hypothesis(result["words"], 0.0, Reason.NOT_FOR_US)
        if not result["words"]:
            return nothing()
        return Hypothesis(result["words"], min(1.0, max(0.0, result["confidence"])))

    def close(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        self._messages.put(None)
        for thread in self._threads:
            thread.join()

    def _launch(self) -> None:
        if self._failures > RESTARTS:
            raise ModelUnusable(f"The speech model in {self._folder} keeps failing. Copy the whole model folder again.")
        self._failures += 1
        self._process = subprocess.Popen(
            [sys.executable, "-m", "assistant.hearing.vosk_process", str(self._folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            # Its little matrix products are faster on one core than spread, and leave the others to the rest.
            env={**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"},
        )
        self._messages, self._replies = queue.Queue(), queue.Queue()
        # Threads of their own on both pipes: a process that hangs must not hold up the listener too.
        self._threads = [
            threading.Thread(target=_write, args=(self._process.stdin, self._messages), daemon=True),
            threading.Thread(target=_read, args=(self._process.stdout, self._replies), daemon=True),
        ]
        for thread in self._threads:
            thread.start()
        if self._reply(b"r", LOADING_SECONDS) is None:
            self.close()
            raise ModelUnusable(
                f"The speech model in {self._folder} can't be loaded. Copy the whole model folder again."
            )
        missing: set[str] = set()
        for grammar in self._grammars:
            reply = self._ask(b"g", json.dumps(grammar).encode(), LOADING_SECONDS)
            if reply is None:
                self.close()
                raise ModelUnusable(f"The speech model in {self._folder} takes no grammar. Use a small Vosk model.")
            missing.update(json.loads(reply))
        self.missing = frozenset(missing)

    def _send(self, kind: bytes, payload: bytes = b"") -> None:
        if self._process is not None:
            self._messages.put((kind, payload))

    def _ask(self, kind: bytes, payload: bytes = b"", seconds: float = ANSWER_SECONDS) -> bytes | None:
        self._send(kind, payload)
        return self._reply(kind, seconds) if self._process else None

    def _reply(self, kind: bytes, seconds: float) -> bytes | None:
        try:
            reply = self._replies.get(timeout=seconds)
        except queue.Empty:
            reply = None
        if reply is None or reply[0] != kind:
            self.close()
            return None
        return reply[1]


def _sampled(grammar: GrammarSource, root: str) -> list[str]:
    rng = random.Random(_SEED)
    return [grammar.sample(rng, root) for _ in range(SAMPLED_SENTENCES)]


def _write(pipe: IO[bytes], messages: queue.Queue[tuple[bytes, bytes] | None]) -> None:
    # OSError: the process is gone, which the reader finds out too. What it had not read yet is of no use any more.
    with contextlib.suppress(OSError), pipe:
        while (message := messages.get()) is not None:
            send(pipe, *message)


def _read(pipe: IO[bytes], replies: queue.Queue[tuple[bytes, bytes] | None]) -> None:
    with pipe, contextlib.suppress(EOFError, OSError):
        while True:
            replies.put(receive(pipe))
    replies.put(None)
