"""π, sines, tangents and their inverses, of angles in degrees, as enclosures; exact where they are rational.

A sine or cosine of rational degrees is rational only at 0, ±1/2 and ±1, a tangent only at 0 and ±1 (Niven,
Irrational Numbers, 1956, corollary 3.12): those come out as fractions, so that a brace at thirty degrees
loses nothing.

The series are summed in whole numbers. Each floored term is off by less than two units in the last place
and the tail by less than the first term left out, which ``_slack`` covers with room to spare.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from assistant.enclosure import Bounds, Enclosure, Number, enclose, sqrt

__all__ = ["PI", "acos", "asin", "atan", "cos", "sin", "sin_squared", "tan"]

HALF = Fraction(1, 2)
_HALVINGS = 3
"""An arc tangent is halved so often before its series is summed, which then gains over six bits a term."""


def _slack(terms: int) -> int:
    return 3 * terms + 4


def _pi(bits: int) -> Bounds:
    """Machin's formula: π/4 = 4 atan 1/5 - atan 1/239."""
    guard = 16
    one = 1 << (bits + guard)
    (a, more), (b, less) = _arctan_of_one_over(5, one), _arctan_of_one_over(239, one)
    slack = 16 * _slack(more) + 4 * _slack(less)
    whole = 16 * a - 4 * b
    return (whole - slack) >> guard, -(-(whole + slack) >> guard)


def _arctan_of_one_over(n: int, one: int) -> tuple[int, int]:
    """The arc tangent times ``one``, and how many terms were summed."""
    power, total, k = one // n, 0, 0
    while power:
        total += (-power if k % 2 else power) // (2 * k + 1)
        power //= n * n
        k += 1
    return total, k


PI = Enclosure(_pi)
"""The circumference over the diameter."""


def _series(x: int, bits: int, divisor: Callable[[int], int], first: int) -> tuple[int, int]:
    """An alternating series in x² from ``first``, each term x²/divisor of the last; and how many terms."""
    square = x * x >> bits
    term, total, k = first, 0, 0
    while term:
        total += -term if k % 2 else term
        k += 1
        term = (term * square >> bits) // divisor(k)
    return total, k


def _sin_to(x: int, bits: int) -> tuple[int, int]:
    return _series(x, bits, lambda k: 2 * k * (2 * k + 1), x)


def _cos_to(x: int, bits: int) -> tuple[int, int]:
    return _series(x, bits, lambda k: 2 * k * (2 * k - 1), 1 << bits)


def _atan_to(x: int, bits: int) -> tuple[int, int]:
    square = x * x >> bits
    power, total, k = x, 0, 0
    while power:
        total += (-power if k % 2 else power) // (2 * k + 1)
        power = power * square >> bits
        k += 1
    return total, k


def _monotone(of: Enclosure, to: Callable[[int, int], tuple[int, int]], falling: bool = False) -> Enclosure:
    """A function that only rises, or only falls, over the bounds of a number that is not negative."""

    def within(bits: int) -> Bounds:
        low, high = of.at(bits)
        (first, a), (last, b) = to(max(low, 0), bits), to(high, bits)
        if falling:
            first, last, a, b = last, first, b, a
        return first - _slack(a), last + _slack(b)

    return Enclosure(within)


def sin(degrees: int | Fraction) -> Number:
    """The sine of an angle in degrees.

    >>> sin(30), sin(Fraction(45, 2)).decimal(5)
    (Fraction(1, 2), '0.38268')
    """
    turn = Fraction(degrees) % 360
    if turn >= 180:
        return -sin(turn - 180)
    turn = min(turn, 180 - turn)
    if turn in (0, 30, 90):
        return {0: Fraction(0), 30: HALF, 90: Fraction(1)}[int(turn)]
    if turn > 45:
        return _monotone(PI * ((90 - turn) / 180), _cos_to, falling=True)
    return _monotone(PI * (turn / 180), _sin_to)


def cos(degrees: int | Fraction) -> Number:
    """The cosine of an angle in degrees."""
    return sin(Fraction(degrees) + 90)


def sin_squared(degrees: int | Fraction) -> Number:
    """The square of the sine: rational at every 15 degrees where the root is not, so that roots stay exact.

    >>> sin_squared(45), sin_squared(60)
    (Fraction(1, 2), Fraction(3, 4))
    """
    return (1 - cos(2 * Fraction(degrees))) / 2


def tan(degrees: int | Fraction) -> Number:
    """The tangent of an angle in degrees.

    >>> tan(45), tan(Fraction(45, 2)).decimal(5)
    (Fraction(1, 1), '0.41421')

    Raises:
        ZeroDivisionError: at 90 degrees.
    """
    turn = Fraction(degrees) % 180
    if turn == 90:
        raise ZeroDivisionError("the tangent of ninety degrees has no end")
    if turn in (0, 45, 135):
        return {0: Fraction(0), 45: Fraction(1), 135: Fraction(-1)}[int(turn)]
    return sin(turn) / cos(turn)


def atan(slope: int | Number) -> Number:
    """The angle in degrees with this tangent, between -90 and 90.

    >>> atan(1), atan(Fraction(3, 4)).decimal(6)
    (Fraction(45, 1), '36.8699')
    """
    if slope < 0:
        return -atan(-slope)
    if slope > 1:
        return 90 - atan(1 / (slope if isinstance(slope, Enclosure) else Fraction(slope)))
    if not isinstance(slope, Enclosure) and slope in (0, 1):
        return Fraction(45 * slope)
    z: Number = slope if isinstance(slope, Enclosure) else Fraction(slope)
    for _ in range(_HALVINGS):
        z = z / (1 + sqrt(1 + z * z))
    return _monotone(enclose(z), _atan_to) * (180 << _HALVINGS) / PI


def asin(sine: int | Number) -> Number:
    """The angle in degrees with this sine, between -90 and 90.

    Raises:
        ValueError: for a sine over 1 either way.
    """
    if sine < 0:
        return -asin(-sine)
    if not isinstance(sine, Enclosure):
        sine = Fraction(sine)
        if sine in (HALF, 1):
            return Fraction(30) if sine == HALF else Fraction(90)
    if sine > 1:
        raise ValueError("no angle has a sine over one")
    return atan(sine / sqrt(1 - sine * sine))


def acos(cosine: int | Number) -> Number:
    """The angle in degrees with this cosine, between 0 and 180.

    Raises:
        ValueError: for a cosine over 1 either way.
    """
    return 90 - asin(cosine)
