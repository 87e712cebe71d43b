"""What people usually say, before any sound is heard.

A grammar lets every sentence pass alike; people do not say them alike. At a tape they say numbers before all else,
and "feet", "fat" and "at" are what a recogniser likes to hear in a breath between two of them. A price on each word,
by how usual it is, took pocketsphinx from 27 to 62 of 100 spoken sizes (people's spliced numbers).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Set
from typing import Protocol

__all__ = ["NUMBER_RULES", "Usage", "Usual", "anything", "usage_of"]

Usage = Callable[[str], float]
"""How likely a word is, against a number word's 1."""

USUAL = 1e-6
"""A word of the grammar's own examples: how people usually ask. Both were chosen on people's recordings: spliced
numbers, digits, and single words ("stop", "yes", "no")."""
UNUSUAL = 1e-10
"""A word that is only in the grammar so that nobody is turned away for it."""
NUMBER_RULES = ("number.under_hundred", "number.bottom")
_AS_NUMBERS = frozenset({"a", "and", "hundred"})


class Usual(Protocol):
    """The part of a grammar this is read off."""

    def words_of(self, *roots: str) -> Set[str]:
        """The words of some rules."""

    def examples(self) -> Iterable[tuple[str, Iterable[str]]]:
        """By rule, sentences that show how people usually say it."""


def usage_of(grammar: Usual) -> Usage:
    numbers = grammar.words_of(*NUMBER_RULES) | _AS_NUMBERS
    usual = {word for _, sentences in grammar.examples() for sentence in sentences for word in sentence.split()}
    return lambda word: 1.0 if word in numbers else USUAL if word in usual else UNUSUAL


def anything(word: str) -> float:
    """Every word alike."""
    return 1.0
