"""The board on disk: one SQLite file, written by one thread that owns the connection.

Write-ahead log with ``synchronous = FULL``: a shop computer is switched off at the wall, and with less the last
commits may be lost (sqlite.org/pragma.html#pragma_synchronous).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime, timezone
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import URL, Connection, create_engine, delete, event, func, insert, select, update
from sqlalchemy.pool import NullPool

from assistant.board import log
from assistant.board.failures import Corrupt, sentences
from assistant.board.log import Standing, Whereabouts
from assistant.board.states import read, records, whole
from assistant.board.tables import SCHEMA_VERSION, jobs, metadata, states, to_version_2
from assistant.errors import BoardError, BoardTooNew
from assistant.session.job import Job, Names, with_names

__all__ = ["SqliteBoard"]

LOCK_SECONDS = 2.0
"""How long to wait for another program to let go: longer, and he thinks he was not heard."""

CLOSED = "The board is closed. Start Tapehand again."

T = TypeVar("T")


class SqliteBoard:
    """A board in a file.

    ``jobs=False`` keeps the names only, for a single request: the job in hand at the bench stays as it is.

    ``moved`` is set once what stands on the board is not what the job in hand says: another bench was at it.
    ``writes`` counts how often something was written to the log.

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
        self._written: tuple[tuple[str, ...], ...] = ()
        """For each of them the keys of what it wrote in the log."""
        self._names: dict[str, Standing] = {}
        """The names as this board last wrote or read them: what others add or take away meanwhile is theirs."""
        self.moved = False
        self.writes = 0
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
        return _plain(self.run(log.standing))

    def refreshed(self) -> tuple[Names, Names]:
        """Have the job in hand go by what stands now. Returns which names it knew went, and which came."""
        return self._do(self._refresh)

    def waiting(self) -> list[str]:
        """The names that the shared board has still to be told about."""
        return self.run(log.waiting)

    def outgoing(self, most: int) -> tuple[Whereabouts, list[dict[str, Any]]]:
        """How far the shared board has been read, and what it has not got yet."""
        return self.run(lambda connection: (log.whereabouts_now(connection), log.outgoing(connection, most)))

    def incoming(self, there: Whereabouts, rows: Iterable[Mapping[str, Any]]) -> None:
        """Take in what is on the shared board, read up to ``there``."""

        self.run(lambda connection: log.incoming(connection, there, rows))

    def look(self) -> None:
        """Set ``moved`` where something else stands on the board by now than this board knew."""
        standing = self.names()
        self.moved = dict(standing) != dict(_plain(self._names))

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
            raise BoardError(CLOSED) from None

    @contextmanager
    def _transaction(self) -> Iterator[Connection]:
        if self._connection is None or self._connection.closed:  # while the courier was still at it
            raise BoardError(CLOSED)
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
        with self._transaction() as connection:
            self._names = log.standing(connection)
            names = _plain(self._names)
            if not self._jobs:
                return Job(kept=names), ()
            self._job_id = connection.scalar(select(func.max(jobs.c.id)).where(jobs.c.ended.is_(None)))
            rows = connection.execute(
                select(states.c.record, states.c.events).where(states.c.job == self._job_id).order_by(states.c.depth)
            ).all()
            try:
                self._saved = tuple(read(row.record for row in rows))
            except ValueError:
                self.notice = "The last job on the board cannot be read. A new one is begun; the names are still there."
                self._job_id, self._saved = None, ()
            if not self._saved:
                self._written = ()
                return Job(kept=names), ()
            self._written = tuple(tuple(json.loads(row.events or "[]")) for row in rows)
            self._go_by(connection, *_difference(self._saved[-1].kept, names))
        return self._saved[-1], self._saved[:-1]

    def _refresh(self) -> tuple[Names, Names]:
        with self._transaction() as connection:
            standing = log.standing(connection)
            taken, added = _difference(_plain(self._names), _plain(standing))
            self._go_by(connection, taken, added)
        self._names, self.moved = standing, False
        return taken, added

    def _go_by(self, connection: Connection, taken: Names, added: Names) -> None:
        """Have every state of the job in hand know what others did to the board; on disk too, for undo goes there."""
        if not taken and not added:
            return
        now = tuple(with_names(state, taken, added) for state in self._saved)
        if self._goes_on(connection):
            _put(connection, self._job_id, 0, now, self._written)
        self._saved = now

    def _goes_on(self, connection: Connection) -> bool:
        """Whether the job on disk is the one in hand. No other program has gone on with it meanwhile."""
        depth = connection.scalar(select(func.max(states.c.depth)).where(states.c.job == self._job_id))
        return depth is not None and depth == len(self._saved) - 1

    def _save(self, now: tuple[Job, ...]) -> None:
        same = _common(self._saved, now)
        over = len(self._saved) - len(now) + 1  # how many states a clean start has let go of
        begun_over = same == 0 and 0 < over < len(self._saved) and now[:-1] == self._saved[over:]
        scratched = [key for keys in self._written[same:] for key in keys] if same else []
        written = list(self._written[over:] if begun_over else self._written[:same])
        moment = log.moment()
        job_id = self._job_id
        with self._transaction() as connection:
            names, before = dict(self._names), {name: standing.measure for name, standing in self._names.items()}
            if scratched:
                log.undo(connection, scratched, moment)
                names = log.standing(connection)
            if written:
                before = dict(now[len(written) - 1].kept)
            carried = len(written)
            for state in now[carried:]:
                after = dict(state.kept)
                written.append(tuple(log.changed(connection, names, before, after, moment)))
                before = after
            if self._jobs:
                ours = self._goes_on(connection)
                if not ours or not same:
                    # A clean start, or another program has gone on with this job: this one gets a row of its own.
                    if job_id is not None and ours:
                        _end(connection, job_id, self._saved[-1], moment)
                    same = 0
                    job_id = connection.execute(insert(jobs).values(begun=moment).returning(jobs.c.id)).scalar_one()
                _put(connection, job_id, same, now, written)
        self.moved = self.moved or dict(_plain(names)) != dict(now[-1].kept)
        self.writes += bool(scratched) or any(written[carried:])
        self._job_id, self._saved, self._written = job_id, now, tuple(written)
        self._names = {
            name: names[name] if name in names and names[name].measure == measure else Standing(measure, ())
            for name, measure in now[-1].kept
        }


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
            if version == 1:
                to_version_2(connection)
            if version == 0:
                if connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar_one():
                    raise BoardError(f"{path} is another program's database. Name another file for the board.")
                metadata.create_all(connection)
            if version < SCHEMA_VERSION:
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


def _end(connection: Connection, job_id: int, last: Job, moment: str) -> None:
    """Close a job: what could be undone in it goes, how it stood last stays."""
    connection.execute(update(jobs).where(jobs.c.id == job_id).values(ended=moment))
    deepest = select(func.max(states.c.depth)).where(states.c.job == job_id).scalar_subquery()
    connection.execute(delete(states).where(states.c.job == job_id, states.c.depth < deepest))
    connection.execute(update(states).where(states.c.job == job_id).values(record=whole(last)))


def _put(
    connection: Connection, job_id: int | None, depth: int, now: Sequence[Job], written: Sequence[Sequence[str]]
) -> None:
    """Write the states from one depth on, in place of those that stand there."""
    connection.execute(delete(states).where(states.c.job == job_id, states.c.depth >= depth))
    new = [
        {"job": job_id, "depth": at, "record": record, "events": json.dumps(written[at])}
        for at, record in enumerate(records(now, depth), depth)
    ]
    if new:
        connection.execute(insert(states), new)


def _plain(names: Mapping[str, Standing]) -> Names:
    return tuple((name, standing.measure) for name, standing in names.items())


def _difference(known: Names, standing: Names) -> tuple[Names, Names]:
    """What went and what came."""
    was, now = dict(known), dict(standing)
    taken = tuple((name, measure) for name, measure in known if now.get(name) != measure)
    return taken, tuple((name, measure) for name, measure in standing if was.get(name) != measure)


def _common(before: tuple[Job, ...], after: tuple[Job, ...]) -> int:
    """How many states at the beginning are the same."""
    same = 0
    for old, new in zip(before, after, strict=False):
        if old is not new and old != new:
            break
        same += 1
    return same
