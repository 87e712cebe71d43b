"""What is usual: the chances of words after words, and that no sentence is won or lost by them."""

from __future__ import annotations

import math
from random import Random

import pytest

from assistant.hearing.arc_costs import Weighed, weighed
from assistant.language.grammar import load_english

# "left in", "left out", "right in", "right out": what was said first is forgotten in state 1.
GOING = [[("left", 1), ("right", 1)], [("in", 2), ("out", 2)], [("now", 3)], []]
ENDS = (2, 3)


def said(rng: Random) -> str:
    return rng.choice(("left in", "left in", "right out", "right out now"))


def cost(usual: Weighed, words: str) -> float:
    """Of the cheapest way; infinite where there is none."""
    best = {0: 0.0}
    for word in words.split():
        reached: dict[int, float] = {}
        for state, so_far in best.items():
            for other, to, more in usual.going[state]:
                if other == word:
                    reached[to] = min(reached.get(to, math.inf), so_far + more)
        best = reached
    return min((so_far + usual.finals.get(state, math.inf) for state, so_far in best.items()), default=math.inf)


def chance_sums(usual: Weighed) -> list[float]:
    ends = [math.exp(-usual.finals[s]) if s in usual.finals else 0.0 for s in range(len(usual.going))]
    return [sum(math.exp(-c) for _, _, c in row) + end for row, end in zip(usual.going, ends, strict=True)]


def test_what_comes_next_depends_on_the_words_before() -> None:
    usual = weighed(GOING, ENDS, said)
    assert cost(usual, "left in") == pytest.approx(-math.log(0.5), abs=0.1)
    assert cost(usual, "right out now") == pytest.approx(-math.log(0.25), abs=0.1)
    assert cost(usual, "left out") > cost(usual, "left in") + 5
    assert math.isfinite(cost(usual, "left out now"))
    assert cost(usual, "left") == math.inf


def test_the_chances_of_a_state_and_of_ending_there_make_one() -> None:
    sums = chance_sums(weighed(GOING, ENDS, said))
    assert sums == pytest.approx([1.0] * len(sums))


def test_no_sentence_of_the_grammar_is_lost_and_a_tape_reading_is_likelier_than_its_slip() -> None:
    grammar, rng = load_english(), Random(4)
    automaton = grammar.automaton("measure.measure")
    usual = weighed(automaton.arcs, automaton.finals, lambda r: grammar.sample(r, "measure.measure"))
    assert chance_sums(usual) == pytest.approx(
        [1.0 if row or s in usual.finals else 0.0 for s, row in enumerate(usual.going)]
    )
    for _ in range(300):
        assert math.isfinite(cost(usual, grammar.sample(rng, "measure.measure")))
    assert cost(usual, "forty six") < cost(usual, "fourteen six")
    assert cost(usual, "ninety two and five eighths") < cost(usual, "nineteen two and five eighths")
    assert cost(usual, "four hundred seventy eight") < cost(usual, "four hundred seventeen eighths")
