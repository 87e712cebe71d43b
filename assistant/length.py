"""A length, as an exact rational number of inches.

Every measurement, mark and limit in Tapehand is one of these. A length is never a float: halving, dividing
by seven and adding up a string of readings lose nothing, and the mark is rounded once, when it is spoken.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import overload

__all__ = ["INCHES_PER_FOOT", "MM_PER_INCH", "Length"]

INCHES_PER_FOOT = 12
MM_PER_INCH = Fraction(254, 10)
"""Exact since the international yard and pound agreement of 1959; NIST SP 811, Appendix B."""

_FRACTION = r"\d+\s*/\s*\d+"
_INCHES = rf"(?:(?P<whole>\d+(?:\.\d+)?|\.\d+)(?:(?:\s+|\s*-\s*)(?P<part>{_FRACTION}))?|(?P<bare>{_FRACTION}))"
_LITERAL = re.compile(
    rf"""\s*(?P<sign>-)?\s*
    (?:
        (?P<mm>\d+(?:\.\d+)?)\s*mm
      | (?:(?P<feet>\d+)\s*(?:'|ft\b)\s*-?\s*)?(?:{_INCHES}\s*(?:"|in\b)?)?
    )\s*""",
    re.VERBOSE,
)


def _fraction(text: str) -> Fraction:
    above, below = text.split("/")
    return Fraction(int(above), int(below))


class Length:
    """An exact number of inches: immutable, hashable, ordered.

    >>> Length("53 5/8")
    Length('53 5/8')
    >>> Length("53 5/8") / 2
    Length('26 13/16')
    >>> Length("4'-7 15/16\\"").inches
    Fraction(895, 16)
    >>> Length("11' 4 3/8") == Length(136) + Length("3/8")
    True
    >>> Length("53.625") == Length("53 5/8")
    True
    >>> Length("600 mm").inches
    Fraction(3000, 127)
    >>> Length("10/16") == Length("5/8")
    True
    >>> Length(7) / Length(2)
    Fraction(7, 2)
    >>> Length(53.625)
    Traceback (most recent call last):
    TypeError: a Length is exact: give an int, a Fraction or text, not 53.625
    """

    __slots__ = ("_inches",)
    _inches: Fraction

    def __new__(cls, value: int | Fraction | str | Length = 0) -> Length:
        """From whole or rational inches, or from text.

        Text may be inches and a fraction (``"53 5/8"``, ``"53-5/8"``, ``"5/8"``, ``"53.625"``), feet and
        inches (``"4'-7 15/16\\""``, ``"11 ft 4"``) or millimeters (``"600 mm"``).

        Raises:
            TypeError: for a float, which cannot be exact.
            ValueError: for text that is none of these; ZeroDivisionError for a fraction over nothing.
        """
        self = object.__new__(cls)
        if isinstance(value, Length):
            inches = value._inches
        elif isinstance(value, str):
            inches = cls._read(value)
        elif isinstance(value, (int, Fraction)) and not isinstance(value, bool):
            inches = Fraction(value)
        else:
            raise TypeError(f"a Length is exact: give an int, a Fraction or text, not {value!r}")
        object.__setattr__(self, "_inches", inches)
        return self

    @staticmethod
    def _read(text: str) -> Fraction:
        found = _LITERAL.fullmatch(text)
        if not found or not any(found[g] for g in ("mm", "feet", "whole", "bare")):
            raise ValueError(f"not a length: {text!r}")
        if found["mm"]:
            size = Fraction(found["mm"]) / MM_PER_INCH
        else:
            size = Fraction(found["whole"] or 0) + INCHES_PER_FOOT * int(found["feet"] or 0)
            for group in ("part", "bare"):
                if found[group]:
                    size += _fraction(found[group])
        return -size if found["sign"] else size

    @classmethod
    def from_mm(cls, millimeters: int | Fraction) -> Length:
        """The length of so many millimeters.

        >>> Length.from_mm(254)
        Length('10')
        """
        return cls(Fraction(millimeters) / MM_PER_INCH)

    @property
    def inches(self) -> Fraction:
        """The value in inches."""
        return self._inches

    @property
    def mm(self) -> Fraction:
        """The value in millimeters.

        >>> Length("3/4").mm
        Fraction(381, 20)
        """
        return self._inches * MM_PER_INCH

    def feet_and_inches(self) -> tuple[int, Fraction]:
        """Whole feet, and the inches left over (0 or more, under 12). For lengths that are not negative.

        >>> Length("55 15/16").feet_and_inches()
        (4, Fraction(127, 16))
        """
        feet = int(self._inches // INCHES_PER_FOOT)
        return feet, self._inches - INCHES_PER_FOOT * feet

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a Length does not change")

    def __reduce__(self) -> tuple[type[Length], tuple[Fraction]]:
        return Length, (self._inches,)

    def __add__(self, other: Length) -> Length:
        return Length(self._inches + other._inches) if isinstance(other, Length) else NotImplemented

    def __sub__(self, other: Length) -> Length:
        return Length(self._inches - other._inches) if isinstance(other, Length) else NotImplemented

    def __mul__(self, times: int | Fraction) -> Length:
        return Length(self._inches * times) if isinstance(times, (int, Fraction)) else NotImplemented

    __rmul__ = __mul__

    @overload
    def __truediv__(self, by: Length) -> Fraction: ...
    @overload
    def __truediv__(self, by: int | Fraction) -> Length: ...
    def __truediv__(self, by: Length | int | Fraction) -> Fraction | Length:
        if isinstance(by, Length):
            return self._inches / by._inches
        return Length(self._inches / by) if isinstance(by, (int, Fraction)) else NotImplemented

    def __floordiv__(self, by: Length) -> int:
        """How many whole times ``by`` goes into this length."""
        return int(self._inches // by._inches) if isinstance(by, Length) else NotImplemented

    def __neg__(self) -> Length:
        return Length(-self._inches)

    def __abs__(self) -> Length:
        return Length(abs(self._inches))

    def __bool__(self) -> bool:
        return bool(self._inches)

    def __hash__(self) -> int:
        return hash((Length, self._inches))

    def __eq__(self, other: object) -> bool:
        return self._inches == other._inches if isinstance(other, Length) else NotImplemented

    def __lt__(self, other: Length) -> bool:
        return self._inches < other._inches if isinstance(other, Length) else NotImplemented

    def __le__(self, other: Length) -> bool:
        return self._inches <= other._inches if isinstance(other, Length) else NotImplemented

    def __gt__(self, other: Length) -> bool:
        return self._inches > other._inches if isinstance(other, Length) else NotImplemented

    def __ge__(self, other: Length) -> bool:
        return self._inches >= other._inches if isinstance(other, Length) else NotImplemented

    def __str__(self) -> str:
        """Whole inches and the exact fraction, as a person writes it.

        >>> str(Length(Fraction(-429, 16)))
        '-26 13/16'
        """
        whole, part = divmod(abs(self._inches), 1)
        words = " ".join(([str(whole)] if whole or not part else []) + ([str(part)] if part else []))
        return ("-" if self._inches < 0 else "") + words

    def __repr__(self) -> str:
        return f"Length({str(self)!r})"
