"""The center of a piece."""

from __future__ import annotations

from assistant.language.requests import Measure
from assistant.layout import limits, steps
from assistant.layout.result import Result, Value

__all__ = ["center"]


def center(m: Measure) -> Result:
    """Half of a measurement, the same from either end. Its lean is halved with it.

    >>> from assistant.length import Length
    >>> center(Measure(Length("53 5/8"))).values[0].amount
    Length('26 13/16')

    Raises:
        Slip: where the measurement is negative or over a thousand feet.
    """
    limits.length(m.length, m.form)
    middle = Value("center", m.length / 2, lean=m.lean / 2)
    return Result(
        values=(middle,),
        say=(middle,),
        marks=(middle,),
        datum="either end",
        closing=m.length,
        steps=steps.halve(m.length, m.form),
        heard=("Center of ", m),
        form=m.form,
    )
