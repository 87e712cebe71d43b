"""``tapehand print``: mark sheet, cut list and wrap-around templates, written as PDF."""

from __future__ import annotations

import argparse
import sys
from fractions import Fraction
from pathlib import Path

from assistant import settings
from assistant.board.opening import NamesOnDemand, open_board
from assistant.board.port import Board
from assistant.cli.printed import EXIT_STATUS, as_text
from assistant.desk import Desk
from assistant.errors import CannotPrint, Slip
from assistant.language.requests import Measure, Print, Sheet
from assistant.layout import template
from assistant.length import Length
from assistant.printing.paper import PAPERS, Paper
from assistant.printing.sheets import drawn
from assistant.printing.wrap import WrapTemplate, wrap_sheets
from assistant.session.answer import Answer
from assistant.session.events import Asked
from assistant.session.on_paper import PutOnPaper
from assistant.tape import Form
from assistant.whole import write_whole

__all__ = ["run"]

_SHEETS = {"marks": Sheet.MARKS, "cuts": Sheet.CUTS, "template": Sheet.TEMPLATE}


def run(options: argparse.Namespace) -> int:
    chosen, problems = settings.read(settings.settings_path(options.settings))
    for sentence in problems:
        print(f"tapehand: {sentence}", file=sys.stderr)
    paper = PAPERS[options.paper or chosen.paper]
    if options.sheet in _SHEETS:
        return _of_the_job(options, chosen, paper)
    try:
        wrap = _miter(options) if options.sheet == "miter" else _saddle(options)
    except Slip as slip:
        print(slip)
        return EXIT_STATUS["refused"]
    print(_written(wrap_sheets(wrap, paper), options.out or f"{options.sheet}-template.pdf"))
    return 0


class _OneFile:
    """A printer that writes the file that was named. ``failed`` is why it could not."""

    def __init__(self, paper: Paper, name: str) -> None:
        self._paper = paper
        self._name = name
        self.failed: CannotPrint | None = None

    def put(self, sheet: PutOnPaper) -> str:
        try:
            return _written(drawn(sheet, self._paper), self._name or f"{sheet.sheet.value.replace(' ', '-')}.pdf")
        except CannotPrint as error:
            self.failed = error
            raise


def _of_the_job(options: argparse.Namespace, chosen: settings.Settings, paper: Paper) -> int:
    """Print what comes of requests in words, one after another; without any, the job as it stands on the bench."""
    address = settings.board_address(options.board)
    board: Board = NamesOnDemand(address) if options.words else open_board(address)
    printer = _OneFile(paper, options.out or "")
    requests = options.words if options.sheet == "cuts" else [" ".join(options.words)][: len(options.words)]
    try:
        answer = _asked(Desk(chosen, board, printer=printer), requests, Print(_SHEETS[options.sheet]))
    finally:
        board.close()
    if printer.failed:
        raise printer.failed
    for line in as_text(answer) if EXIT_STATUS[answer.status] else [answer.say]:
        print(line)
    return EXIT_STATUS[answer.status]


def _asked(desk: Desk, requests: list[str], sheet: Print) -> Answer:
    """The first answer that is none, or else that to the sheet."""
    for words in requests:
        answer = desk.ask(words)
        if EXIT_STATUS[answer.status]:
            return answer
    return desk.answer(Asked(sheet, f"print the {sheet.sheet.value}"))


def _miter(options: argparse.Namespace) -> WrapTemplate:
    outside, turn, pieces = _size(options.outside), _degrees(options.turn), options.pieces
    result = template.pipe_miter(outside, turn=turn, pieces=pieces)
    title = f"Miter on {outside.length} outside, {pieces} pieces, {options.turn} degrees."
    return WrapTemplate(title, template.pipe_miter_wrap(outside, turn=turn, pieces=pieces), result.cautions)


def _saddle(options: argparse.Namespace) -> WrapTemplate:
    branch, header, degrees = _size(options.branch), _size(options.header), _degrees(options.degrees)
    result = template.saddle(branch, header, degrees=degrees)
    title = f"Saddle {branch.length} on {header.length}, {options.degrees} degrees. Point 1 is the longest."
    return WrapTemplate(title, template.saddle_wrap(branch, header, degrees=degrees), result.cautions)


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


def _written(pdf: bytes, name: str) -> str:
    try:
        write_whole(Path(name), pdf)
    except OSError as error:
        raise CannotPrint(f"{name} cannot be written: {error.strerror}. Choose another with --out.") from None
    return f"{name} is ready to print."
