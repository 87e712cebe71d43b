"""Holes about a center line: gage lines across, and a row of holes along."""

from __future__ import annotations

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value

__all__ = ["gage_lines", "row"]


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


def row(along: Measure, *, holes: int, pitch: Measure, first: Measure | None = None) -> Result:
    """A row of holes at a pitch, from one end: about the center, or the first at a distance. All in inches.

    Raises:
        Slip: where a hole would be off the piece, or a size or count cannot be.
    """
    whole = limits.positive(along.length, "length", along.form)
    holes = limits.count(holes, "holes")
    step = limits.positive(pitch.length, "pitch", pitch.form)
    stretch = step * (holes - 1)
    if first is None and stretch >= whole:
        raise Slip(
            f"{holes} holes at {limits.said(step, pitch.form)} take {limits.said(stretch, along.form)}, more than "
            f"{limits.said(whole, along.form)}. Check the numbers."
        )
    start = (whole - stretch) / 2 if first is None else limits.positive(first.length, "first hole", first.form)
    last = start + stretch
    if last >= whole:
        raise Slip(
            f"The last hole lands at {limits.said(last, along.form)}, off the end of "
            f"{limits.said(whole, along.form)}. Check the numbers."
        )
    marks = tuple(Value("", start + step * k) for k in range(holes))
    worked = steps.multiply(step, holes - 1, along.form) if holes > 2 else ()
    if first is None:
        worked += steps.subtract(whole, stretch, along.form) if stretch else ()
        worked += steps.halve(whole - stretch, along.form)
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


def _asked(holes: int, pitch: Measure) -> Phrase:
    return (holes, " hole " if holes == 1 else " holes ", *(("at ", pitch, " ") if holes > 1 else ()))
