"""How sizes are said, and what they mean. Every way here is common practice, no published source."""

from fractions import Fraction

import pytest

from assistant.language.grammar import load_english
from assistant.language.requests import Hold, Measure
from assistant.language.understand import understand
from assistant.language.understanding import Impossible, Unclear, Understood
from assistant.length import Length
from assistant.tape import Form

ENGLISH = load_english()


def outcome(text):
    return understand(ENGLISH, text)[1]


def held(text):
    found = outcome(text)
    assert isinstance(found, Understood), f"{text!r}: {found}"
    assert isinstance(found.request, Hold), f"{text!r}: {found}"
    assert isinstance(found.request.what, Measure)
    return found.request.what


def offered(text):
    """The lengths offered as choices."""
    found = outcome(text)
    assert isinstance(found, Unclear), f"{text!r}: {found}"
    return [c.request.what.length for c in found.choices if isinstance(c.request, Hold)]


ONE_READING = [
    ("six foot four and a half", "76 1/2"),
    ("six feet four and a half inches", "76 1/2"),
    ("six four and a half", "76 1/2"),
    ("six-four and a half", "76 1/2"),
    ("six foot", "72"),
    ("six foot even", "72"),
    ("six foot flat", "72"),
    ("six foot nothing", "72"),
    ("six foot on the nose", "72"),
    ("six foot dead", "72"),
    ("six foot zero", "72"),
    ("six foot and a half inch", "72 1/2"),
    ("six foot oh and a half", "72 1/2"),
    ("six foot nothing and a half", "72 1/2"),
    ("foot and a half", "18"),
    ("a foot and a half", "18"),
    ("two and a half foot", "30"),
    ("two and a half feet", "30"),
    ("foot four", "16"),
    ("a foot four", "16"),
    ("half a foot", "6"),
    ("half foot", "6"),
    ("seventy-six and a half", "76 1/2"),
    ("one oh six and a half", "106 1/2"),
    ("a hundred six and a half", "106 1/2"),
    ("hundred and six and a half", "106 1/2"),
    ("hundred and eight", "108"),
    ("a hundred eight", "108"),
    ("one oh eight", "108"),
    ("two forty", "240"),
    ("ninety-six flat", "96"),
    ("eleven and three quarters", "11 3/4"),
    ("eleven and three quarter", "11 3/4"),
    ("eleven three quarters", "11 3/4"),
    ("eleven-three-quarter", "11 3/4"),
    ("inch and a quarter", "1 1/4"),
    ("inch-quarter", "1 1/4"),
    ("one and a quarter", "1 1/4"),
    ("an inch and one quarter", "1 1/4"),
    ("quarter", "1/4"),
    ("quarter inch", "1/4"),
    ("one quarter", "1/4"),
    ("quarter-inch", "1/4"),
    ("half", "1/2"),
    ("half inch", "1/2"),
    ("a half", "1/2"),
    ("one half", "1/2"),
    ("five eighths", "5/8"),
    ("five eights", "5/8"),
    ("seven sixteenths", "7/16"),
    ("seven-sixteenth", "7/16"),
    ("thirteen thirty-seconds", "13/32"),
    ("thirteen thirty-two", "13/32"),
    ("thirty-seconds: thirteen", "13/32"),
    ("five sixteenths and a thirty-second", "11/32"),
    ("eleven sixty-fourths", "11/64"),
    ("ten sixteenths", "5/8"),
    ("two quarters", "1/2"),
    ("four eighths", "1/2"),
    ("point two five", "1/4"),
    ("two hundred fifty thousandths", "1/4"),
    ("one and an eighth", "1 1/8"),
    ("inch and one eighth", "1 1/8"),
    # the traps, where one reading is honest
    ("a hundred and four and a half", "104 1/2"),
    ("a hundred and a half", "100 1/2"),
    ("a hundred and an eighth", "100 1/8"),
    ("sixty-four and two thirds", "64 2/3"),
    ("two sixty-fourths", "1/32"),
    ("sixty-four and two sixty-fourths", "64 1/32"),
    ("twenty-one and an eighth", "21 1/8"),
    ("two foot and a half inch", "24 1/2"),
    ("six four", "76"),
    ("ten foot six", "126"),
    ("eleven ought and a half", "11 1/2"),
    ("point five", "1/2"),
    ("five", "5"),
    ("half inch over six foot", "72 1/2"),
    ("quarter past seven", "7 1/4"),
    ("eleven sixteenths", "11/16"),
    ("eleven and a sixteenth", "11 1/16"),
    ("seven and seven eighths", "7 7/8"),
    ("seven seven eighths", "7 7/8"),
    # near a mark
    ("six foot a thirty-second over", "72 1/32"),
    ("six foot a thirty-second proud", "72 1/32"),
    ("a sixteenth shy of six foot", "71 15/16"),
    ("six foot a sixteenth under", "71 15/16"),
    ("eighth back from six foot", "71 7/8"),
    ("six foot on the money", "72"),
    ("six foot dead nuts", "72"),
    ("six foot right on", "72"),
    ("six foot exactly", "72"),
    ("six foot on the line", "72"),
    ("split it between three eighths and seven sixteenths", "13/32"),
    ("between three eighths and seven sixteenths", "13/32"),
]


@pytest.mark.parametrize(("said", "inches"), ONE_READING)
def test_a_size_with_one_honest_reading_is_understood(said, inches):
    assert held(said).length == Length(inches)


@pytest.mark.parametrize(
    ("said", "mm"),
    [
        ("twenty-five point four mil", "25.4"),
        ("six hundred mil", "600"),
        ("sixty centimetres", "600"),
        ("point six of a metre", "600"),
        ("metre two", "1200"),
        ("one point two metres", "1200"),
        ("six mil", "6"),
    ],
)
def test_metric_is_exact_and_kept_in_millimeters(said, mm):
    size = held(said)
    assert size.length == Length(f"{mm} mm")
    assert size.form is Form.MILLIMETERS


@pytest.mark.parametrize(
    ("said", "choices"),
    [
        ("one-six and a half", ["18 1/2", "106 1/2", "16 1/2"]),
        ("two fifty", ["250", "1/4"]),
        ("three and two little lines", ["3 1/8"]),
        ("three ticks past the half", ["11/16"]),
        ("one tick shy of a half", ["7/16"]),
        ("five eight", ["5/8", "68"]),
        ("seven sixteen", ["7/16", "716"]),
        ("three eight", ["3/8", "44"]),
        ("three sixteen", ["3/16", "316"]),
        ("three thirty-two", ["3/32", "332"]),
        ("twenty-five four", ["25.4 mm", "25'4"]),
        ("six hundred", ["600 mm", "600"]),
        ("twelve hundred", ["1200 mm", "1200"]),
        ("two thirds", ["2/3", "1/16"]),
        ("twenty one eighths", ["20 1/8", "2 5/8"]),
        ("thirty three eighths", ["30 3/8", "4 1/8"]),
        ("twenty two thirty seconds", ["20 1/16", "11/16"]),
        ("twenty three half", ["23 1/2", "11 1/2"]),
        ("twenty one half", ["20 1/2", "21 1/2", "10 1/2"]),
        ("nine eighth", ["9 1/8", "1 1/8"]),
        ("three halves", ["1 1/2"]),
        ("two quarter", ["2 1/4", "1/2"]),
        ("two foot and a half", ["24 1/2", "30"]),
        ("quarter to seven", ["6 3/4"]),
    ],
)
def test_two_honest_readings_are_asked_about_and_never_picked(said, choices):
    assert sorted(offered(said)) == sorted(map(Length, choices))


def test_the_likelier_reading_is_offered_first():
    assert offered("six and five eight")[0] == Length("6 5/8")
    assert offered("five, eight")[0] == Length("68")
    assert offered("twenty one eighths")[0] == Length("20 1/8")
    assert offered("thirty three eighths")[0] == Length("30 3/8")
    assert offered("six half inch")[0] == Length("6 1/2")


@pytest.mark.parametrize(
    ("said", "thousandths"),
    [("sixty-two thou", Fraction(62)), ("sixty-two and a half thousandths", Fraction(125, 2)), ("oh six two", 62)],
)
def test_thousandths_are_exact(said, thousandths):
    assert held(said).length == Length(Fraction(thousandths) / 1000)


@pytest.mark.parametrize(
    ("said", "question", "choices"),
    [
        ("six and three", "Three what?", ["6 3/4", "6 3/8", "6 3/16", "75"]),
        ("six foot four and three", "Three what?", ["76 3/4", "76 3/8", "76 3/16"]),
        ("six and nine", "Nine what?", ["6 9/16", "81"]),
    ],
)
def test_a_missing_bottom_is_asked_for(said, question, choices):
    found = outcome(said)
    assert isinstance(found, Unclear)
    assert found.question == question
    assert found.incomplete is not None
    assert offered(said) == [Length(c) for c in choices]


@pytest.mark.parametrize(
    "over",
    [
        "strong",
        "heavy",
        "full",
        "plus",
        "long",
        "fat",
        "good",
        "a hair over",
        "and change",
        "just over",
        "a skosh over",
    ],
)
def test_a_little_over_is_a_lean_and_never_an_addition(over):
    size = held(f"five and three sixteenths {over}")
    assert (size.length, size.lean) == (Length("5 3/16"), 1)


@pytest.mark.parametrize(
    "under", ["light", "shy", "scant", "minus", "short", "weak", "skinny", "a hair under", "just under", "bare"]
)
def test_a_little_under_is_a_lean(under):
    size = held(f"seven {under}")
    assert (size.length, size.lean) == (Length(7), -1)


@pytest.mark.parametrize(("said", "lean"), [("big quarter", 1), ("small quarter", -1), ("just over a quarter", 1)])
def test_a_lean_may_come_first(said, lean):
    assert (held(said).length, held(said).lean) == (Length("1/4"), lean)


def test_a_tolerance_is_kept_and_not_added():
    size = held("six foot four and a half plus or minus a sixteenth")
    assert (size.length, size.band, size.lean) == (Length("76 1/2"), Length("1/16"), 0)


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ("six foot twelve", "Twelve inches"),
        ("six foot fourteen and a half", "Twelve inches"),
        ("six and a half tenths", "surveyor"),
        ("five thousand foot", "thousand foot"),
        ("twelve thousand and one inches", "thousand foot"),
        ("5/0", "over nothing"),
        ("53 5/0", "over nothing"),
        ("3/7919", "fraction"),
        ("99999999999", "too big"),
        ("five " * 400, "too long"),
    ],
)
def test_what_cannot_be_gets_one_plain_sentence(said, word):
    found = outcome(said)
    assert isinstance(found, Impossible), found
    assert word in found.sentence
    assert found.sentence.endswith((".", "?"))


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("53 5/8", "53 5/8"),
        ("53-5/8", "53 5/8"),
        ("5/8", "5/8"),
        ("10/16", "5/8"),
        ("53.625", "53 5/8"),
        ("4'-7 15/16\"", "55 15/16"),
        ("4' 7 15/16", "55 15/16"),
        ("11' 4 3/8\"", "136 3/8"),
        ("6'", "72"),
        ("6' 5/8", "72 5/8"),
        ("11 ft 4 in", "136"),
        ("6.5 ft", "78"),
        ("64 2/3", "64 2/3"),
        ("8 3/5", "8 3/5"),
        ("600 mm", "600 mm"),
        ("25.4mm", "1"),
        ("100 1/8", "100 1/8"),
        ("120 1/8", "120 1/8"),
        ("1000", "1000"),
        ("0", "0"),
    ],
)
def test_typed_numerals(typed, inches):
    found = outcome(typed)
    if isinstance(found, Unclear):  # a bare round number of hundreds may be millimeters
        assert Length(inches) in offered(typed)
    else:
        assert held(typed).length == Length(inches)
