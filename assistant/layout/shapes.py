"""Rolled shapes by their designation, out of the table of sizes."""

from __future__ import annotations

from assistant.errors import Slip
from assistant.layout import steps, tables
from assistant.layout.result import Exactly, Phrase, Quantity
from assistant.length import Length

__all__ = ["called", "find"]

_BY_SIZE = {"L": "angle", "HSS": "tube"}
"""Shapes that are called by their sizes, after them; the others by a letter, depth and pounds a foot."""
_SAME_AS = str.maketrans({"-": "", " ": "", "X": "x"})


def find(name: str) -> dict[str, str]:
    """The line of the table for a designation ("W8x31", "C4x5.4", "L2x2x1/4", "HSS4x4x1/4"); sizes in inches.

    Raises:
        Slip: where the table has no such shape.
    """
    wanted = name.upper().translate(_SAME_AS)
    for line in tables.rows("shapes"):
        if line["shape"].upper().translate(_SAME_AS) == wanted:
            return line
    letters, sizes = wanted.rstrip("x0123456789/."), name.lstrip("LWCHS ").replace("x", " by ")
    said = f"{sizes} {_BY_SIZE[letters]}" if letters in _BY_SIZE else f"{letters} {sizes}"
    raise Slip(f"I have no {said} in my table. Check the size.")


def called(line: dict[str, str]) -> Phrase:
    """A shape as the shop calls it: "W eight by ten", "four by four by a quarter tube"."""
    kind = line["kind"]
    parts = [Length(part.replace("-", " ")) for part in line["shape"].removeprefix(kind).split("x")]
    sizes: list[str | Quantity] = []
    for part in parts:
        sizes += [Exactly(part) if kind in _BY_SIZE else steps.about(part), " by "]
    return (*sizes[:-1], f" {_BY_SIZE[kind]}") if kind in _BY_SIZE else (f"{kind} ", *sizes[:-1])
