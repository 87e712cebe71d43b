"""Phrases and values as one person's tape says and shows them, the irrational ones too."""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest

from assistant.enclosure import hypotenuse, sqrt
from assistant.language.requests import PIECE, Convert, Hold
from assistant.layout.result import Exactly, Rounded, Value
from assistant.length import Length
from assistant.session.manners import Manners
from assistant.session.reader import Reader, sentence
from assistant.tape import MILLIMETERS, SIXTEENTHS, THIRTY_SECONDS, Feet, Form, Lean
from tests.session.bench import Bench, feet, m

READER = Reader(SIXTEENTHS, Length(0))


def test_an_irrational_length_is_read_proven_and_written_to_twelve_digits():
    diagonal = Value("diagonal", hypotenuse(Length(36), Length(50)))
    shown = READER.shown(diagonal, Form.INCHES)
    with mpmath.workdps(40):
        root = mpmath.sqrt(36**2 + 50**2)
        assert abs(mpmath.mpf(shown.exact) - root) < root * mpmath.mpf(10) ** -11
        nearest = mpmath.nint(root * 16) / 16
    assert len(shown.exact.replace(".", "")) >= 12
    assert shown.tape == str(Length(Fraction(int(nearest * 16), 16)))
    assert (shown.inches, shown.lean) == (None, Lean.MINUS if nearest > root else Lean.PLUS)
    assert READER.value(diagonal, Form.FEET) == "five foot one and five eighths minus"


def test_a_plus_is_added_to_an_irrational_length_too():
    reader = Reader(THIRTY_SECONDS, Length("1/32"))
    side = Value("side", hypotenuse(Length(1), Length(1)), lean=Fraction(1))
    with mpmath.workdps(40):
        expected = mpmath.sqrt(2) + mpmath.mpf(1) / 32
        assert abs(mpmath.mpf(reader.shown(side, Form.INCHES).exact) - expected) < mpmath.mpf(10) ** -11


# Square roots to one decimal: published tables.
@pytest.mark.parametrize(
    ("part", "said"),
    [
        (Value("angle", sqrt(Fraction(2)), "deg"), "one point four"),
        (Value("angle", Fraction(-5, 2), "deg"), "minus two point five"),
        (Value("count", 104, "count"), "one hundred four"),
        (Rounded(Fraction(213, 10), 1), "twenty-one point three"),
        (Rounded(Fraction(5, 8), 4), "zero point six two five"),
        (Exactly(Length("1/2"), bottom=16), "eight sixteenths"),
        (Exactly(Length("1/32"), bottom=32), "one thirty-second"),
        (Exactly(Length("1 1/2"), bottom=46), "sixty-nine over forty-six"),
        (Exactly(Length("2 1/2")), "two and a half"),
        (Length("26 13/16"), "twenty-six and thirteen sixteenths"),
        (7, "seven"),
        (feet("6'-4 1/2\"", -1), "six foot four and a half minus"),
        (m("64 2/3"), "sixty-four and two thirds"),
        (m("19 7/17"), "nineteen and seven sixteenths minus"),
    ],
)
def test_how_a_part_of_a_phrase_is_said(part, said):
    assert READER.words(("It is ", part), Form.INCHES) == f"It is {said}"


def test_sentences():
    assert sentence("the bench is clear", "", "is it?") == "The bench is clear. Is it?"


def test_a_millimeter_that_no_fraction_of_an_inch_can_say_is_said_on_a_millimeter_tape():
    reader = Reader(MILLIMETERS, Length(0))
    assert reader.on_tape(m(Length.from_mm(600))) == "six hundred millimeters"


# Feet and inches worked by hand: 76 1/2 is six foot and 4 1/2; 53 5/8 is four foot and 5 5/8.
@pytest.mark.parametrize(
    ("when", "size", "said", "tape", "beside"),
    [
        (Feet.SAID, m("53 5/8"), "fifty-three and five eighths", "53 5/8", "4'-5 5/8\""),
        (Feet.SAID, feet("76 1/2"), "six foot four and a half", "6'-4 1/2\"", ""),
        (Feet.ALWAYS, m("53 5/8"), "fifty-three and five eighths: four foot five and five eighths", "4'-5 5/8\"", ""),
        (Feet.ALWAYS, m("7 1/2"), "seven and a half", '7 1/2"', ""),
        (Feet.NEVER, feet("76 1/2"), "six foot four and a half: seventy-six and a half", "76 1/2", ""),
        (Feet.NEVER, m("53 5/8"), "fifty-three and five eighths", "53 5/8", ""),
    ],
)
def test_feet_where_he_wants_them_and_what_he_said_as_he_said_it(when, size, said, tape, beside):
    reader = Reader(SIXTEENTHS, Length(0), when)
    assert reader.said_and_found(size) == said
    shown = reader.shown(Value("piece", size.length), size.form)
    assert (shown.tape, shown.beside) == (tape, beside)


def test_a_form_that_is_asked_for_goes_before_the_setting():
    bench = Bench(Manners(feet=Feet.NEVER))
    bench.hear(Hold(m("76 1/2")))
    assert bench.hear(Convert(PIECE, Form.FEET)).values[0].tape == "6'-4 1/2\""
    bench = Bench(Manners(feet=Feet.ALWAYS))
    bench.hear(Hold(m("76 1/2")))
    assert bench.hear(Convert(PIECE, Form.INCHES)).values[0].tape == "76 1/2"
