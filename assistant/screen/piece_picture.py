"""The piece to scale with all its marks, the one he is at lit, as SVG text. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.screen.svg import BLADE, INK, LIT, MUTED, PAPER, STEEL, Number, decimal, element, text

__all__ = ["PieceMark", "piece_picture"]

_HEIGHT = 190
_LEFT, _RIGHT = 40, 60
_BAR_TOP, _BAR_BOTTOM = 74, 124
_APART = 44
"""Units between two marks below which their numbers would run into each other."""


@dataclass(frozen=True, slots=True)
class PieceMark:
    inches: Fraction
    written: str
    """As the tape shows it."""


def piece_picture(
    length: Fraction, written: str, marks: Sequence[PieceMark] = (), lit: int | None = None, width: int = 1800
) -> str:
    """A bar of ``length`` inches with marks from its left end.

    Args:
        written: the length as it is written at the far end.
        marks: from the left end, in order. One past the bar makes the picture longer, not the bar.
        lit: which of them he is at, from 1.
        width: units across the whole picture.
    """
    longest = max([length, *(mark.inches for mark in marks)])
    scale = (width - _LEFT - _RIGHT) / longest if longest else Fraction(0)

    def x(inches: Fraction) -> Fraction:
        return _LEFT + inches * scale

    end = x(length)
    parts = [
        element("rect", x=_LEFT, y=_BAR_TOP, width=end - _LEFT, height=_BAR_BOTTOM - _BAR_TOP, fill=STEEL),
        element("line", x1=_LEFT, y1=_BAR_TOP - 22, x2=_LEFT, y2=_HEIGHT - 8, stroke=PAPER, stroke_width=6),
    ]
    numbered_to = Fraction(-_APART)
    beside = x(marks[lit - 1].inches) if lit else None
    for number, mark in enumerate(marks, start=1):
        at = x(mark.inches)
        room = at - numbered_to >= _APART and (beside is None or number == lit or abs(at - beside) >= _APART)
        if room:
            numbered_to = at
        parts += _mark(at, str(number) if room and len(marks) > 1 else "", number == lit)
    current = marks[lit - 1] if lit else None
    if current is not None:
        parts += _measured(_LEFT, x(current.inches), current.written, BLADE)
    else:
        parts += _measured(_LEFT, end, written, MUTED)
    spoken = f"Piece {written}" + (f", {len(marks)} marks" if len(marks) > 1 else "")
    return element(
        "svg",
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width} {_HEIGHT}",
        role="img",
        aria_label=spoken + (f", at mark {lit}" if lit and len(marks) > 1 else ""),
    )


def _mark(x: Fraction, number: str, lit: bool) -> Iterator[str]:
    color = LIT if lit else INK
    yield element("line", x1=x, y1=_BAR_TOP, x2=x, y2=_BAR_BOTTOM, stroke=color, stroke_width=10 if lit else 6)
    if lit:
        tip = f"{decimal(x)},{_BAR_TOP} {decimal(x - 20)},{_BAR_TOP - 32} {decimal(x + 20)},{_BAR_TOP - 32}"
        yield element("polygon", points=tip, fill=LIT, stroke=PAPER, stroke_width=3)
    if number:
        yield text(number, x, 36 if lit else _BAR_TOP - 12, 40 if lit else 32, PAPER if lit else MUTED)


def _measured(start: Number, end: Number, written: str, color: str) -> Iterator[str]:
    """A dimension line, arrows at both ends, with the length on it where there is room, else beside it."""
    y = 158
    yield element("line", x1=start, y1=y, x2=end, y2=y, stroke=color, stroke_width=4)
    for tip, back in ((start, 16), (end, -16)):
        points = f"{decimal(tip)},{y} {decimal(tip + back)},{y - 9} {decimal(tip + back)},{y + 9}"
        yield element("polygon", points=points, fill=color)
    wide = 26 * len(written) + 24
    if end - start > wide + 60:
        middle = (start + end) / Fraction(2)
        yield element("rect", x=middle - Fraction(wide, 2), y=y - 26, width=wide, height=52, fill=INK)
        yield text(written, middle, y + 15, 42, color)
    else:
        yield text(written, end + 20, y + 15, 42, color, "start")
