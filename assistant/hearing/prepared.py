"""The grammar's search, worked out once and kept in the user's cache folder.

``python -m assistant.hearing.prepared FILE`` works it out into a file. It takes seconds and more memory than all else
together, which a process keeps once it has had it; so a child does it.
"""

from __future__ import annotations

import contextlib
import inspect
import json
import os
import sys
from collections.abc import Iterator
from hashlib import sha256
from itertools import islice
from pathlib import Path
from sys import intern

from platformdirs import user_cache_dir

from assistant import resources
from assistant.child import Child, ChildGone, take_over_stdout, write_message
from assistant.language import automaton as automaton_module
from assistant.language.automaton import Automaton
from assistant.language.grammar import Grammar, load_english

__all__ = ["prepare"]

_SLOW_ROOTS = ("request", "next_in_string")
"""What takes long to work out: the one seconds, the other most of one, in the middle of the first string otherwise."""
_MOST_SECONDS = 120.0
"""For working it out, on the slowest of machines."""


def prepare(grammar: Grammar) -> None:
    """Have the search of the English grammar ready. Where nothing can be kept it is worked out here, as it is asked
    for."""
    source = "".join(resources.texts("grammars/en", ".jsgf")) + inspect.getsource(automaton_module)
    kept = Path(user_cache_dir("tapehand")) / f"grammars-{sha256(source.encode()).hexdigest()[:16]}.jsonl"
    if not _adopted(grammar, kept):
        with contextlib.suppress(ChildGone):
            child = Child("assistant.hearing.prepared", str(kept))
            child.receive(_MOST_SECONDS)
            child.end()
        _adopted(grammar, kept)


def _adopted(grammar: Grammar, kept: Path) -> bool:
    """Whether the file had it."""
    try:
        with kept.open(encoding="utf-8") as lines:
            automata = dict(_read(lines))
    except (OSError, ValueError, TypeError):
        return False
    if not automata.keys() >= set(_SLOW_ROOTS):
        return False
    for root, automaton in automata.items():
        grammar.adopt(root, automaton)
    return True


def _lines(root: str, automaton: Automaton) -> Iterator[str]:
    """JSON, a line a state: read one by one they take a fifth of the memory that they take in one."""
    yield json.dumps([root, len(automaton.arcs), sorted(automaton.finals)])
    yield from map(json.dumps, automaton.arcs)


def _read(lines: Iterator[str]) -> Iterator[tuple[str, Automaton]]:
    """ValueError or TypeError where they are not what ``_lines`` writes."""
    alike: dict[tuple[str, int], tuple[str, int]] = {}  # of arcs alike one is kept: there are tens of thousands
    for line in lines:
        root, states, finals = json.loads(line)
        arcs = tuple(
            tuple(alike.setdefault(arc, arc) for arc in ((intern(word), to) for word, to in json.loads(going)))
            for going in islice(lines, states)
        )
        if len(arcs) < states:
            raise ValueError("cut short")
        yield root, Automaton(arcs, frozenset(finals))


def main(kept: Path) -> None:
    """Write the file, whole or not at all, and tell so."""
    outgoing = take_over_stdout()
    grammar = load_english()
    kept.parent.mkdir(parents=True, exist_ok=True)
    fresh = kept.with_name(f"{kept.name}.{os.getpid()}")
    with fresh.open("w", encoding="utf-8") as file:
        for root in _SLOW_ROOTS:
            file.writelines(f"{line}\n" for line in _lines(root, grammar.automaton(root)))
    fresh.replace(kept)
    write_message(outgoing, {"did": "kept"})


if __name__ == "__main__":
    main(Path(sys.argv[1]))
