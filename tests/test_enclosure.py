"""Enclosures against python-flint's ball arithmetic, mpmath, and printed tables."""

from fractions import Fraction

import flint
import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.angles import PI, acos, asin, atan, cos, sin, sin_squared, tan
from assistant.enclosure import Enclosure, enclose, hypotenuse, length_of, sqrt
from assistant.length import Length
from assistant.tape import TAPES, Lean, read

positive = st.fractions(min_value=Fraction(1, 4096), max_value=15000, max_denominator=4096)
any_angle = st.fractions(min_value=-720, max_value=720, max_denominator=64)
bits = st.sampled_from([8, 64, 96, 200, 768])


def ball(value: Fraction) -> flint.arb:
    return flint.arb(flint.fmpq(value.numerator, value.denominator))


def agrees(ours, theirs: flint.arb, at: int) -> None:
    """Our bounds hold the other library's number, and are no wider than they should be."""
    low, high = enclose(ours).bounds(at)
    assert ball(low) <= theirs.upper()
    assert ball(high) >= theirs.lower()
    assert high - low <= Fraction(2 ** (24 + at // 12), 1 << at), "too wide to settle anything"


@pytest.fixture(autouse=True)
def _precise():
    flint.ctx.prec = 1200
    yield
    flint.ctx.prec = 53


@pytest.mark.parametrize("at", [8, 64, 1000, 4096])
def test_pi(at):
    low, high = PI.bounds(at)
    mpmath.mp.prec = 5000
    theirs = mpmath.pi
    assert mpmath.mpf(low.numerator) / low.denominator <= theirs <= mpmath.mpf(high.numerator) / high.denominator
    assert high - low <= Fraction(4, 1 << at)


@given(positive, bits)
@settings(deadline=None)
def test_square_root(value, at):
    agrees(sqrt(value), ball(value).sqrt(), at)


@given(any_angle, bits)
@settings(deadline=None)
def test_sine_and_cosine(degrees, at):
    turn = ball(degrees) / 180
    agrees(sin(degrees), turn.sin_pi(), at)
    agrees(cos(degrees), turn.cos_pi(), at)
    agrees(sin_squared(degrees), turn.sin_pi() ** 2, at)


@given(st.fractions(min_value=-89, max_value=89, max_denominator=64), bits)
@settings(deadline=None)
def test_tangent(degrees, at):
    agrees(tan(degrees), (ball(degrees) / 180).tan_pi(), at)


@given(st.fractions(min_value=-200, max_value=200, max_denominator=64), bits)
@settings(deadline=None)
def test_inverse_tangent(slope, at):
    agrees(atan(slope), ball(slope).atan() * 180 / flint.arb.pi(), at)


@given(st.fractions(min_value=-1, max_value=1, max_denominator=64), bits)
@settings(deadline=None)
def test_inverse_sine_and_cosine(ratio, at):
    agrees(asin(ratio), ball(ratio).asin() * 180 / flint.arb.pi(), at)
    agrees(acos(ratio), ball(ratio).acos() * 180 / flint.arb.pi(), at)


@given(st.fractions(-50, 50, max_denominator=64), positive, positive, bits)
@settings(deadline=None)
def test_arithmetic(a, b, c, at):
    root, other = sqrt(b) + a, sqrt(c)
    r, o = ball(b).sqrt() + ball(a), ball(c).sqrt()
    for ours, theirs in [
        (root + other, r + o), (root - other, r - o), (root * other, r * o), (root / other, r / o),
        (a - other, ball(a) - o), (a / other, ball(a) / o), (-root, -r), (other * other, ball(c)),
        (abs(enclose(root)), abs(r)),
    ]:  # fmt: skip
        agrees(ours, theirs, at)


@given(positive, st.integers(1, 40))
@settings(deadline=None)
def test_decimals_are_correctly_rounded(value, digits):
    theirs = ball(value).sqrt()
    text = enclose(sqrt(value)).decimal(digits)
    shown = Fraction(text)
    places = len(text.partition(".")[2])
    assert len(text.replace(".", "").lstrip("0")) >= digits
    assert abs(theirs - ball(shown)) <= ball(Fraction(1, 2 * 10**places)) + flint.arb("1e-300")


@pytest.mark.parametrize(
    ("number", "printed"),
    [
        # Chord factors, shopswarf.orcon.net.nz/spacing.html: the chord of n holes on a circle of diameter 1.
        *[(sin(Fraction(180, n)), f) for n, f in [
            (3, "0.8660"), (4, "0.7071"), (6, "0.5000"), (8, "0.3827"), (9, "0.3420"), (12, "0.2588"),
            (20, "0.1564"),
        ]],
        # Offset constants, plumbinghelp.com/rolling-offset-formula: travel and run for a set of 1.
        (1 / sin(60), "1.155"), (1 / tan(60), ".577"), (1 / sin(45), "1.414"), (1 / tan(45), "1.000"),
        (1 / sin(Fraction(45, 2)), "2.613"), (1 / tan(Fraction(45, 2)), "2.414"),
        # The same for 30 and 11 1/4 degrees: computed.
        (1 / sin(30), "2.000"), (1 / tan(30), "1.732"), (1 / sin(Fraction(45, 4)), "5.126"),
        (1 / tan(Fraction(45, 4)), "5.027"),
        # 22 1/2 degrees, roots and pi: computed, as any table prints them.
        (sin(Fraction(45, 2)), "0.38268"), (cos(Fraction(45, 2)), "0.92388"), (tan(Fraction(45, 2)), "0.41421"),
        (sqrt(Fraction(2)), "1.414214"), (sqrt(Fraction(3)), "1.732051"), (sqrt(Fraction(5)), "2.236068"),
        (PI, "3.141593"),
    ],
)  # fmt: skip
def test_printed_tables(number, printed):
    assert enclose(number).rounded(len(printed.partition(".")[2])) == Fraction(printed)


@pytest.mark.parametrize(
    ("number", "exact"),
    [
        (sqrt(Fraction(9, 16)), Fraction(3, 4)),
        (sqrt(0), 0),
        (sin(30), Fraction(1, 2)),
        (sin(-30), Fraction(-1, 2)),
        (sin(150), Fraction(1, 2)),
        (sin(210), Fraction(-1, 2)),
        (sin(180), 0),
        (cos(60), Fraction(1, 2)),
        (cos(180), -1),
        (cos(270), 0),
        (tan(45), 1),
        (tan(135), -1),
        (tan(-45), -1),
        (tan(180), 0),
        (atan(1), 45),
        (atan(-1), -45),
        (atan(0), 0),
        (asin(Fraction(1, 2)), 30),
        (asin(-1), -90),
        (acos(Fraction(1, 2)), 60),
        (acos(0), 90),
        (sin_squared(45), Fraction(1, 2)),
        (sin_squared(60), Fraction(3, 4)),
        (length_of(Fraction(3)), Length(3)),
        (hypotenuse(Length(6), Length(8)), Length(10)),
    ],
)
def test_what_is_rational_stays_exact(number, exact):
    assert not isinstance(number, Enclosure)
    assert number == exact


def test_numbers_that_are_equal_compare_so():
    root = enclose(sqrt(Fraction(2)))
    assert root * root <= 2
    assert root * root >= 2
    assert not root * root < 2
    assert not root * root > Length(2)
    assert (root * root) // Length(2) == 1
    assert (root - root).decimal() == "0"
    assert read(root * root).lean is Lean.ON


@given(positive, st.sampled_from(TAPES))
@settings(deadline=None)
def test_a_tape_reads_a_root_as_squares_do(value, tape):
    """The nearest mark to a root, found by squaring marks: whole-number arithmetic alone."""
    reading = read(length_of(sqrt(value)), tape)
    step, edge = tape.step.inches, Fraction(1, 128)
    mark = reading.mark.inches
    assert max(mark - step / 2, 0) ** 2 <= value <= (mark + step / 2) ** 2
    near = max(mark - edge, 0) ** 2 <= value <= (mark + edge) ** 2
    lean = Lean.ON if near else Lean.PLUS if value > mark**2 else Lean.MINUS
    assert reading.lean is lean


def test_a_length_mixes_with_an_enclosure():
    root = enclose(sqrt(Fraction(2)))
    for ours, digits in [
        (Length(1) + root, "2.4142136"), (Length(1) - root, "-0.41421356"), (Length(3) * root, "4.2426407"),
        (Length(1) / root, "0.70710678"), (root / Length(2), "0.70710678"), (root - Length(1), "0.41421356"),
    ]:  # fmt: skip
        assert ours.decimal(8) == digits  # computed: roots of two as any table prints them
    assert Length(1) < root < Length(2)
    assert root.decimal(1) == "1"
    assert (root * 10**6).decimal(3) == "1414214"


def test_what_has_no_value():
    with pytest.raises(ValueError, match="square root"):
        sqrt(-1)
    with pytest.raises(ValueError, match="over one"):
        asin(Fraction(3, 2))
    with pytest.raises(ZeroDivisionError):
        tan(90)
    root = enclose(sqrt(Fraction(2)))
    with pytest.raises(ZeroDivisionError):
        (1 / (root - root)).decimal()
