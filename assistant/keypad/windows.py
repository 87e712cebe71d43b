"""The keypad of a computer with Windows, read through its console."""

from __future__ import annotations

import sys
import time
from types import TracebackType

from assistant.errors import KeypadUnavailable
from assistant.keypad.keys import Key, Press, Talk
from assistant.keypad.reader import NO_KEYBOARD, Debounce, TalkSwitch

__all__ = ["MARKS", "from_console"]

MARKS = ("\x00", "\xe0")
"""The first of the two characters that ``getwch`` gives for a key without a character of its own."""

# With NumLock off, by scan code (Microsoft, "Keyboard Scan Code Specification"; L is the center key).
_MOVES = {
    "G": Key.SEVEN,
    "H": Key.EIGHT,
    "I": Key.NINE,
    "K": Key.FOUR,
    "L": Key.FIVE,
    "M": Key.SIX,
    "O": Key.ONE,
    "P": Key.TWO,
    "Q": Key.THREE,
    "R": Key.ZERO,
    "S": Key.DOT,
}
_PLAIN: dict[str, Press] = {
    **{key.value: key for key in Key if key not in (Key.ENTER, Key.BACKSPACE)},
    "\r": Key.ENTER,
    "\b": Key.BACKSPACE,
    ",": Key.DOT,
}


def from_console(first: str, second: str = "", talk: str = " ") -> Press | None:
    """The key for what ``getwch`` gave; ``second`` only where ``first`` is one of ``MARKS``.

    >>> from_console("\\xe0", "G")
    <Key.SEVEN: '7'>

    Raises:
        KeyboardInterrupt: for Ctrl-C, which ``getwch`` hands over as a character.
    """
    if first == "\x03":
        raise KeyboardInterrupt
    if first in MARKS:
        return _MOVES.get(second)
    return Talk.DOWN if first == talk else _PLAIN.get(first)


if sys.platform == "win32":
    import msvcrt

    class ConsoleKeys:
        """A Windows console."""

        _POLL = 0.005
        """Seconds between looks: the console cannot be waited on with a time limit."""

        def __init__(self, talk: str = " ") -> None:
            self._character = talk
            self._debounce = Debounce()
            self._talk = TalkSwitch()

        def __enter__(self) -> ConsoleKeys:
            if not sys.stdin or not sys.stdin.isatty():
                raise KeypadUnavailable(NO_KEYBOARD)
            return self

        def __exit__(
            self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
        ) -> None:
            pass

        def read(self, timeout: float | None = None) -> Press | None:
            deadline = None if timeout is None else time.monotonic() + timeout
            while True:
                while not msvcrt.kbhit():
                    if up := self._talk.rested():
                        return up
                    if deadline is not None and time.monotonic() >= deadline:
                        return None
                    time.sleep(self._POLL)
                first = msvcrt.getwch()
                key = from_console(first, msvcrt.getwch() if first in MARKS else "", self._character)
                if isinstance(key, Talk):
                    key = self._talk.pressed()
                elif key and not self._debounce.accepts(key):
                    key = None
                if key:
                    return key
