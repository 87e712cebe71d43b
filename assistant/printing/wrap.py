"""A wrap-around template at full size: cut it out, wrap it round the pipe, draw along its edge.

It is laid out flat and cut into tiles, a tile a page. Neighboring pages share a half-inch strip with a cross at each
end, so that they are laid one over the other cross on cross. A bar on every page, measured with the tape, shows that
the printer has not scaled it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.enclosure import Size
from assistant.layout.template import Wrap
from assistant.length import Length
from assistant.printing.paper import LETTER, Paper, Sheets, broken

__all__ = ["ACROSS_BAR", "UP_BAR", "WrapTemplate", "wrap_sheets"]

ACROSS_BAR, UP_BAR = Fraction(6), Fraction(4)
"""Inches of the check bars, along and across the paper."""
_SHARED = Fraction(1, 2)
_FOOT = Fraction(5, 4)
"""Kept at the bottom of a page for the check bar and the words, and below the template so that it can be held."""
_SIDE = Fraction(3, 8)
"""Kept at the left for the upright bar."""
_PLACES = 6
"""Decimals of an inch an irrational is drawn to: a hundredth of the width of the line."""


@dataclass(frozen=True, slots=True)
class WrapTemplate:
    title: str
    wrap: Wrap
    cautions: tuple[str, ...] = ()


def wrap_sheets(template: WrapTemplate, paper: Paper = LETTER) -> bytes:
    """The template as a PDF to be printed at full size."""
    paper = paper.turned
    sheets = Sheets(paper, template.title)
    around = _drawn(template.wrap.around)
    heights = [_drawn(height) for height in template.wrap.heights]
    base = Fraction(3, 4)  # of paper under the square line, to hold it by
    high = base + max(heights) + Fraction(1, 4)
    room = (paper.width - 2 * paper.margin - _SIDE, paper.height - 2 * paper.margin - _FOOT)
    columns, rows = (_tiles(size, space) for size, space in zip((around, high), room, strict=True))
    steps = (room[0] - _SHARED, room[1] - _SHARED)
    pages = [
        (column, row)
        for row in range(rows)
        for column in range(columns)
        if base + _highest(heights, around, column * steps[0], room[0]) >= row * steps[1]  # else it would be bare
    ]
    for number, (column, row) in enumerate(pages, start=1):
        if number > 1:
            sheets.next_page()
        at = (column * steps[0], row * steps[1])
        size = (min(room[0], around - at[0]), min(room[1], high - at[1]))
        _tile(sheets, template, at, size, around, heights, base)
        _crosses(sheets, at, size, (around, high))
        _foot(sheets, template, number, len(pages), column, row)
    return sheets.finished()


def _tiles(size: Fraction, space: Fraction) -> int:
    return 1 if size <= space else 1 + -int((space - size) // (space - _SHARED))


def _highest(heights: Sequence[Fraction], around: Fraction, start: Fraction, wide: Fraction) -> Fraction:
    """The highest point of the edge between two places around the pipe."""
    space = around / len(heights)
    first, last = int(start // space), -int(-min(start + wide, around) // space)
    return max(heights[n % len(heights)] for n in range(first, last + 1))


def _corner(paper: Paper) -> tuple[Fraction, Fraction]:
    return paper.margin + _SIDE, paper.margin + _FOOT


def _tile(
    sheets: Sheets,
    template: WrapTemplate,
    at: tuple[Fraction, Fraction],
    size: tuple[Fraction, Fraction],
    around: Fraction,
    heights: Sequence[Fraction],
    base: Fraction,
) -> None:
    """The part of the flat template from ``at``, clipped to ``size``."""
    left, bottom = _corner(sheets.paper)

    def on_page(x: Fraction, y: Fraction) -> tuple[Fraction, Fraction]:
        return left + x - at[0], bottom + y - at[1]

    def line(x1: Fraction, y1: Fraction, x2: Fraction, y2: Fraction, width: float, dashed: bool = False) -> None:
        sheets.line(*on_page(x1, y1), *on_page(x2, y2), width, dashed)

    sheets.canvas.saveState()
    clip = sheets.canvas.beginPath()
    clip.rect(*(float(72 * n) for n in (left, bottom, *size)))
    sheets.canvas.clipPath(clip, stroke=0)
    count = len(heights)
    curve = [(around * n / count, base + heights[n % count]) for n in range(count + 1)]
    sheets.polyline([on_page(x, y) for x, y in curve], 1.2)
    line(Fraction(0), base, around, base, 0.8)
    for seam in (Fraction(0), around):
        line(seam, Fraction(0), seam, curve[0][1], 1.2)
    line(Fraction(0), Fraction(0), around, Fraction(0), 1.2)
    spaces = template.wrap.spaces
    for n in range(spaces + 1):
        x, top = curve[n * count // spaces]
        line(x, base, x, top, 0.4, dashed=n % (spaces // 4 or 1) != 0)
        label = str(n % spaces + 1)
        near = x + Fraction(1, 16) if n < spaces else x - Fraction(1, 16)
        sheets.text(label, *on_page(near, base - Fraction(1, 5)), 10, anchor="start" if n < spaces else "end")
    sheets.canvas.restoreState()


def _crosses(
    sheets: Sheets, at: tuple[Fraction, Fraction], size: tuple[Fraction, Fraction], whole: tuple[Fraction, Fraction]
) -> None:
    """Crosses in the middle of each shared strip, at both of its ends."""
    left, bottom = _corner(sheets.paper)
    arm = Fraction(3, 16)
    half = _SHARED / 2

    def cross(x: Fraction, y: Fraction) -> None:
        sheets.line(left + x - arm, bottom + y, left + x + arm, bottom + y, 0.5)
        sheets.line(left + x, bottom + y - arm, left + x, bottom + y + arm, 0.5)

    across = [half] * (at[0] > 0) + [size[0] - half] * (at[0] + size[0] < whole[0])
    up = [half] * (at[1] > 0) + [size[1] - half] * (at[1] + size[1] < whole[1])
    for x in across:
        for y in (half, size[1] - half):
            cross(x, y)
    for y in up:
        for x in (half, size[0] - half):
            if x not in across:
                cross(x, y)


def _foot(sheets: Sheets, template: WrapTemplate, number: int, count: int, column: int, row: int) -> None:
    paper = sheets.paper
    left, bottom = paper.margin + _SIDE, paper.margin
    y = bottom + Fraction(1, 8)
    tick = Fraction(1, 10)
    sheets.line(left, y, left + ACROSS_BAR, y, 1)
    for x in (left, left + ACROSS_BAR):
        sheets.line(x, y - tick, x, y + tick, 0.4)
    sheets.text(
        f"Must measure {ACROSS_BAR} inches. If not, print again at 100 %.",
        left + Fraction(1, 8),
        y + Fraction(1, 12),
        9,
    )
    x = paper.margin + Fraction(1, 8)
    low = paper.margin + _FOOT
    sheets.line(x, low, x, low + UP_BAR, 1)
    for end in (low, low + UP_BAR):
        sheets.line(x - tick, end, x + tick, end, 0.4)
    sheets.text(f"{UP_BAR} in", x + Fraction(1, 8), low + Fraction(1, 8), 9)
    place = f"page {number} of {count}" + (f" - column {column + 1}, row {row + 1}" if count > 1 else "")
    sheets.text(place, paper.width - paper.margin, y, 10, anchor="end")
    words = " ".join([template.title, *template.cautions])
    for n, line in enumerate(broken(words, 10, paper.width - 2 * paper.margin - _SIDE)[:4]):
        sheets.text(line, left, bottom + Fraction(19, 20) - n * Fraction(1, 6), 10)


def _drawn(size: Size) -> Fraction:
    return size.inches if isinstance(size, Length) else size.rounded(_PLACES)
