"""Holes about a center line: gage lines across, a row of holes along, and a grid of them both ways."""

from __future__ import annotations

from dataclasses import replace

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, shapes, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length
from assistant.tape import Form

__all__ = ["gage_lines", "gage_of_angle", "gage_of_shape", "grid", "row"]


def gage_lines(width: Measure, gage: Measure) -> Result:
    """The two hole lines of a gage about the center of a width, from one edge. All in inches.

    Raises:
        Slip: where the gage is wider than the piece, or a size cannot be.
    """
    across = limits.positive(width.length, "width", width.form)
    apart = limits.positive(gage.length, "gage", gage.form)
    if apart >= across:
        raise Slip(
            f"A gage of {limits.said(apart, gage.form)} runs off a width of {limits.said(across, width.form)}. "
            "Check the numbers."
        )
    near, far = Value("near line", (across - apart) / 2), Value("far line", (across + apart) / 2)
    return Result(
        values=(near, far, Value("center", across / 2)),
        say=(near, " and ", far),
        marks=(near, far),
        datum="one edge",
        closing=across,
        steps=(
            *steps.halve(across, width.form),
            *steps.halve(apart, width.form),
            (Exactly(across / 2), " less ", Exactly(apart / 2), " is ", Exactly(across / 2 - apart / 2)),
            (Exactly(across / 2), " plus ", Exactly(apart / 2), " is ", Exactly(across / 2 + apart / 2)),
        ),
        cautions=(cautions.USE_DRAWING, cautions.WEB_OR_HEEL),
        heard=("Gage ", gage, " about the center of ", width),
        form=width.form,
    )


def gage_of_shape(name: str) -> Result:
    """The hole lines of a beam's flange or a channel's at the usual gage of the table, in inches: a beam's from one
    edge of its flange, a channel's from its back.

    Raises:
        Slip: where the table has no such shape, or no usual gage for it.
    """
    line = shapes.find(name)
    if not line["gage"]:
        kind, sizes = line["kind"], line["shape"].removeprefix(line["kind"]).replace("x", " by ")
        raise Slip(f"There is no usual gage in my table for {kind} {sizes}. Use the drawing.")
    heard: Phrase = ("Usual gage of ", *shapes.called(line))
    gage, width = Measure(Length(line["gage"])), Measure(Length(line["width"]))
    if line["kind"] == "C":
        return _from_the("back", gage, heard)
    lines = gage_lines(width, gage)
    return replace(lines, datum="one edge of the flange", heard=(*heard, ", ", gage, " on ", width))


_ANGLE_GAGES = {"4": "2 1/2", "3 1/2": "2", "3": "1 3/4", "2 1/2": "1 3/8", "2": "1 1/8"}
"""The usual gage from the heel in an angle's leg, one line. AISC Manual (from memory)."""


def gage_of_angle(leg: Measure) -> Result:
    """The usual hole line in an angle's leg, from the heel, both in inches.

    Raises:
        Slip: where there is none for such a leg.
    """
    long = limits.positive(leg.length, "leg", leg.form)
    for size, gage in _ANGLE_GAGES.items():
        if Length(size) == long:
            return _from_the("heel", Measure(Length(gage)), ("Usual gage of a ", leg, " angle"))
    raise Slip(f"There is no usual gage in my table for a leg of {limits.said(long, leg.form)}. Use the drawing.")


def _from_the(datum: str, gage: Measure, heard: Phrase) -> Result:
    line = Value("gage line", gage.length)
    return Result(
        values=(line,),
        say=(line, f" from the {datum}"),
        marks=(line,),
        datum=f"the {datum}",
        cautions=(cautions.USE_DRAWING, cautions.WEB_OR_HEEL),
        heard=heard,
    )


def row(along: Measure, *, holes: int, pitch: Measure, first: Measure | None = None) -> Result:
    """A row of holes at a pitch, from one end: about the center, or the first at a distance. All in inches.

    Raises:
        Slip: where a hole would be off the piece, or a size or count cannot be.
    """
    whole = limits.positive(along.length, "length", along.form)
    holes = limits.count(holes, "holes")
    step = limits.positive(pitch.length, "pitch", pitch.form)
    stretch = step * (holes - 1)
    places = _places(whole, holes, step, first, along.form)
    start, last = places[0], places[-1]
    marks = tuple(Value("", place) for place in places)
    worked = steps.multiply(step, holes - 1, along.form) if holes > 2 else ()
    worked += _centered(whole, places, first is None, along.form)
    edge = Value("first hole", start)
    return Result(
        values=(
            edge,
            Value("holes", holes, "count"),
            Value("first to last", stretch),
            Value("left", whole - last),
        ),
        say=(holes, " hole, first at " if holes == 1 else " holes, first at ", edge),
        marks=marks,
        closing=whole,
        steps=worked,
        cautions=(cautions.USE_DRAWING, cautions.ONE_END),
        heard=(
            *_asked(holes, pitch),
            *(("about the center of ",) if first is None else ("from ", first, " in ")),
            along,
        ),
        form=along.form,
    )


def grid(
    along: Measure,
    width: Measure,
    *,
    columns: int,
    rows: int,
    pitch: Measure,
    gage: Measure,
    end: Measure | None = None,
    edge: Measure | None = None,
) -> Result:
    """Holes in columns along and rows across a plate, every one from the same two edges. All in inches.

    ``pitch`` is the spacing along, ``gage`` the one across. The first is ``end`` from the end and ``edge`` from
    the edge; without them the grid is about the center lines.

    Raises:
        Slip: where a hole would be off the plate, or a size or count cannot be.
    """
    long = limits.positive(along.length, "length", along.form)
    wide = limits.positive(width.length, "width", width.form)
    limits.count(limits.count(columns, "holes") * limits.count(rows, "holes"), "holes")
    right = _places(long, columns, limits.positive(pitch.length, "pitch", pitch.form), end, along.form)
    up = _places(wide, rows, limits.positive(gage.length, "gage", gage.form), edge, width.form)
    spots = [(x, y) for y in up for x in right]
    first_along, first_across = Value("first along", right[0]), Value("first across", up[0])
    worked = (
        *_centered(long, right, end is None, along.form),
        *_centered(wide, up, edge is None, width.form),
    )
    return Result(
        values=(
            first_along,
            first_across,
            Value("holes", columns * rows, "count"),
            Value("first to last along", right[-1] - right[0]),
            Value("first to last across", up[-1] - up[0]),
        ),
        say=(columns * rows, " holes, first at ", first_along, " along, ", first_across, " across"),
        marks=tuple(
            mark
            for k, (x, y) in enumerate(spots, start=1)
            for mark in (Value(f"hole {k}, along", x), Value(f"hole {k}, across", y))
        ),
        datum="the same two edges",
        steps=worked,
        cautions=(cautions.USE_DRAWING, cautions.SAME_EDGES),
        heard=(
            *("Grid ", columns, " by ", rows, " at ", pitch, " by ", gage, " on ", along, " by ", width),
            *(() if end is None else (", ", end, " from the end")),
            *(() if edge is None else (", ", edge, " from the edge")),
        ),
        form=along.form,
    )


def _places(whole: Length, holes: int, step: Length, first: Measure | None, form: Form) -> list[Length]:
    """Where each of some holes at a spacing lies from one end: about the center, or the first at a distance."""
    stretch = step * (holes - 1)
    if first is None and stretch >= whole:
        raise Slip(
            f"{holes} holes at {limits.said(step, form)} take {limits.said(stretch, form)}, and there is "
            f"{limits.said(whole, form)}. Check the numbers."
        )
    start = (whole - stretch) / 2 if first is None else limits.positive(first.length, "first hole", first.form)
    if start + stretch >= whole:
        raise Slip(
            f"The last hole lands at {limits.said(start + stretch, form)}, off the end of "
            f"{limits.said(whole, form)}. Check the numbers."
        )
    return [start + step * k for k in range(holes)]


def _centered(whole: Length, places: list[Length], about_center: bool, form: Form) -> tuple[Phrase, ...]:
    """How the first hole of a centered row is found."""
    stretch = places[-1] - places[0]
    if not about_center:
        return ()
    return (*(steps.subtract(whole, stretch, form) if stretch else ()), *steps.halve(whole - stretch, form))


def _asked(holes: int, pitch: Measure) -> Phrase:
    return (holes, " hole " if holes == 1 else " holes ", *(("at ", pitch, " ") if holes > 1 else ()))
