"""Which ways of asking are usual."""

from __future__ import annotations

from random import Random

import pytest

from assistant.hearing.arc_costs import PLACES
from assistant.hearing.asked import filled, usual_ways, usually_asked
from assistant.hearing.ears import UNUSUAL, senses
from assistant.hearing.likeliest import Guess, likeliest
from assistant.language.grammar import load_english

USUAL = usual_ways(load_english())


@pytest.mark.parametrize(
    ("said", "usual"),
    [
        ("fifty three and five eighths plus", True),
        ("center of fifty three and five eighths", True),
        ("saddle four on three", True),
        ("saddle four three", False),
        ("bolt circle nine and five eighths ten holes on the line", True),
        ("bolt circle nine and five eighths holes on the line", False),
        ("weigh two by two quarter angle twenty foot", True),
        ("weigh two by two by quarter angle iron twenty foot long", True),
        ("weigh by two quarter angle twenty foot", False),
        ("holes every four in fifty", True),
        ("holes every in fifty", False),
        ("eleven gage stainless", True),
        ("eleven gage door", False),
        ("what's the rear door", True),
        ("centers", True),
        ("what's the weight of", True),
    ],
)
def test_a_way_of_asking_is_usual_where_a_line_has_it_with_something_in_every_place(said: str, usual: bool) -> None:
    assert USUAL(said) == usual


def test_whatever_is_said_to_weigh_the_search_is_usual() -> None:
    rng = Random(5)
    ways = {way for kind in usually_asked().values() for way in kind}
    unusual = {said for way in ways for _ in range(20) if not USUAL(said := filled(way, PLACES, rng))}
    assert not unusual


def test_of_two_guesses_the_usual_one_may_be_somewhat_less_likely_by_sound() -> None:
    sense = senses(load_english())

    def chosen(apart: float) -> str:
        guesses = [Guess("saddle four three", apart, 1.0), Guess("saddle four on three", 0.0, 1.0)]
        return likeliest(guesses, lambda words: sense("request", words)).words

    assert chosen(UNUSUAL - 0.1) == "saddle four on three"
    assert chosen(UNUSUAL + 0.1) == "saddle four three"


def test_a_reply_is_not_held_against_what_is_usually_asked() -> None:
    sense = senses(load_english())
    guesses = [Guess("both ends", 0.1, 1.0), Guess("center of ten", 0.0, 1.0)]
    assert likeliest(guesses, lambda words: sense("request", words)).words == "both ends"
