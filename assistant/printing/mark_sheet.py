"""The mark sheet: the piece drawn, every mark from the datum, a box to check each off."""

from __future__ import annotations

from fractions import Fraction

from assistant.length import Length
from assistant.printing.paper import LETTER, Paper, Sheets, broken
from assistant.session.answer import Answer, ShownMark, ShownValue
from assistant.tape import MILLIMETERS, Form, Lean, form_of, read, written

__all__ = ["mark_sheet"]

_ROW = Fraction(1, 2)
_FIGURES, _WORDS = 24, 12
"""Points. A mark is read from arm's length and more."""


def mark_sheet(answer: Answer, title: str, paper: Paper = LETTER, datum: str = "") -> bytes:
    """The marks of an answer as a PDF; its values, where it has no marks.

    Args:
        title: what was asked, in words, as it was read back.
        datum: what the marks are measured from: "one end".
    """
    sheets = Sheets(paper, title)
    rows: list[ShownMark | ShownValue] = [*(answer.marks or answer.values)]
    page, left = 1, rows
    y = _headed(sheets, answer, title, page, datum)
    while left:
        if y < paper.margin + 2 * _ROW:
            sheets.next_page()
            page += 1
            y = _headed(sheets, answer, title, page, datum)
        _row(sheets, left[0], y)
        left = left[1:]
        y -= _ROW
    _cautions(sheets, answer, y)
    return sheets.finished()


def _headed(sheets: Sheets, answer: Answer, title: str, page: int, datum: str) -> Fraction:
    """Title, what the marks are from and, on the first page, the piece. Returns the line of the first row."""
    paper = sheets.paper
    wide = paper.width - 2 * paper.margin
    y = paper.height - paper.margin
    for line in broken(title if page == 1 else f"{title} - page {page}", 16, wide):
        y -= Fraction(1, 4)
        sheets.text(line, paper.margin, y, 16)
    if datum and answer.marks:
        y -= Fraction(1, 4)
        sheets.text(f"All marks from {datum}.", paper.margin, y, _WORDS)
    length = _drawn_on(answer)
    if page == 1 and length is not None:
        y = _piece(sheets, answer, length, y - Fraction(1, 2))
    return y - Fraction(1, 2)


def _drawn_on(answer: Answer) -> Fraction | None:
    """Inches of what the marks are laid out on; where there are none the piece, when that is the answer."""
    if answer.marks:
        return answer.marks_on
    length = answer.piece.length.inches if answer.piece is not None else None
    return length if any(value.inches == length for value in answer.values) else None


def _piece(sheets: Sheets, answer: Answer, length: Fraction, top: Fraction) -> Fraction:
    paper = sheets.paper
    left, wide = paper.margin + Fraction(1, 4), paper.width - 2 * paper.margin - Fraction(1, 2)
    places = [_inches(mark) for mark in answer.marks]
    longest = max([length, *places]) or Fraction(1)
    high = Fraction(3, 8)
    bottom = top - high
    sheets.box(left, bottom, length / longest * wide, high, gray=0.85)
    sheets.line(left, bottom - Fraction(1, 8), left, top + Fraction(1, 8), 2.5)
    last = left - 1
    for number, place in enumerate(places, start=1):
        x = left + place / longest * wide
        sheets.line(x, bottom, x, top + Fraction(1, 16), 1.5)
        if x - last >= Fraction(1, 4):
            sheets.text(str(number), x, top + Fraction(1, 8), 9, anchor="middle")
            last = x
    form = form_of((answer.marks or answer.values)[0].tape)
    reading = read(Length(length), MILLIMETERS if form is Form.MILLIMETERS else answer.tape)
    sheets.text(f"Piece {written(reading.mark, form)}{_lean(reading.lean)}", left, bottom - Fraction(1, 4), _WORDS)
    sheets.text("hook here", left, top + Fraction(3, 8), 9, bold=False)
    return bottom - Fraction(1, 4)


def _row(sheets: Sheets, shown: ShownMark | ShownValue, y: Fraction) -> None:
    paper = sheets.paper
    left = paper.margin
    sheets.box(left, y - Fraction(1, 20), Fraction(3, 10), Fraction(3, 10))
    if isinstance(shown, ShownMark):
        sheets.text(str(shown.index), left + Fraction(4, 5), y, _FIGURES, bold=False, anchor="end")
    tape = shown.amount if isinstance(shown, ShownValue) and not shown.tape else f"{shown.tape}{_lean(shown.lean)}"
    sheets.text(tape, left + 1, y, _FIGURES)
    sheets.text(shown.beside, left + 4, y, _WORDS)
    exact = f"exactly {_mixed(shown)}" if shown.tape and shown.lean is not Lean.ON else ""
    notes = " - ".join(filter(None, (shown.name, exact)))
    sheets.text(notes, paper.width - paper.margin, y, _WORDS, bold=False, anchor="end")
    sheets.line(left, y - Fraction(1, 8), paper.width - paper.margin, y - Fraction(1, 8), 0.25)


def _cautions(sheets: Sheets, answer: Answer, y: Fraction) -> None:
    paper = sheets.paper
    lines = [
        line for caution in answer.cautions for line in broken(f"! {caution}", _WORDS, paper.width - 2 * paper.margin)
    ]
    if lines and y - len(lines) * Fraction(1, 5) < paper.margin:
        sheets.next_page()
        y = paper.height - paper.margin - Fraction(1, 4)
    for line in lines:
        sheets.text(line, paper.margin, y, _WORDS)
        y -= Fraction(1, 5)


def _inches(mark: ShownMark) -> Fraction:
    return mark.inches if mark.inches is not None else Fraction(mark.exact)


def _mixed(shown: ShownMark | ShownValue) -> str:
    if "/" not in shown.exact:
        return shown.exact
    whole, part = divmod(Fraction(shown.exact), 1)
    return f"{whole} {part}" if whole else str(part)


def _lean(lean: Lean) -> str:
    return "" if lean is Lean.ON else f" {lean.value}"
