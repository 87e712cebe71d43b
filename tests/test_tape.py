"""The reading rule against an exhaustive search, and written forms."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.length import Length
from assistant.tape import (
    EIGHTHS,
    MILLIMETERS,
    ON_THE_MARK,
    SIXTEENTHS,
    TAPES,
    THIRTY_SECONDS,
    Form,
    Lean,
    read,
    written,
)
from tests.layout.strategies import lengths


def nearest(value: Fraction, step: Fraction) -> tuple[Fraction, str]:
    """The rule by brute force: try every mark about the value, keep the nearest, the lower where two tie."""
    around = [step * k for k in range(int(value / step) - 2, int(value / step) + 4) if k >= 0]
    best = min(around, key=lambda mark: (abs(mark - value), mark))
    if abs(best - value) <= Fraction(1, 128):
        return best, "on"
    return best, "plus" if value > best else "minus"


@given(lengths(most=400), st.sampled_from(TAPES))
def test_the_rule_is_that_of_an_exhaustive_search(size, tape):
    reading = read(size, tape)
    assert (reading.mark.inches, reading.lean.value) == nearest(size.inches, tape.step.inches)


@given(st.integers(0, 5000), st.integers(-40, 40), st.sampled_from(TAPES))
def test_the_rule_beside_its_limits(mark, thousandths_of_a_step, tape):
    """Close by the marks, the half-way points and the edge of "on the mark", where a slip would show."""
    step = tape.step.inches
    for edge in (0, step / 2, Fraction(1, 128), step - Fraction(1, 128)):
        value = step * mark + edge + step * Fraction(thousandths_of_a_step, 100000)
        if value >= 0:
            reading = read(Length(value), tape)
            assert (reading.mark.inches, reading.lean.value) == nearest(value, step)


@pytest.mark.parametrize(
    ("size", "tape", "mark", "lean"),
    [
        # Common practice, no source: half way is the lower mark "plus"; its own mark on a finer tape.
        ("29 7/32", SIXTEENTHS, "29 3/16", Lean.PLUS),
        ("29 7/32", THIRTY_SECONDS, "29 7/32", Lean.ON),
        ("29 3/16", EIGHTHS, "29 1/8", Lean.PLUS),
        ("15/32", SIXTEENTHS, "7/16", Lean.PLUS),
        # Common practice, no source: thirds are read beside the nearest sixteenth, never in 64ths.
        ("64 2/3", SIXTEENTHS, "64 11/16", Lean.MINUS),
        ("64 1/32", SIXTEENTHS, "64", Lean.PLUS),
        # Computed with exact fractions.
        ("3 131/144", SIXTEENTHS, "3 15/16", Lean.MINUS),
        ("3 131/144", THIRTY_SECONDS, "3 29/32", Lean.ON),
        ("7 1/128", SIXTEENTHS, "7", Lean.ON),
        ("77.0695", SIXTEENTHS, "77 1/16", Lean.ON),
        ("21 11/56", SIXTEENTHS, "21 3/16", Lean.PLUS),
        ("600 mm", SIXTEENTHS, "23 5/8", Lean.ON),
        ("600 mm", MILLIMETERS, "600 mm", Lean.ON),
        ("600.5 mm", MILLIMETERS, "600 mm", Lean.PLUS),
        ("0", SIXTEENTHS, "0", Lean.ON),
    ],
)
def test_readings(size, tape, mark, lean):
    reading = read(Length(size), tape)
    assert (reading.mark, reading.lean, reading.tape) == (Length(mark), lean, tape)


def test_marks_are_those_a_metal_tape_may_have():
    # NIST Handbook 44, 5.52 S.1: subdivisions are inches and binary submultiples of the inch.
    for tape in (EIGHTHS, SIXTEENTHS, THIRTY_SECONDS):
        bottom = tape.step.inches.denominator
        assert tape.step.inches.numerator == 1
        assert bottom & (bottom - 1) == 0
    # Handbook 44 (2007), 5.52 S.5.2: a graduation is no wider than half the smallest interval, and not over
    # 0.03 in. What we call "on the mark" is hidden under such a line.
    assert THIRTY_SECONDS.step / 2 >= ON_THE_MARK
    assert Length("0.03") >= ON_THE_MARK


@given(lengths(), st.sampled_from([Form.INCHES, Form.FEET]))
def test_a_mark_written_is_the_mark(size, form):
    mark = read(size, THIRTY_SECONDS).mark
    assert Length(written(mark, form)) == mark


@given(st.integers(0, 300000))
def test_millimeters_written_are_the_mark(mm):
    assert Length(written(Length.from_mm(mm), Form.MILLIMETERS)) == Length.from_mm(mm)


@pytest.mark.parametrize(
    ("size", "form", "text"),
    [
        ("163 3/4", Form.FEET, "13'-7 3/4\""),
        ("55 15/16", Form.FEET, "4'-7 15/16\""),
        ("48", Form.FEET, "4'-0\""),
        ("7 1/2", Form.FEET, '7 1/2"'),
        ("163 3/4", Form.INCHES, "163 3/4"),
        ("0", Form.INCHES, "0"),
        ("1/64", Form.DECIMAL, "0.0156"),
        ("1/32", Form.DECIMAL, "0.0313"),
        ("3", Form.DECIMAL, "3"),
        ("1362.075 mm", Form.MILLIMETERS, "1362.1 mm"),
    ],
)
def test_written(size, form, text):
    assert written(Length(size), form) == text
