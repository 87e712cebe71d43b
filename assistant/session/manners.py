"""How one person wants to be answered. Read from the settings once; what he asks for aloud goes over it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from assistant.length import Length
from assistant.tape import SIXTEENTHS, Tape

__all__ = ["PLUS_SIZES", "Attention", "Manners"]

PLUS_SIZES = (Length(0), Length("1/64"), Length("1/32"))
"""What a plus may be worth. The trade has no one size for it (common practice, no source)."""


class Attention(Enum):
    """How he gets our attention."""

    WAKE = "wake"
    """By the wake phrase, with a window to go on after each answer."""
    PUSH = "push"
    """By holding the talk key."""
    OPEN = "open"
    """He always has it."""


@dataclass(frozen=True, slots=True)
class Manners:
    tape: Tape = SIXTEENTHS
    attention: Attention = Attention.WAKE
    plus: Length | None = None
    """How much a plus is worth, one of PLUS_SIZES; none where he was never asked, and then it is worth nothing."""
    ask_plus: bool = True
    """Whether to ask how much it is worth the first time he says one. Not where one request is all there is."""
