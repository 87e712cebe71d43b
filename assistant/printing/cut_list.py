"""The cut list: every stick drawn to scale, its cuts in order with a running mark each, and the drop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.length import Length
from assistant.printing.paper import LETTER, Paper, Sheets, broken
from assistant.tape import SIXTEENTHS, Form, Lean, Tape, read, written

__all__ = ["Piece", "Stick", "cut_list"]

_ROW = Fraction(3, 10)
_BAR = Fraction(2, 5)


@dataclass(frozen=True, slots=True)
class Piece:
    name: str
    """Empty where it has none."""
    length: Length


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick of stock, squared at the end it is measured from."""

    length: Length
    """What can be used of it."""
    pieces: tuple[Piece, ...]
    """In the order they are cut."""
    kerf: Length

    def marks(self) -> tuple[Length, ...]:
        """Where each cut is made: to the end of its piece from the squared end, with the kerfs before it in it."""
        found: list[Length] = []
        at = Length(0)
        for piece in self.pieces:
            at = at + piece.length
            found.append(at)
            at = at + self.kerf
        return tuple(found)

    @property
    def drop(self) -> Length:
        """What is left after the last kerf; nothing where the last piece ends the stick."""
        left = self.length - (self.marks()[-1] if self.pieces else Length(0))
        return max(left - self.kerf, Length(0)) if self.pieces else left


def cut_list(
    sticks: Sequence[Stick],
    title: str,
    cautions: Sequence[str] = (),
    tape: Tape = SIXTEENTHS,
    form: Form = Form.FEET,
    paper: Paper = LETTER,
) -> bytes:
    """Sticks as a PDF, all to one scale. Two that are cut the same are drawn each: each is checked off."""
    sheets = Sheets(paper, title)
    top = paper.height - paper.margin
    y = top
    for line in broken(title, 16, paper.width - 2 * paper.margin):
        y -= Fraction(1, 4)
        sheets.text(line, paper.margin, y, 16)
    longest = max((stick.length.inches for stick in sticks), default=Fraction(1))
    for number, stick in enumerate(sticks, start=1):
        if y - _height(stick) < paper.margin and y < top - 1:
            sheets.next_page()
            y = top
        y = _stick(sheets, stick, number, y - Fraction(1, 4), longest, tape, form)
    for caution in cautions:
        for line in broken(f"! {caution}", 12, paper.width - 2 * paper.margin):
            if y < paper.margin + _ROW:
                sheets.next_page()
                y = top
            y -= _ROW
            sheets.text(line, paper.margin, y, 12)
    return sheets.finished()


def _height(stick: Stick) -> Fraction:
    return Fraction(3, 2) + len(stick.pieces) * _ROW


def _stick(
    sheets: Sheets, stick: Stick, number: int, y: Fraction, longest: Fraction, tape: Tape, form: Form
) -> Fraction:
    paper = sheets.paper
    left, wide = paper.margin, paper.width - 2 * paper.margin
    top = paper.height - paper.margin
    y -= Fraction(1, 4)
    sheets.text(f"Stick {number}: {_said(stick.length, tape, form)}", left, y, 14)
    y -= _BAR + Fraction(1, 10)
    sheets.box(left, y, stick.length.inches / longest * wide, _BAR)
    start = Fraction(0)
    for order, mark in enumerate(stick.marks(), start=1):
        x, end = (left + at / longest * wide for at in (start, mark.inches))
        sheets.box(x, y, end - x, _BAR, gray=0.85)
        sheets.text(str(order), (x + end) / 2, y + _BAR / 3, 11, anchor="middle")
        start = (mark + stick.kerf).inches
    for order, (piece, mark) in enumerate(zip(stick.pieces, stick.marks(), strict=True), start=1):
        if y < paper.margin + _ROW:
            sheets.next_page()
            y = top
        y -= _ROW
        sheets.box(left, y - Fraction(1, 24), Fraction(1, 5), Fraction(1, 5))
        sheets.text(str(order), left + Fraction(1, 2), y, 14, bold=False, anchor="end")
        sheets.text(f"{_said(piece.length, tape, form)}  {piece.name}".rstrip(), left + Fraction(7, 10), y, 14)
        sheets.text(f"mark {_said(mark, tape, form)}", paper.width - paper.margin, y, 14, anchor="end")
    y -= _ROW
    sheets.text(f"Drop {_said(stick.drop, tape, form)}", left + Fraction(7, 10), y, 12, bold=False)
    return y


def _said(length: Length, tape: Tape, form: Form) -> str:
    reading = read(length, tape)
    return written(reading.mark, form) + ("" if reading.lean is Lean.ON else f" {reading.lean.value}")
