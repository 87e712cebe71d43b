"""How big the grammar is, how long a sentence takes to parse, and which of its words are easily confused."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from itertools import combinations

from assistant.language.grammar import Grammar
from assistant.language.parse import Parser
from assistant.prove.table import Row, percentile

__all__ = ["measure"]

_GROUP = "language"
_SENTENCES = 5000
_SEED = 20


def measure(grammar: Grammar, pronunciations: dict[str, list[str]] | None = None) -> Iterator[Row]:
    """Rows on a grammar. ``pronunciations``, a word's phones, adds the pairs of words one phone apart."""
    automaton = grammar.automaton("request")
    size = f"{len(grammar.words)} words, {len(automaton.arcs)} states, {automaton.arc_count} arcs"
    yield Row(_GROUP, "size of the grammar", size)
    parser = Parser(grammar)
    rng = random.Random(_SEED)
    sentences = [grammar.sample(rng).split() for _ in range(_SENTENCES)]
    took: list[float] = []
    for words in sentences:
        start = time.process_time()
        parser.parse(words)
        took.append((time.process_time() - start) * 1000)
    yield Row(_GROUP, "one sentence parsed, median", f"{percentile(took, 0.5):.2f} ms", "1 ms")
    yield Row(_GROUP, "one sentence parsed, 99th percentile", f"{percentile(took, 0.99):.2f} ms", "5 ms")
    if pronunciations:
        pairs = confusable(sorted(grammar.words), pronunciations)
        yield Row(_GROUP, "pairs of words one sound apart", f"{len(pairs)}: {', '.join('/'.join(p) for p in pairs)}")


def confusable(words: list[str], pronunciations: dict[str, list[str]]) -> list[tuple[str, str]]:
    """Pairs of words whose pronunciations differ by one phone at most."""
    known = [(word, pronunciations[word]) for word in words if word in pronunciations]
    return [(a, b) for (a, ours), (b, theirs) in combinations(known, 2) if _one_apart(ours, theirs)]


def _one_apart(a: list[str], b: list[str]) -> bool:
    if len(a) == len(b):
        return sum(x != y for x, y in zip(a, b, strict=True)) <= 1
    shorter, longer = sorted((a, b), key=len)
    return len(longer) == len(shorter) + 1 and any(longer[:i] + longer[i + 1 :] == shorter for i in range(len(longer)))
