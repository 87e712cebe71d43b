"""From a trade task with everything it needs to its answer: which layout works out which task, and from what."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from assistant.language.requests import Measure, Task
from assistant.layout import circle, pattern, slope, spacing, square, triangle
from assistant.layout.pickets import Rake, pickets
from assistant.layout.result import Result
from assistant.layout.square import Opposite
from assistant.length import Length

__all__ = ["lay_out"]


class _Given:
    """What was given for a task, by name. What was declined is not there."""

    def __init__(self, task: Task) -> None:
        self._values: dict[str, list[Any]] = {}
        for name, value in task.given:
            if value != "":
                self._values.setdefault(name, []).append(value)

    def __contains__(self, name: str) -> bool:
        return name in self._values

    def length(self, name: str) -> Measure:
        (value,) = self._values[name]
        assert isinstance(value, Measure)
        return value

    def length_if(self, name: str) -> Measure | None:
        return self.length(name) if name in self else None

    def count(self, name: str) -> int:
        (value,) = self._values[name]
        assert isinstance(value, int)
        return value

    def count_if(self, name: str) -> int | None:
        return self.count(name) if name in self else None

    def degrees(self, name: str, otherwise: int = 90) -> Fraction:
        return Fraction(self._values[name][0]) if name in self else Fraction(otherwise)

    def lengths(self, name: str) -> list[Measure]:
        return list(self._values.get(name, ()))


_NOTHING = Measure(Length(0))


def _end(given: _Given, name: str) -> Measure:
    return given.length_if(name) or given.length_if("each end") or _NOTHING


def _spaces(given: _Given) -> Result:
    return spacing.spaces(
        given.length("whole"),
        count=given.count_if("count"),
        most=given.length_if("most"),
        spacing=given.length_if("spacing"),
        start=_end(given, "one end"),
        end=_end(given, "other end"),
    )


def _holes(given: _Given) -> Result:
    return spacing.spaces(
        given.length("whole"),
        holes=given.count_if("holes"),
        most=given.length_if("most"),
        spacing=given.length_if("spacing"),
        start=_end(given, "one end"),
        end=_end(given, "other end"),
    )


def _pickets(given: _Given) -> Result:
    rake = None
    if "rail rise" in given:
        rake = Rake(given.length("rail rise").length, given.length("rail run").length)
    return pickets(
        given.length("clear"),
        bar=given.length("bar"),
        most=given.length_if("most"),
        count=given.count_if("count"),
        strict="strict" in given,
        centers="centers" in given,
        rake=rake,
    )


def _square(given: _Given) -> Result:
    opposite = None
    if "long across" in given and "short across" in given:
        opposite = Opposite(given.length("long across").length, given.length("short across").length)
    return square.square(
        given.length("long"),
        given.length("short"),
        first=given.length("first"),
        second=given.length("second"),
        opposite=opposite,
    )


def _row(given: _Given) -> Result:
    return pattern.row(
        given.length("along"),
        holes=given.count("holes"),
        pitch=given.length("pitch"),
        first=given.length_if("first"),
    )


def _sides(given: _Given) -> tuple[Measure, Measure]:
    return given.length("one side"), given.length("other side")


_LAYOUTS: Mapping[str, Callable[[_Given], Result]] = {
    "spaces": _spaces,
    "holes": _holes,
    "pickets": _pickets,
    "square": _square,
    "diagonal": lambda given: square.diagonal(*_sides(given)),
    "brace": lambda given: slope.brace(
        rise=given.length_if("rise"), run=given.length_if("run"), length=given.length_if("length")
    ),
    "bevel": lambda given: slope.bevel(given.length("rise"), given.length("run")),
    "bevel of angle": lambda given: slope.bevel_of_angle(given.degrees("angle")),
    "bolt circle": lambda given: circle.bolt_circle(
        given.length("circle"), given.count("holes"), straddle="straddle" in given
    ),
    "gage": lambda given: pattern.gage_lines(given.length("width"), given.length("gage")),
    "row": _row,
    "three four five": lambda given: triangle.three_four_five(*_sides(given)),
    "corner": lambda given: triangle.corner(*_sides(given), given.length("across")),
}


def lay_out(task: Task) -> Result:
    """The answer to a task that has everything it needs, its measurements all filled in.

    Raises:
        Slip: where it cannot be.
    """
    return _LAYOUTS[task.kind](_Given(task))
