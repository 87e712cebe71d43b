"""Answers as a terminal shows them and as a program reads them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from assistant.session.answer import Answer, ShownMark, ShownValue

if TYPE_CHECKING:
    from assistant.hearing.listener import HeardWords, Rejected

__all__ = ["EXIT_STATUS", "as_json", "as_text", "of_hearing"]

EXIT_STATUS = {"answer": 0, "done": 0, "question": 3, "refused": 2, "not-understood": 2}
"""Of a single request, by the status of its answer."""


def as_json(answer: Answer, **more: Any) -> str:
    """One object on one line, with the keys scripts rely on; ``more`` comes after them."""
    return json.dumps(
        {
            "heard": answer.heard,
            "status": answer.status,
            "say": answer.say,
            "values": [{"name": value.name, "unit": value.unit, **_size(value)} for value in answer.values],
            "marks": [{"index": mark.index, "count": mark.count, **_size(mark)} for mark in answer.marks],
            "steps": list(answer.steps),
            "cautions": list(answer.cautions),
            "choices": [
                {"key": choice.key, "say": choice.say} | ({"exact": choice.exact} if choice.exact else {})
                for choice in answer.choices
            ],
            **more,
        }
    )


def of_hearing(told: HeardWords | Rejected) -> dict[str, Any]:
    """What is told besides of an answer to something heard."""
    return {
        "engine": told.engine,
        "seconds": round(told.seconds, 3),
        "decode_seconds": round(told.decode_seconds, 3),
        "confidence": round(told.confidence, 3),
    }


def as_text(answer: Answer) -> Iterator[str]:
    """The lines of an answer: what is said, then what is worth reading off."""
    yield answer.say
    if answer.status != "done":  # it was read with the answer it belongs to
        yield from (caution for caution in answer.cautions if caution not in answer.say)
    for choice in answer.choices:
        yield f"  {choice.key}  {choice.say}"
    for value in answer.values:
        yield f"  {value.name}  {written(value)}"
    if len(answer.marks) > 1:
        for mark in answer.marks:
            yield f"  {mark.index} of {mark.count}  {written(mark)}"


def written(shown: ShownValue | ShownMark) -> str:
    """A value or a mark as it is read: the mark, its lean, and the same in feet and inches where that helps."""
    if isinstance(shown, ShownValue) and not shown.tape:
        return shown.amount
    lean = f" {shown.lean.value}" if shown.lean.value != "on" else ""
    return f"{shown.tape}{lean}" + (f"  ({shown.beside})" if shown.beside else "")


def _size(shown: ShownValue | ShownMark) -> dict[str, str]:
    return {"exact": shown.exact, "tape": shown.tape, "lean": shown.lean.value}
