"""The keypad of a computer with Linux or macOS, read through the terminal."""

from __future__ import annotations

import os
import select
import signal
import sys
import termios
import threading
import time
from collections import deque
from collections.abc import Iterator
from contextlib import suppress
from math import inf
from types import FrameType, TracebackType
from typing import Any

from assistant.errors import KeypadUnavailable
from assistant.keypad.decode import Decoder
from assistant.keypad.keys import Press, Talk
from assistant.keypad.reader import GONE, NO_KEYBOARD, Debounce, TalkSwitch

__all__ = ["PosixKeys"]

_SEQUENCE = 0.05
"""Seconds to wait for the rest of a sequence that Esc began. A terminal sends it in one go."""
_BEGIN = b"\x1b=\x1b[?2004h"
"""Application keypad (DECKPAM), and pasted text marked as such."""
_END = b"\x1b[?2004l\x1b>"
_ENDING = (signal.SIGTERM, signal.SIGHUP)


class PosixKeys:
    """A terminal on Linux or macOS."""

    def __init__(self, talk: str = " ", terminal: int | None = None) -> None:
        """``terminal`` is an open terminal's file descriptor; by default that of standard input."""
        self._given = terminal
        self._fd = -1
        self._decoder = Decoder(talk, os.environ.get("TERM", "").startswith("linux"))
        self._debounce = Debounce()
        self._talk = TalkSwitch()
        self._ready: deque[Press] = deque()
        self._before: list[Any] = []
        self._handlers: dict[signal.Signals, Any] = {}

    def __enter__(self) -> PosixKeys:
        try:
            self._fd = sys.stdin.fileno() if self._given is None else self._given
            self._before = termios.tcgetattr(self._fd)
        except (termios.error, OSError, ValueError, AttributeError):
            raise KeypadUnavailable(NO_KEYBOARD) from None
        if threading.current_thread() is threading.main_thread():
            for ending in _ENDING:
                self._handlers[ending] = signal.signal(ending, self._end)
        self._take()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._give_back()
        for ending, handler in self._handlers.items():
            signal.signal(ending, handler)

    def read(self, timeout: float | None = None) -> Press | None:
        deadline = inf if timeout is None else time.monotonic() + timeout
        while not self._ready:
            if up := self._talk.rested():
                return up
            left = min(
                max(0.0, deadline - time.monotonic()),
                _SEQUENCE if self._decoder.waiting else inf,
                inf if self._talk.due is None else self._talk.due,
            )
            if self._data_within(None if left == inf else left):
                self._ready += self._presses(self._decoder.feed(self._data()))
            elif self._decoder.waiting:
                self._ready += self._presses(self._decoder.give_up())
            elif time.monotonic() >= deadline:
                return None
        return self._ready.popleft()

    def _presses(self, keys: list[Press]) -> Iterator[Press]:
        for key in keys:
            if isinstance(key, Talk):
                talk = self._talk.pressed()
                if talk:
                    yield talk
            elif self._debounce.accepts(key):
                yield key

    def _take(self) -> None:
        """One key at a time, no echo, no flow control; of the signal keys only Ctrl-C is left."""
        now = termios.tcgetattr(self._fd)
        now[0] &= ~termios.IXON
        now[3] &= ~(termios.ICANON | termios.ECHO | termios.IEXTEN)
        off = os.fpathconf(self._fd, "PC_VDISABLE").to_bytes(1, "little")
        for key in (termios.VSUSP, termios.VQUIT):
            now[6][key] = off
        now[6][termios.VMIN], now[6][termios.VTIME] = 1, 0
        termios.tcsetattr(self._fd, termios.TCSAFLUSH, now)
        self._send(_BEGIN)

    def _give_back(self) -> None:
        self._send(_END)
        with suppress(termios.error, OSError):  # where the terminal itself has gone
            termios.tcsetattr(self._fd, termios.TCSANOW, self._before)

    def _send(self, sequence: bytes) -> None:
        with suppress(OSError):  # opened for reading only, or gone: the plain keys still come
            os.write(self._fd, sequence)

    def _end(self, ending: int, _frame: FrameType | None) -> None:
        self._give_back()
        signal.signal(ending, signal.SIG_DFL)
        signal.raise_signal(ending)

    def _data_within(self, seconds: float | None) -> bool:
        return bool(select.select([self._fd], [], [], seconds)[0])

    def _data(self) -> bytes:
        try:
            data = os.read(self._fd, 1024)
        except OSError:
            data = b""
        if not data:
            raise KeypadUnavailable(GONE)
        return data
