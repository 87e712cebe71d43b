"""Saved before it is confirmed, and never confirmed when it was not."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from assistant.board import sqlite
from assistant.board.keeper import Keeper
from assistant.board.opening import BoardLater, NamesOnDemand, board_path, open_board
from assistant.board.sqlite import SqliteBoard
from assistant.errors import BoardError, BoardLocked
from assistant.language.requests import Center, Done, Keep
from assistant.session.answer import Answer
from assistant.session.effects import Effect, Listen, Save, Say, Show, Sound
from assistant.session.job import Job
from assistant.settings import BoardAddress
from tests.board.jobs import LEG, RAIL, with_piece

CENTER = Answer("center", "answer", "Twenty-six and thirteen sixteenths.", request=Center())
KEPT = Answer("keep that as leg", "done", "Leg: fifty-three and five eighths.", request=Keep("leg"))
JOB = with_piece("53 5/8", ("leg", LEG))
LOCKED = "Another program is holding the board"


def effects(answer: Answer, job: Job | None = JOB, history: tuple[Job, ...] = ()) -> list[Effect]:
    save: list[Effect] = [Save(job, history)] if job else []
    return [*save, Show(answer), Sound("got-it"), Say(answer.say), Listen("request", True)]


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sqlite, "LOCK_SECONDS", 0.05)
    return tmp_path / "board.db"


class Lock:
    """The database held by another connection, as another program holds it."""

    def __init__(self, path: Path) -> None:
        self._raw = sqlite3.connect(path, isolation_level=None)

    def __enter__(self) -> None:
        self._raw.execute("BEGIN EXCLUSIVE")

    def __exit__(self, *_: object) -> None:
        self._raw.close()


def test_it_is_on_disk_and_the_rest_is_handed_on(path: Path) -> None:
    board = SqliteBoard(path)
    assert Keeper(board).carried_out(effects(KEPT)) == effects(KEPT, None)
    board.close()
    again = SqliteBoard(path)
    assert again.load() == (JOB, ())
    again.close()


def test_keeping_is_refused_when_it_is_not_on_disk(path: Path) -> None:
    board = SqliteBoard(path)
    with Lock(path):
        show, sound, say, listen = Keeper(board).carried_out(effects(KEPT))
    assert isinstance(show, Show)
    assert (show.answer.status, show.answer.heard) == ("refused", KEPT.heard)
    assert show.answer.say.startswith(LOCKED)
    assert say == Say(show.answer.say)
    assert (sound, listen) == (Sound("error"), Listen("request", True))
    board.close()


def test_done_is_refused_too(path: Path) -> None:
    board = SqliteBoard(path)
    with Lock(path):
        show, *_ = Keeper(board).carried_out(effects(Answer("", "done", "Done.", request=Done("leg"))))
    assert isinstance(show, Show)
    assert show.answer.status == "refused"
    board.close()


def test_any_other_answer_is_given_and_the_trouble_told_once(path: Path) -> None:
    board = SqliteBoard(path)
    keeper = Keeper(board)
    with Lock(path):
        show, _, say, _ = keeper.carried_out(effects(CENTER))
        assert isinstance(show, Show)
        assert isinstance(say, Say)
        assert show.answer.status == "answer"
        assert show.answer.say == say.text
        assert say.text.startswith(f"{CENTER.say} {LOCKED}")
        assert keeper.carried_out(effects(CENTER)) == effects(CENTER, None)
    board.close()


def test_what_could_not_be_saved_goes_along_with_the_next_answer(path: Path) -> None:
    board = SqliteBoard(path)
    keeper = Keeper(board)
    with Lock(path):
        keeper.carried_out(effects(KEPT))
    keeper.carried_out(effects(CENTER, None))
    board.close()
    again = SqliteBoard(path)
    assert again.load() == (JOB, ())
    again.close()


def test_a_desk_makes_no_file_until_there_is_a_name(path: Path) -> None:
    desk = NamesOnDemand(BoardAddress(str(path)))
    assert desk.load() == (Job(), ())
    desk.save(with_piece("1"), (Job(),))
    assert not path.exists()
    desk.save(JOB, (Job(), with_piece("1")))
    desk.close()
    again = NamesOnDemand(BoardAddress(str(path)))
    assert again.load() == (Job(kept=(("leg", LEG),)), ())
    again.save(Job(kept=(("leg", LEG), ("rail", RAIL))), (Job(kept=(("leg", LEG),)),))
    again.close()
    board = open_board(BoardAddress(str(path)))
    assert dict(board.names()) == {"leg": LEG, "rail": RAIL}
    board.close()


def test_a_desk_at_a_board_that_cannot_be_opened(path: Path) -> None:
    SqliteBoard(path).close()
    desk = NamesOnDemand(BoardAddress(str(path)))
    with Lock(path):
        assert desk.load() == (Job(), ())
        assert desk.notice.startswith(LOCKED)
        desk.save(with_piece("1"), ())
        with pytest.raises(BoardLocked):
            desk.save(JOB, ())
    desk.save(JOB, ())
    desk.close()


@pytest.mark.parametrize(
    ("address", "path"),
    [
        ("board.db", "board.db"),
        ("/a/b.db", "/a/b.db"),
        ("sqlite:///b.db", "b.db"),
        ("sqlite:////a/b.db", "/a/b.db"),
        ("sqlite+pysqlite:////a/b.db", "/a/b.db"),
    ],
)
def test_addresses(address: str, path: str) -> None:
    assert board_path(address) == Path(path)  # SQLAlchemy's forms, docs: Engine Configuration, SQLite


@pytest.mark.parametrize("address", ["postgresql://bench/board", "sqlite://", "http://x/y"])
def test_addresses_of_other_databases(address: str) -> None:
    with pytest.raises(BoardError, match=r"cannot be kept in a \w+ database"):
        board_path(address)


def test_a_board_that_could_not_be_opened_is_there_as_soon_as_it_can_be(path: Path) -> None:
    first = SqliteBoard(path)
    first.save(Job(kept=(("rail", RAIL),)), ())
    first.close()
    opened: list[SqliteBoard] = []
    board = BoardLater(BoardAddress(str(path)))
    board.opened = opened.append
    keeper = Keeper(board)
    with Lock(path):
        assert board.load() == (Job(), ())
        show = keeper.carried_out(effects(KEPT))[0]
        assert isinstance(show, Show)
        assert show.answer.status == "refused"  # nothing is confirmed that is not on disk
        assert not opened
    assert keeper.carried_out(effects(KEPT)) == effects(KEPT, None)
    assert len(opened) == 1
    assert keeper.moved  # the names that stood there already
    changed = keeper.board_changed()
    assert changed is not None
    assert (changed.taken, changed.added) == ((), (("rail", RAIL),))
    board.close()
    again = SqliteBoard(path)
    assert dict(again.names()) == {"rail": RAIL, "leg": LEG}
    again.close()
