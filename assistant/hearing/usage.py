"""What people usually say, before any sound is heard.

A grammar lets every sentence pass alike; people do not say them alike. At a tape they say numbers before all else,
and "feet", "fat" and "at" are what a recogniser likes to hear in a breath between two of them. A price on each word,
by how usual it is, took pocketsphinx from 27 to 62 of 100 spoken sizes (people's spliced numbers).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Set
from itertools import islice
from random import Random
from typing import Protocol

from assistant.hearing.recogniser import WAKE_PHRASE

__all__ = ["NUMBER_RULES", "Usage", "Usual", "anything", "usage_of", "usually_said"]

Usage = Callable[[str], float]
"""How likely a word is, against a number word's 1."""

USUAL = 1e-6
"""A word of the grammar's own examples: how people usually ask. Both were chosen on people's recordings: spliced
numbers, digits, and single words ("stop", "yes", "no")."""
UNUSUAL = 1e-10
"""A word that is only in the grammar so that nobody is turned away for it."""
NUMBER_RULES = ("number.under_hundred", "number.bottom")
SIZE_RULE, WAKE_RULE = "measure.measure", "wake"
SIZES, REQUESTS, ANY = 3000, 1000, 300
"""Sentences in a text of what is usually said: plain sizes, requests in usual words, and anything. To a Vosk model
that is not ours a text is all there is: this one took a 65-word model from 22 to 45 of 100 spoken sizes, and from 70 to
78 of 100 digits, against as many sentences of any kind."""
_SEED = 1
_AS_NUMBERS = frozenset({"a", "and", "hundred"})


class Usual(Protocol):
    """The part of a grammar this is read off."""

    def words_of(self, *roots: str) -> Set[str]:
        """The words of some rules."""

    def examples(self) -> Iterable[tuple[str, Iterable[str]]]:
        """By rule, sentences that show how people usually say it."""

    def sample(self, rng: Random, root: str) -> str:
        """A random sentence of a rule."""


def usage_of(grammar: Usual) -> Usage:
    numbers = grammar.words_of(*NUMBER_RULES) | _AS_NUMBERS
    usual = {word for _, sentences in grammar.examples() for sentence in sentences for word in sentence.split()}
    return lambda word: 1.0 if word in numbers else USUAL if word in usual else UNUSUAL


def usually_said(grammar: Usual, root: str) -> list[str]:
    """A text of what is said to a public rule: the more usual, the oftener. The same on every run."""
    if root == WAKE_RULE:
        return [*[WAKE_PHRASE] * REQUESTS, *(f"{WAKE_PHRASE} {said}" for said in usually_said(grammar, "request"))]
    rng, usage = Random(_SEED), usage_of(grammar)

    def sampled(rule: str, least: float) -> Iterator[str]:
        for _ in range(100 * SIZES):  # an end for a grammar that has no such sentence
            said = grammar.sample(rng, rule)
            if all(usage(word) >= least for word in said.split()):
                yield said

    text = [*islice(sampled(SIZE_RULE, 1.0), SIZES), *islice(sampled(root, USUAL), REQUESTS)]
    examples = [sentence for _, sentences in grammar.examples() for sentence in sentences]
    text += examples * (REQUESTS // (2 * max(1, len(examples))))
    return text + list(islice(sampled(root, 0.0), ANY))


def anything(word: str) -> float:
    """Every word alike."""
    return 1.0
