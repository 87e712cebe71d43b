"""A small automaton over words, from a grammar.

Recognisers search it, and the endpoint asks it whether a sentence can go on. It is far smaller than the grammar
written out in full, because what may follow "center of" and "half of" is the same. It is not deterministic:
from one state a word may lead to several, which is what keeps it small (made deterministic, the requests grow
from about 19,000 arcs to 77,000).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from assistant.language.jsgf import Alternatives, Expansion, Optional, Reference, Repeat, Sequence, Tagged, Word

__all__ = ["Automaton", "build"]


@dataclass(frozen=True)
class Automaton:
    """States are numbered from 0, the start."""

    arcs: tuple[tuple[tuple[str, int], ...], ...]
    """By state: the words that may come, each with a state it leads to. A word may come twice."""
    finals: frozenset[int]
    """Where a sentence may end."""
    start: int = 0

    def after(self, words: Iterable[str]) -> frozenset[int]:
        """The states after some words; none where they are not the start of any sentence."""
        states = frozenset({self.start})
        for word in words:
            states = frozenset(to for state in states for said, to in self.arcs[state] if said == word)
        return states

    def accepts(self, words: Iterable[str]) -> bool:
        """Whether the words are a whole sentence."""
        return not self.finals.isdisjoint(self.after(words))

    def can_go_on(self, words: Iterable[str]) -> bool:
        """Whether some word may follow."""
        return any(self.arcs[state] for state in self.after(words))

    @property
    def arc_count(self) -> int:
        """How many word arcs there are in all."""
        return sum(map(len, self.arcs))


class _Nondeterministic:
    """Thompson's construction: states with word arcs and empty arcs."""

    def __init__(self, body_of: Callable[[str], Expansion], ready: Mapping[str, Automaton]) -> None:
        self.words: list[list[tuple[str, int]]] = []
        self.empty: list[list[int]] = []
        self.hubs: set[int] = set()
        """Where a part that may be said any number of times begins."""
        self._body_of = body_of
        self._ready = ready

    def state(self) -> int:
        self.words.append([])
        self.empty.append([])
        return len(self.words) - 1

    def add(self, expansion: Expansion, into: int) -> int:
        """Build ``expansion`` from state ``into``; returns the state it ends in."""
        match expansion:
            case Word(text):
                end = self.state()
                self.words[into].append((text, end))
                return end
            case Reference(name) if name in self._ready:
                return self._copy(self._ready[name], into)
            case Reference(name):
                return self.add(self._body_of(name), into)
            case Tagged(inner, _):
                return self.add(inner, into)
            case Sequence(parts):
                for part in parts:
                    into = self.add(part, into)
                return into
            case Alternatives(options, _):
                end = self.state()
                for option in options:
                    first = self.state()
                    self.empty[into].append(first)
                    self.empty[self.add(option, first)].append(end)
                return end
            case Optional(inner):
                end = self.add(inner, into)
                after = self.state()
                self.empty[end].append(after)
                self.empty[into].append(after)
                return after
            case Repeat(inner, once):
                first = self.state()
                if not once:
                    self.hubs.add(first)
                self.empty[into].append(first)
                end = self.add(inner, first)
                self.empty[end].append(first)
                after = self.state()
                self.empty[end].append(after)
                if not once:
                    self.empty[into].append(after)
                return after

    def _copy(self, automaton: Automaton, into: int) -> int:
        first = len(self.words)
        for going in automaton.arcs:
            self.words[self.state()].extend((word, first + to) for word, to in going)
        self.empty[into].append(first + automaton.start)
        end = self.state()
        for final in automaton.finals:
            self.empty[first + final].append(end)
        return end


def build(
    body: Expansion, body_of: Callable[[str], Expansion], ready: Mapping[str, Automaton] = MappingProxyType({})
) -> Automaton:
    """The automaton of an expansion.

    ``body_of`` gives the body of a rule by full name. The automata of some rules may be ``ready``: they are taken
    as they are, and the whole is not made smaller again.
    """
    machine = _Nondeterministic(body_of, ready)
    start = machine.state()
    end = machine.add(body, start)
    arcs, finals = _without_empty_arcs(machine, start, end)
    if ready:
        return _frozen(arcs, finals)
    # States with the same future are one; then those with the same past; then again, since each makes more alike.
    size = len(arcs) + 1
    while len(arcs) < size:
        size = len(arcs)
        arcs, marked = _merge(arcs, [finals, {0}])
        finals = marked[0]
        backward, marked = _merge(_reversed(arcs), [{0}, finals])
        arcs, finals = _reversed(backward), marked[1]
        arcs, finals = _start_first(arcs, finals, next(iter(marked[0])))
    return _frozen(arcs, finals)


def _frozen(arcs: _Arcs, finals: set[int]) -> Automaton:
    return Automaton(tuple(tuple(sorted(going)) for going in arcs), frozenset(finals))


_Arcs = list[set[tuple[str, int]]]


def _without_empty_arcs(machine: _Nondeterministic, start: int, end: int) -> tuple[_Arcs, set[int]]:
    """Each state becomes the set of states that empty arcs lead to; sets alike are one state.

    Where a part begins that may be said any number of times is a set of its own, beside the others: were it in
    every set that leads there, everything the part can begin with would stand after everything it can end with.
    """

    def closure(state: int) -> tuple[frozenset[int], frozenset[int]]:
        """The states that empty arcs lead to short of a hub, and the hubs."""
        seen, hubs, going = {state}, set(), [state]
        while going:
            for other in machine.empty[going.pop()]:
                if other in machine.hubs:
                    hubs.add(other)
                elif other not in seen:
                    seen.add(other)
                    going.append(other)
        return frozenset(s for s in seen if machine.words[s] or s == end), frozenset(hubs)

    @cache
    def sets_of(state: int) -> tuple[frozenset[int], ...]:
        found: list[frozenset[int]] = []
        waiting, done = {state}, set()
        while waiting:
            entry = waiting.pop()
            done.add(entry)
            subset, hubs = closure(entry)
            if subset:
                found.append(subset)
            waiting |= hubs - done
        return tuple(found)

    arcs: _Arcs = []
    number: dict[frozenset[int], int] = {}
    todo: list[frozenset[int]] = []

    def number_of(subset: frozenset[int]) -> int:
        if subset not in number:
            number[subset] = len(arcs)
            arcs.append(set())
            todo.append(subset)
        return number[subset]

    number_of(frozenset().union(*sets_of(start)))
    while todo:
        subset = todo.pop()
        arcs[number[subset]].update(
            (w, number_of(after)) for s in subset for w, to in machine.words[s] for after in sets_of(to)
        )
    return arcs, {n for subset, n in number.items() if end in subset}


def _merge(arcs: _Arcs, marks: list[set[int]]) -> tuple[_Arcs, list[set[int]]]:
    """Make one of all states with the same marks and, word by word, the same states after them."""
    block = [sum((s in mark) << i for i, mark in enumerate(marks)) for s in range(len(arcs))]
    count = len(set(block))
    while True:
        seen: dict[tuple[int, frozenset[tuple[str, int]]], int] = {}
        before = block
        block = [
            seen.setdefault((before[s], frozenset((w, before[to]) for w, to in arcs[s])), len(seen))
            for s in range(len(arcs))
        ]
        if len(seen) == count:
            break
        count = len(seen)
    merged: _Arcs = [set() for _ in range(count)]
    for s, going in enumerate(arcs):
        merged[block[s]].update((w, block[to]) for w, to in going)
    return merged, [{block[s] for s in mark} for mark in marks]


def _reversed(arcs: _Arcs) -> _Arcs:
    out: _Arcs = [set() for _ in arcs]
    for s, going in enumerate(arcs):
        for word, to in going:
            out[to].add((word, s))
    return out


def _start_first(arcs: _Arcs, finals: set[int], start: int) -> tuple[_Arcs, set[int]]:
    """Renumber so that the start is 0."""
    order = {start: 0, 0: start}
    arcs[0], arcs[start] = arcs[start], arcs[0]
    return (
        [{(w, order.get(to, to)) for w, to in going} for going in arcs],
        {order.get(s, s) for s in finals},
    )
