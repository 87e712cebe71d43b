"""The coped corner of a frame of angle: how much of the flat leg comes away."""

from __future__ import annotations

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Phrase, Result, Value

__all__ = ["cope"]


def cope(leg: Measure, other: Measure, thickness: Measure) -> Result:
    """The cope of an angle that meets another of its size square, heels out and flat legs in one plane.

    One angle runs through. From the end of the other the flat leg comes away, heel and all, for a notch of the flat
    leg less the thickness: what stays of its standing leg lies on the flat leg of the first and ends against the
    standing leg, so each coped end is one thickness short of the outside. All in inches. Where the legs differ
    either may lie flat, and both notches are told. The root is taken as sharp: the caution says that it is not.

    Raises:
        Slip: where a size cannot be, or the thickness leaves nothing of a leg.
    """
    form = leg.form
    thick = limits.positive(thickness.length, "thickness", thickness.form)
    legs = sorted({limits.positive(size.length, "leg", size.form) for size in (leg, other)}, reverse=True)
    if thick >= legs[-1]:
        raise Slip(
            f"A leg of {limits.said(legs[-1], form)} can't be {limits.said(thick, form)} thick. Check the numbers."
        )
    short = Value("short of the outside", thick)
    worked = tuple(step for flat in legs for step in steps.subtract(flat, thick, form))
    if len(legs) == 1:
        notches = [Value("notch", legs[0] - thick)]
        say: Phrase = (notches[0], " back")
    else:
        notches = [Value(f"notch, {limits.said(flat, form)} leg flat", flat - thick) for flat in legs]
        say = (notches[0], " back with the ", legs[0], " leg flat, ", notches[1], " with the ", legs[1], " flat")
    return Result(
        values=(*notches, short),
        say=("cut the flat leg away ", *say, ", end the piece ", short, " short of the outside"),
        steps=worked,
        cautions=(cautions.ROUND_ROOT, cautions.BOTH_HANDS, cautions.TRY_ONE),
        heard=("Coped corner of ", leg, " by ", other, " by ", thickness, " angle"),
        form=form,
    )
