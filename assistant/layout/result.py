"""What a layout task answers with, before anybody says or draws it.

A phrase is plain words with quantities left in as values, so that the same answer can be spoken for a tape
of sixteenths or thirty-seconds, in feet or in inches, without the trade arithmetic knowing.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.enclosure import Enclosure
from assistant.language.requests import Measure
from assistant.length import Length
from assistant.tape import Form, Real

__all__ = ["Exactly", "Phrase", "Quantity", "Result", "Rounded", "Unit", "Value"]

Unit = str
"""``in``, ``count``, ``lb``, ``deg``, ``mm`` or ``ratio``."""


@dataclass(frozen=True, slots=True)
class Exactly:
    """A length to be said as the exact fraction it is, not as the tape shows it: for the steps."""

    length: Length
    form: Form = Form.INCHES
    """Feet and inches, inches, or millimeters; never decimal, which could not be exact."""
    bottom: int | None = None
    """Say all of it over this bottom number, whole inches too, even where it would come down: "eight
    sixteenths" for a half. The length is a whole number of these parts."""


@dataclass(frozen=True, slots=True)
class Rounded:
    """A plain number to be said in decimals, where a decimal is what is wanted: 21.3 degrees."""

    amount: Fraction
    """Already rounded to ``places``."""
    places: int


@dataclass(frozen=True, slots=True)
class Value:
    """One named answer."""

    name: str
    """In the trade's words: "center", "space", "total"."""
    amount: Length | Enclosure | Fraction | int
    """A length in inches where ``unit`` is "in"; otherwise a number of the unit."""
    unit: Unit = "in"
    lean: Fraction = Fraction(0)
    """Pluses carried from what was measured, less the minuses; see ``language.requests.Measure``."""


Quantity = Real | Exactly | Rounded | Value | Measure | int
"""A length is said as the tape shows it. A Value or a Measure is said with its lean; a Measure in its own form."""
Phrase = tuple[str | Quantity, ...]
"""For example ``("Center of ", Measure(Length("53 5/8")), ": ", Length("26 13/16"))``."""


@dataclass(frozen=True, slots=True)
class Result:
    """Everything one task has to tell."""

    values: tuple[Value, ...]
    """The answer first, then what else he should know."""
    say: Phrase
    """The answer in one breath, after the read-back. No full stop."""
    marks: tuple[Value, ...] = ()
    """Running dimensions, each from the one datum, in order. The name is empty unless a mark has its own."""
    datum: str = "one end"
    """What the marks are measured from: "one end", "either end", "the front"."""
    closing: Length | Enclosure | None = None
    """Where the last mark and what is left must come out: the whole piece."""
    steps: tuple[Phrase, ...] = ()
    """How a person gets there in the head, one step a phrase. True for the numbers at hand."""
    cautions: tuple[str, ...] = ()
    """Plain words this answer owes."""
    heard: Phrase = ()
    """What was asked, to be said back before the answer: the sentence is "{heard}: {say}."."""
    form: Form = Form.INCHES
    """How the answer's lengths are said and written."""
