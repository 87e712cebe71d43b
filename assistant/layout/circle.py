"""Holes on a bolt circle: the chord between them, and each from the center lines."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import cos, sin
from assistant.enclosure import Number, magnitude
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length

__all__ = ["bolt_circle"]

_MOST_SAID = 4
"""Ordinates said in one breath with the chord; more are only walked."""


def bolt_circle(diameter: Measure, holes: int, *, straddle: bool = False) -> Result:
    """Equally spaced holes on a circle, its diameter in inches.

    The first hole is on the upper center line, or, with ``straddle``, the first two lie equally on both sides
    of it. Holes are counted clockwise. Two marks a hole: right or left of the center, above or below it.

    Raises:
        Slip: for fewer than two holes, or a diameter that cannot be.
    """
    across = limits.positive(diameter.length, "circle", diameter.form)
    if limits.count(holes, "holes") < 2:
        raise Slip("One hole makes no circle. Say two holes or more.")
    chord = Value("chord", across * sin(Fraction(180, holes)))
    first = Fraction(180, holes) if straddle else Fraction(0)
    turns = [first + Fraction(360 * k, holes) for k in range(holes)]
    radius = across / 2
    marks = [mark for k, turn in enumerate(turns, 1) for mark in _ordinates(k, radius, sin(turn), cos(turn))]
    ordinates = _distinct(radius, turns)
    return Result(
        values=(chord, Value("radius", radius), *ordinates),
        say=_say(chord, ordinates),
        marks=tuple(marks),
        datum="the center",
        steps=(
            ("180 degrees by ", holes, " is ", steps.about(Fraction(180, holes), 3)),
            ("The sine of that is ", steps.about(sin(Fraction(180, holes)), 4)),
            (Exactly(across), " times that is the chord, about ", steps.about(chord.amount, 3)),
        ),
        cautions=(cautions.STEP_TO_CHECK, cautions.USE_DRAWING),
        heard=(holes, " holes on a ", diameter, " circle", ", straddling" if straddle else ", on the center line"),
        form=diameter.form,
    )


def _ordinates(hole: int, radius: Length, right: Number, up: Number) -> list[Value]:
    """The hole's two marks. One on a center line is said to be nothing off it."""
    return [
        Value(f"hole {hole}, {'left' if right < 0 else 'right'}", magnitude(radius * right)),
        Value(f"hole {hole}, {'below' if up < 0 else 'above'}", magnitude(radius * up)),
    ]


def _distinct(radius: Length, turns: list[Fraction]) -> tuple[Value, ...]:
    """Every different distance off a center line, short ones first: told apart by their exact angles."""
    angles = {min(turn % 180, 180 - turn % 180) for t in turns for turn in (t, t + 90)}
    return tuple(Value("off center", radius * sin(angle)) for angle in sorted(angles) if angle)


def _say(chord: Value, ordinates: tuple[Value, ...]) -> Phrase:
    if len(ordinates) > _MOST_SAID:
        return ("chord ", chord)
    said: Phrase = ("chord ", chord, ", off center ", ordinates[0])
    for ordinate in ordinates[1:]:
        said += (" and ", ordinate)
    return said
