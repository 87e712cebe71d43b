"""What people usually say, to weigh the sentences of the grammar in a recogniser's search.

The grammar says what may be said; "thirteen seven and eight" may, "thirteen and seven eighths" will. Sentences made
here and by the grammar's own sampler are counted along its automaton.
"""

from __future__ import annotations

import math
import random
from collections import Counter, deque
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cache

from assistant.hearing.asked import METALS, filled, usually_asked

__all__ = ["PLACES", "Weighed", "job", "measurement", "said_in_all", "usual_request", "weighed"]

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
_ROUND = (*range(10, 101, 10), *range(12, 145, 12))
"""Tens, and whole feet in inches: what is laid out is more often one of these than not."""
ROUND_SHARE = 0.4
"""Of sizes without a fraction. With none "fifty" cost 4 nats to end a sentence with, and came out as "fifteen"."""
_SIZES = (13, 100, 100, 1000)
"""Whole numbers said are under one of these. Small ones are said more, but "nineteen" no more than "ninety", for which
it is easily taken."""
_THIN = (
    "eighth",
    "an eighth",
    "quarter",
    "quarter",
    "a quarter",
    "half",
    "three sixteenths",
    "three eighths",
    "three quarter",
    "two",
)
_TURNS = (
    *("twenty two and a half", "thirty", "forty five", "forty five", "sixty", "ninety", "ninety", "one hundred twenty"),
    "one hundred thirty five",
)
_APART = (*range(2, 13), 16, 16, 18, 24, 24, 30, 36, 48)
_NAMES = (
    *("leg", "rail", "post", "gate", "brace", "beam", "plate", "bracket", "frame", "panel", "picket", "stringer"),
    *("gusset", "header", "column", "channel", "angle", "tube", "pipe", "table", "trailer", "door", "window", "shelf"),
    *("step", "hinge", "bumper", "rack", "cart", "guard", "lid", "base", "arm", "spacer", "crossmember", "opening"),
)
"""What a piece can be called in the grammar."""
_SIDES = ("top", "bottom", "left", "right", "front", "rear", "long", "short", "inside", "outside")
KIND_SHARES = {"jobs": 0.48, "piece": 0.2, "lengths": 0.32}
"""Of the usual requests."""
SAMPLES = 100_000
SMOOTHING = 0.05
"""Added to each word's count in a state."""
HISTORY, GAIN = 3, 800.0
"""Words before that count, and how much likelier (nats, in all that is made here) they must make what was said after
them. At 300 and 480 no more is heard, with a larger model (models/LOG.md, run 23)."""
FEWER = 2.0
"""How many times what is known of fewer words counts."""


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
    if top == 1 and rng.random() < 0.5:
        return f"{'an' if bottom == 8 else 'a'} {name}"
    return f"{number(top)} {name}{'s' if top > 1 and rng.random() < 0.6 else ''}"


def _and_fraction(rng: random.Random) -> str:
    """After a whole number. Only a top that is said can do without "and"."""
    fraction = _fraction(rng)
    joined = "and " if fraction.startswith(("a ", "an ", "half")) else rng.choice(("and ", ""))
    return f" {joined}{fraction}"


def measurement(rng: random.Random) -> str:
    """A length as it is said off a tape."""
    size = rng.choice(_SIZES)
    kind = rng.random()
    if kind < 0.2:
        said = number(rng.choice(_ROUND) if rng.random() < ROUND_SHARE else rng.randrange(1, size))
    elif kind < 0.75:
        said = number(rng.randrange(1, size)) + _and_fraction(rng)
    elif kind < 0.82:
        said = _fraction(rng)
    elif kind < 0.84:
        return f"an inch and {_fraction(rng)}"
    else:
        said = _feet(rng)
        if rng.random() < 0.15:
            return said
        said += f" {number(rng.randint(0, 11))}" + (_and_fraction(rng) if rng.random() < 0.5 else "")
    return said + (rng.choice((" inch", " inches")) if rng.random() < 0.15 else "")


def usual_request(rng: random.Random) -> str:
    """One of the requests made most, about lengths as they are said off a tape."""
    (kind,) = rng.choices(list(KIND_SHARES), list(KIND_SHARES.values()))
    return _asked(kind, rng)


def job(rng: random.Random) -> str:
    """One of the jobs, as it is asked for."""
    return _asked("jobs", rng)


def _asked(kind: str, rng: random.Random) -> str:
    return filled(rng.choice(usually_asked()[kind]), PLACES, rng)


def _feet(rng: random.Random) -> str:
    return f"{number(rng.randint(1, 40))} {rng.choice(('foot', 'foot', 'feet'))}"


def _name(rng: random.Random) -> str:
    side = f"{rng.choice(_SIDES)} " if rng.random() < 0.2 else ""
    numbered = f" number {number(rng.randint(1, 4))}" if rng.random() < 0.1 else ""
    return side + rng.choice(_NAMES) + numbered


PLACES: dict[str, Callable[[random.Random], str]] = {
    "length": measurement,
    "short": lambda rng: number(rng.randint(1, 11)) + (_and_fraction(rng) if rng.random() < 0.7 else ""),
    "feet": _feet,
    "n": lambda rng: number(rng.randint(2, 12)),
    "digit": lambda rng: number(rng.randint(2, 9)),
    "apart": lambda rng: number(rng.choice(_APART)),
    "pounds": lambda rng: number(rng.randint(3, 99)),
    "risers": lambda rng: number(rng.randint(3, 18)),
    "gage": lambda rng: number(rng.randint(7, 24)),
    "thick": lambda rng: rng.choice(_THIN) + rng.choice(("", "", " inch")),
    "degrees": lambda rng: rng.choice(_TURNS),
    "schedule": lambda rng: rng.choice(("forty", "forty", "eighty", "ten")),
    "metal": lambda rng: rng.choice(METALS),
    "name": _name,
}
"""What stands in the places of what is usually asked."""


@dataclass(frozen=True)
class Weighed:
    """An automaton over words with a price on each word and on each end. State 0 starts."""

    going: list[list[tuple[str, int, float]]]
    """By state: words that may come, each with a next state and a cost."""
    finals: dict[int, float]
    """Where a sentence may end, at what cost."""


def weighed(
    going: Sequence[Sequence[tuple[str, int]]],
    finals: Iterable[int],
    sampled: Callable[[random.Random], str],
    expected: Callable[[random.Random], str] | None = None,
    share: float = 0.0,
    seed: int = 1,
) -> Weighed:
    """The same sentences, each at -log of how likely it is said.

    What comes next is counted by state and by the words that led there, as many of them as tell something, and
    smoothed by what is known of fewer: an n-gram model whose words keep to the automaton.

    A ``share`` of what is said is what is ``expected``, where anything is; of the rest most is measurements, some
    ``sampled``. Where a sentence has several ways through the automaton, one is counted, always the same.
    """
    rng = random.Random(seed)
    steps: list[dict[str, list[int]]] = []
    for words in going:
        steps.append({})
        for word, to in words:
            steps[-1].setdefault(word, []).append(to)
    ends = frozenset(finals)
    ways = []
    for usual in said_in_all(rng, sampled, SAMPLES):
        sentence = expected(rng) if expected and rng.random() < share else usual
        ways.append(_way(steps, ends, sentence.split()))
    return _spread(going, ends, _telling(_counted(ways)))


_At = tuple[int, tuple[str, ...]]
"""A state, and the last words that led there."""
_END = ("", -1)


def _counted(ways: Iterable[Sequence[tuple[int, str, int]]]) -> dict[_At, Counter[tuple[str, int]]]:
    """What came next, by state and each number of words before it."""
    counts: dict[_At, Counter[tuple[str, int]]] = {}
    for way in filter(None, ways):
        said = [word for _, word, _ in way]
        for n, (state, word, to) in enumerate([*way, (way[-1][2], *_END)]):
            for k in range(min(HISTORY, n) + 1):
                counts.setdefault((state, tuple(said[n - k : n])), Counter())[word, to] += 1
    return counts


def _known(counts: Container[_At], state: int, history: tuple[str, ...]) -> _At:
    """The state with as much of a history, of its last words, as there are counts for."""
    while history and (state, history) not in counts:
        history = history[1:]
    return state, history


def _telling(counts: dict[_At, Counter[tuple[str, int]]]) -> dict[_At, Counter[tuple[str, int]]]:
    """Without the histories after which nothing else is said than after fewer words of them."""
    kept = {at: row for at, row in counts.items() if not at[1]}
    for at, row in sorted(counts.items(), key=lambda item: len(item[0][1])):
        state, history = at
        if not history:
            continue
        base = kept[_known(kept, state, history[1:])]
        whole, own = base.total(), row.total()
        if sum(n * math.log(n / own * whole / base[option]) for option, n in row.items()) > GAIN:
            kept[at] = row
    return kept


def _spread(
    going: Sequence[Sequence[tuple[str, int]]], ends: Set[int], counts: Mapping[_At, Counter[tuple[str, int]]]
) -> Weighed:
    """One state for each state and history that was counted, as far as they can be reached."""
    empty: Counter[tuple[str, int]] = Counter()

    @cache
    def chances(at: _At) -> dict[tuple[str, int], float]:
        state, history = at
        row = counts.get(at, empty)
        if not history:
            options = [*going[state], *([_END] if state in ends else [])]
            whole = row.total() + SMOOTHING * len(options)
            return {option: (row[option] + SMOOTHING) / whole for option in options}
        fewer = chances(_known(counts, state, history[1:]))
        whole = row.total() + FEWER
        return {option: (row[option] + FEWER * chance) / whole for option, chance in fewer.items()}

    number: dict[_At, int] = {(0, ()): 0}
    rows: list[list[tuple[str, int, float]]] = []
    finals: dict[int, float] = {}
    todo = deque(number)
    while todo:
        at = todo.popleft()
        rows.append([])
        for (word, to), chance in chances(at).items():
            if (word, to) == _END:
                finals[number[at]] = -math.log(chance)
                continue
            then = _known(counts, to, (*at[1], word)[-HISTORY:])
            if then not in number:
                number[then] = len(number)
                todo.append(then)
            rows[-1].append((word, number[then], -math.log(chance)))
    return Weighed(rows, finals)


def _way(
    steps: Sequence[Mapping[str, Sequence[int]]], ends: Set[int], words: Sequence[str]
) -> list[tuple[int, str, int]]:
    """One way of a sentence through the automaton, as arcs in order; empty where there is none."""
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
    return way[::-1]


def said_in_all(rng: random.Random, sampled: Callable[[random.Random], str], count: int) -> Iterator[str]:
    """So many sentences: half of them measurements, a quarter usual requests, and a quarter ``sampled``."""
    for _ in range(count // 4):
        yield measurement(rng)
        yield measurement(rng)
        yield usual_request(rng)
        yield sampled(rng)
