"""Checking a cut piece against what it should be."""

from __future__ import annotations

from fractions import Fraction

from assistant.enclosure import Enclosure, Size, magnitude
from assistant.language.requests import Measure
from assistant.layout import limits, steps
from assistant.layout.result import Phrase, Result, Value
from assistant.length import Length
from assistant.tape import ON_THE_MARK

__all__ = ["check_cut"]


def check_cut(cut: Measure, wanted: Size, *, lean: Fraction = Fraction(0)) -> Result:
    """How much longer or shorter a piece is than wanted, both in inches. ``lean`` is that of what was wanted.

    Dead on is within what a tape calls on the mark, 1/128 in. Where the piece was given with a tolerance band,
    whether it is inside is said, and decided on the exact difference.

    Raises:
        Slip: where a size cannot be.
    """
    limits.length(cut.length, cut.form)
    off: Size = cut.length - wanted
    size = magnitude(off)
    dead_on = size <= ON_THE_MARK
    over = off > Length(0)
    name = "dead on" if dead_on else "long" if over else "short"
    error = Value(name, size, lean=(cut.lean - lean) * (1 if over else -1))
    band: Phrase = ()
    if cut.band is not None:
        band = (", inside the band",) if size <= cut.band else (", outside the band",)
    return Result(
        values=(error, Value("wanted", wanted, lean=lean)),
        say=("dead on", *band) if dead_on else (error, f" {name}", *band),
        steps=_steps(cut, wanted),
        heard=("Check ", cut),
        form=cut.form,
    )


def _steps(cut: Measure, wanted: Size) -> tuple[Phrase, ...]:
    if isinstance(wanted, Enclosure):
        return ((steps.about(cut.length, 3), " against ", steps.about(wanted, 3)),)
    high, low = max(cut.length, wanted), min(cut.length, wanted)
    return steps.subtract(high, low, cut.form)
