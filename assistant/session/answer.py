"""One answer, as it is spoken, shown and written out."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from assistant.language.requests import Measure
from assistant.session.deeds import Deed
from assistant.tape import SIXTEENTHS, Lean, Tape

__all__ = ["Answer", "Offered", "ShownMark", "ShownValue"]


@dataclass(frozen=True, slots=True)
class ShownValue:
    name: str
    unit: str
    exact: str
    """A reduced fraction or whole number; for an irrational, decimals to at least 12 significant digits."""
    tape: str = ""
    """The mark as written; empty where the unit is not a length."""
    lean: Lean = Lean.ON
    inches: Fraction | None = None
    """The exact value where there is one, for drawing."""
    beside: str = ""
    """The same mark in feet and inches, where it is said in inches and comes to a foot or more."""

    @property
    def figure(self) -> str:
        """A number that is no length, as it is spoken: a weight in whole pounds, up; others to a tenth.

        >>> ShownValue("each", "lb", "816/5").figure, ShownValue("bevel", "deg", "36.8698976458440").figure
        ('164', '36.9')
        """
        amount = Fraction(self.exact)
        if self.unit == "lb":
            return str(ceil(amount))
        sign, tenths = "-" if amount < 0 else "", floor(abs(amount) * 10 + Fraction(1, 2))
        return f"{sign}{tenths // 10}.{tenths % 10}".removesuffix(".0")

    @property
    def unit_word(self) -> str:
        """What is written after ``figure``."""
        return "" if self.unit in ("count", "ratio") else self.unit

    @property
    def amount(self) -> str:
        """A number that is no length, as it is written."""
        return f"{self.figure} {self.unit_word}".rstrip()


@dataclass(frozen=True, slots=True)
class ShownMark:
    index: int
    """From 1."""
    count: int
    exact: str
    tape: str
    lean: Lean = Lean.ON
    name: str = ""
    inches: Fraction | None = None
    beside: str = ""
    """As ``ShownValue.beside``."""


@dataclass(frozen=True, slots=True)
class Offered:
    """A numbered choice."""

    key: str
    """ "1", "2", …"""
    say: str
    exact: str = ""
    """Where the choice is a length."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The reply to one request. ``status`` is answer, question, done, refused or not-understood."""

    heard: str
    status: str
    say: str
    values: tuple[ShownValue, ...] = ()
    marks: tuple[ShownMark, ...] = ()
    steps: tuple[str, ...] = ()
    step_sizes: tuple[Fraction | None, ...] = ()
    """Inches each step comes to, for drawing; none where it comes to no length. As many as there are steps."""
    cautions: tuple[str, ...] = ()
    choices: tuple[Offered, ...] = ()
    request: Deed | None = None
    """What was understood, as it was asked."""
    piece: Measure | None = None
    """The piece in hand after it, for the drawing."""
    at: int | None = None
    """Which mark is lit, from 1, when one is being walked."""
    tape: Tape = SIXTEENTHS
    """What it is read on, for the drawing."""
    marks_on: Fraction | None = None
    """Inches of what the marks are laid out on, for the drawing; none where they do not close on a length."""
    held: Fraction | None = None
    """The inch he holds on the end, while he does."""
