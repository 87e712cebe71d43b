"""What a pipe elbow takes off: from where the center lines meet to the elbow's end."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import tan
from assistant.enclosure import Size
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps, tables
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length
from assistant.tape import written

__all__ = ["elbow", "take_off"]

_STOCKED = ("90", "45")


def take_off(nps: Fraction, degrees: Fraction) -> Size:
    """Center to end of a long radius elbow of a nominal size, in inches.

    Elbows of 90 and 45 degrees are by the table; any other turn up to 90 is one of 90 cut down, the elbow's
    radius times the tangent of half the turn. Common practice, no source.

    Raises:
        Slip: where the table has no such size, or the angle cannot be.
    """
    line = _line(nps)
    if str(degrees) in _STOCKED:
        return Length(line[str(degrees)])
    if degrees > 90:
        raise Slip(f"An elbow of {written(Length(degrees))} degrees is past ninety. Say ninety or less.")
    limits.angle(degrees, 90, "elbow")
    return Length(line["90"]) * tan(degrees / 2)


def elbow(nps: Fraction, degrees: Fraction) -> Result:
    """The take-off of a long radius elbow, in inches.

    Raises:
        Slip: as ``take_off``.
    """
    off = Value("take-off", take_off(nps, degrees))
    radius = Length(_line(nps)["90"])
    cut_down: tuple[Phrase, ...] = (
        ("The tangent of half the turn is ", steps.about(tan(degrees / 2), 4)),
        (Exactly(radius), " times that is the take-off, about ", steps.about(off.amount, 3)),
    )
    return Result(
        values=(off, Value("radius", radius)),
        say=("take-off ", off),
        steps=() if str(degrees) in _STOCKED else cut_down,
        cautions=(cautions.MEASURE_FITTING, cautions.CODE_WELDER),
        heard=(Measure(Length(nps)), " inch pipe, long radius elbow of ", steps.about(degrees, 1), " degrees"),
    )


def _line(nps: Fraction) -> dict[str, str]:
    for line in tables.rows("elbows"):
        if Length(line["nps"]).inches == nps:
            return line
    raise Slip(f"I have no elbow for {Length(Fraction(nps))} inch pipe. Measure its center to end.")
