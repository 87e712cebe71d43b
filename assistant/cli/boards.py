"""``tapehand board``: list, export, import."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from assistant import settings
from assistant.board.exchange import exported, imported
from assistant.board.opening import courier_of, open_board
from assistant.board.sqlite import SqliteBoard
from assistant.errors import BoardError
from assistant.tape import written
from assistant.whole import write_whole

__all__ = ["run"]

LARGEST_IMPORT = 100_000_000
"""Bytes: a hundred thousand names take about thirty million."""


def run(options: argparse.Namespace) -> int:
    address = settings.board_address(options.board)
    board = open_board(address, jobs=False)
    courier = courier_of(board, address)
    try:
        for sentence in (board.notice, courier.exchange() if courier else ""):
            if sentence:
                print(f"tapehand: {sentence}", file=sys.stderr)
        match options.action:
            case "list":
                _list(board, options.json)
            case "export":
                _export(board, options.file)
            case "import":
                _import(board, options.file)
                if courier:
                    courier.exchange()
    finally:
        if courier:
            courier.close()
        board.close()
    return 0


def _list(board: SqliteBoard, as_objects: bool) -> None:
    names = board.names()
    for name, measure in names:
        mark = written(measure.length, measure.form)
        if as_objects:
            print(json.dumps({"name": name, "exact": str(measure.length.inches), "tape": mark}))
        else:
            print(f"{name}  {mark}")
    if not names and not as_objects:
        print("Nothing on the board.")


def _export(board: SqliteBoard, file: str) -> None:
    text = json.dumps(exported(board), indent=1) + "\n"
    if file == "-":
        print(text, end="")
        return
    try:
        write_whole(Path(file), text.encode())
    except OSError as error:
        raise BoardError(f"Cannot write {file}: {error.strerror}. Name another place.") from None


def _import(board: SqliteBoard, file: str) -> None:
    try:
        if file == "-":
            text = sys.stdin.read(LARGEST_IMPORT + 1)
        else:
            with Path(file).open(encoding="utf-8") as opened:
                text = opened.read(LARGEST_IMPORT + 1)
        if len(text) > LARGEST_IMPORT:
            raise BoardError(f"{file} is too big to be a board. Nothing was changed.")
        document = json.loads(text)
    except OSError as error:
        raise BoardError(f"Cannot read {file}: {error.strerror}. Check the name.") from None
    except (ValueError, RecursionError):
        raise BoardError(f"{file} is not a board that Tapehand exported. Nothing was changed.") from None
    for sentence in imported(board, document):
        print(sentence)
