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

__all__ = ["Weighed", "job", "measurement", "usual_request", "weighed"]

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
_SIZES = (13, 100, 100, 1000)
"""Whole numbers said are under one of these. Small ones are said more, but "nineteen" no more than "ninety", for which
it is easily taken."""
_FRAMES = (
    "half of {}",
    "center of {}",
    "middle of {}",
    "{} plus {}",
    "{} minus {}",
    "{} less {}",
    "{} less {} less {}",
    "{} less {} and {}",
    "add {}",
    "take off {}",
    "plus {}",
    "minus {}",
    "what's {} minus {}",
    "take {} off {}",
    "divide {} by {n}",
    "{} divided by {n}",
    "split {} in {n} parts",
    "{} in {n} parts",
    "a third of {}",
    "{} times {n}",
    "{n} equal parts in {}",
)
"""The requests made most; {n} is a small number."""
_TASK_FRAMES = """\
{n} at {}
{n} at {} with kerf
{n} pieces at {}
no {}
kerf {t}
kerf
check {}
burn an inch
stop burning
from the other end
{n} holes in {}
{n} holes in {} {} from each end
{n} holes in {} with {} from each end
{n} holes in {} {} at each end
{n} holes in {} with {} at the ends
{n} holes evenly spaced in {}
{n} holes equally spaced in {}
evenly space {n} holes in {}
space {n} holes evenly in {}
{n} holes in {} {} from one end {} from the other
holes in {} at {}
holes every {} in {}
holes not over {} apart in {}
{n} holes at {} about the center of {}
{n} holes at {} about the center
holes
spaces
equal spaces
{n} equal spaces in {}
divide {} into {n} equal spaces
spaces no more than {} in {}
{n} spaces in {}
pickets in {} {t} bar no more than {r} gap
pickets in {} {t} bar gap under {n}
how many pickets in {}
pickets in {} {t} bar no more than {n} gap center marks
{n} pickets in {} {t} bar
pickets in {} {t} bar no more than {n} gap rising {} in {}
a brace
a diagonal
square it up
gage {} on center of {}
gage {} about center of {}
gage of {n} inch angle
gage of {n} by {m} beam
gage of {n} by {m} point {k} channel
grid {n} by {m} at {} by {} on {} by {}
{g} gage {metal}
{g} gage {metal} sheet
what's {g} gage tube
{n} holes on a {} circle
{n} bolts on a {} circle
bolt circle {} {n} holes
bolt circle
bolt circle {} {n} holes straddling
bolt circle {} {n} holes on the line
chord for {n} holes on a {} circle
chord for {n} on {}
diagonal {} by {}
diagonal of {} by {}
what's my diagonal {} by {}
how far out am i
square {} by {} got {} and {}
three four five in {} by {}
corner {} by {} across {}
corner {n} by {m} by {t} angle
check corner {n} by {m} {t} angle
brace {} by {}
brace for {} by {}
rise {} run {}
brace rise {} run {}
rise {} brace {}
bevel {} in twelve
{} on twelve
bevel of {d} degrees
bevel {} in twelve across {n}
bevel cut {} in twelve on {n} long point {}
miter {n} long point {}
miter {n} short point {}
miter {n} long point {} one end
miter {n} inch tube long point {} ninety degrees both ends
miter {n} inch tube {d} degrees one end
pipe miter
miter {n} inch pipe {m} piece {d}
rolling offset {} up {} over {d} degrees
rolling offset {} up {} over {d} degrees take off {} gap {t}
offset {} at {d} degrees
offset {} at {d} degrees on {n} inch pipe
offset {}
kick of {} at {d} degrees
elbow {n} inch pipe ninety
elbow take off {n} inch pipe {d} degrees
around {n} inch pipe
around {}
circumference of {n} inch pipe
quarter points of {n} inch pipe
quarter points
wrap for {n} inch pipe
saddle {n} on {m}
saddle {n} on {m} at {d} degrees
saddle {n} on {m} inside schedule forty
fish mouth {n} on {m}
bend {t} plate {} by {} {r} radius
bend {t} plate {} by {} {r} radius {metal}
bend {t} plate {n} by {m} by {k} {r} radius
bend {t} plate {n} by {m} with {r} radius {d} degrees
k factor point four {n}
ring {} inside {t} bar
ring {} outside {t} bar
ring {} inside {n} by {m} {t} angle leg out
ring {} outside {n} by {m} channel leg in
radius chord {} rise {}
radius of a {} chord {} rise
chord {} radius {}
rise {} radius {}
camber {} in {}
camber {t} in {f}
growth of {f} {d} degrees
guard opening at {}
weld shrinkage {t} plate {r} opening {d} degrees
stairs rise {}
stairs rise {} tread {}
stairs rise {} tread {n} industrial
how many risers in {}
stringer marks rise {} tread {n} {m} risers
weigh {} by {} {t} plate
weigh {f} by {f} {t} plate
weigh {f} by {f} by {t} plate
what does {} by {} {t} plate weigh
what does {t} plate {f} by {f} weigh
how heavy is a {t} plate {f} by {f}
weigh {t} sheet {f} by {f}
weigh {metal} {t} plate {f} by {f}
weigh {n} inch tube {t} wall {f} long
weigh {n} by {m} {t} tube {f} long
weigh {n} by {t} flat {f} long
weigh {n} by {m} {t} angle {f} long
weigh {n} by {m} by {t} angle {f}
weigh {n} by {m} angle {f}
weigh {n} by {m} beam {f} long
weigh {n} by {m} point {k} channel {f} long
weigh {metal} {t} round {f} long
weigh {t} round {f}
weigh {metal} {n} inch hex {f} long
weigh {n} inch round tube {t} wall {f}
weigh a {n} inch schedule forty pipe {f} long
sticks {f} kerf {t} trim {r}
{n} sticks of {f}
only {n} of the {f}
cut {n} at {}
{n} offcuts of {}
offcuts over {f}
nest""".splitlines()
"""Jobs, as they are asked for; each has much that may be said and is not. {n}, {m} and {k} are small numbers, {g} a
larger one, {t} and {r} as thick as plates are, {f} whole feet, {d} degrees."""
_THIN = (
    "eighth",
    "quarter",
    "quarter",
    "a quarter",
    "half",
    "three sixteenths",
    "three eighths",
    "three quarter",
    "two",
)
_METALS = ("steel", "stainless", "aluminum", "brass")
_TURNS = ("twenty two and a half", "thirty", "forty five", "forty five", "sixty", "ninety", "ninety")
_BOARD_FRAMES = (
    "{name}",
    "{name}",
    "the {name}",
    "what's the {name}",
    "keep that as {name}",
    "call it {name}",
    "done with {name}",
    "center of the {name}",
    "half of the {name}",
    "in {n} parts",
    "next",
    "back",
    "again",
    "how come",
    "how did you get that",
    "scratch that",
    "print the marks",
)
"""What is said of a piece that is kept or in hand, and between its marks."""
_NAMES = (
    *("leg", "rail", "post", "gate", "brace", "beam", "plate", "bracket", "frame", "panel", "picket", "stringer"),
    *("gusset", "header", "column", "channel", "angle", "tube", "pipe", "table", "trailer", "door", "window", "shelf"),
    *("step", "hinge", "bumper", "rack", "cart", "guard", "lid", "base", "arm", "spacer", "crossmember", "opening"),
)
"""What a piece can be called in the grammar."""
_SIDES = ("top", "bottom", "left", "right", "front", "rear", "long", "short", "inside", "outside")
TASKS_SHARE, BOARD_SHARE = 0.5, 0.15
"""Of the usual requests."""
SAMPLES = 100_000
SMOOTHING = 0.05
"""Added to each word's count in a state."""
HISTORY, GAIN = 3, 400.0
"""Words before that count, and how much likelier (nats, in all that is made here) they must make what was said after
them. At 250 the model is too large for the repository and hears no more."""
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
        said = number(rng.randrange(1, size))
    elif kind < 0.75:
        said = number(rng.randrange(1, size)) + _and_fraction(rng)
    elif kind < 0.82:
        said = _fraction(rng)
    elif kind < 0.84:
        return f"an inch and {_fraction(rng)}"
    else:
        said = f"{number(rng.randint(1, 40))} {rng.choice(('foot', 'feet'))}"
        if rng.random() < 0.15:
            return said
        said += f" {number(rng.randint(0, 11))}" + (_and_fraction(rng) if rng.random() < 0.5 else "")
    return said + (rng.choice((" inch", " inches")) if rng.random() < 0.15 else "")


def usual_request(rng: random.Random) -> str:
    """One of the requests made most, about lengths as they are said off a tape."""
    rest = 1 - TASKS_SHARE - BOARD_SHARE
    (frames,) = rng.choices((_TASK_FRAMES, _BOARD_FRAMES, _FRAMES), (TASKS_SHARE, BOARD_SHARE, rest))
    return _filled(rng.choice(frames), rng)


def job(rng: random.Random) -> str:
    """One of the jobs, as it is asked for."""
    return _filled(rng.choice(_TASK_FRAMES), rng)


def _filled(frame: str, rng: random.Random) -> str:
    sizes = (measurement(rng) for _ in range(frame.count("{}")))
    small = {key: number(rng.randint(2, 9 if key == "k" else 12)) for key in "nmk"}
    thin = {key: rng.choice(_THIN) + rng.choice(("", "", " inch")) for key in "tr"}
    others = {"g": number(rng.randint(7, 24)), "d": rng.choice(_TURNS), "metal": rng.choice(_METALS)}
    return _feet(frame, rng).format(*sizes, **small, **thin, **others, name=_name(rng))


def _feet(frame: str, rng: random.Random) -> str:
    """With whole feet, each others, where the frame has {f}."""
    before, *after = frame.split("{f}")
    return before + "".join(
        f"{number(rng.randint(1, 40))} {rng.choice(('foot', 'foot', 'feet'))}{part}" for part in after
    )


def _name(rng: random.Random) -> str:
    side = f"{rng.choice(_SIDES)} " if rng.random() < 0.2 else ""
    numbered = f" number {number(rng.randint(1, 4))}" if rng.random() < 0.1 else ""
    return side + rng.choice(_NAMES) + numbered


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
    for usual in _sentences(rng, sampled):
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


def _sentences(rng: random.Random, sampled: Callable[[random.Random], str]) -> Iterator[str]:
    for _ in range(SAMPLES // 4):
        yield measurement(rng)
        yield measurement(rng)
        yield usual_request(rng)
        yield sampled(rng)
