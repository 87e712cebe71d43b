"""Rings and rolled bars, and arcs by chord, rise and radius."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import PI, acos, asin
from assistant.enclosure import Enclosure, Number, Size, length_of, sqrt
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, shapes, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form

__all__ = ["arc", "ring", "rolled"]

_EVERY = Measure(Length(INCHES_PER_FOOT))
"""Ordinates are given each foot. Common practice, no source."""


def ring(
    thickness: Measure,
    *,
    inside: Measure | None = None,
    outside: Measure | None = None,
    degrees: Fraction = Fraction(360),
) -> Result:
    """The bar to cut for a ring, or for part of one, by its inside or outside diameter. All in inches.

    The bar is as long as the ring's line of no stretch: the middle of the thickness.

    Raises:
        Slip: where the bar is thicker than the ring allows, or a size or angle cannot be. ValueError where
            not just one diameter is given.
    """
    thick = limits.positive(thickness.length, "bar", thickness.form)
    return _ring(thick, thick / 2, "middle of the bar", ("bar ", thickness), inside, outside, degrees)


def rolled(
    name: str,
    *,
    leg_out: bool,
    inside: Measure | None = None,
    outside: Measure | None = None,
    degrees: Fraction = Fraction(360),
) -> Result:
    """The angle or channel to cut for a ring with its leg, the longer one of an angle, standing out or in.

    By its designation and the ring's inside or outside diameter, over the leg's edge where that stands there; in
    inches. The line of no stretch is the one through the center of gravity. Common practice, no source.

    Raises:
        Slip: where the table has no such shape; otherwise as ``ring``. ValueError as ``ring``.
    """
    line = shapes.find(name)
    leg = Length(line["depth" if line["kind"] == "L" else "width"])
    center = Length(line["center"])
    which = "longer leg" if line["kind"] == "L" and line["depth"] != line["width"] else "leg"
    heard: Phrase = (*shapes.called(line), f", {which} out" if leg_out else f", {which} in")
    deep = center if leg_out else leg - center
    return _ring(leg, deep, "center of gravity", heard, inside, outside, degrees)


def _ring(
    thick: Length,
    depth: Length,
    axis: str,
    bar: Phrase,
    inside: Measure | None,
    outside: Measure | None,
    degrees: Fraction,
) -> Result:
    """A ring of a bar ``thick`` from its inside to its outside, its line of no stretch ``depth`` from the inside."""
    if (inside is None) == (outside is None):
        raise ValueError("give the inside or the outside diameter")
    if not 0 < degrees <= 360:
        raise Slip(f"A ring can't turn {Length(degrees)} degrees. Say 360 or less.")
    given = inside or outside
    assert given is not None
    across = limits.positive(given.length, "ring", given.form)
    inner = across if inside is not None else across - thick * 2
    if inner <= Length(0):
        raise Slip(
            f"A bar of {limits.said(thick)} is too thick for a ring of "
            f"{limits.said(across, given.form)} outside. Check the numbers."
        )
    neutral = inner + depth * 2
    cut = Value("cut", neutral * (degrees / 360) * PI)
    side = "inside" if inside is not None else "outside"
    return Result(
        values=(cut, Value(f"diameter at the {axis}", neutral)),
        say=("cut ", cut),
        steps=(
            (f"The diameter at the {axis} is ", Exactly(neutral)),
            (Exactly(neutral), " times ", steps.about(PI, 4), " is ", steps.about(neutral * PI, 3)),
            *(
                ()
                if degrees == 360
                else ((steps.about(degrees, 2), " of 360 degrees is ", steps.about(cut.amount, 3)),)
            ),
        ),
        cautions=(cautions.ROLLS_WASTE, cautions.TRY_ONE),
        heard=("Ring ", given, f" {side}, ", *bar, *(() if degrees == 360 else _turn(degrees))),
        form=given.form,
    )


def _turn(degrees: Fraction) -> Phrase:
    return (", ", steps.about(degrees, 1), " degrees")


def arc(
    *,
    chord: Measure | None = None,
    rise: Measure | None = None,
    radius: Measure | None = None,
    every: Measure = _EVERY,
) -> Result:
    """From any two of an arc's chord, rise and radius, the third; its length, and ordinates off the chord.

    All in inches. The ordinates stand on the chord at its middle and at each ``every`` to both sides. By a
    chord and a radius the shorter of the two arcs is meant.

    Raises:
        Slip: where the radius is shorter than half the chord, the rise is over twice the radius, or a size
            cannot be. ValueError unless two are given.
    """
    given = [(n, m) for n, m in (("chord", chord), ("rise", rise), ("radius", radius)) if m is not None]
    if len(given) != 2:
        raise ValueError("give two of chord, rise and radius")
    form = given[0][1].form
    known = {name: limits.positive(m.length, name, m.form).inches for name, m in given}
    step = limits.positive(every.length, "spacing", every.form)
    c, h, r, k = _solve(known, form)
    angle = 2 * (asin(known["chord"] / 2 / r) if isinstance(k, Enclosure) else acos(k / r))
    length = Value("arc", length_of(r * angle / 180 * PI))
    missing = next(name for name in ("radius", "rise", "chord") if name not in known)
    answer = Value(missing, length_of({"chord": c, "rise": h, "radius": r}[missing]))
    half = length_of(c / 2)
    reach = half // step
    if reach > limits.MOST:
        raise Slip(f"That is {reach} ordinates a side, more than I can count. Say a bigger spacing.")
    places = [step * i for i in range(reach + 1) if step * i < half]
    marks = tuple(Value(_place(x), length_of(h) if not x else length_of(sqrt(r * r - x.inches**2) - k)) for x in places)
    return Result(
        values=(answer, length, *marks[1:]),
        say=(f"{missing} ", answer, ", around the arc ", length),
        marks=marks,
        datum="the chord",
        steps=_steps(missing, known, answer.amount),
        cautions=(cautions.STRAIGHT_EDGE,),
        heard=(f"{given[0][0].capitalize()} ", given[0][1], f", {given[1][0]} ", given[1][1]),
        form=form,
    )


def _solve(known: dict[str, Fraction], form: Form) -> tuple[Number, Number, Fraction, Number]:
    """Chord, rise, radius, and how far the center lies behind the chord (below nothing: in front)."""
    if "radius" not in known:
        c, h = known["chord"], known["rise"]
        r = (c * c / 4 + h * h) / (2 * h)
        return c, h, r, r - h
    r = known["radius"]
    if "chord" in known:
        c = known["chord"]
        if 2 * r < c:
            raise Slip(
                f"A radius of {limits.said(Length(r), form)} is shorter than half the chord of "
                f"{limits.said(Length(c), form)}. Check the numbers."
            )
        k = sqrt(r * r - c * c / 4)
        return c, r - k, r, k
    h = known["rise"]
    if h >= 2 * r:
        raise Slip(
            f"A rise of {limits.said(Length(h), form)} is over twice the radius of "
            f"{limits.said(Length(r), form)}. Check the numbers."
        )
    return 2 * sqrt(2 * r * h - h * h), h, r, r - h


def _place(x: Length) -> str:
    return f"{limits.said(x)} from the middle" if x else "the middle"


def _steps(missing: str, known: dict[str, Fraction], answer: Size | Fraction | int) -> tuple[Phrase, ...]:
    if missing == "radius":
        c, h = known["chord"], known["rise"]
        return (
            ("Half the chord, ", Exactly(Length(c / 2)), ", times itself is ", steps.about(c * c / 4, 4)),
            ("The rise, ", Exactly(Length(h)), ", times itself is ", steps.about(h * h, 4)),
            ("The two together, by twice the rise, ", Exactly(Length(2 * h)), ", is ", steps.about(answer, 3)),
        )
    if missing == "rise":
        c, r = known["chord"], known["radius"]
        return (
            ("The radius, ", Exactly(Length(r)), ", times itself is ", steps.about(r * r)),
            ("Half the chord, ", Exactly(Length(c / 2)), ", times itself is ", steps.about(c * c / 4)),
            ("The root of the difference is ", steps.about(sqrt(r * r - c * c / 4), 3)),
            ("The radius less that is ", steps.about(answer, 3)),
        )
    h, r = known["rise"], known["radius"]
    return (
        ("Twice the radius less the rise, times the rise, is ", steps.about((2 * r - h) * h)),
        ("Twice the root of that is ", steps.about(answer, 3)),
    )
