"""Where keys come from: the port, what makes a bounced key one key, and the stand-in."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from types import TracebackType
from typing import Protocol

from assistant.keypad.keys import Press, Talk

__all__ = ["BOUNCE", "GONE", "NO_KEYBOARD", "Debounce", "KeyReader", "ScriptedKeys", "TalkSwitch"]

BOUNCE = 0.025
"""Seconds within which the same key again is the contact bouncing (the contract's 25 ms)."""

REPEATS = 0.75
"""Seconds within which a key held down begins to repeat. Common systems wait 0.25 to 0.66 s (from memory)."""
RELEASED = 0.25
"""Seconds without a repeat after which a key held down has been let go. The slowest common rate is 11 a second."""
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


class TalkSwitch:
    """Makes down and up out of the presses of the talk key, which is all that a terminal tells.

    Held, it repeats, and comes up when the repeating ends. Pressed once and let go, it stays down until it is
    pressed again.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._down = self._repeating = False
        self._first = self._last = 0.0

    def pressed(self) -> Talk | None:
        """What a press comes to. Call it as the press comes in."""
        now = self._clock()
        if not self._down:
            self._down, self._repeating, self._first, self._last = True, False, now, now
            return Talk.DOWN
        if self._repeating or now - self._first < REPEATS:
            self._repeating = self._repeating or now - self._first >= BOUNCE
            self._last = now
            return None
        self._down = False
        return Talk.UP

    @property
    def due(self) -> float | None:
        """Seconds until it may have come up; None where time alone does not tell."""
        return max(0.0, self._last + RELEASED - self._clock()) if self._down and self._repeating else None

    def rested(self) -> Talk | None:
        """What the time that has passed comes to."""
        if self.due != 0.0:
            return None
        self._down = False
        return Talk.UP


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
