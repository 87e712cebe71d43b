"""Numbers in words, for the echo."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.speak import cap_first as start
from assistant.language.speak import speak_exactly, speak_whole
from assistant.length import Length

__all__ = ["fraction", "start", "whole"]


def whole(digits: str) -> str:
    return speak_whole(int(digits))


def fraction(top: str, bottom: str) -> str:
    """As it was keyed: a fraction that can be made smaller is said as the two numbers."""
    keyed = Fraction(int(top), int(bottom) or 1)
    if keyed < 1 and keyed.denominator == int(bottom) and keyed:
        return speak_exactly(Length(keyed))
    return f"{whole(top)} over {whole(bottom)}"
