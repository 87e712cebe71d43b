"""A deterministic, minimal automaton over words, from a grammar.

Recognisers search it, the endpoint asks it whether a sentence can go on, and it is far smaller than the
grammar written out in full, because what may follow "center of" and "half of" is the same.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from assistant.language.jsgf import Alternatives, Expansion, Optional, Reference, Repeat, Sequence, Tagged, Word

__all__ = ["Automaton", "build"]


@dataclass(frozen=True)
class Automaton:
    """States are numbered from 0, the start; from each, a word leads to at most one state."""

    arcs: tuple[dict[str, int], ...]
    """By state: word to next state."""
    finals: frozenset[int]
    """Where a sentence may end."""
    start: int = 0

    def after(self, words: list[str]) -> int | None:
        """The state after some words, or None where they are not the start of any sentence."""
        state: int | None = self.start
        for word in words:
            if state is None:
                return None
            state = self.arcs[state].get(word)
        return state

    def accepts(self, words: list[str]) -> bool:
        """Whether the words are a whole sentence."""
        return self.after(words) in self.finals

    @property
    def arc_count(self) -> int:
        """How many word arcs there are in all."""
        return sum(len(a) for a in self.arcs)


class _Nondeterministic:
    """Thompson's construction: states with word arcs and empty arcs."""

    def __init__(self, body_of: Callable[[str], Expansion]) -> None:
        self.words: list[list[tuple[str, int]]] = []
        self.empty: list[list[int]] = []
        self._body_of = body_of

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
                self.empty[into].append(first)
                end = self.add(inner, first)
                self.empty[end].append(first)
                after = self.state()
                self.empty[end].append(after)
                if not once:
                    self.empty[into].append(after)
                return after


def build(body: Expansion, body_of: Callable[[str], Expansion]) -> Automaton:
    """The minimal automaton of an expansion; ``body_of`` gives the body of a rule by full name."""
    machine = _Nondeterministic(body_of)
    start = machine.state()
    end = machine.add(body, start)
    return _minimal(*_deterministic(machine, start, end))


def _deterministic(machine: _Nondeterministic, start: int, end: int) -> tuple[list[dict[str, int]], set[int]]:
    """The subset construction."""

    def closure(states: frozenset[int]) -> frozenset[int]:
        seen = set(states)
        todo = list(states)
        while todo:
            for other in machine.empty[todo.pop()]:
                if other not in seen:
                    seen.add(other)
                    todo.append(other)
        # Only states with word arcs, and the end, tell subsets apart.
        return frozenset(s for s in seen if machine.words[s] or s == end)

    first = closure(frozenset({start}))
    number = {first: 0}
    arcs: list[dict[str, int]] = [{}]
    todo = deque([first])
    while todo:
        subset = todo.popleft()
        onward: dict[str, set[int]] = {}
        for state in subset:
            for word, to in machine.words[state]:
                onward.setdefault(word, set()).add(to)
        for word, to_states in onward.items():
            target = closure(frozenset(to_states))
            if target not in number:
                number[target] = len(arcs)
                arcs.append({})
                todo.append(target)
            arcs[number[subset]][word] = number[target]
    return arcs, {n for subset, n in number.items() if end in subset}


def _minimal(arcs: list[dict[str, int]], finals: set[int]) -> Automaton:
    """Moore's partition refinement: states with the same future become one."""
    block = [int(s in finals) for s in range(len(arcs))]
    count = len(set(block))
    while True:
        signatures: dict[tuple[int, frozenset[tuple[str, int]]], int] = {}
        refined = [
            signatures.setdefault(
                (block[s], frozenset((w, block[t]) for w, t in arcs[s].items())), len(signatures)
            )
            for s in range(len(arcs))
        ]
        if len(signatures) == count:
            break
        block, count = refined, len(signatures)
    # State 0 is seen first, so its block is 0 again.
    merged: list[dict[str, int]] = [{} for _ in range(count)]
    for s, going in enumerate(arcs):
        merged[refined[s]] = {w: refined[t] for w, t in going.items()}
    return Automaton(tuple(merged), frozenset(refined[s] for s in finals))
