"""How likely words are said in a row, by n-grams, and by how much that is less or more than a model's graph takes it.

The graph's prices are those of its automaton, with the words before kept in few places, or it would not fit in memory.
Of a few whole guesses each can be asked again. Counted and written by ``models/build/ngrams.py``.
"""

from __future__ import annotations

import struct
from functools import lru_cache
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from assistant.hearing.graph import SAID_COST, WORD_COST

__all__ = ["END", "FILE", "ORDER", "SHARE", "STEP", "Ngrams", "Rescorer", "numbered"]

FILE = "ngrams.npz"
"""In a model folder's graph. By number of words n, from 1: ``words{n}``, each n-gram as one number (its words' numbers
as digits, ascending, as differences) and ``prices{n}``, its price in steps; ``backoff{n}``, for each of its first n - 1
words in order, what it costs to go on by fewer words, in steps. ``base``: what the digits are to, two more than the
number of the last word."""
ORDER = 4
"""Words of an n-gram at most."""
STEP = 1 / 16
"""Nats."""
SHARE = 0.65
"""Of the graph's price that the n-grams' takes the place of. Chosen on the development sets, where 0.5 to 0.7 do about
as well (models/LOG.md)."""
END = 0
"""The number of a sentence's end; its beginning is one more than the last word."""
KEPT = 256
"""Sentences whose price is remembered: the guesses at one utterance are asked about several times."""
_STATE = np.dtype([("final", "<f4"), ("at", "<u4"), ("arcs", "<u4"), ("silent_in", "<u4"), ("silent_out", "<u4")])
_ARC = np.dtype([("word", "<i4"), ("out", "<i4"), ("cost", "<f4"), ("to", "<i4")])


def numbered(folder: Path) -> dict[str, int]:
    """The words of a model folder with their numbers, from 1."""
    lines = (folder / "graph" / "words.txt").read_text(encoding="utf-8").splitlines()
    return {word: int(number) for word, number in (line.split() for line in lines)}


class Ngrams:
    def __init__(
        self, words: list[np.ndarray], prices: list[np.ndarray], backoffs: list[np.ndarray], base: int
    ) -> None:
        self._base = base
        self._words, self._prices, self._backoffs = words, prices, backoffs
        self._before = [np.unique(row // base) for row in words]

    @classmethod
    def read(cls, folder: Path) -> Ngrams:
        """Of a model folder.

        Raises:
            OSError, ValueError, KeyError: where the file is missing, or is not what it should be.
        """
        try:
            with (folder / "graph" / FILE).open("rb") as file, np.load(file) as packed:
                rows = range(1, ORDER + 1)
                words = [np.cumsum(packed[f"words{n}"]) for n in rows]
                prices, backoffs = [packed[f"prices{n}"] for n in rows], [packed[f"backoff{n}"] for n in rows]
                return cls(words, prices, backoffs, int(packed["base"]))
        except (BadZipFile, EOFError) as error:
            raise ValueError(str(error)) from None

    def price(self, words: list[int]) -> float:
        """Of a sentence, its end included; nats."""
        said = [self._base - 1, *words, END]
        return STEP * sum(self._next(said[max(0, n - ORDER + 1) : n], said[n]) for n in range(1, len(said)))

    def _next(self, before: list[int], word: int) -> int:
        """Steps."""
        cost = 0
        for n in range(len(before), -1, -1):
            known = 0
            for one in before[len(before) - n :]:
                known = known * self._base + one
            at = _found(self._words[n], known * self._base + word)
            if at is not None:
                return cost + int(self._prices[n][at])
            at = _found(self._before[n], known)
            if at is not None:
                cost += int(self._backoffs[n][at])
        return cost + int(self._prices[0].max())


def _found(row: np.ndarray, key: int) -> int | None:
    at = int(np.searchsorted(row, key))
    return at if at < len(row) and row[at] == key else None


class Rescorer:
    """The n-grams of a model folder beside the prices of its graph."""

    def __init__(self, folder: Path) -> None:
        """Read both.

        Raises:
            OSError, ValueError, KeyError, struct.error: where one is missing, or is not what it should be.
        """
        self._ngrams = Ngrams.read(folder)  # first: a model that has none may list 200,000 words
        self._numbers = numbered(folder)
        self._states, self._arcs = _read(folder / "graph" / "Gr.fst")
        self.gain = lru_cache(KEPT)(self._gain)

    def _gain(self, words: str) -> float:
        """Nats by which some words are likelier than the graph takes them; 0 where it does not have them."""
        said = [self._numbers.get(word, -1) for word in words.split()]
        price = self._price(said)
        return 0.0 if price is None else SHARE * (price - self._ngrams.price(said))

    def _price(self, said: list[int]) -> float | None:
        reached = {0: 0.0}
        for word in said:
            then: dict[int, float] = {}
            for state, cost in reached.items():
                row = self._states[state]
                arcs = self._arcs[row["at"] : row["at"] + row["arcs"]]
                first, last = np.searchsorted(arcs["word"], [word, word + 1])
                for arc in arcs[first:last]:
                    to, whole = int(arc["to"]), cost + float(arc["cost"]) - WORD_COST
                    then[to] = min(whole, then.get(to, whole))
            reached = then
        ends = [cost + float(self._states[state]["final"]) - SAID_COST for state, cost in reached.items()]
        price = min(ends, default=np.inf)
        return price if np.isfinite(price) else None


def _read(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """States and arcs of a transducer as ``graph.fst_bytes`` writes it."""
    data = path.read_bytes()
    at = 4
    for _ in range(2):  # names of the format and of its arcs
        at += 4 + int(struct.unpack_from("<i", data, at)[0])
    *_, states, arcs = struct.unpack_from("<iiQqqq", data, at)
    at += struct.calcsize("<iiQqqq")
    return (
        np.frombuffer(data, _STATE, states, at),
        np.frombuffer(data, _ARC, arcs, at + states * _STATE.itemsize),
    )
