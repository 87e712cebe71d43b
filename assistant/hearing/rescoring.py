"""By how much a guess's words are likelier, or less likely, than a model's graph takes them to be.

The graph's prices are those of its automaton, with the words before kept in few places, or it would not fit in memory.
Of a few whole guesses each can be asked again, by ``language_model``.
"""

from __future__ import annotations

import math
import struct
from array import array
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.hearing.graph import SAID_COST, WORD_COST
from assistant.hearing.language_model import LanguageModel

__all__ = ["Rescorer", "numbered"]

_STATE = np.dtype([("final", "<f4"), ("at", "<u4"), ("arcs", "<u4"), ("silent_in", "<u4"), ("silent_out", "<u4")])
_ARC = np.dtype([("word", "<i4"), ("out", "<i4"), ("cost", "<f4"), ("to", "<i4")])


def numbered(folder: Path) -> dict[str, int]:
    """The words of a model folder with their numbers in its graph."""
    lines = (folder / "graph" / "words.txt").read_text(encoding="utf-8").splitlines()
    return {word: int(number) for word, number in (line.split() for line in lines)}


class Rescorer:
    """The language model of a model folder beside the prices of its graph."""

    def __init__(self, folder: Path) -> None:
        """Read both.

        Raises:
            OSError, ValueError, KeyError, struct.error: where one is missing, or is not what it should be.
        """
        self._model = LanguageModel.read(folder)  # first: a model that has none may list 200,000 words
        self._numbers = numbered(folder)
        self._graph = _Graph.read(folder / "graph" / "Gr.fst")

    def gains(self, sentences: Sequence[str]) -> list[float]:
        """Nats by which the words of each are likelier than the graph takes them; 0 where it does not have them."""
        said = [tuple(words.split()) for words in sentences]
        graph = self._graph.prices([tuple(self._numbers.get(word, -1) for word in words) for words in said])
        likely = self._model.prices(said)
        return [taken - price if math.isfinite(taken) else 0.0 for taken, price in zip(graph, likely, strict=True)]


_Words = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Graph:
    """A graph's arcs, those out of one state side by side and by their words. Arrays, since in lists of Python's own
    numbers they would take ten times the memory, and NumPy takes longer over one number than over a hundred."""

    first: array[int]
    """By state: its first arc; behind the last state the number of arcs."""
    final: array[float]
    """By state: what it costs to end there."""
    word: array[int]
    to: array[int]
    cost: array[float]

    @classmethod
    def read(cls, path: Path) -> _Graph:
        """A transducer as ``graph.fst_bytes`` writes it."""
        data = path.read_bytes()
        at = 4
        for _ in range(2):  # names of the format and of its arcs
            at += 4 + int(struct.unpack_from("<i", data, at)[0])
        *_, states, arcs = struct.unpack_from("<iiQqqq", data, at)
        at += struct.calcsize("<iiQqqq")
        rows = np.frombuffer(data, _STATE, states, at)
        ways = np.frombuffer(data, _ARC, arcs, at + states * _STATE.itemsize)
        return cls(
            array("i", [*rows["at"].tolist(), arcs]),
            array("f", rows["final"].tobytes()),
            array("i", ways["word"].tobytes()),
            array("i", ways["to"].tobytes()),
            array("f", ways["cost"].tobytes()),
        )

    def prices(self, sentences: Sequence[_Words]) -> list[float]:
        """Of sentences by the numbers of their words, without what is asked of any word; infinite where there is no
        such sentence."""
        reached: dict[_Words, dict[int, float]] = {(): {0: 0.0}}
        return [
            min(
                (cost + self.final[state] - SAID_COST for state, cost in self._after(said, reached).items()),
                default=math.inf,
            )
            for said in sentences
        ]

    def _after(self, said: _Words, reached: dict[_Words, dict[int, float]]) -> dict[int, float]:
        """States after some words, and at what price; ``reached`` remembers those of beginnings."""
        known = reached.get(said)
        if known is None:
            known = reached[said] = {}
            for state, cost in self._after(said[:-1], reached).items():
                end = self.first[state + 1]
                at = bisect_left(self.word, said[-1], self.first[state], end)
                while at < end and self.word[at] == said[-1]:
                    to, whole = self.to[at], cost + self.cost[at] - WORD_COST
                    known[to] = min(whole, known.get(to, whole))
                    at += 1
        return known
