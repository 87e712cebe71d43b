"""Bending plate and flat bar: the blank and where the bend lines go."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from assistant.angles import PI, tan
from assistant.enclosure import Size
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Quantity, Result, Value
from assistant.length import Length

__all__ = ["K_BY_MATERIAL", "NAVY", "bend", "checked_k"]

K_BY_MATERIAL = {
    "steel": Fraction("0.41"),
    "aluminum": Fraction("0.41"),
    "stainless": Fraction("0.45"),
}
"""Where the line of no stretch lies, as a part of the thickness from the inside. Machinery's Handbook, bend
allowances for 90 degrees: 0.64 times the thickness for soft steel and aluminum, 0.71 for cold-rolled and spring
steel; over π/2 that is 0.41 and 0.45 (from memory). Stainless is taken with the hard ones: common practice, no
source."""

NAVY = "navy"
"""The material that stands for the US Navy's rule, one for all: (0.0173 · R + 0.0078 · T) inches a degree (aviation
structural mechanic's manual, tpub.com/air/13-19.htm)."""
_NAVY_RADIUS, _NAVY_THICKNESS = Fraction("0.0173"), Fraction("0.0078")


def checked_k(k: Fraction) -> Fraction:
    """K where it can be one.

    Raises:
        Slip: where it does not lie between nothing and a half.
    """
    if not 0 < k <= Fraction(1, 2):
        raise Slip(f"K can't be {Length(k)}. It lies between nothing and a half.")
    return k


def bend(
    thickness: Measure,
    legs: Sequence[Measure],
    *,
    radius: Measure,
    degrees: Fraction = Fraction(90),
    k: Fraction | None = None,
    material: str = "steel",
) -> Result:
    """A strip bent between its legs, each bend alike: the flat blank and the center line of every bend.

    Thickness, legs (outside) and inside radius are in inches. ``degrees`` is how far it is bent from flat,
    under 180. ``k`` is between 0 and 1/2; where it is not given, the one of the ``material``, or the Navy's rule.
    Whichever it is, it is said back.

        bend allowance    π/180 · A · (R + k·T)
        outside setback   (R + T) · tan(A / 2)
        blank             sum of legs - bends · (2 · setback - allowance)
        a bend line       legs before it, less the setback, with half the allowance

    Machinery's Handbook, 26th edition (by way of vedge.org).

    Raises:
        Slip: where a leg is too short to bend, or a size, an angle or k cannot be.
    """
    thick = limits.positive(thickness.length, "thickness", thickness.form)
    inside = limits.length(radius.length, radius.form)
    if len(legs) < 2:
        raise Slip("A bend has two legs. How long is the other?")
    limits.angle(degrees, 180, "bend")
    allowance, by, worked = _allowance(thick, inside, degrees, k, material)
    setback: Size = (inside + thick) * tan(degrees / 2)
    for place, leg in enumerate(legs):
        needed: Size = setback * (1 if place in (0, len(legs) - 1) else 2)
        if limits.positive(leg.length, "leg", leg.form) <= needed:
            raise Slip(
                f"A leg of {limits.said(leg.length, leg.form)} is too short: the bend takes "
                f"{limits.said(needed, leg.form)}. Check the numbers."
            )
    deduction = setback * 2 - allowance
    total = sum((leg.length for leg in legs), Length(0))
    bends = len(legs) - 1
    blank = Value("blank", total - deduction * bends)
    lines = []
    before = Length(0)
    for place, leg in enumerate(legs[:-1]):
        before = before + leg.length
        lines.append(Value("bend line", before - deduction * place - setback + allowance / 2))
    return Result(
        values=(
            blank,
            *lines,
            Value("bend allowance", allowance),
            Value("outside setback", setback),
            Value("bend deduction", deduction),
        ),
        say=_say(blank, lines),
        marks=tuple(lines),
        datum="the first leg's end",
        closing=total - deduction * bends,
        steps=(
            *worked,
            ("Radius and thickness is ", steps.about(inside + thick, 4)),
            ("That times the tangent of half the bend is ", steps.about(setback, 4)),
            ("Twice that less the allowance is ", steps.about(deduction, 4)),
            (Exactly(total), " less ", bends, " times that is ", steps.about(blank.amount, 3)),
        ),
        cautions=(cautions.BEND_TEST_STRIP, cautions.RADIUS_FROM_DIE),
        heard=(*_heard(thickness, legs, radius, degrees), *by),
        form=legs[0].form,
    )


def _allowance(
    thick: Length, inside: Length, degrees: Fraction, k: Fraction | None, material: str
) -> tuple[Size, Phrase, tuple[Phrase, ...]]:
    """The bend allowance, what it goes by as it is said back, and its steps."""
    if k is None and material == NAVY:
        inch = inside * _NAVY_RADIUS + thick * _NAVY_THICKNESS
        whole = inch * degrees
        return (
            whole,
            (", the Navy rule",),
            (
                (steps.about(_NAVY_RADIUS, 4), " times the radius is ", steps.about(inside * _NAVY_RADIUS, 6)),
                (steps.about(_NAVY_THICKNESS, 4), " times the thickness is ", steps.about(thick * _NAVY_THICKNESS, 6)),
                ("The two times ", steps.about(degrees, 2), " degrees is ", steps.about(whole, 4)),
            ),
        )
    part = K_BY_MATERIAL[material] if k is None else checked_k(k)
    around: Size = (inside + thick * part) * (degrees / 180) * PI
    return (
        around,
        (f", {material}, K " if k is None else ", K ", steps.about(part, 4)),
        (
            ("K times the thickness is ", steps.about(thick * part, 4)),
            ("Radius and that is ", steps.about(inside + thick * part, 4)),
            ("Around ", steps.about(degrees, 2), " degrees of that is ", steps.about(around, 4)),
        ),
    )


def _say(blank: Value, lines: Sequence[Value]) -> Phrase:
    said: Phrase = ("blank ", blank, ", bend line ", lines[0])
    for line in lines[1:]:
        said += (", then ", line)
    return (*said, " from the first leg's end")


def _heard(thickness: Measure, legs: Sequence[Measure], radius: Measure, degrees: Fraction) -> Phrase:
    said: list[str | Quantity] = ["Bend ", thickness, ", legs "]
    for leg in legs:
        said += [leg, " by "]
    return (
        *said[:-1],
        ", radius ",
        radius,
        *(() if degrees == 90 else (", ", steps.about(degrees, 1), " degrees")),
    )
