"""Units and decimal equivalents against published tables."""

from fractions import Fraction

import flint
import pytest
from hypothesis import given

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout.convert import convert
from assistant.length import MM_PER_INCH, Length
from assistant.tape import SIXTEENTHS, THIRTY_SECONDS, Form, read, written
from tests.layout.rework import check
from tests.layout.strategies import FORMS, measures


def test_units():
    # NIST SP 811, Appendix B.8: 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 yd = 0.9144 m, exactly.
    assert Length(1).mm == Fraction("25.4") == MM_PER_INCH
    assert Length("1'").mm == Fraction("304.8")
    assert Length("3'").mm == Fraction("914.4")
    # 1/25.4 in = 5/127 in, computed.
    assert Length.from_mm(1).inches == Fraction(5, 127)


@pytest.mark.parametrize(
    ("fraction", "printed"),
    # Building Trades Pocketbook, "Decimal Equivalents of 64ths" (chestofbooks.com), four places as printed.
    [
        ("1/64", ".0156"), ("1/32", ".0313"), ("1/16", ".0625"), ("5/32", ".1563"), ("3/16", ".1875"),
        ("7/32", ".2188"), ("27/64", ".4219"), ("57/64", ".8906"), ("63/64", ".9844"),
    ],
)  # fmt: skip
def test_decimal_equivalents(fraction, printed):
    result = convert(Measure(Length(fraction)), Form.DECIMAL)
    assert written(result.values[0].amount, Form.DECIMAL) == "0" + printed
    assert check(result.steps) == [Fraction(printed)]


@pytest.mark.parametrize(
    ("decimal", "nearest"),
    # Worked readings on the same page: nearest 64th.
    [(".1330", "9/64"), (".3670", "23/64"), (".8979", "57/64")],
)
def test_worked_readings_to_the_nearest_64th(decimal, nearest):
    step = Length("1/64")
    assert step * ((Length(decimal) + step / 2) // step) == Length(nearest)


@pytest.mark.parametrize(
    ("fraction", "mm"),
    # Times 25.4 by hand; the factor is NIST SP 811.
    [("1/16", "1.5875"), ("1/8", "3.175"), ("3/16", "4.7625"), ("1/4", "6.35"), ("3/8", "9.525"),
     ("1/2", "12.7"), ("3/4", "19.05")],
)  # fmt: skip
def test_fractions_in_millimeters(fraction, mm):
    assert Length(fraction).mm == Fraction(mm)
    assert check(convert(Measure(Length(fraction)), Form.MILLIMETERS).steps)[-1] == Fraction(mm)


def test_six_hundred_millimeters_is_three_thousandths_under_the_mark():
    # Computed: 600/25.4 = 23.62205, 23 5/8 = 23.625.
    result = convert(Measure(Length("600 mm"), form=Form.MILLIMETERS), Form.INCHES)
    assert result.say == (result.values[0], ", ", 3, " thousandths under the mark")
    assert read(result.values[0].amount).mark == Length("23 5/8")
    assert result.values[1].name == "under"
    assert result.values[1].amount == Length("23 5/8") - Length("600 mm")


def test_the_error_is_that_of_the_tape_in_hand():
    piece = Measure(Length("29 7/32"))
    assert convert(piece, Form.INCHES, THIRTY_SECONDS).values[1:] == ()
    assert convert(piece, Form.INCHES, SIXTEENTHS).values[1].amount == Length("1/32")
    # Computed: 53 5/8 in is 1362.075 mm.
    assert convert(Measure(Length("53 5/8")), Form.MILLIMETERS).say[2:] == (
        1,
        " tenth of a millimeter over the mark",
    )


def test_a_decimal_foot_is_not_feet_and_inches():
    # Computed: 6.5 ft is 6 ft 6 in. The trap is reading it as 6 ft 5.
    assert written(Length(Fraction("6.5") * 12), Form.FEET) == "6'-6\""


@given(measures(), FORMS)
def test_converting_changes_nothing_but_the_form(piece, form):
    result = convert(piece, form)
    assert (result.values[0].amount, result.values[0].lean, result.form) == (piece.length, piece.lean, form)
    check(result.steps)


@given(measures())
def test_the_error_and_the_mark_make_the_length(piece):
    for form in (Form.INCHES, Form.FEET):
        result = convert(piece, form)
        over = sum((v.amount.inches * {"over": 1, "under": -1}[v.name] for v in result.values[1:]), Fraction(0))
        assert read(piece.length).mark.inches + over == piece.length.inches


@given(measures())
def test_millimeters_agree_with_another_library(piece):
    ours = piece.length.mm
    inches = flint.fmpq(piece.length.inches.numerator, piece.length.inches.denominator)
    theirs = inches * 127 / 5
    assert (ours.numerator, ours.denominator) == (int(theirs.p), int(theirs.q))


def test_over_a_thousand_feet_is_refused():
    with pytest.raises(Slip, match="over a thousand feet"):
        convert(Measure(Length(12001)), Form.MILLIMETERS)
