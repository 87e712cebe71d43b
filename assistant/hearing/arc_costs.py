"""What people usually say, to weigh the sentences of the grammar in a recogniser's search.

The grammar says what may be said; "thirteen seven and eight" may, "thirteen and seven eighths" will. Sentences made
here and by the grammar's own sampler are counted along its automaton.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set

__all__ = ["arc_costs", "measurement", "usual_request"]

_ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = [".", ".", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_BOTTOMS = {2: "half", 3: "third", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty second"}
_SHARES = {2: 14, 3: 3, 4: 16, 8: 30, 16: 30, 32: 7}
"""How often each denominator comes (common practice, no source)."""
_FRAMES = (
    "half of {}",
    "center of {}",
    "middle of {}",
    "{} plus {}",
    "{} minus {}",
    "add {}",
    "take off {}",
    "plus {}",
    "minus {}",
    "divide {} by {n}",
    "{} times {n}",
    "{n} equal parts in {}",
)
"""The requests made most; {n} is a small number."""
SAMPLES = 30000
SMOOTHING = 0.05
"""Added to each arc's count."""


def number(value: int) -> str:
    """A whole number under a thousand in words."""
    if value < 20:
        return _ONES[value]
    if value < 100:
        return _TENS[value // 10] + (f" {_ONES[value % 10]}" if value % 10 else "")
    return f"{_ONES[value // 100]} hundred" + (f" {number(value % 100)}" if value % 100 else "")


def _fraction(rng: random.Random) -> str:
    bottom = rng.choices(list(_SHARES), list(_SHARES.values()))[0]
    top = rng.randrange(1, bottom, 2) if bottom != 3 else rng.randint(1, 2)
    name = _BOTTOMS[bottom]
    if bottom == 2:
        return rng.choice(("a half", "one half", "half", "a half"))
    return f"{number(top)} {name}{'s' if top > 1 and rng.random() < 0.6 else ''}"


def measurement(rng: random.Random) -> str:
    """A length as it is said off a tape."""
    size = rng.choice((20, 100, 100, 1000))
    kind = rng.random()
    if kind < 0.2:
        said = number(rng.randrange(size))
    elif kind < 0.75:
        said = f"{number(rng.randrange(1, size))} {rng.choice(('and ', ''))}{_fraction(rng)}"
    elif kind < 0.82:
        said = _fraction(rng)
    else:
        said = f"{number(rng.randint(1, 40))} {rng.choice(('foot', 'feet'))} {number(rng.randint(0, 11))}"
        said += f" {rng.choice(('and ', ''))}{_fraction(rng)}" if rng.random() < 0.5 else ""
    return said + (rng.choice((" inch", " inches")) if rng.random() < 0.15 else "")


def usual_request(rng: random.Random) -> str:
    """One of the requests made most, about lengths as they are said off a tape."""
    frame = rng.choice(_FRAMES)
    return frame.format(*(measurement(rng) for _ in range(frame.count("{}"))), n=number(rng.randint(2, 12)))


def arc_costs(
    going: Sequence[Sequence[tuple[str, int]]],
    finals: Iterable[int],
    sampled: Callable[[random.Random], str],
    expected: Callable[[random.Random], str] | None = None,
    share: float = 0.0,
    seed: int = 1,
) -> Callable[[int, str, int], float]:
    """Cost of a word from a state to another, -log of its share of what was said there.

    A ``share`` of it is what is ``expected``, where anything is; of the rest most is measurements, some ``sampled``.
    Where a sentence has several ways through the automaton, one is counted, always the same.
    """
    rng = random.Random(seed)
    steps: list[dict[str, list[int]]] = []
    for words in going:
        steps.append({})
        for word, to in words:
            steps[-1].setdefault(word, []).append(to)
    counts: list[dict[tuple[str, int], float]] = [dict.fromkeys(words, SMOOTHING) for words in going]
    ends = frozenset(finals)
    for usual in _sentences(rng, sampled):
        sentence = expected(rng) if expected and rng.random() < share else usual
        for state, word, to in _way(steps, ends, sentence.split()):
            counts[state][word, to] += 1
    totals = [sum(row.values()) for row in counts]
    return lambda state, word, to: -math.log(counts[state][word, to] / totals[state])


def _way(
    steps: Sequence[Mapping[str, Sequence[int]]], ends: Set[int], words: Sequence[str]
) -> list[tuple[int, str, int]]:
    """One way of a sentence through the automaton, as arcs; empty where there is none."""
    came: list[dict[int, int]] = [{0: -1}]
    for word in words:
        reached: dict[int, int] = {}
        for state in came[-1]:
            for to in steps[state].get(word, ()):
                reached.setdefault(to, state)
        came.append(reached)
    last = [state for state in came[-1] if state in ends]
    if not last:
        return []
    state, way = min(last), []
    for n in range(len(words), 0, -1):
        before = came[n][state]
        way.append((before, words[n - 1], state))
        state = before
    return way


def _sentences(rng: random.Random, sampled: Callable[[random.Random], str]) -> Iterator[str]:
    for _ in range(SAMPLES // 4):
        yield measurement(rng)
        yield measurement(rng)
        yield usual_request(rng)
        yield sampled(rng)
