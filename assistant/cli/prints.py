"""``tapehand print``: mark sheet and wrap-around templates, written as PDF."""

from __future__ import annotations

import argparse
import sys
from fractions import Fraction
from pathlib import Path

from assistant import settings
from assistant.board.opening import open_board
from assistant.cli.asking import opened_desk
from assistant.cli.printed import EXIT_STATUS, as_text
from assistant.desk import Desk
from assistant.enclosure import Size
from assistant.errors import Slip, TapehandError
from assistant.language.requests import Measure
from assistant.layout import template
from assistant.layout.result import Result
from assistant.length import Length
from assistant.printing.mark_sheet import mark_sheet
from assistant.printing.paper import PAPERS
from assistant.printing.wrap import WrapTemplate, wrap_sheets
from assistant.session.answer import Answer
from assistant.session.events import Started
from assistant.tape import Form
from assistant.whole import write_whole

__all__ = ["run"]

_CURVE_POINTS = 12 * template.POINTS
"""Around a template: a fifth of an inch apart on a twelve-inch pipe, where a straight line is the curve to the eye."""


class CannotWrite(TapehandError):
    """The PDF cannot be written."""


def run(options: argparse.Namespace) -> int:
    paper = PAPERS[options.paper]
    if options.sheet == "marks":
        answer = _asked(options)
        if EXIT_STATUS[answer.status] or not (answer.marks or answer.values):
            for line in as_text(answer):
                print(line)
            return EXIT_STATUS[answer.status] or EXIT_STATUS["refused"]
        return _written(mark_sheet(answer, answer.say, paper), options.out or "mark-sheet.pdf")
    try:
        wrap = _miter(options) if options.sheet == "miter" else _saddle(options)
    except Slip as slip:
        print(slip)
        return EXIT_STATUS["refused"]
    return _written(wrap_sheets(wrap, paper), options.out or f"{options.sheet}-template.pdf")


def _asked(options: argparse.Namespace) -> Answer:
    """What is to be printed: a request in words, or the job as it stands on the bench."""
    if options.words:
        return opened_desk(options).ask(" ".join(options.words))
    chosen, problems = settings.read(settings.settings_path(options.settings))
    for sentence in problems:
        print(f"tapehand: {sentence}", file=sys.stderr)
    board = open_board(settings.board_address(options.board))
    try:
        answer = Desk(chosen, board).answer(Started())
    finally:
        board.close()
    if answer.marks or answer.values:
        return answer
    return Answer("", "refused", 'There is nothing on the bench. Say what to print: "center of 53 5/8".')


def _miter(options: argparse.Namespace) -> WrapTemplate:
    outside, turn = _size(options.outside), _degrees(options.turn)
    result = template.pipe_miter(outside, turn=turn, pieces=options.pieces)
    cut = turn / (2 * (options.pieces - 1))
    heights = template.pipe_miter_curve(outside.length, cut, _CURVE_POINTS)
    title = f"Miter on {outside.length} outside, {options.pieces} pieces, {options.turn} degrees."
    return _wrap(title, result, heights)


def _saddle(options: argparse.Namespace) -> WrapTemplate:
    branch, header, degrees = _size(options.branch), _size(options.header), _degrees(options.degrees)
    result = template.saddle(branch, header, degrees=degrees)
    drops = template.saddle_curve(branch.length, header.length, min(degrees, 180 - degrees), _CURVE_POINTS)
    deepest = max(_rounded(drop) for drop in drops)
    heights = tuple(Length(deepest - _rounded(drop)) for drop in drops)
    title = f"Saddle {branch.length} on {header.length}, {options.degrees} degrees. Point 1 is the longest."
    return _wrap(title, result, heights)


def _wrap(title: str, result: Result, heights: tuple[Size, ...]) -> WrapTemplate:
    around = next(value.amount for value in result.values if value.name == "around")
    assert not isinstance(around, (Fraction, int))
    return WrapTemplate(title, around, heights, template.POINTS, result.cautions)


def _rounded(size: Size) -> Fraction:
    return size.inches if isinstance(size, Length) else size.rounded(6)


def _size(text: str) -> Measure:
    try:
        return Measure(Length(text), form=Form.INCHES)
    except (ValueError, ZeroDivisionError):
        raise Slip(f"{text} is no size. Write it as 6 5/8 or 6.625.") from None


def _degrees(text: str) -> Fraction:
    try:
        return Fraction(text)
    except (ValueError, ZeroDivisionError):
        raise Slip(f"{text} is no angle. Write it in degrees, as 45 or 22.5.") from None


def _written(pdf: bytes, name: str) -> int:
    try:
        write_whole(Path(name), pdf)
    except OSError as error:
        raise CannotWrite(f"{name} cannot be written: {error.strerror}. Choose another with --out.") from None
    print(f"{name} is ready to print.")
    return 0
