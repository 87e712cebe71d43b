"""Sentences to synthesize: the grammar's own, and carrier sentences for words the next tasks will add."""

from __future__ import annotations

import random
from collections.abc import Iterator

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
_USUAL = 0.55
"""Share of measurements, the requests made most and jobs; the rest is any sentence of the grammar."""
_LONGEST = 18
"""Words of a sentence at most."""


def sentences(grammar: Grammar, seed: int) -> Iterator[str]:
    """Endless sentences of the grammar, one in twelve with a word of a later task put among measurements."""
    rng = random.Random(seed)
    while True:
        if rng.random() < _USUAL:
            words = rng.choice((measurement, usual_request, job))(rng).split()
        else:
            words = grammar.sample(rng, rng.choice(_ROOTS)).split()
        if rng.random() < 1 / 12:
            words = [rng.choice(LATER), *words[: rng.randint(1, 4)], rng.choice(LATER)]
        if 1 <= len(words) <= _LONGEST:
            yield " ".join(words)


def jobs(seed: int) -> Iterator[str]:
    """Endless jobs, as people ask for them."""
    rng = random.Random(seed)
    while True:
        yield job(rng)
