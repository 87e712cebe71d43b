"""What no task on the bench can be asked for, and the sentence that says so."""

from __future__ import annotations

from fractions import Fraction

from assistant.enclosure import Size
from assistant.errors import Slip
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form, read, written

__all__ = ["LONGEST", "LONGEST_STRING", "MOST", "angle", "count", "fits", "length", "positive", "said"]

LONGEST = Length(1000 * INCHES_PER_FOOT)
"""Anything over a thousand feet was misheard: no tape and no stick is near it."""
MOST = 1000
"""The most parts, pieces or holes of one request."""
LONGEST_STRING = 200
"""The most sizes in one running string: more than a person reads off without a total."""


def count(number: int | Fraction, what: str = "parts") -> int:
    """A count as a whole number from 1 to ``MOST``.

    Raises:
        Slip: for nothing, a negative, a part of one, or too many.
    """
    if number != int(number):
        raise Slip(f"{Length(Fraction(number))} is not a whole number. How many {what}?")
    if number < 1:
        raise Slip(f"It can't be {int(number)} {what}. Say one or more.")
    if number > MOST:
        raise Slip(f"{int(number)} {what} is more than I can count. Say {MOST} or fewer.")
    return int(number)


def length(size: Length, form: Form = Form.INCHES) -> Length:
    """A length that a person can have measured, or an answer that can be marked.

    Raises:
        Slip: where it is negative or over a thousand feet.
    """
    if size < Length(0):
        raise Slip(f"That comes out {said(-size, form)} below nothing. Check the numbers.")
    if size > LONGEST:
        raise Slip(f"{said(size, form)} is over a thousand feet. Say it again.")
    return size


def positive(size: Length, what: str, form: Form = Form.INCHES) -> Length:
    """A length that is there at all, named ``what`` in the refusal.

    Raises:
        Slip: where it is nothing, negative or over a thousand feet.
    """
    if not length(size, form):
        raise Slip(f"The {what} can't be nothing. How much is it?")
    return size


def angle(degrees: Fraction, most: int = 90, what: str = "angle") -> Fraction:
    """An angle between nothing and ``most`` degrees, neither included.

    Raises:
        Slip: where it is not.
    """
    if not 0 < degrees < most:
        raise Slip(f"The {what} can't be {written(Length(degrees))} degrees. Say one under {most}.")
    return degrees


def fits(off: Length, whole: Length, form: Form = Form.INCHES) -> None:
    """Raise a Slip where more is to come off than there is."""
    if off > whole:
        raise Slip(f"You can't take {said(off, form)} off {said(whole, form)}. Check the numbers.")


def said(size: Size, form: Form = Form.INCHES) -> str:
    """A length as it stands in a sentence: exact where it can be, else the nearest mark."""
    return written(size if isinstance(size, Length) else read(size).mark, form)
