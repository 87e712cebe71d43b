"""Sentences to synthesize: the grammar's own, and carrier sentences for words the next tasks will add."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from assistant.hearing.arc_costs import job, measurement, usual_request
from assistant.language.grammar import Grammar

LATER = [
    "holes",
    "spaces",
    "diagonal",
    "brace",
    "rise",
    "run",
    "bevel",
    "pipe",
    "offset",
    "miter",
    "saddle",
    "bend",
    "ring",
    "radius",
    "chord",
    "stairs",
    "sticks",
    "weigh",
    "plate",
    "angle",
    "channel",
    "tube",
    "gage",
    "square",
    "circle",
    "arc",
    "tread",
    "riser",
    "spacing",
    "pattern",
    "slope",
    "pitch",
    "bolt",
    "flange",
    "elbow",
]
"""Words of layout tasks not yet in the grammar, so that adding them needs a new graph and no new training."""

_ROOTS = ("request", "request", "request", "request", "answer", "wake")
_USUAL = 0.7
"""Share of measurements, the requests made most and jobs; the rest is any sentence of the grammar."""
_KINDS = (measurement, usual_request, job, job)
CHOICES = 20
"""Of as many usual sentences the one is spoken whose neighbors have been neighbors least: half again as many of the
pairs that a "-ty" or a "-teen" comes in are said as at random."""
SHORT = 4
"""Words added to each sentence's own where what is new in it is divided by its length: without, most would be of one."""
_LONGEST = 18
"""Words of a sentence at most."""


def sentences(grammar: Grammar, seed: int, choices: int = 1) -> Iterator[str]:
    """Endless sentences of the grammar, one in twelve with a word of a later task put among measurements.

    Of so many ``choices`` of a usual sentence the one whose pairs of words have been said least.
    """
    rng = random.Random(seed)
    said: Counter[tuple[str, str]] = Counter()

    def new(words: list[str]) -> float:
        return sum(1 / (1 + said[pair]) for pair in pairs(words)) / (len(words) + SHORT)

    while True:
        if rng.random() < _USUAL:
            kind = rng.choice(_KINDS)
            words = max((kind(rng).split() for _ in range(choices)), key=new)
            said.update(pairs(words))
        else:
            words = grammar.sample(rng, rng.choice(_ROOTS)).split()
        if rng.random() < 1 / 12:
            words = [rng.choice(LATER), *words[: rng.randint(1, 4)], rng.choice(LATER)]
        if 1 <= len(words) <= _LONGEST:
            yield " ".join(words)


def pairs(words: list[str]) -> Iterator[tuple[str, str]]:
    return pairwise(["", *words, ""])


def jobs(seed: int) -> Iterator[str]:
    """Endless jobs, as people ask for them."""
    rng = random.Random(seed)
    while True:
        yield job(rng)
