"""The ways people usually ask, as grammars/en/asked.txt has them: a line each, with places for what changes.

The same lines weigh the search (``arc_costs``) and, once whole sentences are guessed, tell a way of asking that is
usual from one that is merely allowed: "saddle four on three" from "saddle four three". The search looks back three
words at most, and not everywhere; here the whole sentence is looked at.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping, Set
from functools import cache
from typing import Protocol

from assistant import resources

__all__ = ["METALS", "filled", "usual_ways", "usually_asked"]

METALS = ("steel", "stainless", "aluminum", "brass")
MAYBE_SHARE = 0.5
"""How often what may be left out is said."""
_HEADING = re.compile(r"\[(\w+)\]")
_PART = re.compile(r"\[|\]|\{\w+\}|[^][{} ]+")
_MAYBE = re.compile(r"\[([^]]*)\]")
_PLACE = re.compile(r"\{(\w+)\}")
_SIZES = ("length", "short", "thick", "feet", "degrees")
"""Places where sizes stand. In all others but those for metals and names it is a whole number."""
_RULES = {"size": "measure.measure", "count": "number.count", "name": "names.name"}
_FIRST_SIGN = 0x4E00
"""In patterns each word is one character, from here on: a pattern of a hundred words is a quick one then."""


class Spelled(Protocol):
    """The part of a grammar this is read off."""

    @property
    def words(self) -> Set[str]:
        """All of them."""

    def words_of(self, *roots: str) -> Set[str]:
        """The words of some rules."""


@cache
def usually_asked() -> dict[str, list[str]]:
    """What people usually ask, by kind, with places for what changes ("half of {length}")."""
    kinds: dict[str, list[str]] = {}
    for line in "\n".join(resources.texts("grammars/en", ".txt")).splitlines():
        if heading := _HEADING.fullmatch(line):
            asked = kinds.setdefault(heading[1], [])
        elif line and not line.startswith("#"):
            asked.append(line)
    return kinds


def filled(way: str, places: Mapping[str, Callable[[random.Random], str]], rng: random.Random) -> str:
    """A way of asking with something in its places."""
    said = _MAYBE.sub(lambda maybe: maybe[1] * (rng.random() < MAYBE_SHARE), way)
    return " ".join(_PLACE.sub(lambda place: places[place[1]](rng), said).split())


def usual_ways(grammar: Spelled) -> Callable[[str], bool]:
    """Whether words ask the way people usually do. In a place for a size any words of sizes will do, and so on; where
    no number is said any way is usual."""
    sign = {word: chr(_FIRST_SIGN + n) for n, word in enumerate(sorted(grammar.words))}
    words = {kind: grammar.words_of(rule) for kind, rule in _RULES.items()} | {"metal": METALS}
    some = {kind: f"[{''.join(sign[word] for word in these)}]+" for kind, these in words.items()}

    def pattern(part: str) -> str:
        if part in "[]":
            return "(?:" if part == "[" else ")?"
        if part[0] != "{":
            return sign[part]
        place = part[1:-1]
        return some.get(place, some["size" if place in _SIZES else "count"])

    every = ("".join(map(pattern, _PART.findall(way))) for kind in usually_asked().values() for way in kind)
    patterns = [re.compile(one) for one in dict.fromkeys([some["size"], *every])]
    numbers = grammar.words_of("number.under_hundred")

    def usual(said: str) -> bool:
        words = said.split()
        signs = "".join(sign.get(word, " ") for word in words)
        return numbers.isdisjoint(words) or any(one.fullmatch(signs) for one in patterns)

    return usual
