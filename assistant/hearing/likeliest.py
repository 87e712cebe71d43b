"""Which of a recogniser's guesses at one sentence is acted on: chosen by what they ask for, not by their words.

"Seven five eighths" and "seven and five eighths" ask for the same thing, so they stand together against "seventy five
eighths". Where another thing is about as likely, that is told too: asking "nineteen, or ninety?" costs a word, a silent
guess a beam.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assistant.hearing.recogniser import Hypothesis, nothing

__all__ = ["DOUBT", "DOUBT_MORE", "TOO_FAR", "WEAK", "Guess", "Sense", "likeliest", "words_alone"]

DOUBT, DOUBT_MORE = 2.0, 4.0
"""Nats by which a thing asked for must be likelier than the next to be acted on unasked; and where one of its words is
weak, where nobody would say such a thing, or where the next has a word twice that it has once: "five five eighths" in
one breath is five inches more than "five eighths". On the development sets one in 80 of the sentences heard right is
asked about without noise, and one in 25 at 5 dB; of those heard wrong about half are, mostly with the right thing as
the other (models/LOG.md, runs 22 and 24)."""
TOO_FAR = 8.0
"""Nats behind the likeliest thing at which a guess is not asked about. 150 such together come to a twentieth of a nat,
and what words would ask for takes milliseconds a guess."""
WEAK = -3.0
"""Mean log chance of a word's own phones, below which it may well be another."""


@dataclass(frozen=True, slots=True)
class Guess:
    """One way a sound may have been words."""

    words: str
    score: float
    """Nats; of one sound's guesses the higher is the likelier."""
    confidence: float
    """As in Hypothesis."""
    weakest: float = 0.0
    """How sure its least sure word is, as the mean log chance of its phones; 0 where that is not known."""


@dataclass(frozen=True, slots=True)
class Sense:
    """What words would ask for."""

    meaning: str
    """The same for all words that ask for the same thing."""
    unlikely: float
    """Nats by which nobody would say such a thing."""
    answerable: bool
    """Whether it can be acted on as it is, and so be a choice in a question."""


def words_alone(root: str, words: str) -> Sense:
    """Where nothing is known of what words ask for: other words, another meaning."""
    return Sense(words, 0.0, answerable=False)


@dataclass(slots=True)
class _Meant:
    best: Guess
    sense: Sense
    score: float


def likeliest(guesses: Sequence[Guess], sense: Callable[[str], Sense]) -> Hypothesis:
    """The likeliest thing asked for, in its likeliest words."""
    meant: dict[str, _Meant] = {}
    top = -math.inf
    for guess in sorted(guesses, key=lambda one: one.score, reverse=True):
        if guess.score < top - TOO_FAR:
            break
        asked = sense(guess.words)
        score = guess.score - asked.unlikely
        top = max(top, score)
        same = meant.get(asked.meaning)
        if same is None:
            meant[asked.meaning] = _Meant(guess, asked, score)
            continue
        high, low = max(score, same.score), min(score, same.score)
        same.score = high + math.log1p(math.exp(low - high))
    if not meant:
        return nothing()
    ranked = sorted(meant.values(), key=lambda one: one.score, reverse=True)
    first = ranked[0]
    doubtful = first.best.weakest < WEAK or first.sense.unlikely > 0

    def near(other: _Meant) -> bool:
        more = doubtful or _one_word_twice(first.best.words, other.best.words)
        return first.score - other.score < (DOUBT_MORE if more else DOUBT)

    rivals = (one for one in ranked[1:] if one.sense.answerable and near(one))
    rival = next(rivals, None) if first.sense.answerable else None
    return Hypothesis(first.best.words, first.best.confidence, rival=rival.best.words if rival else "")


def _one_word_twice(once: str, words: str) -> bool:
    """Whether words are the same but for one of them said twice in a row."""
    heard, said = once.split(), words.split()
    if len(said) != len(heard) + 1:
        return False
    at = next((n for n, word in enumerate(heard) if word != said[n]), len(heard))
    return at > 0 and said[at] == said[at - 1] and said[at + 1 :] == heard[at:]
