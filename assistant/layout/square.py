"""Square by diagonals: the target, and which way to push a frame that is out."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.enclosure import hypotenuse, length_of, magnitude, sqrt
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length
from assistant.tape import Form

__all__ = ["Opposite", "diagonal", "square"]

_MISREAD = Length("1/4")
"""Sides and diagonals that miss each other by more are not a racked frame but a misread tape. Common practice,
no source."""


@dataclass(frozen=True, slots=True)
class Opposite:
    """The two sides across from the ones given, in inches, as measured."""

    long: Length
    short: Length


def diagonal(one: Measure, other: Measure) -> Result:
    """What both diagonals must be for the frame to be square. Sides in inches.

    Raises:
        Slip: where a side cannot be.
    """
    a = limits.positive(one.length, "side", one.form)
    b = limits.positive(other.length, "side", other.form)
    root = hypotenuse(a, b)
    target = Value("diagonal", root)
    return Result(
        values=(target,),
        say=(target,),
        steps=steps.root_of_squares([a, b], root),
        cautions=(cautions.SIDES_FIRST,),
        heard=("Diagonal of ", one, " by ", other),
        form=one.form,
    )


def square(
    long: Measure, short: Measure, *, first: Measure, second: Measure, opposite: Opposite | None = None
) -> Result:
    """How far out of square a frame is, and what to do. All lengths in inches.

    ``long`` and ``short`` are the sides; ``first`` and ``second`` the diagonals as measured. ``opposite`` are
    the two sides across, to be asked for first: equal diagonals prove nothing where they differ.

    The slip of a side along itself is (d₁² - d₂²) / 4a, exact for a frame whose opposite sides are equal
    (parallelogram law); the diagonal is to be drawn in by half the difference.

    Raises:
        Slip: where opposite sides differ, a diagonal cannot belong to the sides, or a size cannot be.
    """
    a = limits.positive(max(long.length, short.length), "side", long.form)
    b = limits.positive(min(long.length, short.length), "side", long.form)
    form = long.form
    if opposite is not None:
        _same(long.length, opposite.long, form)
        _same(short.length, opposite.short, form)
    for d in (first, second):
        if d.length <= a:
            raise Slip(
                f"A diagonal of {limits.said(d.length, form)} can't be shorter than a side of "
                f"{limits.said(a, form)}. Measure again."
            )
        if d.length >= a + b:
            raise Slip(
                f"A diagonal of {limits.said(d.length, form)} is longer than the two sides together. Measure again."
            )
    high, low = max(first.length, second.length), min(first.length, second.length)
    target = hypotenuse(a, b)
    pull, slip = (high - low) / 2, Length((high.inches**2 - low.inches**2) / (4 * a.inches))
    # By the parallelogram law the two squares add up to twice the target's square, racked or not.
    mean = length_of(sqrt((high.inches**2 + low.inches**2) / 2))
    doubt = magnitude(mean - target) > _MISREAD
    values = (
        Value("pull in", pull),
        Value("difference", high - low),
        Value("out of square", slip),
        Value("target", target),
    )
    return Result(
        values=values,
        say=_say(first.length, second.length, values),
        steps=(
            *steps.subtract(high, low, form),
            *(steps.halve(high - low, form) if high > low else ()),
            (Exactly(high), " times itself is ", steps.about(high.inches**2)),
            (Exactly(low), " times itself is ", steps.about(low.inches**2)),
            ("The difference, by four times ", Exactly(a), ", is ", steps.about(slip, 3)),
        ),
        cautions=(
            *(() if opposite else (cautions.SIDES_FIRST,)),
            *((cautions.MEASURE_AGAIN,) if doubt else ()),
            cautions.ALLOW_FOR_WELD,
        ),
        heard=("Square ", long, " by ", short, ", got ", first, " and ", second),
        form=form,
    )


def _same(side: Length, across: Length, form: Form) -> None:
    if side != across:
        raise Slip(
            f"Sides of {limits.said(side, form)} and {limits.said(across, form)} differ, so the diagonals "
            "can't prove it square. Make the sides match first."
        )


def _say(first: Length, second: Length, values: tuple[Value, ...]) -> Phrase:
    pull, difference, out, target = values
    if first == second:
        return ("dead square, the target is ", target)
    which = "first" if first > second else "second"
    return (
        *("the ", which, " diagonal is ", difference, " long, pull its corners in ", pull),
        *(", out of square ", out, " along the long side, target ", target),
    )
