"""How big an opening in a machine guard may be, by how far it stands from the moving part."""

from __future__ import annotations

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits
from assistant.layout.result import Result, Value
from assistant.length import Length

__all__ = ["guard_opening"]

_TABLE = (
    ("1 1/2", "1/4"),
    ("2 1/2", "3/8"),
    ("3 1/2", "1/2"),
    ("5 1/2", "5/8"),
    ("6 1/2", "3/4"),
    ("7 1/2", "7/8"),
    ("12 1/2", "1 1/4"),
    ("15 1/2", "1 1/2"),
    ("17 1/2", "1 7/8"),
    ("31 1/2", "2 1/8"),
)
"""Up to this far, in inches, no opening wider than that: 29 CFR 1910.217, table O-10, from a half inch out. By way
of Hartford TIPS S 849.015."""
_NEAREST, _FARTHEST = Length("1/2"), Length("31 1/2")


def guard_opening(distance: Measure) -> Result:
    """The widest opening at a distance from the moving part, both in inches. On a limit, the smaller one.

    Raises:
        Slip: where the table has no such distance.
    """
    away = limits.positive(distance.length, "distance", distance.form)
    if not _NEAREST <= away <= _FARTHEST:
        raise Slip(
            f"The table runs from {_NEAREST} to {_FARTHEST}, and {limits.said(away, distance.form)} is not in it. "
            "Ask the safety man."
        )
    opening = Value("opening", next(Length(most) for far, most in _TABLE if away <= Length(far)))
    return Result(
        values=(opening,),
        say=("no opening over ", opening),
        cautions=(cautions.MACHINE_GUARD,),
        heard=("Guard ", distance, " from the moving part"),
        form=distance.form,
    )
