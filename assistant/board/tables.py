"""What is in the database.

    jobs     one row a job, from a clean start to the next "start over"
    states   the job in hand after each thing that was asked, so that undo works after a power cut; of a job
             that has ended only the last state stays. Piece, marks and where he is in them are inside it:
             ``board.states`` has the form, and the marks are worked out from it exactly, never stored.
             ``events`` are the keys of what that state wrote in the log
    events   the log of the names on the board, only ever added to: ``log`` says what it means. ``stands`` is 1 for a
             keep that is neither done nor undone, so that ten years of them cost nothing at the start
    shared   which shared board this file has been to, and the place of the last event seen there; one row

Lengths are reduced fractions of an inch, as text. Times are UTC, ISO 8601; they are for people to read, and
nothing goes by them: a clock may be set back.
"""

from __future__ import annotations

from sqlalchemy import Column, Connection, ForeignKey, Index, Integer, MetaData, Table, Text

__all__ = ["SCHEMA_VERSION", "events", "jobs", "metadata", "states", "to_version_2", "whereabouts"]

SCHEMA_VERSION = 3
"""Stands in SQLite's ``user_version``. 3 has the tables of 2, and rows of ``states`` that 2 cannot read."""

metadata = MetaData()

jobs = Table(
    "jobs",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("begun", Text, nullable=False),
    Column("ended", Text),
)

states = Table(
    "states",
    metadata,
    Column("job", ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True),
    Column("depth", Integer, primary_key=True),
    Column("record", Text, nullable=False),
    Column("events", Text),
)

events = Table(
    "events",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("of", Text),
    Column("name", Text, nullable=False),
    Column("exact", Text),
    Column("record", Text),
    Column("moment", Text, nullable=False),
    Column("place", Integer),
    Column("stands", Integer, nullable=False, default=0),
)
Index("events_about", events.c.of)
Index("events_standing", events.c.stands, sqlite_where=events.c.stands == 1)
Index("events_in_place", events.c.place)

whereabouts = Table("shared", metadata, Column("board", Text, nullable=False), Column("seen", Integer, nullable=False))

_TO_VERSION_2 = (
    "INSERT INTO events (id, key, kind, name, exact, record, moment, stands)"
    " SELECT id, lower(hex(randomblob(16))), 'keep', name, exact, record, kept, done IS NULL FROM names",
    "INSERT INTO events (key, kind, of, name, moment, stands)"
    " SELECT lower(hex(randomblob(16))), 'done', events.key, names.name, names.done, 0"
    " FROM names JOIN events ON events.id = names.id WHERE names.done IS NOT NULL",
    "DROP TABLE names",
    "ALTER TABLE states ADD COLUMN events TEXT",
)


def to_version_2(connection: Connection) -> None:
    """From a table of names to the log. What was kept before can no longer be scratched, only finished."""
    metadata.create_all(connection)
    for statement in _TO_VERSION_2:
        connection.exec_driver_sql(statement)
