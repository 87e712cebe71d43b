"""Driving a spoken bench from outside, and reading off its disk what it kept."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

from assistant.board.sqlite import SqliteBoard
from assistant.session.job import Job

__all__ = ["ROOT", "SpokenBench", "on_disk"]

ROOT = Path(__file__).parents[2]
DEADLINE = 60.0
"""Seconds after which something that should have happened has not."""


class SpokenBench:
    """One in a process of its own, with its board and settings in a folder."""

    def __init__(self, folder: Path, module: str = "tests.prove.spoken_bench", **environment: str) -> None:
        self.began = time.monotonic()
        self.process = subprocess.Popen(
            [sys.executable, "-m", module],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={
                **{name: value for name, value in os.environ.items() if name != "DATABASE_URL"},
                "TAPEHAND_BOARD": str(folder / "board.db"),
                "TAPEHAND_SETTINGS": str(folder / "settings.toml"),
                **environment,
            },
        )
        self._told: queue.SimpleQueue[dict[str, Any] | None] = queue.SimpleQueue()
        self.notices: list[str] = []
        threading.Thread(target=self._read, daemon=True).start()
        self.ready = self.answered()
        self.seconds_to_ready = time.monotonic() - self.began

    def says(self, *words: str) -> None:
        """Say them one after another, without waiting for an answer."""
        assert self.process.stdin is not None
        self.process.stdin.write("".join(f"{line}\n" for line in words))
        self.process.stdin.flush()

    def asked(self, words: str) -> dict[str, Any]:
        """The answer to something said."""
        self.says(words)
        return self.answered()

    def answered(self) -> dict[str, Any]:
        """The next answer; what is told about the bench itself goes to ``notices``."""
        while True:
            told = self._told.get(timeout=DEADLINE)
            assert told is not None, "the bench ended"
            if "notice" not in told:
                return told
            self.notices.append(told["notice"])

    def noticed(self, words: str) -> str:
        """The first sentence about the bench itself with these words in it, waited for."""
        deadline = time.monotonic() + DEADLINE
        while not (found := [notice for notice in self.notices if words in notice]):
            told = self._told.get(timeout=max(0.0, deadline - time.monotonic()))
            assert told is not None, "the bench ended"
            if "notice" in told:
                self.notices.append(told["notice"])
        return found[0]

    def killed(self) -> int:
        """Pull the plug. Returns how many more answers it had given by then."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        given = 0
        while (told := self._told.get(timeout=DEADLINE)) is not None:
            given += "notice" not in told
        self._let_go()
        return given

    def ended(self) -> int:
        self._let_go()
        return self.process.wait(DEADLINE)

    def _let_go(self) -> None:
        assert self.process.stdin is not None
        with contextlib.suppress(BrokenPipeError):  # what it will never read
            self.process.stdin.close()

    def _read(self) -> None:
        assert self.process.stdout is not None
        with self.process.stdout as lines:
            for line in lines:
                if line.endswith("\n"):  # the last one may be cut off
                    self._told.put(json.loads(line))
        self._told.put(None)


def on_disk(folder: Path) -> tuple[tuple[Job, ...], dict[str, str]]:
    """Every state that can be scratched back to, the job in hand last, and what stands on the board."""
    board = SqliteBoard(folder / "board.db")
    try:
        assert not board.notice, board.notice
        job, history = board.load()
        return (*history, job), {name: str(measure.length) for name, measure in board.names()}
    finally:
        board.close()
