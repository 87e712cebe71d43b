"""What is free in this process goes back to the system.

The C library keeps it for later by itself, in pieces that fit less and less: over a day of sounds and matrices of all
sizes a process grew by a tenth so (measured with ``prove --soak``).
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from functools import cache
from typing import Any

__all__ = ["give_back"]


def give_back() -> None:
    """Takes a millisecond or two: for when nothing waits. Does nothing where the C library is not GNU's."""
    trim = _malloc_trim()
    if trim is not None:
        trim(0)


@cache
def _malloc_trim() -> Callable[[int], Any] | None:
    try:
        found: Callable[[int], Any] = ctypes.CDLL(None).malloc_trim  # malloc_trim(3)
    except (OSError, TypeError, AttributeError):  # TypeError: Windows has no library without a name
        return None
    return found
