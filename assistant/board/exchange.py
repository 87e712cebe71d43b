"""The whole board as JSON: to back up, to read, and to carry to another computer.

    {"tapehand": "board", "version": 1,
     "names": [{"name": "leg", "exact": "429/8", "tape": "53 5/8", "kept": "…", "done": null, "record": {…}}],
     "jobs":  [{"begun": "…", "ended": null, "states": [{…}]}]}

``exact`` is inches as a reduced fraction; ``tape`` is the mark, to be read by people; ``record`` is the exact
measurement with how it was said, and is what is read back.
"""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, func, insert, select

from assistant.board import log
from assistant.board.log import LONGEST_NAME
from assistant.board.sqlite import SqliteBoard
from assistant.board.states import read, records, whole
from assistant.board.tables import jobs, states
from assistant.errors import BoardError, BoardTooNew
from assistant.language.requests import Measure
from assistant.session.job import Job
from assistant.session.record import from_record
from assistant.tape import written

__all__ = ["exported", "imported"]

VERSION = 1
NOT_OURS = "This is not a board that Tapehand exported. Nothing was changed."


def exported(board: SqliteBoard) -> dict[str, Any]:
    """Everything on the board, as JSON can hold it."""
    return board.run(_export)


def imported(board: SqliteBoard, document: object) -> list[str]:
    """Add what was exported to the board, all of it or nothing; the job in hand stays in hand.

    Returns a sentence for each name that stands for something else here and was left as it is.

    Raises:
        BoardError: for anything that is not an export; BoardTooNew for one by a newer Tapehand.
    """
    if not isinstance(document, dict) or document.get("tapehand") != "board":
        raise BoardError(NOT_OURS)
    if not isinstance(document.get("version"), int) or document["version"] > VERSION:
        raise BoardTooNew("This was exported by a newer Tapehand. Update this one and import it again.")
    try:
        new_names = [_name(entry) for entry in document["names"]]
        new_jobs = [_job(entry) for entry in document["jobs"]]
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
        raise BoardError(NOT_OURS) from None
    told = board.run(lambda connection: _add_names(connection, new_names) + _add_jobs(connection, new_jobs))
    board.writes += 1
    return told


def _export(connection: Connection) -> dict[str, Any]:
    of_job = {job: [state.to_dict() for state in found] for job, found in _states(connection).items()}
    return {
        "tapehand": "board",
        "version": VERSION,
        "names": [
            {
                "name": row.name,
                "exact": row.exact,
                "tape": _mark(row.record),
                "kept": row.moment,
                "done": row.done,
                "record": json.loads(row.record),
            }
            for row in log.kept(connection)
        ],
        "jobs": [
            {"begun": row.begun, "ended": row.ended, "states": of_job.get(row.id, [])}
            for row in connection.execute(select(jobs).order_by(jobs.c.id))
        ],
    }


def _states(connection: Connection) -> dict[int, tuple[Job, ...]]:
    """By job. Of one that cannot be read there are none: the names are what must get through."""
    by_job: dict[int, list[str]] = {}
    for job, record in connection.execute(select(states.c.job, states.c.record).order_by(states.c.job, states.c.depth)):
        by_job.setdefault(job, []).append(record)
    found = {}
    for job, rows in by_job.items():
        with suppress(ValueError):
            found[job] = tuple(read(rows))
    return found


def _mark(record: str) -> str:
    measure = from_record(json.loads(record))
    return written(measure.length, measure.form)


def _name(entry: Any) -> dict[str, Any]:
    measure = from_record(entry["record"])
    if not isinstance(measure, Measure):
        raise ValueError("not a measurement")
    name = entry["name"]
    if not isinstance(name, str) or not 0 < len(name) <= LONGEST_NAME:
        raise ValueError("not a name")
    return {
        "name": name,
        "exact": str(measure.length.inches),
        "record": json.dumps(entry["record"]),
        "kept": _time(entry["kept"]),
        "done": entry["done"] and _time(entry["done"]),
    }


def _job(entry: Any) -> dict[str, Any]:
    return {
        "begun": _time(entry["begun"]),
        "ended": entry["ended"] and _time(entry["ended"]),
        "states": tuple(Job.from_dict(state) for state in entry["states"]),
    }


def _time(text: Any) -> str:
    return datetime.fromisoformat(text).isoformat(timespec="seconds")


def _add_names(connection: Connection, new: list[dict[str, Any]]) -> list[str]:
    told, added = [], []
    there = {(row.name, row.record, row.moment) for row in log.kept(connection)}
    standing = set(log.standing(connection))
    for entry in new:
        if (entry["name"], entry["record"], entry["kept"]) in there:
            continue
        if entry["done"] is None:
            if entry["name"] in standing:
                told.append(f'"{entry["name"]}" is on this board already and was left as it is.')
                continue
            standing.add(entry["name"])
        added.append(entry)
    log.put_down(connection, added)
    return told


def _add_jobs(connection: Connection, new: list[dict[str, Any]]) -> list[str]:
    begun_then = {row.id: row.begun for row in connection.execute(select(jobs.c.id, jobs.c.begun))}
    there = {(begun_then[job], whole(state)) for job, found in _states(connection).items() for state in found}
    empty = not connection.scalar(select(func.count()).select_from(jobs))
    for entry in new:
        if not entry["states"] or (entry["begun"], whole(entry["states"][-1])) in there:
            continue
        kept = entry["states"] if empty and entry["ended"] is None else entry["states"][-1:]
        ended = entry["ended"] if empty else entry["ended"] or entry["begun"]
        begun = insert(jobs).values(begun=entry["begun"], ended=ended).returning(jobs.c.id)
        job = connection.execute(begun).scalar_one()
        rows = [{"job": job, "depth": depth, "record": record} for depth, record in enumerate(records(kept, 0))]
        connection.execute(insert(states), rows)
    return []
