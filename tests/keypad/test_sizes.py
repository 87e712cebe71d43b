"""Measurements as they are keyed. The forms are those of the product contract, "Keys"; what cannot be is the
trade reference's list of impossible sizes (2.6, rule 9)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import Slip
from assistant.keypad import sizes
from assistant.language.requests import Measure
from assistant.length import Length
from assistant.tape import Form


@pytest.mark.parametrize(
    ("keys", "length", "form"),
    [
        ("53.5/8", "53 5/8", Form.INCHES),
        (".5/8", "5/8", Form.INCHES),
        ("5/8", "5/8", Form.INCHES),
        ("11..4.3/8", "136 3/8", Form.FEET),
        ("11..", "132", Form.FEET),
        ("11..4", "136", Form.FEET),
        ("11...3/8", "132 3/8", Form.FEET),
        ("11..3/8", "132 3/8", Form.FEET),
        ("0..5", "5", Form.FEET),
        ("1..0", "12", Form.FEET),
        ("53", "53", Form.INCHES),
        ("053", "53", Form.INCHES),
        ("144", "144", Form.INCHES),
        ("53.10/16", "53 5/8", Form.INCHES),
        ("53.0/8", "53", Form.INCHES),
        ("53.0", "53", Form.INCHES),
        ("58.1/3", "58 1/3", Form.INCHES),
        ("12000", "12000", Form.INCHES),
        ("1000..", "12000", Form.FEET),
        ("1000..0.0/8", "12000", Form.FEET),
    ],
)
def test_what_is_keyed_is_what_is_meant(keys, length, form):
    assert sizes.read(keys) == Measure(Length(length), form=form)
    assert all(sizes.can_be(keys[:end]) for end in range(len(keys) + 1))


@pytest.mark.parametrize(
    ("keys", "whole", "top"),
    [
        ("53.5", "53", 5),
        (".5", "0", 5),
        ("53.5/", "53", 5),
        ("11..4.3", "136", 3),
        ("11...3", "132", 3),
        ("3/", "0", 3),
    ],
)
def test_a_fraction_without_a_bottom_is_not_guessed(keys, whole, top):
    measure = sizes.read(keys)
    assert (measure.length, measure.missing) == (Length(whole), top)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("", "There is no measurement yet. Key the inches."),
        ("53.", "Fifty-three and what? Key the fraction, or take back the dot."),
        (".", "There is no measurement yet. Key the inches."),
        ("53.5/0", "Nothing goes over zero. Take it back, and key the bottom number."),
        ("53.8/8", "Eight over eight is an inch or more. Key the whole inches first."),
        ("53.9/8", "Nine over eight is an inch or more. Key the whole inches first."),
        ("53/8", "Fifty-three over eight is an inch or more. Key the whole inches first."),
        ("11..12", "Twelve inches is a foot or more. Key the feet and the inches again."),
        ("11..14.1/2", "Fourteen inches is a foot or more. Key the feet and the inches again."),
        ("12001", "That is over a thousand feet. Take back a key."),
        ("12000.1/16", "That is over a thousand feet. Take back a key."),
        ("1001..", "That is over a thousand feet. Take back a key."),
        ("53.75", "Seventy-five what? Key over, and the bottom number."),
    ],
)
def test_what_cannot_be_gets_one_sentence_saying_what_to_do(keys, says):
    with pytest.raises(Slip) as slip:
        sizes.read(keys)
    assert str(slip.value) == says


@pytest.mark.parametrize(
    "keys", ["..", "53..4..", "53.5.", "5/8/", "/8", "53./", "11.../", "11..../", "1234567", "5-", "x"]
)
def test_what_no_measurement_begins_with(keys):
    assert not sizes.can_be(keys)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("5", "five"),
        ("53", "fifty-three"),
        ("53.", "fifty-three and"),
        ("53.5", "fifty-three and five"),
        ("53.5/", "fifty-three and five over"),
        ("53.5/1", "fifty-three and five over one"),
        ("53.5/16", "fifty-three and five sixteenths"),
        ("53.10/16", "fifty-three and ten sixteenths"),
        (".", "and"),
        (".5", "five"),
        (".5/8", "five eighths"),
        ("5/8", "five eighths"),
        ("11.", "eleven and"),
        ("11..", "eleven foot"),
        ("11..4", "eleven foot four"),
        ("11..4.3/8", "eleven foot four and three eighths"),
        ("11...3/8", "eleven foot and three eighths"),
        ("5/0", "five over zero"),
        ("53.1/8", "fifty-three and one eighth"),
        ("53.29/32", "fifty-three and twenty-nine thirty-seconds"),
        ("53.2/7", "fifty-three and two sevenths"),
        ("53.2/13", "fifty-three and two over thirteen"),
        ("53.9/8", "fifty-three and nine over eight"),
    ],
)
def test_the_echo_is_what_was_keyed(keys, words):
    assert sizes.words(keys) == words


@st.composite
def keyed_sizes(draw):
    """Keys, and the length they say, put together here by the contract's rules and not by the code under test."""
    keys, inches, form = "", Fraction(0), Form.INCHES
    if draw(st.booleans()):
        feet = draw(st.integers(0, 999))
        keys, inches, form = f"{feet}..", Fraction(12 * feet), Form.FEET
    whole = draw(st.none() | st.integers(0, 11 if form is Form.FEET else 11999))
    if whole is not None:
        keys, inches = keys + str(whole), inches + whole
    bottom = draw(st.integers(2, 128))
    top = draw(st.none() | st.integers(0, bottom - 1))
    if top is not None:
        keys, inches = f"{keys}.{top}/{bottom}", inches + Fraction(top, bottom)
    return keys or "0", Length(inches), form


@given(keyed_sizes())
def test_every_length_the_pad_can_say_is_read_exactly(size):
    keys, length, form = size
    assert sizes.read(keys) == Measure(length, form=form)
    assert sizes.words(keys)
