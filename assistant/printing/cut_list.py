"""The cut list: every stick drawn to scale, its cuts in order with a running mark each, and the drop."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from assistant.layout.sticks import CutStick, Nest
from assistant.length import Length
from assistant.printing.paper import LETTER, Paper, Sheets, broken
from assistant.tape import MILLIMETERS, SIXTEENTHS, Form, Lean, Tape, read, written

__all__ = ["cut_list"]

_ROW = Fraction(3, 10)
_BAR = Fraction(2, 5)


def cut_list(
    nest: Nest,
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
    y -= Fraction(1, 4)
    for line in broken(_every_stick(nest, form), 12, paper.width - 2 * paper.margin):
        sheets.text(line, paper.margin, y, 12, bold=False)
        y -= Fraction(1, 5)
    longest = max(stick.stock.inches for stick in nest.sticks)
    for number, stick in enumerate(nest.sticks, start=1):
        if y - _height(stick) < paper.margin and y < top - 1:
            sheets.next_page()
            y = top
        y = _stick(sheets, stick, nest, number, y - Fraction(1, 4), longest, tape, form)
    for caution in cautions:
        for line in broken(f"! {caution}", 12, paper.width - 2 * paper.margin):
            if y < paper.margin + _ROW:
                sheets.next_page()
                y = top
            y -= _ROW
            sheets.text(line, paper.margin, y, 12)
    return sheets.finished()


def _every_stick(nest: Nest, form: Form) -> str:
    """What holds for all of them, so that nobody leaves it out or allows for it twice."""
    words = "Marks are from the squared end."
    if nest.trim:
        words += f" Trim {_exactly(nest.trim, form)} off first to square it: shown black."
    if nest.kerf:
        words += f" The kerf of {_exactly(nest.kerf, form)} is in the marks."
    if nest.useful:
        words += f" A drop shorter than {_exactly(nest.useful, form)} is scrap, the others are offcuts to keep."
    return words


def _height(stick: CutStick) -> Fraction:
    return Fraction(3, 2) + len(stick.pieces) * _ROW


def _stick(
    sheets: Sheets,
    stick: CutStick,
    nest: Nest,
    number: int,
    y: Fraction,
    longest: Fraction,
    tape: Tape,
    form: Form,
) -> Fraction:
    paper = sheets.paper
    wide = paper.width - 2 * paper.margin
    top = paper.height - paper.margin
    y -= Fraction(1, 4)
    sheets.text(f"Stick {number}: {_said(stick.stock, tape, form)}", paper.margin, y, 14)
    y -= _BAR + Fraction(1, 10)

    def x(inches: Fraction) -> Fraction:
        """A place on the stick, from the end that is cut off to square it."""
        return paper.margin + inches / longest * wide

    sheets.box(x(Fraction(0)), y, x(stick.stock.inches) - x(Fraction(0)), _BAR)
    start = nest.trim.inches
    if start:
        sheets.box(x(Fraction(0)), y, x(start) - x(Fraction(0)), _BAR, gray=0)
    for order, mark in enumerate(stick.marks, start=1):
        end = nest.trim.inches + mark.inches
        sheets.box(x(start), y, x(end) - x(start), _BAR, gray=0.85)
        sheets.text(str(order), (x(start) + x(end)) / 2, y + _BAR / 3, 11, anchor="middle")
        start = end + nest.kerf.inches
    for order, (piece, mark) in enumerate(zip(stick.pieces, stick.marks, strict=True), start=1):
        if y < paper.margin + _ROW:
            sheets.next_page()
            y = top
        y -= _ROW
        sheets.box(paper.margin, y - Fraction(1, 24), Fraction(1, 5), Fraction(1, 5))
        sheets.text(str(order), paper.margin + Fraction(1, 2), y, 14, bold=False, anchor="end")
        sheets.text(_said(piece, tape, form), paper.margin + Fraction(7, 10), y, 14)
        sheets.text(f"mark {_said(mark, tape, form)}", paper.width - paper.margin, y, 14, anchor="end")
    y -= _ROW
    left = nest.left_of(stick).capitalize()
    sheets.text(f"{left} {_said(stick.drop, tape, form)}", paper.margin + Fraction(7, 10), y, 12, bold=False)
    return y


def _exactly(length: Length, form: Form) -> str:
    """A size that is no mark on a tape, as it was given."""
    return written(length, Form.MILLIMETERS) if form is Form.MILLIMETERS else f'{length}"'


def _said(length: Length, tape: Tape, form: Form) -> str:
    if Form.MILLIMETERS is form or tape is MILLIMETERS:
        tape, form = MILLIMETERS, Form.MILLIMETERS
    reading = read(length, tape)
    return written(reading.mark, form) + ("" if reading.lean is Lean.ON else f" {reading.lean.value}")
