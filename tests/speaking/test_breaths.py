"""Where the voice draws breath. The phrases are our own; the rules are common practice, no source."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.speaking.breaths import COLON_MS, LONGEST, SENTENCE_MS, breaths

FRACTION, LEAN = 111, 222


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths.",
            [
                ("Center of fifty-three,", FRACTION),
                ("and five eighths:", COLON_MS),
                ("twenty-six,", FRACTION),
                ("and thirteen sixteenths.", 0),
            ],
        ),
        (
            "Three of seven: four foot two and a quarter plus.",
            [
                ("Three of seven:", COLON_MS),
                ("four foot two,", FRACTION),
                ("and a quarter,", LEAN),
                ("plus.", 0),
            ],
        ),
        ("Twelve minus", [("Twelve,", LEAN), ("minus", 0)]),
        # The lean of the piece, then its center: a number never follows a lean in the same breath.
        ("Ten plus: five plus.", [("Ten,", LEAN), ("plus:", SENTENCE_MS), ("five,", LEAN), ("plus.", 0)]),
        ("Ten minus, five", [("Ten,", LEAN), ("minus,", SENTENCE_MS), ("five", 0)]),
        # Between two measurements it is an operator, and is said in one go.
        ("Ten plus an eighth", [("Ten plus an eighth", 0)]),
        ("Ten plus and five eighths", [("Ten plus and five eighths", 0)]),
        ("Ten minus two: eight.", [("Ten minus two:", COLON_MS), ("eight.", 0)]),
        (
            "Two and one hundred twenty-five thousandths",
            [("Two,", FRACTION), ("and one hundred twenty-five thousandths", 0)],
        ),
        ("Ten plus plus two: twelve plus.", [("Ten,", LEAN), ("plus", SENTENCE_MS), ("plus two:", COLON_MS),
                                             ("twelve,", LEAN), ("plus.", 0)]),
        ("Keep that as leg and arm.", [("Keep that as leg and arm.", 0)]),
        ("I didn't get the fraction. Three what?", [("I didn't get the fraction.", SENTENCE_MS), ("Three what?", 0)]),
        ("", []),
        (" \n\t ", []),
        ("... : !", []),
        ("one\x00two\nthree", [("one two three", 0)]),
    ],
)  # fmt: skip
def test_breaths(text: str, expected: list[tuple[str, int]]) -> None:
    assert [(b.text, b.pause_ms) for b in breaths(text, FRACTION, LEAN)] == expected


@pytest.mark.parametrize("ending", ["a half", "three halves", "a quarter", "three quarters", "two thirds", "two fifths",
                                    "an eighth", "seven eighths", "a sixteenth", "eleven sixteenths",
                                    "one thirty-second", "thirty-one thirty-seconds", "nine tenths"])  # fmt: skip
def test_every_fraction_stands_apart(ending: str) -> None:
    assert [b.text for b in breaths(f"Forty and {ending}", 1, 1)] == ["Forty,", f"and {ending}"]


words = ["ten", "forty-two", "foot", "and", "five", "eighths", "half", "plus", "minus", "plus.", "minus,", "center:"]
texts = st.lists(st.sampled_from(words), max_size=120).map(" ".join)


@given(texts)
def test_no_word_is_lost_and_none_is_added(text: str) -> None:
    said = " ".join(breath.text for breath in breaths(text, 1, 1))
    assert re.findall(r"[\w-]+", said) == re.findall(r"[\w-]+", text)


@given(texts)
def test_a_lean_is_a_breath_of_its_own_with_silence_on_both_sides(text: str) -> None:
    found = breaths(text, FRACTION, LEAN)
    for before, lean in pairwise(found):
        assert not re.search(r"\w.*\b(plus|minus)[.,:]?$", lean.text), lean
        if re.fullmatch(r"(plus|minus)[.,:]?", lean.text):
            assert before.pause_ms > 0
            assert lean.pause_ms == SENTENCE_MS or lean is found[-1]


@given(st.text(max_size=2000))
def test_any_text_makes_short_breaths_of_printable_characters(text: str) -> None:
    for breath in breaths(text, 1, 1):
        assert len(breath.text) <= LONGEST + 1
        assert not re.search(r"[\x00-\x1f\x7f]", breath.text)
