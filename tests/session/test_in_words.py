"""Conversations in words, read by the grammar and answered by the session.

The traps are those of shop speech (common practice, no source): a plus that trails and a plus that adds, a
measurement put right by its fraction, a bottom number that was not heard, feet that scale a half.
"""
# ruff: noqa: E501  # one turn a line

from __future__ import annotations

import pytest

from assistant.language.grammar import load_english
from assistant.language.understand import understand
from tests.session.bench import Bench

CONVERSATIONS = {
    "the main job": [
        ("center of fifty three and five eighths", "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths."),
        ("next", "From either end: twenty-six and thirteen sixteenths."),
        ("how come", "Inches: half of fifty-two is twenty-six. The odd inch leaves a half. Half of five eighths, double the bottom number: five sixteenths. Count on past the half: eight sixteenths plus five sixteenths is thirteen sixteenths. Together: twenty-six and thirteen sixteenths."),
        ("no three eighths", "Center of fifty-three and three eighths: twenty-six and eleven sixteenths."),
        ("scratch that", "Scratched. The piece is fifty-three and five eighths."),
    ],
    "a plus that adds and a plus that leans": [
        ("five and three sixteenths plus seven eighths", "Five and three sixteenths plus seven eighths: two pieces, total six and a sixteenth."),
        ("plus three sixteenths", "Six and a sixteenth plus three sixteenths: two pieces, total six and a quarter."),
        ("three sixteenths plus", "Three sixteenths plus. How much is your plus? One: just a hair. Two: a sixty-fourth. Three: a thirty-second."),
        ("two", "Your plus is a sixty-fourth. Three sixteenths plus."),
        ("center", "Center of three sixteenths plus: an eighth minus."),
    ],
    "two foot and a half": [
        ("two foot and a half", "Two foot and a half inch, or two foot six? One or two?"),
        ("two", "Two foot six."),
    ],
    "six and three": [
        ("center of six and three", "Three what? One: three quarters. Two: three eighths. Three: three sixteenths."),
        ("eighths", "Center of six and three eighths: three and three sixteenths."),
        ("six and three", "Three what? One: three quarters. Two: three eighths. Three: three sixteenths. Four: six foot three."),
        ("one", "Six and three quarters."),
    ],
    "a running string with one said twice": [
        ("start a string", "String started. Give me the first."),
        ("forty eight", "Number one: forty-eight."),
        ("twelve and three eighths twelve and three eighths", "That's two of twelve and three eighths? One: two of them. Two: just the one."),
        ("one", "Numbers two and three: twelve and three eighths, twelve and three eighths."),
        ("no six and a half", "Numbers two and three: twelve and three eighths, six and a half."),
        ("total", "The string: three pieces, total sixty-six and seven eighths."),
    ],
    "the board": [
        ("fifty three and five eighths", "Fifty-three and five eighths."),
        ("keep that as leg", "Leg is fifty-three and five eighths."),
        ("center of the leg", "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths."),
        ("the leg less the plate", "What's the plate?"),
        ("three eighths", "Plate is three eighths. Fifty-three and five eighths less three eighths: fifty-three and a quarter."),
        ("done with leg", "Leg is off the board."),
        ("what's on the board", "On the board: plate, three eighths."),
    ],
    "six parts, walked": [
        ("six foot in four parts", "Six foot in four parts: four equal parts of one foot six."),
        ("next", "From one end. One of three: one foot six."),
        ("next", "Two of three: three foot."),
        ("back", "One of three: one foot six."),
        ("last one", "Three of three: four foot six."),
        ("next", "That's the last. It closes on six foot."),
        ("where am i", "From one end. Three of three: four foot six."),
    ],
}  # fmt: skip


@pytest.mark.parametrize("name", CONVERSATIONS)
def test_in_words(name):
    bench = Bench()
    for words, say in CONVERSATIONS[name]:
        _, outcome = understand(load_english(), words, bench.session.expecting)
        assert bench.hear(outcome, words).say == say


def test_between_marks_it_listens_for_next_above_all():
    bench = Bench()
    expected = {
        "fifty three and five eighths": "request",
        "in seven parts": "walking",
        "next": "walking",
        "six and three": "denominator",
        "eighths": "request",  # another piece, with no marks of its own
        "start a string": "next_in_string",
    }
    for words, rule in expected.items():
        _, outcome = understand(load_english(), words, bench.session.expecting)
        bench.hear(outcome, words)
        assert bench.session.expecting == rule, words
