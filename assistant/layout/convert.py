"""A measurement in another unit, with how far it lies from the mark."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.requests import Measure
from assistant.layout import limits
from assistant.layout.result import Exactly, Phrase, Result, Rounded, Value
from assistant.length import INCHES_PER_FOOT, MM_PER_INCH, Length
from assistant.tape import MILLIMETERS, SIXTEENTHS, Form, Tape, read

__all__ = ["convert"]

_UNITS = {
    Form.INCHES: "inches",
    Form.FEET: "feet and inches",
    Form.MILLIMETERS: "millimeters",
    Form.DECIMAL: "decimal inches",
}
_PLACES = 4
"""Decimal inches are said to the ten-thousandth, as printed tables of decimal equivalents are."""


def convert(m: Measure, form: Form, tape: Tape = SIXTEENTHS) -> Result:
    """The same length in another form. The length itself never changes; only how it is said does.

    ``tape`` is the one it will be marked with; millimeters are always marked with a millimeter tape. Where
    the length is not on a mark, the error is said: thousandths of an inch, or tenths of a millimeter.

    Raises:
        Slip: where the measurement is negative or over a thousand feet.
    """
    limits.length(m.length, m.form)
    same = Value(_UNITS[form], m.length, lean=m.lean)
    past = m.length - read(m.length, MILLIMETERS if form is Form.MILLIMETERS else tape).mark
    values: tuple[Value, ...] = (same,)
    said: Phrase = (same,)
    if past and form is not Form.DECIMAL:
        values = (same, Value("over" if past > Length(0) else "under", abs(past)))
        said = (same, ", ", *_error(past, form))
    return Result(values=values, say=said, steps=_steps(m, form), heard=(m, " in ", _UNITS[form]), form=form)


def _error(past: Length, form: Form) -> Phrase:
    """How far past its mark, in the smallest unit a shop speaks of."""
    metric = form is Form.MILLIMETERS
    size = _rounded(abs(past.mm) * 10 if metric else abs(past.inches) * 1000, 0)
    unit, of = ("tenth", " of a millimeter") if metric else ("thousandth", "")
    side = " over the mark" if past > Length(0) else " under the mark"
    if not size.amount:
        return (f"less than a {unit}{of}{side}",)
    return (int(size.amount), f" {unit}{'' if size.amount == 1 else 's'}{of}{side}")


def _steps(m: Measure, form: Form) -> tuple[Phrase, ...]:
    """Over the exact ratio of the two units, one step for each change."""
    inches = Exactly(m.length)
    mm_per_inch = Rounded(MM_PER_INCH, 1)
    steps: list[Phrase] = []
    if form is Form.MILLIMETERS:
        if m.form is Form.FEET:
            steps.append(_into_inches(m))
        if m.form is not Form.MILLIMETERS:
            steps.append((inches, " times ", mm_per_inch, " is ", _rounded(m.length.mm, _PLACES), " millimeters"))
        return tuple(steps)
    if m.form is Form.MILLIMETERS:
        steps.append((Exactly(m.length, m.form), " by ", mm_per_inch, " is ", _rounded(m.length.inches, _PLACES)))
    elif m.form is Form.FEET and form is not Form.FEET:
        steps.append(_into_inches(m))
    elif form is Form.FEET and m.form is not Form.FEET:
        feet, left = m.length.feet_and_inches()
        steps.append((INCHES_PER_FOOT, " goes into ", inches, " ", feet, " times, ", Exactly(Length(left)), " left"))
    part = m.length.inches % 1
    if form is Form.DECIMAL and m.form is not Form.MILLIMETERS and part:
        steps.append((part.numerator, " by ", part.denominator, " is ", _rounded(part, _PLACES)))
    return tuple(steps)


def _into_inches(m: Measure) -> Phrase:
    feet, left = m.length.feet_and_inches()
    return (feet, " times ", INCHES_PER_FOOT, " plus ", Exactly(Length(left)), " is ", Exactly(m.length))


def _rounded(number: Fraction, places: int) -> Rounded:
    return Rounded(Fraction((number * 10**places + Fraction(1, 2)).__floor__(), 10**places), places)
