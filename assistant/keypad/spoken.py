"""Numbers in words, for the echo."""

from __future__ import annotations

from assistant.language.speak import cap_first as start
from assistant.language.speak import fraction_names, speak_whole

__all__ = ["fraction", "start", "whole"]


def whole(digits: str) -> str:
    return speak_whole(int(digits))


def fraction(top: str, bottom: str) -> str:
    """As it was keyed, made no smaller: "ten sixteenths". One that is an inch or more is said as two numbers."""
    names = fraction_names().get(int(bottom))
    if not names or not 0 < int(top) < int(bottom):
        return f"{whole(top)} over {whole(bottom)}"
    return f"{whole(top)} {names[int(top) > 1].replace(' ', '-')}"
