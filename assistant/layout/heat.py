"""What heat does to a length: how far a weld pulls a joint together, and how long steel is while it is hot.

Both are to know of, never taken off or added by anything here.
"""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import tan
from assistant.enclosure import Size
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Result, Value
from assistant.length import Length
from assistant.tape import Form

__all__ = ["growth", "weld_shrinkage"]

SHRINKAGE = Fraction("0.10")
"""Across a butt weld, for each square inch of weld and inch of thickness. A method statement that cites Lincoln's
Procedure Handbook and Blodgett."""
GROWTH = Fraction("0.0000065")
"""Of its length, for each degree Fahrenheit. Steel, AISC Manual (from memory)."""
_HOTTEST = 2000
"""Degrees hotter than this is past forging heat, and was misheard."""


def weld_shrinkage(thickness: Measure, *, opening: Measure | None = None, groove: Fraction = Fraction(0)) -> Result:
    """How far one butt weld pulls its plates together, about; thickness and root opening in inches.

    ``groove`` is the whole angle of a single V in degrees, nothing for a square edge. The weld fills opening and
    groove, without reinforcement.

        area         t · opening + t² · tan(groove / 2)
        shrinkage    0.10 · area / t

    Raises:
        Slip: where there is nothing to fill, or a size or angle cannot be.
    """
    thick = limits.positive(thickness.length, "thickness", thickness.form)
    gap = limits.length(opening.length, opening.form) if opening is not None else Length(0)
    if groove:
        limits.angle(groove, 180, "groove")
    if not groove and not gap:
        raise Slip("With no opening and no groove there is no weld to pull. How wide is the opening?")
    wide: Size = gap + thick * tan(groove / 2) if groove else gap
    area = wide * thick.inches
    pull = Value("shrinkage", wide * SHRINKAGE)
    return Result(
        values=(pull,),
        say=("about ", steps.about(pull.amount, 3), " across each weld, on the tape ", pull),
        steps=(
            ("The opening and half the groove come to ", steps.about(wide, 3)),
            ("Times the thickness is the weld's area, about ", steps.about(area, 4)),
            ("A tenth of the area, by the thickness, is ", steps.about(pull.amount, 4)),
        ),
        cautions=(cautions.RULE_OF_THUMB, cautions.ALLOW_FOR_WELD),
        heard=(
            *("Butt weld in ", thickness),
            *((", opening ", opening) if opening is not None else ()),
            *((", groove ", steps.about(groove, 1), " degrees") if groove else ()),
        ),
        form=Form.INCHES,
    )


def growth(length: Measure, degrees: Fraction) -> Result:
    """How much longer steel is for so many degrees Fahrenheit; length in inches.

    Raises:
        Slip: where the length or the degrees cannot be.
    """
    cold = limits.positive(length.length, "length", length.form)
    limits.angle(degrees, _HOTTEST, "heat")
    longer = Value("growth", cold * (GROWTH * degrees))
    part = steps.about(GROWTH * degrees, 6)
    return Result(
        values=(longer, Value("hot", cold * (1 + GROWTH * degrees))),
        say=("longer by ", steps.about(longer.amount, 3), ", on the tape ", longer),
        steps=(
            (steps.about(GROWTH * 10**6, 1), " millionths times ", steps.about(degrees, 1), " degrees is ", part),
            (Exactly(cold, length.form), " times that is ", steps.about(longer.amount, 4)),
        ),
        cautions=(cautions.HOT_STEEL,),
        heard=(length, ", ", steps.about(degrees, 1), " degrees hotter"),
        form=length.form,
    )
