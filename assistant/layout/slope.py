"""Brace, rise and run; a bevel in twelve and its angle, always with what it is measured off."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import atan, tan
from assistant.enclosure import Number, hypotenuse, length_of, sqrt
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form

__all__ = ["bevel", "bevel_of_angle", "brace"]

_TWELVE = Length(INCHES_PER_FOOT)
"""A bevel is so many inches in twelve: the blade of the square is held at twelve."""


def brace(*, rise: Measure | None = None, run: Measure | None = None, length: Measure | None = None) -> Result:
    """From any two of the rise, the run and the brace's working length, in inches: the third and the bevel.

    Raises:
        Slip: where the brace is no longer than its rise or run, or a size cannot be. ValueError unless two
            are given.
    """
    given = [(name, m) for name, m in (("rise", rise), ("run", run), ("brace", length)) if m is not None]
    if len(given) != 2:
        raise ValueError("give two of rise, run and length")
    sizes = {name: limits.positive(m.length, name, m.form) for name, m in given}
    form = given[0][1].form
    if "brace" in sizes:
        leg_name, leg = next((name, size) for name, size in sizes.items() if name != "brace")
        whole = sizes["brace"]
        if leg >= whole:
            raise Slip(
                f"A brace of {limits.said(whole, form)} can't have a {leg_name} of {limits.said(leg, form)}. "
                "Check the numbers."
            )
        missing = "run" if leg_name == "rise" else "rise"
        third = length_of(sqrt(whole.inches**2 - leg.inches**2))
        slope: Number = leg / third if leg_name == "rise" else third / leg
        worked: tuple[Phrase, ...] = (
            *((Exactly(size), " times itself is ", steps.about(size.inches**2)) for size in (whole, leg)),
            ("The difference is ", steps.about(whole.inches**2 - leg.inches**2)),
            ("The root of that is ", steps.about(third, 3)),
        )
    else:
        missing = "brace"
        third = hypotenuse(sizes["rise"], sizes["run"])
        slope = sizes["rise"] / sizes["run"]
        worked = steps.root_of_squares(list(sizes.values()), third)
    answer = Value(missing, third)
    tilt, angle, off = _tilt(slope)
    return Result(
        values=(answer, tilt, angle),
        say=(answer, ", ", *_said(tilt, angle, off)),
        steps=(*worked, *_bevel_steps(slope)),
        cautions=(cautions.WORKING_LINE,),
        heard=_heard(given),
        form=form,
    )


def bevel(rise: Measure, run: Measure) -> Result:
    """The slope of a rise in a run, both in inches, as so much in twelve and as an angle.

    Twelve lies along the longer of the two, so that the bevel fits the tongue of a square: "off level" along
    the run, "off plumb" along the rise.

    Raises:
        Slip: where a size cannot be.
    """
    up, over = limits.positive(rise.length, "rise", rise.form), limits.positive(run.length, "run", run.form)
    slope = up / over
    tilt, angle, off = _tilt(slope)
    return Result(
        values=(tilt, angle),
        say=_said(tilt, angle, off),
        steps=_bevel_steps(slope),
        heard=_heard([("rise", rise), ("run", run)]),
        form=Form.INCHES,
    )


def bevel_of_angle(degrees: Fraction) -> Result:
    """The bevel in twelve of an angle off level, in degrees between nothing and ninety.

    Raises:
        Slip: for any other angle.
    """
    limits.angle(degrees)
    tilt, angle, off = _tilt(tan(degrees))
    return Result(
        values=(tilt, angle),
        say=_said(tilt, angle, off),
        heard=(steps.about(degrees), " degrees off level"),
        form=Form.INCHES,
    )


def _tilt(slope: Number) -> tuple[Value, Value, str]:
    """The bevel, the angle beside the same line, and what line that is."""
    off = "off level" if slope <= 1 else "off plumb"
    shallow = slope if slope <= 1 else 1 / slope
    return Value(f"in twelve {off}", _TWELVE * shallow), Value(f"degrees {off}", atan(shallow), "deg"), off


def _said(tilt: Value, angle: Value, off: str) -> Phrase:
    return ("bevel ", tilt, f" in twelve {off}, about ", steps.about(angle.amount, 1), " degrees")


def _heard(given: list[tuple[str, Measure]]) -> Phrase:
    (one, a), (other, b) = given
    return (f"{one.capitalize()} ", a, f", {other} ", b)


def _bevel_steps(slope: Number) -> tuple[Phrase, ...]:
    side = "rise by run" if slope <= 1 else "run by rise"
    shallow = slope if slope <= 1 else 1 / slope
    return (
        (f"The {side} is ", steps.about(shallow, 4)),
        (steps.about(shallow, 4), " times ", INCHES_PER_FOOT, " is ", steps.about(shallow * 12, 2)),
    )
