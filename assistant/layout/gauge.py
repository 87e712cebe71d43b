"""How thick a sheet or a tube's wall is by its gauge number, which goes by the metal."""

from __future__ import annotations

from fractions import Fraction

from assistant.errors import Slip
from assistant.layout import cautions, tables
from assistant.layout.result import Result, Rounded, Value
from assistant.length import Length

__all__ = ["gauge", "thickness"]

_TUBE = "tube wall"
_OUNCES_A_POUND = 16
_SHEET = {"steel": Fraction("41.82"), "stainless": Fraction(40)}
"""Pounds a square foot for an inch of thickness, by which a gauge of so many ounces is so thick."""
_PLACES = 4


def thickness(number: int, of: str) -> Length:
    """In inches, of sheet ("steel", "stainless" or "aluminum") or of the wall of a steel tube ("tube wall").

    Raises:
        Slip: where the table has no such gauge.
    """
    if of not in (*_SHEET, "aluminum", _TUBE):
        raise Slip(f"I have no gauges of {of}. Say the thickness.")
    for line in tables.rows("gauges"):
        if int(line["gauge"]) == number:
            break
    else:
        raise Slip(f"I have no {number} gauge in my table. It runs from 7 to 30. Say the thickness.")
    if of in _SHEET:
        return Length(Fraction(line["ounces"]) / _OUNCES_A_POUND / _SHEET[of])
    return Length(Fraction(line["tube" if of == _TUBE else of]))


def gauge(number: int, of: str) -> Result:
    """That thickness, as a decimal and on the tape.

    Raises:
        Slip: as ``thickness``.
    """
    length = thickness(number, of)
    thick = Value("thickness", length)
    scale = 10**_PLACES
    decimal = Rounded(Fraction((length.inches * scale + Fraction(1, 2)).__floor__(), scale), _PLACES)
    return Result(
        values=(thick,),
        say=(decimal, ", on the tape ", thick),
        cautions=(cautions.BY_THE_METAL,),
        heard=(number, " gauge tube" if of == _TUBE else f" gauge {of} sheet"),
    )
