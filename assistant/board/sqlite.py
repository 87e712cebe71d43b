"""The board on disk: one SQLite file, written by one thread that owns the connection.

Write-ahead log with ``synchronous = FULL``: a shop computer is switched off at the wall, and with less the last
commits may be lost (sqlite.org/pragma.html#pragma_synchronous).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime, timezone
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import URL, Connection, create_engine, delete, event, func, insert, select, update
from sqlalchemy.pool import NullPool

from assistant.board.failures import Corrupt, sentences
from assistant.board.port import Names
from assistant.board.tables import SCHEMA_VERSION, jobs, metadata, names, states
from assistant.errors import BoardError, BoardTooNew
from assistant.language.requests import Measure
from assistant.session.job import Job
from assistant.session.record import from_record, to_record

__all__ = ["SqliteBoard"]

LOCK_SECONDS = 2.0
"""How long to wait for another program to let go: longer, and he thinks he was not heard."""

T = TypeVar("T")


class SqliteBoard:
    """A board in a file.

    ``jobs=False`` keeps the names only, for a single request: the job in hand at the bench stays as it is.

    Raises, on opening:
        BoardError: BoardLocked, BoardReadOnly, DiskFull or BoardTooNew. A damaged file is moved aside, never
            deleted, and ``notice`` says where to.
    """

    def __init__(self, path: Path, jobs: bool = True) -> None:
        self.path = path
        self.notice = ""
        self._jobs = jobs
        self._job_id: int | None = None
        self._saved: tuple[Job, ...] = ()
        """The states of the job in hand as they stand on disk."""
        self._names: dict[str, Measure] = {}
        """The names as this board last wrote or read them: what others add or take away meanwhile is theirs."""
        self._owner = ThreadPoolExecutor(max_workers=1, thread_name_prefix="board")
        self._connection: Connection | None = None
        try:
            self._do(self._open)
        except BaseException:
            self._owner.shutdown()
            raise

    def load(self) -> tuple[Job, tuple[Job, ...]]:
        return self._do(self._load)

    def save(self, job: Job, history: tuple[Job, ...] = ()) -> None:
        self._do(lambda: self._save((*history, job)))

    def names(self) -> Names:
        """What stands on the board now, whoever put it there."""
        return self._do(self._read_names)

    def run(self, work: Callable[[Connection], T]) -> T:
        """Do something else with the database, in one transaction, on the thread that owns it."""

        def inside() -> T:
            with self._transaction() as connection:
                return work(connection)

        return self._do(inside)

    def close(self) -> None:
        if self._connection is not None:
            self._do(self._connection.close)
            self._connection = None
        self._owner.shutdown()

    # Everything below runs on the owner's thread.

    def _do(self, work: Callable[[], T]) -> T:
        def mapped() -> T:
            try:
                with sentences(self.path):
                    return work()
            except ValueError as error:  # a record that is none of ours
                raise BoardError(f"Something on the board {self.path} cannot be read. Name another board.") from error
            except Corrupt as error:
                raise BoardError(
                    f"The board {self.path} is damaged. Start Tapehand again: it is kept aside, a new one begun."
                ) from error

        try:
            return self._owner.submit(mapped).result()
        except RuntimeError:  # the executor's, after close()
            raise BoardError("The board is closed. Start Tapehand again.") from None

    @contextmanager
    def _transaction(self) -> Iterator[Connection]:
        assert self._connection is not None
        with self._connection.begin():
            yield self._connection

    def _open(self) -> None:
        self.path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with sentences(self.path):
                self._connection = _connected(self.path)
        except Corrupt:
            aside = _move_aside(self.path)
            self.notice = f"The board was damaged. A new one is begun; the old one is kept as {aside}."
            self._connection = _connected(self.path)

    def _load(self) -> tuple[Job, tuple[Job, ...]]:
        standing = self._read_names()
        self._names = dict(standing)
        if not self._jobs:
            return Job(kept=standing), ()
        with self._transaction() as connection:
            self._job_id = connection.scalar(select(func.max(jobs.c.id)).where(jobs.c.ended.is_(None)))
            records = connection.scalars(
                select(states.c.record).where(states.c.job == self._job_id).order_by(states.c.depth)
            ).all()
        try:
            self._saved = tuple(Job.from_dict(json.loads(record)) for record in records)
        except ValueError:
            self.notice = "The last job on the board cannot be read. A new one is begun; the names are still there."
            self._job_id, self._saved = None, ()
        if not self._saved:
            return Job(kept=standing), ()
        known = self._saved[-1].kept
        self._saved = tuple(_with_names(state, known, standing) for state in self._saved)
        return self._saved[-1], self._saved[:-1]

    def _save(self, now: tuple[Job, ...]) -> None:
        same = _common(self._saved, now)
        undone = same == len(now)
        moment = _moment()
        job_id = self._job_id
        with self._transaction() as connection:
            _change_names(connection, self._names, dict(now[-1].kept), undone, moment)
            if self._jobs:
                depth = connection.scalar(select(func.max(states.c.depth)).where(states.c.job == job_id))
                ours = depth is not None and depth == len(self._saved) - 1
                if not ours or not same:
                    # A clean start, or another program has gone on with this job: this one gets a row of its own.
                    if job_id is not None and ours:
                        _end(connection, job_id, moment)
                    same = 0
                    job_id = connection.execute(insert(jobs).values(begun=moment).returning(jobs.c.id)).scalar_one()
                connection.execute(delete(states).where(states.c.job == job_id, states.c.depth >= same))
                new = [
                    {"job": job_id, "depth": depth, "record": json.dumps(now[depth].to_dict())}
                    for depth in range(same, len(now))
                ]
                if new:
                    connection.execute(insert(states), new)
        self._job_id, self._saved, self._names = job_id, now, dict(now[-1].kept)

    def _read_names(self) -> Names:
        with self._transaction() as connection:
            rows = connection.execute(
                select(names.c.name, names.c.record).where(names.c.done.is_(None)).order_by(names.c.id)
            ).all()
        return tuple((name, from_record(json.loads(record))) for name, record in rows)


def _connected(path: Path) -> Connection:
    """An open database with our tables, checked to be whole."""
    engine = create_engine(
        URL.create("sqlite", database=str(path)), poolclass=NullPool, connect_args={"timeout": LOCK_SECONDS}
    )

    @event.listens_for(engine, "connect")
    def prepare(raw: Any, _record: object) -> None:
        raw.isolation_level = None  # transactions are begun below, not by the driver's own guess
        for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON"):
            raw.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    connection = engine.connect()
    try:
        with connection.begin():
            version = connection.exec_driver_sql("PRAGMA user_version").scalar_one()
            if version > SCHEMA_VERSION:
                raise BoardTooNew(
                    f"The board {path} was written by a newer Tapehand. Update this one, or use the newer one."
                )
            if connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one() != "ok":
                raise Corrupt("quick_check")
            if version == 0:
                if connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar_one():
                    raise BoardError(f"{path} is another program's database. Name another file for the board.")
                metadata.create_all(connection)
                connection.exec_driver_sql(f"PRAGMA user_version = {SCHEMA_VERSION}")
    except BaseException:
        connection.close()
        raise
    return connection


def _move_aside(path: Path) -> Path:
    """Give a damaged file, with its logs, another name in the same folder."""
    aside = path.with_name(f"{path.name}.damaged-{datetime.now(timezone.utc):%Y%m%dT%H%M%S%f}")
    for ending in ("", "-wal", "-shm"):
        part = path.with_name(path.name + ending)
        if part.exists():
            part.rename(aside.with_name(aside.name + ending))
    return aside


def _end(connection: Connection, job_id: int, moment: str) -> None:
    """Close a job: what could be undone in it goes, how it stood last stays."""
    connection.execute(update(jobs).where(jobs.c.id == job_id).values(ended=moment))
    last = select(func.max(states.c.depth)).where(states.c.job == job_id).scalar_subquery()
    connection.execute(delete(states).where(states.c.job == job_id, states.c.depth < last))


def _change_names(
    connection: Connection, before: dict[str, Measure], after: dict[str, Measure], undone: bool, moment: str
) -> None:
    """Do to the board what this job did to its names. What was undone never was."""
    gone = [name for name in before if after.get(name) != before[name]]
    come = [name for name in after if after[name] != before.get(name)]
    for name in gone:
        record = json.dumps(to_record(before[name]))
        standing = (names.c.name == name) & (names.c.record == record) & names.c.done.is_(None)
        finish = delete(names) if undone else update(names).values(done=moment)
        connection.execute(finish.where(standing))
    for name in come:
        record = json.dumps(to_record(after[name]))
        if undone:
            earlier = select(func.max(names.c.id)).where(names.c.name == name, names.c.record == record)
            back = update(names).where(names.c.id == earlier.scalar_subquery()).values(done=None)
            if connection.execute(back).rowcount:
                continue
        # Another program may have put the same name up meanwhile: the newer one stands.
        connection.execute(update(names).where(names.c.name == name, names.c.done.is_(None)).values(done=moment))
        exact = str(after[name].length.inches)
        connection.execute(insert(names).values(name=name, exact=exact, record=record, kept=moment))


def _with_names(state: Job, known: Names, standing: Names) -> Job:
    """The state with what others did to the board since: their names added, what they finished taken away."""
    added = [entry for entry in standing if entry not in known]
    taken = [entry for entry in known if entry not in standing]
    if not added and not taken:
        return state
    kept = {name: what for name, what in state.kept if (name, what) not in taken} | dict(added)
    base = _with_names(state.base, known, standing) if state.base else None
    return replace(state, kept=tuple(kept.items()), base=base)


def _common(before: tuple[Job, ...], after: tuple[Job, ...]) -> int:
    """How many states at the beginning are the same."""
    same = 0
    for old, new in zip(before, after, strict=False):
        if old is not new and old != new:
            break
        same += 1
    return same


def _moment() -> str:
    return datetime.now(timezone.utc).isoformat(timespec="seconds")
