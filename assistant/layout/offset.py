"""Simple and rolling pipe offsets: travel, run, and the pipe to cut."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import atan, sin_squared
from assistant.enclosure import Size, hypotenuse, length_of, sqrt
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Phrase, Result, Value
from assistant.length import Length

__all__ = ["offset"]


def offset(
    rise: Measure,
    *,
    roll: Measure | None = None,
    fitting: Fraction = Fraction(45),
    take_off: Measure | None = None,
    gap: Measure | None = None,
) -> Result:
    """The travel between two fittings of an angle in degrees, center to center, and the pipe to cut.

    ``rise`` is the set; with ``roll`` to the side it is a rolling offset. ``take_off`` is one fitting's center
    to its end and ``gap`` one root opening: both come off at both ends. All lengths in inches.

    Raises:
        Slip: where the fittings take more than the travel, or a size or angle cannot be.
    """
    limits.angle(fitting, 90, "fitting")
    legs = [limits.positive(rise.length, "set", rise.form)]
    if roll is not None:
        legs.append(limits.positive(roll.length, "roll", roll.form))
    square = sum((leg.inches**2 for leg in legs), Fraction(0))
    share = sin_squared(fitting)
    true, travel = hypotenuse(*legs), length_of(sqrt(square / share))
    run = length_of(sqrt(square * (1 - share) / share))
    off = sum((2 * m.length for m in (take_off, gap) if m is not None), Length(0))
    for m in (take_off, gap):
        if m is not None:
            limits.length(m.length, m.form)
    cut: Size = travel - off
    if cut <= Length(0):
        raise Slip(
            f"The fittings and gaps take {limits.said(off, rise.form)}, all of a travel of "
            f"{limits.said(travel, rise.form)}. Check the numbers."
        )
    answers = (Value("travel", travel), Value("run", run), *((Value("cut", cut),) if off else ()))
    rolling = (Value("true offset", true), Value("roll off plumb", atan(legs[-1] / legs[0]), "deg"))
    said: Phrase = ()
    if roll is not None:
        said = ("true offset ", rolling[0], ", ")
    for value in answers:
        said += (f"{value.name} ", value, ", ")
    return Result(
        values=(*answers, *(rolling if roll is not None else ())),
        say=said[:-1],
        steps=(
            *(steps.root_of_squares(legs, true) if roll is not None else ()),
            ("The sine of the fitting is ", steps.about(sqrt(share), 4)),
            ("The offset, ", steps.about(true, 3), ", by that is the travel, ", steps.about(travel, 3)),
            *(
                (("Travel ", steps.about(travel, 3), " less ", steps.about(off, 3), " is ", steps.about(cut, 3)),)
                if off
                else ()
            ),
        ),
        cautions=(cautions.TO_CENTERS, cautions.CODE_WELDER),
        heard=_heard(rise, roll, fitting, take_off, gap),
        form=rise.form,
    )


def _heard(
    rise: Measure, roll: Measure | None, fitting: Fraction, take_off: Measure | None, gap: Measure | None
) -> Phrase:
    heard: Phrase = ("Offset ", rise) if roll is None else ("Rolling offset ", rise, " up, ", roll, " over")
    heard += (", ", steps.about(fitting, 2), " degrees")
    if take_off is not None:
        heard += (", take-off ", take_off)
    return heard if gap is None else (*heard, ", gap ", gap)
