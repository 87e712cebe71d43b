"""What is usual: the chances of words after words, and that no sentence is won or lost by them."""

from __future__ import annotations

import math
from random import Random

import pytest

from assistant.hearing.arc_costs import PLACES, Weighed, number, usual_request, weighed
from assistant.hearing.asked import filled, usually_asked
from assistant.language.grammar import load_english
from assistant.language.understand import understand
from assistant.language.understanding import NotUnderstood, Unclear, Understood
from models.build.graph import sampled

# "left in", "left out", "right in", "right out": what was said first is forgotten in state 1.
GOING = [[("left", 1), ("right", 1)], [("in", 2), ("out", 2)], [("now", 3)], []]
ENDS = (2, 3)
NUMBERS = {word for n in range(1000) for word in number(n).split()}


def said(rng: Random) -> str:
    return rng.choice(("left in", "left in", "right out", "right out now"))


def cost_by_state(usual: Weighed, words: str) -> dict[int, float]:
    """Of the cheapest way to each state that the words lead to."""
    best = {0: 0.0}
    for word in words.split():
        reached: dict[int, float] = {}
        for state, so_far in best.items():
            for other, to, more in usual.going[state]:
                if other == word:
                    reached[to] = min(reached.get(to, math.inf), so_far + more)
        best = reached
    return best


def cost(usual: Weighed, words: str) -> float:
    """Of the cheapest way; infinite where there is none."""
    best = cost_by_state(usual, words)
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


def test_what_is_usually_asked_is_in_the_grammar_and_every_name_is_asked_for() -> None:
    grammar, rng = load_english(), Random(3)
    automaton = grammar.automaton("request")
    asked = {usual_request(rng) for _ in range(20_000)}
    assert not [words for words in asked if not automaton.accepts(words.split())]
    assert grammar.words_of("names.thing") <= {word for words in asked for word in words.split()}


def test_every_way_of_asking_asks_for_something() -> None:
    grammar = load_english()
    for ways in usually_asked().values():
        for way in ways:
            said = [filled(way, PLACES, Random(seed)) for seed in range(12)]
            assert any(isinstance(understand(grammar, words)[1], (Understood, Unclear)) for words in said), said


MOST_FOR_STOPPING = 5.0
"""Nats that a short request may cost more than the same with a word after it. The sounds of a word that was not said
and the price of a word outweigh that; where no sample ended, it was 7."""


def test_no_short_request_is_cheaper_with_a_word_more() -> None:
    grammar, rng = load_english(), Random(9)
    automaton = grammar.automaton("everything")
    usual = weighed(automaton.arcs, automaton.finals, lambda r: sampled(grammar, r))
    some = {grammar.sample(rng, rng.choice(("request", "request", "answer", "wake"))) for _ in range(20_000)}
    few = (words for words in some if len(words.split()) <= 3 and not NUMBERS & {*words.split()})
    short = {*(words for words in few if not isinstance(understand(grammar, words)[1], NotUnderstood)), "tape hand"}
    assert len(short) > 200
    dear = {}
    for words in sorted(short):
        reached = cost_by_state(usual, words)
        alone = min(so_far + usual.finals.get(state, math.inf) for state, so_far in reached.items())
        more, word = min(
            (so_far + price + usual.finals[to], word)
            for state, so_far in reached.items()
            for word, to, price in [("", state, math.inf), *usual.going[state]]
            if to in usual.finals
        )
        if alone - more > MOST_FOR_STOPPING:
            dear[words] = f"{word}: {alone - more}"
    assert not dear
