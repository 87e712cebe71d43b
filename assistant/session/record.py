"""Session values as plain JSON and back, exactly: a fraction is a string, never a decimal.

One form for every frozen value, so that a new trade task is on record the day its request exists:

    Fraction 5/8     {"fraction": "5/8"}         a plain value          {"is": "Center", "of": …}
    Length 53 5/8    {"length": "429/8"}         one of an enumeration  {"form": "feet"}
    a tape           {"tape": "sixteenths"}      a tuple                […]
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from typing import Any

from assistant.language import requests
from assistant.length import Length
from assistant.session import deeds
from assistant.tape import TAPES, Feet, Form, Tape

__all__ = ["from_record", "to_record"]

_CLASSES = {
    value.__name__: value
    for module in (requests, deeds)
    for value in vars(module).values()
    if isinstance(value, type) and is_dataclass(value)
}
_CLASSES["Define"] = requests.Keep
"""As boards have it on which a name was given its size before that could be said in one breath."""
_ENUMS: dict[str, type[Enum]] = {
    kind.__name__.lower(): kind
    for kind in (Feet, Form, *vars(requests).values())
    if isinstance(kind, type) and issubclass(kind, Enum) and kind is not Enum
}
_TAPES = {tape.name: tape for tape in TAPES}


def to_record(value: object) -> Any:
    """A value as JSON can hold it.

    >>> to_record(requests.Center(requests.Measure(Length("53 5/8"))))["of"]["length"]
    {'length': '429/8'}

    Raises:
        TypeError: for a value that has no place in a job.
    """
    if value is None or isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, Length):
        return {"length": str(value.inches)}
    if isinstance(value, Fraction):
        return {"fraction": str(value)}
    if isinstance(value, Tape):
        return {"tape": value.name}
    if isinstance(value, Enum):
        return {type(value).__name__.lower(): value.value}
    if isinstance(value, tuple):
        return [to_record(part) for part in value]
    if type(value).__name__ in _CLASSES and is_dataclass(value):
        parts = {f.name: to_record(getattr(value, f.name)) for f in fields(value)}
        return {"is": type(value).__name__, **parts}
    raise TypeError(f"{type(value).__name__} has no place in a job")


def from_record(record: Any) -> Any:
    """The value a record stands for.

    Raises:
        ValueError: where it is no record of ours, or is broken.
    """
    try:
        return _read(record)
    except (KeyError, TypeError, ZeroDivisionError) as broken:
        raise ValueError(f"a broken record: {broken}") from broken


def _read(record: Any) -> Any:
    if record is None or isinstance(record, (bool, int, str)):
        return record
    if isinstance(record, list):
        return tuple(_read(part) for part in record)
    if not isinstance(record, dict):
        raise ValueError(f"not in a job: {record!r}")
    if "is" in record:
        return _CLASSES[record["is"]](**{name: _read(part) for name, part in record.items() if name != "is"})
    ((kind, text),) = record.items()
    if kind == "length":
        return Length(Fraction(text))
    if kind == "fraction":
        return Fraction(text)
    if kind == "tape":
        return _TAPES[text]
    return _ENUMS[kind](text)
