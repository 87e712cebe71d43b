"""Camber: how high a beam or bar stands off straight along its length."""

from __future__ import annotations

from fractions import Fraction

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits
from assistant.layout.result import Exactly, Phrase, Result, Value

__all__ = ["camber"]


def camber(length: Measure, middle: Measure, *, parts: int = 4) -> Result:
    """Offsets off the straight line at equal parts of a length, for a camber at the middle. All in inches.

    On a parabola, 4·h·x·(L - x) / L²: at the quarters it is three quarters of the middle.

    Raises:
        Slip: where the camber is over half the length, or a size or count cannot be.
    """
    whole = limits.positive(length.length, "length", length.form)
    high = limits.positive(middle.length, "camber", middle.form)
    if high * 2 > whole:
        raise Slip(
            f"A camber of {limits.said(high, middle.form)} is too much for {limits.said(whole, length.form)}. "
            "Check the numbers."
        )
    if limits.count(parts) < 2:
        raise Slip("One part has no marks. Say two parts or more.")
    shares = [4 * Fraction(k, parts) * (1 - Fraction(k, parts)) for k in range(1, parts)]
    marks = tuple(
        Value(f"at {limits.said(whole * k / parts, length.form)}", high * share) for k, share in enumerate(shares, 1)
    )
    center = Value("middle", high)
    quarter = Value("quarter", high * Fraction(3, 4))
    steps: tuple[Phrase, ...] = tuple(
        (Exactly(high * share), " is ", Exactly(high), " times ", share.numerator, " over ", share.denominator)
        for share in dict.fromkeys(shares)
        if share != 1
    )
    return Result(
        values=(center, quarter),
        say=("middle ", center, ", quarters ", quarter),
        marks=marks,
        datum="the straight line",
        steps=steps,
        cautions=(cautions.CAMBER_DRAWING,),
        heard=("Camber ", middle, " in ", length),
        form=middle.form,
    )
