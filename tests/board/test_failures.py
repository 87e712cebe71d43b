"""Power cuts, other programs, full, locked and damaged disks. All of them real."""

from __future__ import annotations

import contextlib
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.board import sqlite
from assistant.board.sqlite import SqliteBoard
from assistant.errors import BoardError, BoardLocked, BoardReadOnly, BoardTooNew, DiskFull
from assistant.session.job import Job
from tests.board.jobs import LEG, with_piece

_SAVES_WITHOUT_END = """
import sys
from pathlib import Path
from assistant.board.sqlite import SqliteBoard
from tests.board.jobs import with_piece
board = SqliteBoard(Path(sys.argv[1]))
job, history = board.load()
depth = len(history)
while True:
    history, job, depth = (*history, job), with_piece(str(depth + 1)), depth + 1
    board.save(job, history)
    print(depth, flush=True)
"""

_HOLDS_THE_DATABASE = """
import sqlite3, sys
raw = sqlite3.connect(sys.argv[1], isolation_level=None)
raw.execute("BEGIN EXCLUSIVE")
print("held", flush=True)
sys.stdin.read()
"""


def test_a_kill_at_any_instant_loses_nothing_that_was_confirmed(tmp_path: Path) -> None:
    path = tmp_path / "board.db"
    rng = random.Random(20260214)
    for _ in range(6):
        with subprocess.Popen(
            [sys.executable, "-c", _SAVES_WITHOUT_END, str(path)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            first = writer.stdout.readline()
            time.sleep(rng.uniform(0, 0.2))  # any instant at all, not a wait for something
            writer.send_signal(signal.SIGKILL)
            said = int([first, *writer.stdout.read().splitlines()][-1])
        board = SqliteBoard(path)
        job, history = board.load()
        board.close()
        assert not board.notice
        assert len(history) in (said, said + 1)  # the last one may be on disk and not yet confirmed
        assert [*history, job] == [Job(), *(with_piece(str(depth + 1)) for depth in range(len(history)))]


def test_locked_by_another_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sqlite, "LOCK_SECONDS", 0.05)
    path = tmp_path / "board.db"
    board = SqliteBoard(path)
    board.save(with_piece("1"), ())
    other = subprocess.Popen(
        [sys.executable, "-c", _HOLDS_THE_DATABASE, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        with pytest.raises(BoardLocked, match=r"Another program is holding the board"):
            board.save(with_piece("2"), (with_piece("1"),))
        with pytest.raises(BoardLocked):
            SqliteBoard(path)
    finally:
        other.communicate()
    board.save(with_piece("3"), (with_piece("1"), with_piece("2")))  # what could not be saved before goes along
    board.close()
    again = SqliteBoard(path)
    assert again.load() == (with_piece("3"), (with_piece("1"), with_piece("2")))
    again.close()


def fill_up(filler: Path) -> None:
    with filler.open("wb", buffering=0) as file, contextlib.suppress(OSError):
        while True:
            file.write(bytes(4096))


def test_disk_full(small_disk: Path) -> None:
    path = small_disk / "board.db"
    board = SqliteBoard(path)
    board.save(with_piece("1", ("leg", LEG)), ())
    filler = small_disk / "filler"
    fill_up(filler)
    many = tuple(with_piece(str(size), ("leg", LEG)) for size in range(1, 200))
    with pytest.raises(DiskFull, match=r"The disk is full\. Make room"):
        board.save(many[-1], many[:-1])
    with pytest.raises(DiskFull):
        SqliteBoard(small_disk / "another.db")
    filler.unlink()
    board.save(many[-1], many[:-1])
    board.close()
    again = SqliteBoard(path)
    assert again.load() == (many[-1], many[:-1])
    again.close()


def test_read_only_disk(small_disk: Path) -> None:
    path = small_disk / "board.db"
    board = SqliteBoard(path)
    board.save(with_piece("1"), ())
    board.close()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(BoardReadOnly, match=r"cannot be written"):
        SqliteBoard(path)
    with pytest.raises(BoardReadOnly):
        SqliteBoard(small_disk / "folder" / "new.db")


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BoardReadOnly, match=r"Name another place"):
        SqliteBoard(tmp_path / "file" / "board.db")


def test_a_folder_in_place_of_the_file(tmp_path: Path) -> None:
    with pytest.raises(BoardReadOnly):
        SqliteBoard(tmp_path)


def test_written_by_a_newer_version(tmp_path: Path) -> None:
    path = tmp_path / "board.db"
    SqliteBoard(path).close()
    raw = sqlite3.connect(path)
    raw.execute("PRAGMA user_version = 99")
    raw.close()
    with pytest.raises(BoardTooNew, match=r"newer Tapehand"):
        SqliteBoard(path)
    assert not list(tmp_path.glob("*damaged*"))


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "theirs.db"
    raw = sqlite3.connect(path)
    raw.execute("CREATE TABLE theirs (x)")
    raw.close()
    with pytest.raises(BoardError, match=r"another program's database"):
        SqliteBoard(path)
    raw = sqlite3.connect(path)
    assert raw.execute("SELECT name FROM sqlite_master").fetchall() == [("theirs",)]
    raw.close()


@pytest.mark.parametrize(
    "damage",
    [
        pytest.param(lambda old: b"\0" * 4096 + old[4096:], id="first page gone"),
        pytest.param(lambda old: old[:100] + b"\xff" * (len(old) - 100), id="all but the header gone"),
        pytest.param(lambda old: old[: len(old) // 2], id="cut in half"),
        pytest.param(lambda old: b"not a database at all, " * 300, id="something else"),
    ],
)
def test_a_damaged_file_is_moved_aside_and_told(tmp_path: Path, damage: object) -> None:
    path = tmp_path / "board.db"
    board = SqliteBoard(path)
    board.save(with_piece("1", ("leg", LEG)), ())
    board.close()
    broken = damage(path.read_bytes())  # type: ignore[operator]
    path.write_bytes(broken)
    board = SqliteBoard(path)
    (aside,) = tmp_path.glob("board.db.damaged-*")
    assert aside.read_bytes() == broken
    assert board.notice == f"The board was damaged. A new one is begun; the old one is kept as {aside}."
    assert board.load() == (Job(), ())
    board.save(with_piece("2"), ())
    board.close()


def test_a_job_that_cannot_be_read_leaves_the_names(tmp_path: Path) -> None:
    path = tmp_path / "board.db"
    board = SqliteBoard(path)
    board.save(Job(kept=(("leg", LEG),)), ())
    board.close()
    raw = sqlite3.connect(path)
    raw.execute('UPDATE states SET record = \'{"version": 1, "piece": {"is": "Nothing"}}\'')
    raw.commit()
    raw.close()
    board = SqliteBoard(path)
    assert board.load() == (Job(kept=(("leg", LEG),)), ())
    assert "cannot be read" in board.notice
    board.save(with_piece("1", ("leg", LEG)), ())
    board.close()
