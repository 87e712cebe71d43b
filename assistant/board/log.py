"""The names on the board, as a log that is only ever added to.

    keep    a measurement was put up under a name
    done    that one keep was finished, or something else was put up under its name
    undo    that one keep or done was scratched: it never was

Every event has a key that no other has on any bench, so that it may be sent twice and still counts once. What
stands under a name is the newest keep that is neither undone nor done; a done that is undone does not count. That
is the same whatever order the events come in, once there is an order among the keeps: the place the shared board
gave each, and after all of those what has not been there yet, as it was written. So benches that have seen the same
events show the same board; who wrote last stands, and what he wrote over without having seen it comes back when his
is undone.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable, Mapping
from datetime import datetime, timezone
from typing import Any, NamedTuple

from sqlalchemy import Connection, and_, case, exists, func, insert, or_, select, update

from assistant.board.tables import events, whereabouts
from assistant.language.requests import Measure
from assistant.session.record import from_record, to_record

__all__ = [
    "LONGEST_NAME",
    "Standing",
    "Whereabouts",
    "changed",
    "incoming",
    "kept",
    "moment",
    "outgoing",
    "put_down",
    "standing",
    "undo",
    "waiting",
    "whereabouts_now",
]

LONGEST_NAME = 200

_SENT = ("key", "kind", "of", "name", "exact", "record", "moment")
_KINDS = ("keep", "done", "undo")
_DEEPEST = 3
"""An undo of a done of a keep."""

_undo, _done, _undo_done = events.alias("undoing"), events.alias("finishing"), events.alias("undoing_finishing")
_undone = exists().where(_undo.c.of == events.c.key, _undo.c.kind == "undo")
_still_done = and_(
    _done.c.of == events.c.key,
    _done.c.kind == "done",
    ~exists().where(_undo_done.c.of == _done.c.key, _undo_done.c.kind == "undo"),
)
_in_order = (events.c.place.is_(None), events.c.place, events.c.id)


class Standing(NamedTuple):
    """What stands under a name."""

    measure: Measure
    keys: tuple[str, ...]
    """Every keep under this name that is not finished: the one that stands is the last."""


class Whereabouts(NamedTuple):
    """How far this bench has read a shared board."""

    board: str
    """Which one; empty for none so far."""
    seen: int
    """The place of the last event from it."""


def standing(connection: Connection) -> dict[str, Standing]:
    """What stands on the board, oldest first."""
    rows = connection.execute(
        select(events.c.key, events.c.name, events.c.record).where(events.c.stands == 1).order_by(*_in_order)
    )
    found: dict[str, tuple[str, tuple[str, ...]]] = {}
    for key, name, record in rows:
        before = found.pop(name, ("", ()))[1]
        found[name] = record, (*before, key)
    return {name: Standing(_measure(record), keys) for name, (record, keys) in found.items()}


def kept(connection: Connection) -> Iterable[Any]:
    """Everything ever kept and not scratched: name, exact, record, moment, and done: when it was finished or None."""
    done = select(func.min(_done.c.moment)).where(_still_done).scalar_subquery()
    return connection.execute(
        select(events.c.name, events.c.exact, events.c.record, events.c.moment, done.label("done"))
        .where(events.c.kind == "keep", ~_undone)
        .order_by(*_in_order)
    )


def changed(
    connection: Connection,
    names: dict[str, Standing],
    before: Mapping[str, Measure],
    after: Mapping[str, Measure],
    now: str,
) -> list[str]:
    """Write down what was done to the names, ``before`` to ``after``. Returns the keys of what was written.

    ``names`` is what stands as the writer knew it, and is brought up to date: only what he had seen is finished,
    not what another bench put up meanwhile.
    """
    written = []
    for name, measure in before.items():
        if after.get(name) != measure:
            known = names.get(name)
            if known and known.measure == measure:
                written += [_write(connection, "done", name, now, of=key) for key in known.keys]
                del names[name]
    for name, measure in after.items():
        if measure != before.get(name):
            record, exact = json.dumps(to_record(measure)), str(measure.length.inches)
            key = _write(connection, "keep", name, now, exact=exact, record=record)
            names[name] = Standing(measure, (key,))
            written.append(key)
    return written


def undo(connection: Connection, keys: Iterable[str], now: str) -> None:
    """Scratch what was written."""
    for key in keys:
        name = connection.execute(select(events.c.name).where(events.c.key == key)).scalar_one()
        _write(connection, "undo", name, now, of=key)


def put_down(connection: Connection, entries: Iterable[Mapping[str, Any]]) -> None:
    """Write down what was kept before: name, exact, record, when it was kept and, where it is done, when it was."""
    rows = []
    blank = dict.fromkeys((*_SENT, "stands"))
    for entry in entries:
        keep = {name: entry[name] for name in ("name", "exact", "record")}
        keep |= {"key": _key(), "kind": "keep", "moment": entry["kept"], "stands": int(entry["done"] is None)}
        rows.append(blank | keep)
        if entry["done"] is not None:
            done = {"key": _key(), "kind": "done", "of": keep["key"], "name": entry["name"], "moment": entry["done"]}
            rows.append(blank | done | {"stands": 0})
    if rows:
        connection.execute(insert(events), rows)


# To the shared board and from it.


def whereabouts_now(connection: Connection) -> Whereabouts:
    row = connection.execute(select(whereabouts.c.board, whereabouts.c.seen)).first()
    return Whereabouts(*row) if row else Whereabouts("", 0)


def outgoing(connection: Connection, most: int) -> list[dict[str, Any]]:
    """What the shared board has not got yet, in order."""
    columns = [events.c[name] for name in _SENT]
    rows = connection.execute(select(*columns).where(_not_there(connection)).order_by(*_in_order).limit(most))
    return [dict(row._mapping) for row in rows]


def incoming(connection: Connection, there: Whereabouts, rows: Iterable[Mapping[str, Any]]) -> None:
    """Take in what is on the shared board, our own events too.

    ``there``: which board, and how far it has been read with these. An event that is none of ours is passed over.
    """
    for row in rows:
        here = connection.execute(update(events).where(events.c.key == row["key"]).values(place=row["place"])).rowcount
        if not here and _sound(row):
            connection.execute(insert(events).values({name: row[name] for name in (*_SENT, "place")}))
            _settle(connection, row["key"])
    if not connection.execute(update(whereabouts).values(board=there.board, seen=there.seen)).rowcount:
        connection.execute(insert(whereabouts).values(board=there.board, seen=there.seen))


def waiting(connection: Connection) -> list[str]:
    """The names that something still has to be sent about, each once."""
    rows = connection.scalars(select(events.c.name).where(_not_there(connection)).order_by(*_in_order))
    return list(dict.fromkeys(rows))


def _not_there(connection: Connection) -> Any:
    # A shared board that was begun anew has been read up to nowhere: then everything is sent again.
    return or_(events.c.place.is_(None), events.c.place > whereabouts_now(connection).seen)


def _sound(row: Mapping[str, Any]) -> bool:
    texts = [row[name] for name in _SENT]
    if row["kind"] not in _KINDS or not all(isinstance(text, (str, type(None))) for text in texts):
        return False
    if not row["key"] or not row["name"] or len(row["name"]) > LONGEST_NAME:
        return False
    try:
        return row["kind"] != "keep" or _measure(row["record"]) is not None
    except (TypeError, KeyError, ValueError, AttributeError, RecursionError, ZeroDivisionError):
        return False


def _measure(record: str) -> Measure:
    measure = from_record(json.loads(record))
    if not isinstance(measure, Measure):
        raise ValueError("not a measurement")
    return measure


def _write(connection: Connection, kind: str, name: str, now: str, **more: str) -> str:
    key = _key()
    connection.execute(insert(events).values(key=key, kind=kind, name=name, moment=now, **more))
    _settle(connection, key)
    return key


def _settle(connection: Connection, key: str | None) -> None:
    """Note whether the keep that an event is about stands now. What it is about may still be to come."""
    for _ in range(_DEEPEST):
        about = connection.execute(select(events.c.kind, events.c.of).where(events.c.key == key)).first()
        if about is None:
            return
        if about.kind == "keep":
            stands = case((and_(~_undone, ~exists().where(_still_done)), 1), else_=0)
            connection.execute(update(events).where(events.c.key == key).values(stands=stands))
            return
        key = about.of


def _key() -> str:
    return uuid.uuid4().hex


def moment() -> str:
    """Now, as it is written."""
    return datetime.now(timezone.utc).isoformat(timespec="seconds")
