"""The keypad of this computer, whatever it runs.

Keys come one at a time and unseen. The terminal is put back as it was however the program ends: at the end of
the ``with`` block, on Ctrl-C, and when it is told to end or the window is closed.

The same key again within 25 ms is a bounce, so ``read`` must be called without long pauses: give it a thread
of its own. A "00" key, which sends two zeros at once, counts as one zero; the spoken echo says so.
"""

from __future__ import annotations

import sys

from assistant.keypad.reader import KeyReader

__all__ = ["terminal_keys"]


def terminal_keys(talk: str = " ") -> KeyReader:
    """The keys typed in this terminal. ``talk`` is the character of the push-to-talk key or pedal."""
    if sys.platform == "win32":
        from assistant.keypad.windows import ConsoleKeys

        return ConsoleKeys(talk)
    from assistant.keypad.posix import PosixKeys

    return PosixKeys(talk)
