"""``tapehand ask`` and ``tapehand keys``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator

from assistant import settings
from assistant.board.opening import NamesOnDemand
from assistant.cli.printed import EXIT_STATUS, as_json, as_text
from assistant.desk import LONGEST_REQUEST, Desk
from assistant.errors import Slip
from assistant.printing.printer import ToFolder
from assistant.session.answer import Answer

__all__ = ["ask", "keys", "opened_desk"]


def ask(options: argparse.Namespace) -> int:
    """One request in words, or one a line from standard input as one conversation."""
    desk = opened_desk(options)
    if options.words == ["-"]:
        for line in _lines():
            if line.strip():
                _print([desk.ask(line.strip())], options.json)
        return 0
    return _print([desk.ask(" ".join(options.words))], options.json)


def _lines() -> Iterator[str]:
    """The lines of standard input. One without an end is read past, not into memory."""
    while line := sys.stdin.readline(LONGEST_REQUEST):
        yield line
        while line and not line.endswith("\n"):
            line = sys.stdin.readline(LONGEST_REQUEST)


def keys(options: argparse.Namespace) -> int:
    """One or more requests in key presses."""
    text = "".join(options.keys)
    try:
        return _print(opened_desk(options).keys(text), options.json)
    except Slip as slip:
        return _print([Answer(text, "refused", str(slip))], options.json)


def opened_desk(options: argparse.Namespace) -> Desk:
    """A conversation with the settings and the names on the board; what is wrong with either is told."""
    chosen, problems = settings.read(settings.settings_path(options.settings))
    board = NamesOnDemand(settings.board_address(options.board))
    desk = Desk(chosen, board, printer=ToFolder(settings.sheets_folder(chosen), chosen.paper))
    for sentence in [*problems, board.notice]:
        if sentence:
            print(f"tapehand: {sentence}", file=sys.stderr)
    return desk


def _print(answers: Iterable[Answer], as_objects: bool) -> int:
    """Print answers as they come. The exit status of the last one."""
    status = 0
    for answer in answers:
        for line in [as_json(answer)] if as_objects else as_text(answer):
            print(line, flush=True)
        status = EXIT_STATUS[answer.status]
    return status
