"""How a tape shows a length: the nearest mark, and whether the length is on it, a little over or a little under.

The rule (common practice, no source): on the mark when within 1/128 in of it; otherwise the nearest mark with
"plus" (a little over) or "minus" (a little under); exactly half way is the lower mark "plus". On a tape of
thirty-seconds, half way between two sixteenths is a mark of its own. The exact value is never replaced by
the reading: it goes on being used for everything after.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Protocol

from assistant.length import Length

__all__ = [
    "EIGHTHS",
    "MILLIMETERS",
    "ON_THE_MARK",
    "SIXTEENTHS",
    "TAPES",
    "THIRTY_SECONDS",
    "Feet",
    "Form",
    "Lean",
    "Reading",
    "Real",
    "Tape",
    "form_of",
    "read",
    "written",
]

ON_THE_MARK = Length(Fraction(1, 128))
"""Within this of a mark, a length is on it: an eighth of a sixteenth, less than a scribed line is wide."""


class Lean(Enum):
    """Where a length lies beside the mark it is read at."""

    ON = "on"
    PLUS = "plus"
    MINUS = "minus"


class Form(Enum):
    """How a length is written and said."""

    INCHES = "inches"
    FEET = "feet"
    """Feet and inches."""
    MILLIMETERS = "millimeters"
    DECIMAL = "decimal"
    """Decimal inches; only when asked for."""


class Feet(Enum):
    """When an answer in inches or feet is given in feet and inches."""

    SAID = "said"
    """Where he said feet."""
    ALWAYS = "always"
    NEVER = "never"


class Real(Protocol):
    """What a tape can read: an exact Length, or an enclosure of an irrational one.

    Comparisons are with exact lengths, and proven.
    """

    def __floordiv__(self, by: Length, /) -> int: ...
    def __lt__(self, other: Length, /) -> bool: ...
    def __le__(self, other: Length, /) -> bool: ...
    def __gt__(self, other: Length, /) -> bool: ...


@dataclass(frozen=True, slots=True)
class Tape:
    """A tape by its graduations."""

    name: str
    """As it is said: "sixteenths"."""
    step: Length
    """From one mark to the next."""


EIGHTHS = Tape("eighths", Length(Fraction(1, 8)))
SIXTEENTHS = Tape("sixteenths", Length(Fraction(1, 16)))
THIRTY_SECONDS = Tape("thirty-seconds", Length(Fraction(1, 32)))
MILLIMETERS = Tape("millimeters", Length.from_mm(1))
TAPES = (EIGHTHS, SIXTEENTHS, THIRTY_SECONDS, MILLIMETERS)


@dataclass(frozen=True, slots=True)
class Reading:
    """A length as a tape shows it."""

    mark: Length
    """The nearest graduation."""
    lean: Lean
    tape: Tape


def read(length: Real, tape: Tape = SIXTEENTHS) -> Reading:
    """The mark nearest to a length that is not negative, and the lean.

    >>> read(Length("26 13/16"))
    Reading(mark=Length('26 13/16'), lean=<Lean.ON: 'on'>, tape=Tape(name='sixteenths', step=Length('1/16')))
    >>> read(Length("29 7/32")).mark, read(Length("29 7/32")).lean
    (Length('29 3/16'), <Lean.PLUS: 'plus'>)
    >>> read(Length("64 2/3")).mark, read(Length("64 2/3")).lean
    (Length('64 11/16'), <Lean.MINUS: 'minus'>)
    """
    below = tape.step * (length // tape.step)
    above = below + tape.step
    if length <= below + ON_THE_MARK:
        return Reading(below, Lean.ON, tape)
    if length <= below + tape.step / 2:
        return Reading(below, Lean.PLUS, tape)
    if length < above - ON_THE_MARK:
        return Reading(above, Lean.MINUS, tape)
    return Reading(above, Lean.ON, tape)


def _inches(inches: Fraction) -> str:
    return str(Length(inches))


def written(mark: Length, form: Form = Form.INCHES) -> str:
    """A mark as it is written on a sheet, without its lean.

    >>> written(Length("26 13/16"))
    '26 13/16'
    >>> written(Length("55 15/16"), Form.FEET)
    '4\\'-7 15/16"'
    >>> written(Length("72"), Form.FEET)
    '6\\'-0"'
    >>> written(Length("12 1/2"), Form.FEET)
    '1\\'-0 1/2"'
    >>> written(Length("7 1/2"), Form.FEET)
    '7 1/2"'
    >>> written(Length.from_mm(600), Form.MILLIMETERS)
    '600 mm'
    >>> written(Length("5 3/16"), Form.DECIMAL)
    '5.1875'
    """
    if form is Form.MILLIMETERS:
        return f"{_decimal(mark.mm, 1)} mm"
    if form is Form.DECIMAL:
        return _decimal(mark.inches, 4)
    feet, inches = mark.feet_and_inches()
    if form is Form.FEET and feet:
        return f"{feet}'-{'0 ' if 0 < inches < 1 else ''}{_inches(inches)}\""
    return f'{_inches(mark.inches)}"' if form is Form.FEET else _inches(mark.inches)


def form_of(written: str) -> Form:
    """The form a mark was written in.

    >>> form_of("4'-7 15/16\\""), form_of("26 13/16")
    (<Form.FEET: 'feet'>, <Form.INCHES: 'inches'>)
    """
    if written.endswith("mm"):
        return Form.MILLIMETERS
    if "'" in written or '"' in written:
        return Form.FEET
    return Form.DECIMAL if "." in written else Form.INCHES


def _decimal(value: Fraction, places: int) -> str:
    """``value`` in decimals, rounded half up, without trailing zeros."""
    scaled = (value * 10**places + Fraction(1, 2)).__floor__()
    whole, part = divmod(scaled, 10**places)
    tail = f"{part:0{places}d}".rstrip("0")
    return f"{whole}.{tail}" if tail else str(whole)
