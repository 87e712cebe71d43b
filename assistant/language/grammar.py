"""The grammar: every rule of the language, joined from its JSGF files, ready to parse, sample and hand on."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType

from assistant import resources
from assistant.language import jsgf
from assistant.language.automaton import Automaton, build
from assistant.language.jsgf import (
    Alternatives,
    Expansion,
    Optional,
    Reference,
    Repeat,
    Rule,
    Sequence,
    Tagged,
    Word,
)

__all__ = ["ROOTS", "SEARCHED", "Grammar", "load_english"]

ROOTS = ("request", "answer", "denominator", "next_in_string", "walking", "wake")
"""The places to start: what may be said now. Public rules of request.jsgf."""
SEARCHED = ("spoken", "wake")
"""What a recogniser searches: everything that may be said while listening, and while only the wake phrase counts."""

_REQUESTS = "request.request"
_LONGEST_REPEAT = 3
"""The sampler says a repeated part at most this often."""


class Grammar:
    """The rules of the language by full name ("number.digit")."""

    def __init__(self, texts: Iterable[str]) -> None:
        """Join grammar files, given as text.

        Raises:
            ValueError: where a file is not JSGF, or a rule is missing, double or calls itself.
        """
        rules: dict[str, Rule] = {}
        for text in texts:
            for rule in jsgf.File.read(text).rules:
                if rule.name in rules:
                    raise ValueError(f"<{rule.name}> is defined twice")
                rules[rule.name] = rule
        self.rules: Mapping[str, Rule] = MappingProxyType(rules)
        sound: set[str] = set()
        for name in rules:
            self._check(name, (), sound)
        self._automata: dict[str, Automaton] = {}

    def _check(self, name: str, above: tuple[str, ...], sound: set[str]) -> None:
        """``sound``: the rules found good so far, with all they call."""
        if name not in self.rules:
            raise ValueError(f"<{name}> is used and not defined")
        if name in above:
            raise ValueError(f"<{name}> calls itself")
        if name not in sound:
            for other in references(self.rules[name].body):
                self._check(other, (*above, name), sound)
            sound.add(name)

    def root(self, name: str) -> Rule:
        """The rule to start from: "request", or a full name such as "measure.measure"."""
        return self.rules[name if "." in name else f"request.{name}"]

    def reached(self, root: str = "request") -> list[Rule]:
        """The rules a root needs, each before those that use it."""
        seen: dict[str, Rule] = {}

        def visit(rule: Rule) -> None:
            for name in references(rule.body):
                if name not in seen:
                    visit(self.rules[name])
            seen[rule.name] = rule

        visit(self.root(root))
        return list(seen.values())

    @property
    def words(self) -> frozenset[str]:
        """Every word that can be heard."""
        return self.words_of(*ROOTS)

    def words_of(self, *roots: str) -> frozenset[str]:
        """The words that can be heard from some roots."""
        return frozenset(w for root in roots for rule in self.reached(root) for w in spelled(rule.body))

    def jsgf(self, root: str = "request") -> str:
        """One self-contained JSGF text for a root, without tags, for recognisers that read JSGF."""
        lines = ["#JSGF V1.0 UTF-8 en;", "grammar tapehand;"]
        for rule in self.reached(root):
            public = "public " if rule is self.root(root) else ""
            lines.append(f"{public}<{rule.name.replace('.', '_')}> = {jsgf.write(rule.body)};")
        return "\n".join(lines) + "\n"

    def automaton(self, root: str = "request") -> Automaton:
        """A small automaton over words that accepts what a root accepts. Kept once built."""
        rule = self.root(root)
        if rule.name not in self._automata:
            # The other roots are the requests and a little more: there is no need to work those out again.
            ready = {name: self.automaton(name) for name in set(references(rule.body)) & {_REQUESTS}}
            self._automata[rule.name] = build(rule.body, lambda name: self.rules[name].body, ready)
        return self._automata[rule.name]

    def adopt(self, root: str, automaton: Automaton) -> None:
        """Take an automaton worked out before from the same files, so that it need not be built again."""
        self._automata[self.root(root).name] = automaton

    def sample(self, rng: random.Random, root: str = "request") -> str:
        """A random sentence that can be said from a root."""
        return " ".join(self._say(self.root(root).body, rng))

    def _say(self, expansion: Expansion, rng: random.Random) -> Iterator[str]:
        match expansion:
            case Word(text):
                yield text
            case Reference(name):
                yield from self._say(self.rules[name].body, rng)
            case Sequence(parts):
                for part in parts:
                    yield from self._say(part, rng)
            case Alternatives(options, weights):
                yield from self._say(rng.choices(options, weights)[0], rng)
            case Optional(inner):
                if rng.random() < 0.5:
                    yield from self._say(inner, rng)
            case Repeat(inner, once):
                for _ in range(rng.randint(1 if once else 0, _LONGEST_REPEAT)):
                    yield from self._say(inner, rng)
            case Tagged(inner, _):
                yield from self._say(inner, rng)

    def examples(self) -> list[tuple[str, tuple[str, ...]]]:
        """The ``@example`` sentences by rule, in file order: what can I say?"""
        return [(rule.name, rule.examples) for rule in self.rules.values() if rule.examples]


def children(expansion: Expansion) -> tuple[Expansion, ...]:
    """The parts of an expansion, one level down."""
    match expansion:
        case Sequence(parts):
            return parts
        case Alternatives(options, _):
            return options
        case Optional(inner) | Repeat(inner, _) | Tagged(inner, _):
            return (inner,)
        case _:
            return ()


def references(expansion: Expansion) -> Iterator[str]:
    """Every rule an expansion calls, in order."""
    if isinstance(expansion, Reference):
        yield expansion.name
    for child in children(expansion):
        yield from references(child)


def spelled(expansion: Expansion) -> Iterator[str]:
    """Every word an expansion spells itself."""
    if isinstance(expansion, Word):
        yield expansion.text
    for child in children(expansion):
        yield from spelled(child)


@lru_cache(maxsize=1)
def load_english() -> Grammar:
    """The English grammar that ships under grammars/en."""
    return Grammar(resources.texts("grammars/en", ".jsgf"))
