"""Irrational numbers, held between two exact bounds that are drawn together until the question is settled.

A square root, π, a sine: none of them is a fraction, and a rounded one may land on the wrong side of a mark
or of a limit. An ``Enclosure`` can bound its number to any number of binary places. Every comparison and
every rounding asks for tighter bounds until both give the same answer, so that the answer is proven; nothing
is rounded before it is said.

Lengths enter as their inches and come out as an ``Enclosure`` of inches: ``tape.read`` takes either. What is
rational stays exact: ``sqrt(Fraction(9, 16))`` is ``Fraction(3, 4)``.

Two numbers that agree in ``LAST`` binary places are taken as equal. Readings off a tape cannot come so close
without being equal: for a few square roots of such fractions, and for rational multiples of π, the gap is
bounded below by far more than that (separation of algebraic numbers; irrationality measure of π under 7.11,
Zeilberger and Zudilin 2020).
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import isqrt
from typing import Union

from assistant.length import Length

__all__ = ["Bounds", "Enclosure", "Number", "Size", "enclose", "hypotenuse", "length_of", "magnitude", "sqrt"]

FIRST = 96
"""Binary places asked for first: a thousand feet to a 64th, and twelve decimal digits beside."""
LAST = 4096
"""Binary places after which two numbers that still agree are equal; see above."""

Bounds = tuple[int, int]
"""Whole numbers ``low, high`` with ``low <= number * 2**bits <= high``."""
Exact = int | Fraction | Length
Number = Union[Fraction, "Enclosure"]
"""A plain number, exact where it is rational."""
Size = Union[Length, "Enclosure"]
"""A length in inches, exact where it is rational."""


class Enclosure:
    """One real number that can be bounded to any precision.

    >>> root = sqrt(Fraction(2))
    >>> root.decimal(12)
    '1.41421356237'
    >>> root < Fraction(142, 100), root * root <= 2, (root * 10) // Length(1)
    (True, True, 14)
    """

    __slots__ = ("_known", "_within")

    def __init__(self, within: Callable[[int], Bounds]) -> None:
        """``within(bits)`` gives bounds at so many binary places, tighter without end as ``bits`` grows."""
        self._within = within
        self._known: dict[int, Bounds] = {}

    def at(self, bits: int) -> Bounds:
        """``low, high`` with ``low <= number * 2**bits <= high``."""
        if bits not in self._known:
            self._known[bits] = self._within(bits)
        return self._known[bits]

    def bounds(self, bits: int = FIRST) -> tuple[Fraction, Fraction]:
        """Two fractions with the number between them, about ``2**-bits`` apart."""
        low, high = self.at(bits)
        return Fraction(low, 1 << bits), Fraction(high, 1 << bits)

    def _compare(self, other: Exact | Enclosure) -> int:
        """-1, 0 or 1 as this is less than, equal to or more than the other."""
        gap, bits = self - other, FIRST
        while bits <= LAST:
            low, high = gap.at(bits)
            if low > 0 or high < 0:
                return 1 if low > 0 else -1
            bits *= 2
        return 0

    def __lt__(self, other: Exact | Enclosure) -> bool:
        return self._compare(other) < 0

    def __le__(self, other: Exact | Enclosure) -> bool:
        return self._compare(other) <= 0

    def __gt__(self, other: Exact | Enclosure) -> bool:
        return self._compare(other) > 0

    def __ge__(self, other: Exact | Enclosure) -> bool:
        return self._compare(other) >= 0

    def __neg__(self) -> Enclosure:
        def within(bits: int) -> Bounds:
            low, high = self.at(bits)
            return -high, -low

        return Enclosure(within)

    def __abs__(self) -> Enclosure:
        return -self if self < 0 else self

    def __add__(self, other: Exact | Enclosure) -> Enclosure:
        term = enclose(other)

        def within(bits: int) -> Bounds:
            (low, high), (below, above) = self.at(bits), term.at(bits)
            return low + below, high + above

        return Enclosure(within)

    __radd__ = __add__

    def __sub__(self, other: Exact | Enclosure) -> Enclosure:
        return self + -other

    def __rsub__(self, other: Exact) -> Enclosure:
        return -self + other

    def __mul__(self, other: Exact | Enclosure) -> Enclosure:
        factor = enclose(other)

        def within(bits: int) -> Bounds:
            corners = [a * b for a in self.at(bits) for b in factor.at(bits)]
            return min(corners) >> bits, -(-max(corners) >> bits)

        return Enclosure(within)

    __rmul__ = __mul__

    def __truediv__(self, other: Exact | Enclosure) -> Enclosure:
        return _quotient(self, enclose(other))

    def __rtruediv__(self, other: Exact) -> Enclosure:
        return _quotient(enclose(other), self)

    def __floordiv__(self, by: Exact) -> int:
        """How many whole times ``by`` goes in."""
        whole, bits = self / by, FIRST
        while bits <= LAST:
            low, high = (bound >> bits for bound in whole.at(bits))
            if low == high:
                break
            bits *= 2
        return high

    def rounded(self, places: int) -> Fraction:
        """The nearest decimal of so many places."""
        ten = 10**places
        return Fraction((self * ten + Fraction(1, 2)) // 1, ten)

    def decimal(self, digits: int = 12) -> str:
        """In decimals, correctly rounded to this many significant digits.

        >>> (sqrt(Fraction(2)) / 1000).decimal(3)
        '0.00141'
        """
        if not self._compare(0):
            return "0"
        places, size = digits - 1, abs(self)
        while places and size * 10**places >= 10**digits:
            places -= 1
        while size * 10**places < 10 ** (digits - 1):
            places += 1
        whole, part = divmod(abs(int(self.rounded(places) * 10**places)), 10**places)
        return ("-" if self < 0 else "") + str(whole) + (f".{part:0{places}d}" if places else "")

    def __repr__(self) -> str:
        return f"Enclosure({self.decimal(12)})"


def enclose(number: Exact | Enclosure) -> Enclosure:
    """Any number as an enclosure; a length by its inches."""
    if isinstance(number, Enclosure):
        return number
    exact = number.inches if isinstance(number, Length) else Fraction(number)

    def within(bits: int) -> Bounds:
        above = exact.numerator << bits
        return above // exact.denominator, -(-above // exact.denominator)

    return Enclosure(within)


def _quotient(above: Enclosure, below: Enclosure) -> Enclosure:
    def within(bits: int) -> Bounds:
        places = bits
        low, high = below.at(places)
        while low <= 0 <= high:
            if places >= LAST:
                raise ZeroDivisionError("dividing by a number that is nothing")
            places *= 2
            low, high = below.at(places)
        tops = [bound << places for bound in above.at(bits)]
        return min(t // b for t in tops for b in (low, high)), max(-(-t // b) for t in tops for b in (low, high))

    return Enclosure(within)


def sqrt(number: int | Number) -> Number:
    """The square root of a number that is not negative; exact where the number is a perfect square.

    >>> sqrt(Fraction(9, 16))
    Fraction(3, 4)

    Raises:
        ValueError: for a negative number.
    """
    if number < 0:
        raise ValueError("a negative number has no square root")
    if not isinstance(number, Enclosure):
        number = Fraction(number)
        root = Fraction(isqrt(number.numerator), isqrt(number.denominator))
        if root * root == number:
            return root
    square = enclose(number)

    def within(bits: int) -> Bounds:
        low, high = square.at(bits)
        return isqrt(max(low, 0) << bits), isqrt(high << bits) + 1

    return Enclosure(within)


def length_of(inches: Number) -> Size:
    """A number of inches as a length."""
    return inches if isinstance(inches, Enclosure) else Length(inches)


def magnitude(size: Size) -> Size:
    """How long, whichever way it goes."""
    return -size if size < Length(0) else size


def hypotenuse(*legs: Length) -> Size:
    """The square root of the sum of the squares: a diagonal, a brace, a true offset.

    >>> hypotenuse(Length(36), Length(48))
    Length('60')
    """
    return length_of(sqrt(sum((leg.inches**2 for leg in legs), Fraction(0))))
