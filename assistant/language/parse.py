"""Words to meanings: every reading of a sentence, by the grammar and nothing else.

Recursive descent over the rules with a memory of what each rule gave at each place, so that a long sentence
costs little more than a short one. A rule's readings at a place are a set: two ways to the same meaning are one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from assistant.language.grammar import Grammar
from assistant.language.jsgf import Alternatives, Expansion, Optional, Reference, Repeat, Tagged, Word
from assistant.language.jsgf import Sequence as Sequenced
from assistant.language.meaning import apply, collapsed

__all__ = ["Parser"]

_Items = tuple[Any, ...]
_Found = list[tuple[int, _Items]]
"""Places after the words taken, each with the values the words gave."""


class Parser:
    """A parser for one grammar. Keeps what it works out about the rules, nothing about the sentences."""

    def __init__(self, grammar: Grammar) -> None:
        self._grammar = grammar
        self._first: dict[int, tuple[frozenset[str], bool]] = {}
        self._kept: list[Expansion] = []

    def parse(self, words: Sequence[str], root: str = "request") -> list[Any]:
        """Every meaning of the whole sentence from a root, in grammar order; empty where it is not one.

        A reading that makes no sense, or cannot be, is a ``meaning.NoSense`` or ``meaning.Refused`` value.
        """
        run = _Run(self, tuple(words))
        found = run.rule(self._grammar.root(root).name, 0)
        return list(dict.fromkeys(items[0] if items else None for end, items in found if end == len(words)))

    def body(self, name: str) -> Expansion:
        return self._grammar.rules[name].body

    def first(self, expansion: Expansion) -> tuple[frozenset[str], bool]:
        """The words an expansion can start with, and whether it can be empty."""
        known = self._first.get(id(expansion))
        if known is None:
            known = self._work_out_first(expansion)
            self._first[id(expansion)] = known
            self._kept.append(expansion)
        return known

    def _work_out_first(self, expansion: Expansion) -> tuple[frozenset[str], bool]:
        match expansion:
            case Word(text):
                return frozenset({text}), False
            case Reference(name):
                return self.first(self.body(name))
            case Tagged(inner, _):
                return self.first(inner)
            case Optional(inner):
                return self.first(inner)[0], True
            case Repeat(inner, once):
                words, empty = self.first(inner)
                return words, empty or not once
            case Alternatives(options, _):
                firsts = [self.first(o) for o in options]
                return frozenset().union(*(w for w, _ in firsts)), any(e for _, e in firsts)
            case Sequenced(parts):
                words = frozenset()
                for part in parts:
                    more, empty = self.first(part)
                    words |= more
                    if not empty:
                        return words, False
                return words, True


class _Run:
    """One sentence being parsed."""

    def __init__(self, parser: Parser, words: tuple[str, ...]) -> None:
        self._parser = parser
        self._words = words
        self._memory: dict[tuple[str, int], _Found] = {}

    def rule(self, name: str, at: int) -> _Found:
        known = self._memory.get((name, at))
        if known is None:
            known = self._memory[name, at] = _distinct(self._match(self._parser.body(name), at))
        return known

    def _match(self, expansion: Expansion, at: int) -> _Found:
        words, empty = self._parser.first(expansion)
        if not empty and (at >= len(self._words) or self._words[at] not in words):
            return []
        match expansion:
            case Word():
                return [(at + 1, ())]
            case Reference(name):
                return self.rule(name, at)
            case Tagged(inner, tag):
                return [(end, value) for end, items in self._match(inner, at) for value in apply(tag, items)]
            case Optional(inner):
                return [(at, ()), *self._match(inner, at)]
            case Alternatives(options, _):
                return [found for option in options for found in self._match(option, at)]
            case Sequenced(parts):
                return self._sequence(parts, at)
            case Repeat(inner, once):
                return self._repeat(inner, once, at)

    def _sequence(self, parts: Iterable[Expansion], at: int) -> _Found:
        found: _Found = [(at, ())]
        for part in parts:
            found = [(end, (*items, *more)) for middle, items in found for end, more in self._match(part, middle)]
            if not found:
                break
        return found

    def _repeat(self, inner: Expansion, once: bool, at: int) -> _Found:
        out: _Found = [] if once else [(at, ())]
        found: _Found = [(at, ())]
        while found:
            found = _distinct(
                [
                    (end, collapsed((*items, *more)))
                    for middle, items in found
                    for end, more in self._match(inner, middle)
                    if end > middle
                ]
            )
            out.extend(found)
        return out


def _distinct(found: _Found) -> _Found:
    return list(dict.fromkeys(found))
