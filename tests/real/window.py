"""A program in a terminal of its own: a pseudo-terminal of the system. For POSIX systems only."""

from __future__ import annotations

import codecs
import os
import select
import subprocess
import sys
import termios
import time
from pathlib import Path

__all__ = ["DEADLINE", "ROOT", "Window"]

ROOT = Path(__file__).parents[2]
DEADLINE = 30
"""Seconds after which something that should have happened has not."""

# The program started so that the pseudo-terminal is its controlling terminal, as it is in any window.
_START = """
import fcntl, runpy, signal, sys, termios
module = sys.argv[1]
signal.signal(signal.SIGINT, signal.default_int_handler)  # ignored where the tests run in the background
fcntl.ioctl(0, termios.TIOCSCTTY, 0)
sys.argv[1:2] = []
runpy.run_module(module, run_name="__main__")
"""


class Window:
    """A pseudo-terminal with the program in it."""

    def __init__(
        self, *arguments: str, module: str = "tests.real.keys_program", ready: str = "ready", **environment: str
    ) -> None:
        self.master, self.slave = os.openpty()
        self.before = termios.tcgetattr(self.slave)
        self.seen = ""
        self.shown = ""
        """Everything there was to see so far."""
        self._decoder = codecs.getincrementaldecoder("utf-8")()
        self.process = subprocess.Popen(
            [sys.executable, "-c", _START, module, *arguments],
            stdin=self.slave,
            stdout=self.slave,
            stderr=self.slave,
            cwd=ROOT,
            start_new_session=True,
            env={**os.environ, "TERM": "xterm", **environment},
        )
        self.sees(ready)

    def sees(self, text: str) -> None:
        """Wait until the terminal shows a text after what was seen last."""
        deadline = time.monotonic() + DEADLINE
        while text not in self.seen:
            left = deadline - time.monotonic()
            assert left > 0, f"{text!r} did not come; the terminal showed {self.seen!r}"
            if select.select([self.master], [], [], left)[0]:
                came = self._decoder.decode(os.read(self.master, 4096))
                self.seen += came
                self.shown += came
        self.seen = self.seen.split(text, 1)[1]

    def types(self, data: bytes) -> None:
        os.write(self.master, data)

    def ends(self) -> int:
        return self.process.wait(DEADLINE)

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait(DEADLINE)
        os.close(self.master)
        os.close(self.slave)
