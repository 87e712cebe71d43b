"""What changes a job: the requests a person makes, and four that only the session makes itself.

Also how to find and exchange the measurements in any of them, so that a piece in hand, a name on the board, a
fraction put right and a missing bottom number are filled in the same way for every trade task.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from assistant.language.requests import Hold, Manner, Measure, Named, Operand, Piece, Recall, Request, Task
from assistant.length import Length

__all__ = ["Checked", "Deed", "Totaled", "Turned", "exchange_last", "exchanged", "operands"]


NOTHING_HELD = Length(0)


@dataclass(frozen=True, slots=True)
class Totaled:
    """A running string that has been added up."""

    items: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class Turned:
    """The marks of something asked before, read from the other end."""

    of: Request | Totaled


@dataclass(frozen=True, slots=True)
class Checked:
    """A cut piece held against a mark of something asked before."""

    cut: Measure
    of: Request | Totaled | Turned
    at: int
    """Which mark, from 1; 0 for the answer itself."""
    held: Length = NOTHING_HELD
    """The inch he held on the end as he measured the piece."""


Deed = Turned | Checked | Request | Totaled


def operands(deed: Deed) -> tuple[Operand, ...]:
    """The measurements a deed speaks of, in the order they were said.

    >>> from assistant.language.requests import Add, PIECE
    >>> operands(Add((PIECE, Measure(Length("5/8")))))[1].length
    Length('5/8')
    """
    if isinstance(deed, Recall):
        return (Named(deed.name),)
    if isinstance(deed, Task):
        return tuple(value for _, value in deed.given if isinstance(value, Operand))
    found: list[Operand] = []
    for value in _values(deed):
        found += [v for v in (value if isinstance(value, tuple) else (value,)) if isinstance(v, Operand)]
    return tuple(found)


def exchanged(deed: Deed, by: Callable[[Operand], Operand]) -> Deed:
    """The same deed with every measurement in it put through ``by``."""
    if isinstance(deed, Recall):
        what = by(Named(deed.name))
        return deed if isinstance(what, (Named, Piece)) else Hold(what)
    if isinstance(deed, Manner):
        return deed
    if isinstance(deed, Task):
        given = ((name, by(value) if isinstance(value, Operand) else value) for name, value in deed.given)
        return replace(deed, given=tuple(given))
    changed: dict[str, Operand | tuple[object, ...]] = {}
    for name, value in zip(_names(deed), _values(deed), strict=True):
        if isinstance(value, tuple):
            changed[name] = tuple(by(v) if isinstance(v, Operand) else v for v in value)
        elif isinstance(value, Operand):
            changed[name] = by(value)
    return replace(deed, **changed) if changed else deed  # type: ignore[arg-type]  # like for like


def exchange_last(deed: Deed, measure: Measure) -> Deed:
    """The same deed with the last measurement that was said in it, or called by name, replaced."""
    said = sum(1 for operand in operands(deed) if not isinstance(operand, Piece))
    seen = 0

    def by(operand: Operand) -> Operand:
        nonlocal seen
        if isinstance(operand, Piece):
            return operand
        seen += 1
        return measure if seen == said else operand

    return exchanged(deed, by)


def _names(deed: Deed) -> tuple[str, ...]:
    return () if isinstance(deed, Manner) else tuple(f.name for f in fields(deed))


def _values(deed: Deed) -> tuple[object, ...]:
    return tuple(getattr(deed, name) for name in _names(deed))
