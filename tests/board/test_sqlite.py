"""The board in a real file: what was saved is there again, whatever happened in between."""

from __future__ import annotations

import json
import queue
import sqlite3
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.board import log
from assistant.board.sqlite import SqliteBoard
from assistant.board.states import read
from assistant.errors import BoardError
from assistant.language.requests import Measure
from assistant.length import Length
from assistant.session.job import Job
from assistant.session.record import to_record
from tests.board.jobs import LEG, RAIL, THIRD, with_piece


def reopened(path: Path) -> tuple[Job, tuple[Job, ...]]:
    board = SqliteBoard(path)
    try:
        return board.load()
    finally:
        board.close()


def names_of(path: Path) -> dict[str, Measure]:
    board = SqliteBoard(path, jobs=False)
    try:
        return dict(board.names())
    finally:
        board.close()


def ever_kept(path: Path) -> list[Any]:
    board = SqliteBoard(path, jobs=False)
    try:
        return board.run(lambda connection: list(log.kept(connection)))
    finally:
        board.close()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "new folder" / "board.db"


def test_a_new_board_is_empty(path: Path) -> None:
    assert reopened(path) == (Job(), ())


def test_the_job_and_what_can_be_undone_come_back(path: Path) -> None:
    states = [with_piece("1"), with_piece("2"), with_piece("3", ("leg", LEG), ("rail", RAIL), ("third", THIRD))]
    board = SqliteBoard(path)
    for depth, job in enumerate(states):
        board.save(job, tuple(states[:depth]))
    board.close()
    assert reopened(path) == (states[2], tuple(states[:2]))


def test_it_goes_on_where_it_stood(path: Path) -> None:
    first = SqliteBoard(path)
    first.save(with_piece("1"), ())
    first.close()
    second = SqliteBoard(path)
    job, history = second.load()
    second.save(with_piece("2"), (*history, job))
    second.close()
    assert reopened(path) == (with_piece("2"), (with_piece("1"),))
    with sqlite3.connect(path) as raw:
        assert raw.execute("SELECT count(*) FROM jobs").fetchone() == (1,)
    raw.close()


def test_undo_to_any_depth(path: Path) -> None:
    states = tuple(with_piece(str(size)) for size in range(1, 6))
    board = SqliteBoard(path)
    for depth in range(len(states)):
        board.save(states[depth], states[:depth])
    for depth in (3, 1, 0):
        board.save(states[depth], states[:depth])
        assert reopened(path) == (states[depth], states[:depth])
    board.close()


def test_a_clean_start_ends_the_job_and_keeps_how_it_stood(path: Path) -> None:
    board = SqliteBoard(path)
    board.save(with_piece("1"), ())
    board.save(with_piece("2"), (with_piece("1"),))
    board.save(Job(), ())
    board.close()
    assert reopened(path) == (Job(), ())
    raw = sqlite3.connect(path)
    ended = raw.execute("SELECT record FROM states JOIN jobs ON job = id WHERE ended IS NOT NULL").fetchall()
    raw.close()
    assert [Job.from_dict(json.loads(record)) for (record,) in ended] == [with_piece("2")]


def test_lengths_are_written_as_exact_fractions(path: Path) -> None:
    board = SqliteBoard(path)
    board.save(Job(kept=(("leg", LEG), ("third", THIRD))), ())
    board.close()
    raw = sqlite3.connect(path)
    assert raw.execute("SELECT name, exact FROM events ORDER BY id").fetchall() == [
        ("leg", "429/8"),
        ("third", "193/3"),
    ]
    raw.close()


def test_what_is_done_leaves_the_board_and_its_record_stays(path: Path) -> None:
    board = SqliteBoard(path)
    kept = Job(kept=(("leg", LEG), ("rail", RAIL)))
    board.save(kept, ())
    board.save(replace(kept, kept=(("rail", RAIL),)), (kept,))
    assert board.names() == (("rail", RAIL),)
    board.close()
    assert [(row.name, row.done is not None) for row in ever_kept(path)] == [("leg", True), ("rail", False)]


def test_undoing_done_puts_the_name_back(path: Path) -> None:
    board = SqliteBoard(path)
    kept = Job(kept=(("leg", LEG),))
    board.save(kept, ())
    board.save(Job(), (kept,))
    board.save(kept, ())
    assert board.names() == (("leg", LEG),)
    board.close()


def test_undoing_keep_takes_the_name_away_and_leaves_nothing_done(path: Path) -> None:
    board = SqliteBoard(path)
    board.save(Job(), ())
    board.save(Job(kept=(("leg", LEG),)), (Job(),))
    board.save(Job(), ())
    board.close()
    assert ever_kept(path) == []


def test_undoing_a_name_kept_again_brings_the_older_value_back(path: Path) -> None:
    board = SqliteBoard(path)
    older, newer = Job(kept=(("leg", LEG),)), Job(kept=(("leg", RAIL),))
    board.save(older, ())
    board.save(newer, (older,))
    assert board.names() == (("leg", RAIL),)
    board.save(older, ())
    assert board.names() == (("leg", LEG),)
    board.close()


def test_a_single_request_keeps_names_and_leaves_the_job_alone(path: Path) -> None:
    bench = SqliteBoard(path)
    bench.save(with_piece("53 5/8"), ())
    request = SqliteBoard(path, jobs=False)
    job, _ = request.load()
    assert job == Job()
    request.save(replace(job, kept=(("leg", LEG),)), (job,))
    request.close()
    bench.close()
    assert reopened(path) == (replace(with_piece("53 5/8"), kept=(("leg", LEG),)), ())


def test_names_put_up_by_another_program_survive_what_the_bench_saves(path: Path) -> None:
    bench = SqliteBoard(path)
    bench.save(Job(kept=(("rail", RAIL),)), ())
    other = SqliteBoard(path, jobs=False)
    job, _ = other.load()
    other.save(Job(kept=(("leg", LEG),)), (job,))  # it also finishes the rail
    bench.save(with_piece("2", ("rail", RAIL)), (Job(kept=(("rail", RAIL),)),))
    assert names_of(path) == {"leg": LEG}
    other.close()
    bench.close()


def test_putting_right_after_a_restart_keeps_the_names_of_others(path: Path) -> None:
    # "No, three eighths" goes back to the job before the measurement, so that one has to know the names too.
    bench = SqliteBoard(path)
    bench.save(Job(piece=LEG, base=Job()), ())
    bench.close()
    other = SqliteBoard(path, jobs=False)
    other.save(Job(kept=(("leg", LEG),)), (other.load()[0],))
    other.close()
    job, _ = reopened(path)
    assert job.base is not None
    assert job.base.kept == job.kept == (("leg", LEG),)


def test_two_benches_on_one_file_do_not_write_into_each_others_job(path: Path) -> None:
    first, second = SqliteBoard(path), SqliteBoard(path)
    first.save(with_piece("1"), ())
    job, history = second.load()
    first.save(with_piece("2"), (with_piece("1"),))
    second.save(with_piece("9"), (*history, job))
    first.save(with_piece("3"), (with_piece("1"), with_piece("2")))
    first.close()
    second.close()
    raw = sqlite3.connect(path)
    found: dict[int, list[str]] = {}
    for number, record in raw.execute("SELECT job, record FROM states ORDER BY job, depth"):
        found.setdefault(number, []).append(record)
    raw.close()
    assert {tuple(read(records))[-1].piece for records in found.values()} == {
        with_piece("3").piece,
        with_piece("9").piece,
    }


def test_a_closed_board_says_so(path: Path) -> None:
    board = SqliteBoard(path)
    board.close()
    board.close()
    with pytest.raises(BoardError, match=r"closed"):
        board.save(Job(), ())


def test_closing_while_another_thread_is_at_the_board_costs_it_a_sentence(path: Path) -> None:
    board = SqliteBoard(path)
    told: queue.SimpleQueue[str] = queue.SimpleQueue()

    def reads_without_end() -> None:
        try:
            while True:
                board.names()
        except BoardError as error:
            told.put(str(error))

    threading.Thread(target=reads_without_end, daemon=True).start()
    board.close()
    assert told.get(timeout=30) == "The board is closed. Start Tapehand again."


sizes = st.fractions(min_value=0, max_value=12_000, max_denominator=1024).map(Length).map(Measure)
jobs = st.builds(
    Job,
    piece=sizes,
    at=st.integers(0, 20),
    kept=st.dictionaries(st.sampled_from(["leg", "rail", "cap"]), sizes, max_size=3).map(lambda d: tuple(d.items())),
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(st.one_of(jobs, st.integers(1, 4), st.none()), max_size=12))
def test_any_run_of_saving_undoing_and_restarting_comes_back(
    tmp_path_factory: pytest.TempPathFactory, steps: list[Job | int | None]
) -> None:
    """A job is saved, a number undoes so many, None starts the program again: always what was saved last."""
    path = tmp_path_factory.mktemp("board") / "board.db"
    board = SqliteBoard(path)
    job, history = board.load()
    for step in steps:
        if step is None:
            board.close()
            board = SqliteBoard(path)
            assert board.load() == (job, history)
            continue
        if isinstance(step, Job):
            job, history = step, (*history, job)
        else:
            states = (*history, job)[: -step or None] or (*history, job)[:1]
            job, history = states[-1], states[:-1]
        board.save(job, history)
        assert dict(board.names()) == dict(job.kept)
    board.close()


def test_a_board_of_the_first_version_is_carried_over(path: Path) -> None:
    path.parent.mkdir()
    raw = sqlite3.connect(path)
    raw.executescript(
        """
        CREATE TABLE jobs (id INTEGER PRIMARY KEY, begun TEXT NOT NULL, ended TEXT);
        CREATE TABLE states (job INTEGER, depth INTEGER, record TEXT NOT NULL, PRIMARY KEY (job, depth));
        CREATE TABLE names (id INTEGER PRIMARY KEY, name TEXT NOT NULL, exact TEXT NOT NULL, record TEXT NOT NULL,
                            kept TEXT NOT NULL, done TEXT);
        CREATE UNIQUE INDEX one_of_each_name ON names (name) WHERE done IS NULL;
        PRAGMA user_version = 1;
        """
    )
    before, now = Job(), with_piece("2", ("leg", RAIL))
    for at, size, done in [("2026-01-01T00:00:00", LEG, "2026-01-02T00:00:00"), ("2026-01-02T00:00:00", RAIL, None)]:
        row = ("leg", str(size.length.inches), json.dumps(to_record(size)), at, done)
        raw.execute("INSERT INTO names (name, exact, record, kept, done) VALUES (?, ?, ?, ?, ?)", row)
    raw.execute("INSERT INTO jobs VALUES (1, '2026-01-01T00:00:00', NULL)")
    for depth, job in enumerate((before, now)):
        raw.execute("INSERT INTO states VALUES (1, ?, ?)", (depth, json.dumps(job.to_dict())))
    raw.commit()
    raw.close()
    job, history = reopened(path)
    assert (job, len(history)) == (now, 1)
    assert names_of(path) == {"leg": RAIL}
    assert [(row.exact, row.done) for row in ever_kept(path)] == [("429/8", "2026-01-02T00:00:00"), ("895/16", None)]


def test_scratching_after_two_restarts_keeps_the_names_of_others(path: Path) -> None:
    bench = SqliteBoard(path)
    bench.save(with_piece("1"), (Job(),))
    bench.close()
    other = SqliteBoard(path, jobs=False)
    other.save(Job(kept=(("leg", LEG),)), (other.load()[0],))
    other.close()
    bench = SqliteBoard(path)
    job, history = bench.load()
    bench.save(replace(job, at=1), (*history, job))
    bench.close()
    bench = SqliteBoard(path)
    job, history = bench.load()
    bench.save(history[0], ())
    bench.close()
    assert names_of(path) == {"leg": LEG}


def test_a_state_is_written_with_what_changed_on_the_board_not_with_all_that_stands(path: Path) -> None:
    many = tuple((f"piece {number}", LEG) for number in range(500))
    one_more, one_less = (*many, ("rail", RAIL)), many[1:]
    other_order = (("rail", RAIL), *many)
    states = (
        with_piece("1", *many),
        replace(with_piece("2", *one_more), base=with_piece("1", *many)),
        replace(with_piece("3", *one_less), base=with_piece("1", *many)),
        replace(with_piece("4", *one_less), base=with_piece("3", *one_less)),
        with_piece("5", *other_order),
        with_piece("6"),
    )
    board = SqliteBoard(path)
    for depth, job in enumerate(states):
        board.save(job, states[:depth])
    board.close()
    raw = sqlite3.connect(path)
    sizes = [size for (size,) in raw.execute("SELECT length(record) FROM states ORDER BY depth")]
    raw.close()
    assert reopened(path) == (states[-1], states[:-1])
    assert max(sizes[1:4]) < sizes[0] / 20


def test_states_of_an_earlier_version_are_read_and_gone_on_with(path: Path) -> None:
    """Version 2 had every name in every state: its rows, as ``Job.to_dict`` still writes them."""
    states = (
        with_piece("1", ("leg", LEG)),
        replace(with_piece("2", ("rail", RAIL)), base=with_piece("1", ("leg", LEG))),
    )
    board = SqliteBoard(path)
    board.save(states[0], ())
    board.save(states[1], states[:1])
    board.close()
    raw = sqlite3.connect(path)
    for depth, job in enumerate(states):
        raw.execute("UPDATE states SET record = ? WHERE depth = ?", (json.dumps(job.to_dict()), depth))
    raw.execute("PRAGMA user_version = 2")
    raw.commit()
    raw.close()
    board = SqliteBoard(path)
    job, history = board.load()
    assert (job, history) == (states[1], states[:1])
    board.save(with_piece("3", ("rail", RAIL)), (*history, job))
    board.close()
    assert reopened(path) == (with_piece("3", ("rail", RAIL)), states)
