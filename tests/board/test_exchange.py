"""Out as JSON and in again: nothing is lost, nothing is overwritten, and only our own files are taken."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from assistant.board.exchange import exported, imported
from assistant.board.sqlite import SqliteBoard
from assistant.errors import BoardError, BoardTooNew
from assistant.session.job import Job
from tests.board.jobs import LEG, RAIL, THIRD, with_piece


def filled(path: Path) -> SqliteBoard:
    board = SqliteBoard(path)
    board.save(with_piece("1", ("leg", LEG)), ())
    board.save(Job(kept=(("leg", LEG),)), ())
    second = (
        Job(kept=(("leg", LEG),)),
        with_piece("2", ("leg", LEG), ("rail", RAIL)),
        with_piece("2", ("rail", RAIL)),
    )
    for depth in (1, 2):
        board.save(second[depth], second[:depth])
    return board


def test_the_file_reads_as_it_says(tmp_path: Path) -> None:
    board = filled(tmp_path / "a.db")
    document = exported(board)
    board.close()
    assert (document["tapehand"], document["version"]) == ("board", 1)
    assert [(n["name"], n["exact"], n["tape"], n["done"] is None) for n in document["names"]] == [
        ("leg", "429/8", "53 5/8", False),
        ("rail", "895/16", "4'-7 15/16\"", True),
    ]
    assert [job["ended"] is None for job in document["jobs"]] == [False, True]


def test_everything_comes_back_on_a_new_board(tmp_path: Path) -> None:
    board = filled(tmp_path / "a.db")
    document = json.loads(json.dumps(exported(board)))
    other = SqliteBoard(tmp_path / "b.db")
    assert imported(other, document) == []
    assert exported(other) == document
    assert other.load() == board.load()
    assert imported(other, document) == []
    assert exported(other) == document
    other.close()
    board.close()


def test_a_name_that_stands_for_something_else_is_left_and_told(tmp_path: Path) -> None:
    board = filled(tmp_path / "a.db")
    document = exported(board)
    board.close()
    other = SqliteBoard(tmp_path / "b.db")
    here = with_piece("9", ("rail", THIRD))
    other.save(here, ())
    assert imported(other, document) == ['"rail" is on this board already and was left as it is.']
    assert dict(other.names()) == {"rail": THIRD}
    other.close()
    again = SqliteBoard(tmp_path / "b.db")
    assert again.load() == (here, ())
    again.close()


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda d: [], id="a list"),
        pytest.param(lambda d: {}, id="nothing"),
        pytest.param(lambda d: d | {"names": None}, id="no names"),
        pytest.param(lambda d: d | {"names": [{}]}, id="an empty name"),
        pytest.param(lambda d: d | {"names": [d["names"][0] | {"record": {"length": "5/8"}}]}, id="a length"),
        pytest.param(lambda d: d | {"names": [d["names"][0] | {"record": {"length": "1/0"}}]}, id="over nothing"),
        pytest.param(lambda d: d | {"names": [d["names"][0] | {"name": 5}]}, id="a number for a name"),
        pytest.param(lambda d: d | {"names": [d["names"][0] | {"kept": "noon"}]}, id="no time"),
        pytest.param(lambda d: d | {"jobs": [{"begun": "2026-01-01", "ended": None, "states": [{}]}]}, id="job"),
        pytest.param(lambda d: d | {"version": "1"}, id="version in words"),
    ],
)  # fmt: skip
def test_anything_else_is_refused_and_changes_nothing(tmp_path: Path, change: object) -> None:
    board = filled(tmp_path / "a.db")
    document = exported(board)
    with pytest.raises(BoardError):
        imported(board, change(json.loads(json.dumps(document))))  # type: ignore[operator]
    assert exported(board) == document
    board.close()


def test_a_newer_export_is_refused(tmp_path: Path) -> None:
    board = SqliteBoard(tmp_path / "a.db")
    with pytest.raises(BoardTooNew):
        imported(board, {"tapehand": "board", "version": 2, "names": [], "jobs": []})
    board.close()


def test_exact_in_the_file_is_the_fraction(tmp_path: Path) -> None:
    board = SqliteBoard(tmp_path / "a.db")
    board.save(Job(kept=(("third", THIRD),)), ())
    (name,) = exported(board)["names"]
    board.close()
    assert Fraction(name["exact"]) == THIRD.length.inches
