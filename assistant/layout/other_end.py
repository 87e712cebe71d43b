"""The same marks from the other end, and what to read while holding the tape on an inch."""

from __future__ import annotations

from dataclasses import replace

from assistant.enclosure import Enclosure
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Result, Value
from assistant.length import Length

__all__ = ["held", "other_end", "turned"]


def other_end(whole: Measure, mark: Measure) -> Result:
    """Where a mark lies from the other end of a piece. All in inches.

    Raises:
        Slip: where the mark is off the piece, or a size cannot be.
    """
    limits.length(whole.length, whole.form)
    limits.length(mark.length, mark.form)
    limits.fits(mark.length, whole.length, whole.form)
    there = Value("from the other end", whole.length - mark.length, lean=whole.lean - mark.lean)
    return Result(
        values=(there,),
        say=(there, " from the other end"),
        marks=(there,),
        datum="the other end",
        closing=whole.length,
        steps=steps.subtract(whole.length, mark.length, whole.form),
        heard=(mark, " in ", whole),
        form=whole.form,
    )


def turned(result: Result) -> Result:
    """A result with all its marks read from the other end, in the order he then meets them.

    Raises:
        Slip: where the answer has no marks, or no far end to measure from.
    """
    whole = result.closing
    if not result.marks or whole is None:
        raise Slip("There are no marks to turn round. Ask for a layout first.")
    marks = tuple(
        replace(m, amount=whole - m.amount, lean=-m.lean)
        for m in reversed(result.marks)
        if isinstance(m.amount, (Length, Enclosure))
    )
    return replace(result, marks=marks, datum="the other end")


def held(mark: Measure, burn: Length) -> Result:
    """What the tape reads at a mark while its inch line ``burn`` is held on the end. All in inches.

    Raises:
        Slip: where a size cannot be.
    """
    limits.length(mark.length, mark.form)
    limits.positive(burn, "held inch")
    reads = Value("read", limits.length(mark.length + burn, mark.form), lean=mark.lean)
    return Result(
        values=(reads,),
        say=("read ", reads),
        steps=steps.sum_up([mark.length, burn], mark.form),
        cautions=(cautions.GIVE_IT_BACK,),
        heard=(mark, ", holding on the ", Measure(burn)),
        form=mark.form,
    )
