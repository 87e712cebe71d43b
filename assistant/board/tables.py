"""What is in the database.

    jobs     one row a job, from a clean start to the next "start over"
    states   the job in hand after each thing that was asked, so that undo works after a power cut; of a job
             that has ended only the last state stays. Piece, marks and where he is in them are inside it: a
             state is what ``Job.to_dict`` writes, and the marks are worked out from it exactly, never stored
    names    measurements kept under a name; ``done`` once that piece is finished or the name stands for
             something newer

Lengths are reduced fractions of an inch, as text. Times are UTC, ISO 8601.
"""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Integer, MetaData, Table, Text

__all__ = ["SCHEMA_VERSION", "jobs", "metadata", "names", "states"]

SCHEMA_VERSION = 1
"""Stands in SQLite's ``user_version``."""

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
)

names = Table(
    "names",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("exact", Text, nullable=False),
    Column("record", Text, nullable=False),
    Column("kept", Text, nullable=False),
    Column("done", Text),
)
Index("one_of_each_name", names.c.name, unique=True, sqlite_where=names.c.done.is_(None))
