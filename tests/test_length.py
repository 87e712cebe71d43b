"""Length against fractions and python-flint."""

import operator
import pickle
from fractions import Fraction

import flint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.length import Length
from tests.layout.strategies import lengths

inches = st.fractions(min_value=-20000, max_value=20000, max_denominator=4096)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("53 5/8", Fraction(429, 8)),
        ("53-5/8", Fraction(429, 8)),
        ("5/8", Fraction(5, 8)),
        ("10/16", Fraction(5, 8)),
        ("53.625", Fraction(429, 8)),
        (".5", Fraction(1, 2)),
        ("-3", Fraction(-3)),
        ("11'", Fraction(132)),
        ("11' 4 3/8", Fraction(1091, 8)),
        ("11'-4 3/8\"", Fraction(1091, 8)),
        ("11 ft 4", Fraction(136)),
        ("5/8 in", Fraction(5, 8)),
        ("254 mm", Fraction(10)),
        ("0", Fraction(0)),
    ],
)
def test_text(text, value):
    assert Length(text).inches == value


@pytest.mark.parametrize("text", ["", " ", "five", "5 8", "5/", "/8", "5 3", "1'2'", "1e3", "5 mm 3", "--5", "nan"])
def test_text_that_is_no_length(text):
    with pytest.raises(ValueError, match="not a length"):
        Length(text)


def test_a_fraction_over_nothing():
    with pytest.raises(ZeroDivisionError):
        Length("3 1/0")


@pytest.mark.parametrize("value", [0.5, 1.0, True, None, complex(1), b"5"])
def test_what_is_not_exact_is_refused(value):
    with pytest.raises(TypeError):
        Length(value)


def test_a_length_does_not_change():
    size = Length(5)
    with pytest.raises(AttributeError):
        size._inches = Fraction(6)
    assert pickle.loads(pickle.dumps(size)) == size


@pytest.mark.parametrize("wrong", [1, Fraction(1), 1.0])
def test_lengths_and_numbers_do_not_mix(wrong):
    for op in (operator.add, operator.sub, operator.lt):
        with pytest.raises(TypeError):
            op(Length(1), wrong)
    assert Length(1) != wrong


@pytest.mark.parametrize("op", [operator.mul, operator.truediv])
def test_a_length_is_never_scaled_by_a_float(op):
    with pytest.raises(TypeError):
        op(Length(1), 0.5)


def q(value: Fraction) -> flint.fmpq:
    return flint.fmpq(value.numerator, value.denominator)


@given(inches, inches, st.integers(1, 1000))
def test_arithmetic_agrees_with_another_library(a, b, n):
    x, y = Length(a), Length(b)
    for ours, theirs in [
        (x + y, q(a) + q(b)), (x - y, q(a) - q(b)), (x * n, q(a) * n), (n * x, q(a) * n), (x / n, q(a) / n),
        (-x, -q(a)), (abs(x), abs(q(a))),
    ]:  # fmt: skip
        assert q(ours.inches) == theirs
    assert (x < y, x <= y, x == y, x > y, x >= y) == (a < b, a <= b, a == b, a > b, a >= b)
    if b:
        assert q(x / y) == q(a) / q(b)
        assert x // y == int((q(a) / q(b)).floor())
    assert len({x, y}) == len({a, b})
    assert bool(x) == bool(a)


@given(inches)
def test_written_and_read_again(a):
    assert Length(str(Length(a))) == Length(a)
    assert eval(repr(Length(a)), {"Length": Length}) == Length(a)


@given(lengths())
def test_feet_and_inches_make_the_whole(size):
    feet, left = size.feet_and_inches()
    assert feet * 12 + left == size.inches
    assert 0 <= left < 12
