"""Where keys come from: the port, what makes a bounced key one key, and the stand-in."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from types import TracebackType
from typing import Protocol

from assistant.keypad.keys import Press

__all__ = ["BOUNCE", "GONE", "NO_KEYBOARD", "Debounce", "KeyReader", "ScriptedKeys"]

BOUNCE = 0.025
"""Seconds within which the same key again is the contact bouncing (the contract's 25 ms)."""

NO_KEYBOARD = "There is no keyboard here. Start Tapehand in a terminal window, or use the keys on the screen."
GONE = "The keyboard has gone. Start Tapehand again in a terminal window."


class KeyReader(Protocol):
    """A keypad. Use it in a ``with`` block: the device is taken on the way in and always given back."""

    def __enter__(self) -> KeyReader: ...
    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None: ...

    def read(self, timeout: float | None = None) -> Press | None:
        """The next key, or None when there was none within ``timeout`` seconds.

        Raises:
            KeypadUnavailable: where there is no keyboard, or no longer.
            KeyboardInterrupt: for Ctrl-C.
        """


class Debounce:
    """Lets each press through once. Different keys close together are two keys."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._last: Press | None = None
        self._when = 0.0

    def accepts(self, key: Press) -> bool:
        """Whether this is a press of its own. Call it as the key comes in."""
        now = self._clock()
        bounced = key is self._last and now - self._when < BOUNCE
        self._last, self._when = key, now
        return not bounced


class ScriptedKeys:
    """The official stand-in: keys from a list, then nothing more."""

    def __init__(self, keys: Iterable[Press]) -> None:
        self._keys = list(reversed(list(keys)))

    def __enter__(self) -> ScriptedKeys:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        pass

    def read(self, timeout: float | None = None) -> Press | None:
        return self._keys.pop() if self._keys else None
