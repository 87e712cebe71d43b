"""How long the grammar's words last, from the word times of an alignment: a model folder's durations.txt."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from statistics import fmean, pstdev

from assistant.hearing.durations import FILE, Usual, pace

FEW = 20
"""Tokens below which a word's own mean is not trusted; it counts for nothing then."""
DRAWN_OUT = 0.4
"""How much longer, in logs, the last word of a sentence is where it was not heard there often enough: the mean over the
words that were."""
PASSES = 2
"""First by the words alone, then at the pace of each sentence's other words."""

Key = tuple[str, bool]
Times = Iterable[Sequence[tuple[str, int, int]]]
"""Sentences as (word, its first frame, the first after it), in frames of 10 ms."""


def usual(times: Times, vocabulary: frozenset[str]) -> dict[Key, Usual]:
    """By word, and whether it is a sentence's last. A word that was said alone tells nothing: it has no pace to go by."""
    sentences = [
        [((word, at == len(words) - 1), math.log(max(b - a, 1) / 100)) for at, (word, a, b) in enumerate(words)]
        for words in times
        if len(words) > 1
    ]
    found = _means([(key, log) for sentence in sentences for key, log in sentence])
    for _ in range(PASSES):
        found = _means([pair for sentence in sentences for pair in _at_its_pace(sentence, found)])
    for word in vocabulary:
        if (word, False) in found and (word, True) not in found:
            mean, deviation = found[word, False]
            found[word, True] = Usual(mean + DRAWN_OUT, deviation)
    return {key: value for key, value in sorted(found.items()) if key[0] in vocabulary}


def _means(logs: Iterable[tuple[Key, float]]) -> dict[Key, Usual]:
    by_key: dict[Key, list[float]] = defaultdict(list)
    for key, log in logs:
        by_key[key].append(log)
    return {key: Usual(fmean(some), pstdev(some)) for key, some in by_key.items() if len(some) >= FEW}


def _at_its_pace(sentence: Sequence[tuple[Key, float]], found: Mapping[Key, Usual]) -> Iterable[tuple[Key, float]]:
    off = [log - found[key].mean if key in found else None for key, log in sentence]
    for at, (key, log) in enumerate(sentence):
        yield key, log - pace(x for n, x in enumerate(off) if x is not None and n != at)


def write(times: Times, vocabulary: frozenset[str], folder: Path) -> None:
    table = usual(times, vocabulary)
    lines = [
        f"{word} {'last' if last else 'inside'} {u.mean:.3f} {u.deviation:.3f}\n" for (word, last), u in table.items()
    ]
    (folder / FILE).write_text("".join(lines), encoding="utf-8")
