"""A model folder's n-grams, counted in what is usually said: graph/ngrams.npz, for ``assistant.hearing.ngrams``."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np

from assistant.hearing.ngrams import END, FILE, ORDER, STEP

LEAST = 6.0
"""Nats, in all that is counted, by which the words before must make an n-gram of three or more likelier or less likely.
At 12 six of 7,800 utterances more are heard wrong, at 3 the file is twice as large for none (models/LOG.md)."""

_Ngram = tuple[int, ...]


def counted(sentences: Iterable[str], numbers: Mapping[str, int]) -> list[dict[_Ngram, Counter[int]]]:
    """By number of words before: what came after them how often."""
    start = max(numbers.values()) + 1
    counts: list[dict[_Ngram, Counter[int]]] = [defaultdict(Counter) for _ in range(ORDER)]
    for sentence in sentences:
        said = (start, *(numbers[word] for word in sentence.split()), END)
        for at in range(1, len(said)):
            for n in range(min(ORDER, at + 1)):
                counts[n][said[at - n : at]][said[at]] += 1
    return counts


def write(folder: Path, counts: list[dict[_Ngram, Counter[int]]], numbers: Mapping[str, int]) -> None:
    """Smoothed as Witten and Bell do (1991): as likely something new as there were kinds of things before."""
    base = max(numbers.values()) + 2
    prices: list[dict[_Ngram, float]] = [{} for _ in counts]
    backoffs: list[dict[_Ngram, float]] = [{} for _ in counts]

    def chance(ngram: _Ngram) -> float:
        share = 1.0
        for n in range(len(ngram) - 1, -1, -1):
            known = ngram[len(ngram) - 1 - n :]
            if known in prices[n]:
                return share * prices[n][known]
            share *= backoffs[n].get(known[:-1], 1.0)
        return share / base

    packed = {"base": np.array(base)}
    for n, contexts in enumerate(counts):
        for before, row in contexts.items():
            lower = {word: chance((*before[1:], word)) if n else 1 / base for word in row}
            whole, kinds = row.total(), len(row)
            own = {word: (count + kinds * lower[word]) / (whole + kinds) for word, count in row.items()}
            kept = [w for w in row if n < 2 or row[w] * abs(math.log(own[w] / lower[w])) > LEAST]
            if kept:
                left, under = 1 - sum(own[w] for w in kept), 1 - sum(lower[w] for w in kept)
                backoffs[n][before] = max(left, 1e-9) / max(under, 1e-9)
                prices[n].update({(*before, w): own[w] for w in kept})
        keys = sorted(prices[n])  # as numbers they are in the same order
        words = np.array([sum(w * base ** (n - at) for at, w in enumerate(key)) for key in keys], np.int64)
        packed[f"words{n + 1}"] = np.diff(words, prepend=0)
        packed[f"prices{n + 1}"] = _steps([prices[n][key] for key in keys]).astype(np.uint8)
        packed[f"backoff{n + 1}"] = _steps([backoffs[n][key] for key in sorted(backoffs[n])]).astype(np.int16)
    np.savez_compressed(folder / "graph" / FILE, **packed)


def _steps(chances: list[float]) -> np.ndarray:
    return np.minimum(np.round(-np.log(chances) / STEP), 255)
