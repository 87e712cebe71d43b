"""A square corner by three sides: 3-4-5, and any two legs with what is measured across."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import acos
from assistant.enclosure import hypotenuse, magnitude
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Result, Value
from assistant.length import Length

__all__ = ["corner", "three_four_five"]


def three_four_five(one: Measure, other: Measure) -> Result:
    """The biggest 3-4-5 triangle in whole inches that fits in two legs, in inches; the 3 on the shorter.

    Where not even three by four inches fits, it is taken in quarters of an inch.

    Raises:
        Slip: where a leg cannot be, or is too short for any.
    """
    short, long = sorted(limits.positive(leg.length, "leg", leg.form) for leg in (one, other))
    for unit in (Length(1), Length("1/4")):
        k = min(short // (unit * 3), long // (unit * 4))
        if k:
            break
    else:
        raise Slip(f"{limits.said(short, one.form)} by {limits.said(long, other.form)} is too small for a 3-4-5.")
    side = unit * k
    up, over, across = (Value(name, side * n) for name, n in (("up", 3), ("over", 4), ("across", 5)))
    return Result(
        values=(across, up, over),
        say=(up, " up, ", over, " over, ", across, " across"),
        steps=tuple((n, " times ", Exactly(side), " is ", Exactly(side * n)) for n in (3, 4, 5)),
        cautions=(cautions.BIGGER_IS_BETTER,),
        heard=("Three four five in ", one, " by ", other),
        form=one.form,
    )


def corner(one: Measure, other: Measure, across: Measure) -> Result:
    """Whether a corner is square, from two legs and what is measured across them. All in inches.

    Raises:
        Slip: where the three sides close on nothing, or a size cannot be.
    """
    a, b, c = (limits.positive(side.length, "side", side.form) for side in (one, other, across))
    form = one.form
    if c >= a + b or c <= abs(a - b):
        raise Slip(
            f"{limits.said(a, form)}, {limits.said(b, form)} and {limits.said(c, form)} don't close a triangle. "
            "Measure again."
        )
    target = hypotenuse(a, b)
    out = c - target
    open_angle = acos(Fraction((a.inches**2 + b.inches**2 - c.inches**2) / (2 * a.inches * b.inches)))
    error, true = Value("out", magnitude(out)), Value("across when square", target)
    angle = Value("angle", open_angle, "deg")
    if not out > Length(0) and not out < Length(0):
        return Result((true, angle), ("dead square",), heard=("Corner ", one, " by ", other, ", ", across, " across"))
    way = "long, close the corner" if out > Length(0) else "short, open the corner"
    return Result(
        values=(error, true, angle),
        say=(error, f" {way}; across should be ", true),
        steps=steps.root_of_squares([a, b], target),
        cautions=(cautions.BIGGER_IS_BETTER,),
        heard=("Corner ", one, " by ", other, ", ", across, " across"),
        form=form,
    )
