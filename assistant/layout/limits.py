"""What no task on the bench can be asked for, and the sentence that says so."""

from __future__ import annotations

from fractions import Fraction

from assistant.errors import Slip
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form, written

__all__ = ["LONGEST", "MOST", "count", "fits", "length"]

LONGEST = Length(1000 * INCHES_PER_FOOT)
"""Anything over a thousand feet was misheard: no tape and no stick is near it."""
MOST = 1000
"""The most parts, pieces or holes of one request."""


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
        raise Slip(f"That comes out {_said(-size, form)} below nothing. Check the numbers.")
    if size > LONGEST:
        raise Slip(f"{_said(size, form)} is over a thousand feet. Say it again.")
    return size


def fits(off: Length, whole: Length, form: Form = Form.INCHES) -> None:
    """Raise a Slip where more is to come off than there is."""
    if off > whole:
        raise Slip(f"You can't take {_said(off, form)} off {_said(whole, form)}. Check the numbers.")


def _said(size: Length, form: Form) -> str:
    return written(size, form)
