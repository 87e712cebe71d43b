"""How well cut lists are nested: proven or not, how long it takes, and never worse than the longest piece first.

Published lists are kept beside the project, never in it: ``shared/nesting/instances.json``, each with a name, the
room of a stick, the sizes and the fewest sticks it can be done with. ``TAPEHAND_SHARED`` may name another place.
Where they are not at hand, lists are made the way Falkenauer made his (Journal of Heuristics 2, 1996), whose best
cutting is known: every three pieces fill a stick.
"""

from __future__ import annotations

import json
import os
import random
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.layout.nesting.packing import longest_first
from assistant.layout.nesting.problem import Effort, Problem, Stock
from assistant.layout.nesting.search import solve
from assistant.layout.sticks import MOST_STEPS
from assistant.prove.table import Row, percentile

__all__ = ["Listed", "made", "measure", "published"]

_GROUP = "cut lists"
_MADE, _STICKS, _ROOM = 20, 20, 1000
_SEED = 20


@dataclass(frozen=True, slots=True)
class Listed:
    """A cut list whose best cutting is known."""

    name: str
    room: int
    sizes: tuple[int, ...]
    best: int
    """The fewest sticks."""


def measure(lists: list[Listed] | None = None) -> Iterator[Row]:
    """Rows on some lists: the published ones where they are at hand, else some of our own making."""
    whose = "given" if lists else "published"
    lists = lists or published()
    if not lists:
        whose, lists = "of our own making", made()
    proven, worse, took = 0, 0, []
    unsolved = []
    for listed in lists:
        problem = Problem(tuple(sorted(listed.sizes, reverse=True)), (Stock(listed.room, 1),))
        start = time.process_time()
        solution = solve(problem, Effort(MOST_STEPS))
        took.append(time.process_time() - start)
        worse += solution.cost > len(longest_first(problem).sticks)
        if solution.cost == solution.bound == listed.best:
            proven += 1
        else:
            unsolved.append(f"{listed.name} {solution.bound} to {solution.cost}")
    pieces = max(len(listed.sizes) for listed in lists)
    what = f"lists {whose}, up to {pieces} pieces: best and proven"
    missed = f" (not: {', '.join(unsolved)})" if unsolved else ""
    yield Row(_GROUP, what, f"{proven} of {len(lists)}{missed}", f"{len(lists)}")
    yield Row(_GROUP, "slowest list, half of them", f"{max(took):.2f} s, {percentile(took, 0.5):.3f} s", "2 s")
    yield Row(_GROUP, "worse than the longest first", str(worse), "0")


def published() -> list[Listed]:
    """The published lists; none where they are not at hand."""
    shared = os.environ.get("TAPEHAND_SHARED") or Path(__file__).resolve().parents[2].parent / "shared"
    path = Path(shared) / "nesting" / "instances.json"
    if not path.is_file():
        return []
    records = json.loads(path.read_text(encoding="utf-8"))
    return [Listed(r["name"], r["capacity"], tuple(r["sizes"]), r["best"]) for r in records]


def made() -> list[Listed]:
    """Lists of triplets: three pieces fill every stick with nothing over."""
    rng = random.Random(_SEED)
    lists = []
    for number in range(_MADE):
        sizes: list[int] = []
        for _ in range(_STICKS):
            first = rng.randrange(380, 491)
            second = rng.randrange(250, (_ROOM - first) // 2)
            sizes += [first, second, _ROOM - first - second]
        lists.append(Listed(f"triplets {number}", _ROOM, tuple(sizes), _STICKS))
    return lists
