"""How long words last: of two guesses at a sentence, that whose words all go at one pace is the likelier.

In the recogniser's own search a phone lasts as long as it likes, and "foot" is made of what a grinder does in 60 ms
after a sentence. Here each word is compared with what it usually takes, at the pace of the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

__all__ = ["FILE", "Durations", "Timed", "Usual", "pace"]

FILE = "durations.txt"
"""In a model folder: lines "word inside|last mean deviation"."""
SHORTEST = 0.03
"""Seconds: a frame of the network."""
OWN_PACE = 1.5
"""A speaker's pace counts as if so many words had gone at the usual one besides."""
LEAST_DEVIATION = 0.25
"""Of the log of seconds: no word is said more evenly, whatever a few tokens of one voice say."""
FAR_OFF = 3.0
"""Deviations. Farther off counts no more: a word drawn out while he reads the tape is no other word."""


class Timed(NamedTuple):
    word: str
    seconds: float


class Usual(NamedTuple):
    """Of the natural log of seconds."""

    mean: float
    deviation: float


def pace(off: Iterable[float]) -> float:
    """Of a speaker, from how far off the usual his words were, in logs: above 0 is slow."""
    known = list(off)
    return sum(known) / (len(known) + OWN_PACE)


class Durations:
    def __init__(self, usual: Mapping[tuple[str, bool], Usual]) -> None:
        """By word, and whether it is the last one of the sentence: there it is drawn out."""
        self._usual = usual

    @classmethod
    def read(cls, folder: Path) -> Durations:
        """Of a model folder.

        Raises:
            OSError, ValueError: where the file is missing, or is not what it should be.
        """
        usual = {}
        for line in (folder / FILE).read_text(encoding="utf-8").splitlines():
            word, where, mean, deviation = line.split()
            usual[word, where == "last"] = Usual(float(mean), float(deviation))
        return cls(usual)

    def likelihood(self, said: Sequence[Timed]) -> float:
        """In nats. On average words come to 0, whatever their number; a word that is not in the table counts 0."""
        found = []
        for number, (word, seconds) in enumerate(said, start=1):
            usual = self._usual.get((word, number == len(said)))
            if usual is not None:
                off = math.log(max(seconds, SHORTEST)) - usual.mean
                found.append((off, max(usual.deviation, LEAST_DEVIATION)))
        total = 0.0
        for at, (off, deviation) in enumerate(found):
            others = pace(other for n, (other, _) in enumerate(found) if n != at)
            total += (1 - min(abs((off - others) / deviation), FAR_OFF) ** 2) / 2
        return total
