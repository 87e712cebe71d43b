"""The states of a job as they stand in their rows.

Each is what ``Job.to_dict`` writes, but for the names on the board: of those a row has what changed since the state
before it, ``{"without": [name, …], "with": [[name, measurement], …]}``, and its ``base`` what changed since the base
before it, or, where that had none, what differs from its own. So a row stays small however many names stand. The first
row of a job, and all rows of earlier versions, have them whole.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from assistant.session.job import Job, Names
from assistant.session.record import from_record, to_record

__all__ = ["read", "records", "whole"]


def whole(job: Job) -> str:
    """The record of a state that stands alone."""
    return json.dumps(job.to_dict())


def records(now: Sequence[Job], depth: int) -> Iterator[str]:
    """The records of the states from a depth on."""
    for at in range(depth, len(now)):
        job = now[at]
        if at == 0:
            yield whole(job)
            continue
        base, before = job.base, now[at - 1]
        record = replace(job, kept=(), base=base and replace(base, kept=())).to_dict()
        record["kept"] = _change(before.kept, job.kept)
        if base is not None:
            record["base"]["kept"] = _change((before.base or job).kept, base.kept)
        yield json.dumps(record)


def read(found: Iterable[str]) -> Iterator[Job]:
    """The states of a job from its records, the first one first.

    Raises:
        BoardTooNew: where a newer Tapehand wrote them; ValueError where they are broken.
    """
    kept: Names = ()
    base_kept: Names | None = None
    for text in found:
        record = json.loads(text)
        try:
            kept = _changed(kept, record.pop("kept", []))
            base = record.get("base")
            base_kept = _changed(kept if base_kept is None else base_kept, base.pop("kept", [])) if base else None
        except (KeyError, TypeError, AttributeError) as broken:
            raise ValueError(f"a broken record: {broken}") from broken
        job = Job.from_dict(record)
        yield replace(job, kept=kept, base=job.base and replace(job.base, kept=base_kept or ()))


def _change(before: Names, after: Names) -> Any:
    """From one to the other, or all of the other where its order does not come of it."""
    if before == after:
        return {"without": [], "with": []}
    was, now = dict(before), dict(after)
    without = [name for name, measure in before if now.get(name) != measure]
    added = tuple((name, measure) for name, measure in after if was.get(name) != measure)
    if _put_together(before, without, added) != after:
        return to_record(after)
    return {"without": without, "with": to_record(added)}


def _changed(before: Names, change: Any) -> Names:
    if isinstance(change, list):
        return tuple(from_record(change))
    if not change["without"] and not change["with"]:
        return before
    return _put_together(before, change["without"], from_record(change["with"]))


def _put_together(before: Names, without: Sequence[str], added: Names) -> Names:
    gone = set(without)
    return (*(entry for entry in before if entry[0] not in gone), *added)
