"""A grammar of our own for the tests of hearing: whole inches under a hundred with a fraction, "center of", "next".

Written as a word automaton by hand, so that nothing here depends on the language room.
"""

from __future__ import annotations

from random import Random
from types import SimpleNamespace

ONES = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
TEENS = ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
BOTTOMS = ["eighth", "eighths", "quarter", "quarters", "sixteenth", "sixteenths"]


def _request() -> SimpleNamespace:
    start, center, size, tens, ones, joined, top, done = range(8)  # start is 0
    whole = dict.fromkeys((*ONES, *TEENS), ones) | dict.fromkeys(TENS, tens)
    tops = dict.fromkeys((*ONES, "eleven", "thirteen", "fifteen", "a"), top)
    arcs: list[dict[str, int]] = [{} for _ in range(8)]
    arcs[start] = {"center": center, "next": done, "back": done, **whole}
    arcs[center] = {"of": size}
    arcs[size] = dict(whole)
    arcs[tens] = dict.fromkeys(ONES, ones) | {"and": joined, "inches": done}
    arcs[ones] = {"and": joined, "inches": done, **tops}
    arcs[joined] = {**tops, "half": done}
    arcs[top] = dict.fromkeys((*BOTTOMS, "half"), done)
    return _automaton(arcs, {tens, ones, done})


def _wake() -> SimpleNamespace:
    return _automaton([{"tape": 1}, {"hand": 2}, {}], {2})


def _automaton(arcs: list[dict[str, int]], finals: set[int]) -> SimpleNamespace:
    return SimpleNamespace(start=0, arcs=[list(words.items()) for words in arcs], finals=finals)


class SmallGrammar:
    """Satisfies assistant.hearing.recogniser.GrammarSource for the roots request and wake."""

    def __init__(self, extra: tuple[str, ...] = ()) -> None:
        self._automata = {"request": _request(), "wake": _wake()}
        for word in extra:
            self._automata["request"].arcs[0].append((word, 7))

    @property
    def words(self) -> frozenset[str]:
        return frozenset(word for root in self._automata.values() for arcs in root.arcs for word, _ in arcs)

    def automaton(self, root: str) -> SimpleNamespace:
        return self._automata[root]

    def sample(self, rng: Random, root: str) -> str:
        machine, words = self._automata[root], []
        state = machine.start
        while not (state in machine.finals and (not machine.arcs[state] or rng.random() < 0.3)):
            word, state = rng.choice(machine.arcs[state])
            words.append(word)
        return " ".join(words)

    def parses(self, words: str) -> bool:
        machine = self._automata["request"]
        state = machine.start
        for word in words.split():
            arcs = dict(machine.arcs[state])
            if word not in arcs:
                return False
            state = arcs[word]
        return state in machine.finals
