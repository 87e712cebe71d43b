"""Our own model's search graph, from the grammar: written in seconds, so words can be added without training.

Two transducers in OpenFst's const format, which the Vosk library composes as it decodes:

* ``HCLr.fst``: transition numbers in, words out; each word's pronunciations, with optional silence after it.
* ``Gr.fst``: the grammar itself as an automaton over words, each word at a cost (Vosk's own run-time grammar is only
  a bigram and lets sentences pass that the grammar does not know). Where the dialogue expects some rule of the grammar,
  ``Gr.RULE.fst.gz`` takes its place: what may be said then, the replies to the question at a lower cost.

Phones here are the model's units (a phone, sometimes told apart by its neighbors in the word) by position in the word:
silence is 1, unit u (from 1) at place p (begin, end, internal, singleton: 0 to 3) is 2 + 4 (u - 1) + p. A phone k has
one state; its self-loop is transition 2k - 1 and the way on is 2k, at one half each.
"""

from __future__ import annotations

import gzip
import json
import math
import struct
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from assistant.hearing.arc_costs import Weighed, weighed

__all__ = [
    "Arc",
    "Lexicon",
    "Point",
    "about",
    "fst_bytes",
    "grammar_arcs",
    "narrowed",
    "owner",
    "sounds",
    "word_arcs",
    "write_graph",
]

SILENCE = 1
PLACES = ("begin", "end", "internal", "singleton")
STAY = LEAVE = -math.log(0.5)
"""Cost of a self-loop and of leaving it."""
SILENT = -math.log(0.5)
"""Cost of a pause after a word, and of none."""
WORD_COST = 1.0
"""Of each word beside its price: fewer are made up out of the noise after a sentence. At 2 one of two equal words after
each other is lost oftener (models/LOG.md)."""
SAID_COST = 6.0
"""Of saying anything rather than nothing. At three fifths of it a street's noise still came out as "thirty"; who
speaks pays it."""
TALK_COST, UNIT_COST, EDGE = 19.2, 4.2, 0.84
"""Of talk that is not for us, of each unit of it and of each end of a word; chosen on the development sets
(models/LOG.md)."""
OTHER = "[unk]"
"""Vosk's word for anything that is not in the grammar."""

Arc = tuple[int, int, int, int, float]
"""From state, to state, label in, label out, cost."""


class Point(NamedTuple):
    """A point of the dialogue, and what may be said there."""

    rule: str
    """Of the grammar, as the dialogue names it when it listens: "denominator"."""
    going: Sequence[Sequence[tuple[str, int]]]
    finals: Iterable[int]
    reply: Callable[[Random], str]
    """Makes a sentence of those that are expected there."""
    share: float
    """Of what is said there, how much is such a reply."""


_OPENFST_MAGIC = 2125659606
_CONST_VERSION, _EXPANDED = 2, 1


def _numbered(unit: int, place: int) -> int:
    """The phone of a unit at a place in its word."""
    return 2 + len(PLACES) * (unit - 1) + place


def sounds(phones: Sequence[str]) -> list[int]:
    """By phone, as ``Lexicon.phones`` names them: the shared one that sounds like it."""
    return [phones.index(name.split(".")[0]) for name in phones]


def owner(phone: str) -> str:
    """The word that has a phone to itself; empty for a shared one."""
    return phone.partition(".")[2].rstrip("0123456789")


def about(folder: Path) -> Mapping[str, Any]:
    """What our own model says of itself, in tapehand.json.

    Raises:
        OSError, ValueError: where a folder has no such file, or another kind of one; other people's have none.
    """
    said = json.loads((folder / "tapehand.json").read_text(encoding="utf-8"))
    if not isinstance(said, dict):
        raise ValueError(f"{folder}: tapehand.json is no table")
    return said


@dataclass(frozen=True)
class Lexicon:
    """How words are said, in units."""

    ways: Mapping[str, Sequence[Sequence[str]]]
    """By word: its pronunciations, each a row of phones ("S", "IH", ...)."""
    phones: Sequence[str]
    """The phones' names: silence, those that all words share, then those of one word alone ("N.nine2" is the second "N"
    of "nine")."""
    units: Mapping[tuple[int, int, int], int]
    """(phone before, phone, phone after) to unit; 0 at a word's edge, -1 for any."""

    @classmethod
    def read(cls, folder: Path) -> Lexicon:
        """From a model folder: graph/lexicon.txt and tapehand.json.

        Raises:
            OSError, ValueError, KeyError: where a file is missing or is not what it should be.
        """
        said_of = about(folder)
        ways: dict[str, list[list[str]]] = {}
        for line in (folder / "graph" / "lexicon.txt").read_text(encoding="utf-8").splitlines():
            word, *said = line.split()
            ways.setdefault(word, []).append(said)
        units = {(a, b, c): i for i, (a, b, c) in enumerate(said_of["units"])}
        return cls(ways, said_of["phones"], units)

    def unit(self, before: int, phone: int, after: int) -> int:
        """The unit of a phone between two others, backing off to fewer neighbors."""
        for key in ((before, phone, after), (before, phone, -1)):
            if key in self.units:
                return self.units[key]
        return self.units[(-1, phone, -1)]

    def spelled(self, way: Sequence[str]) -> list[int]:
        """A pronunciation's units."""
        numbers = [self.phones.index(p) for p in way]
        around = [0, *numbers, 0]
        return [self.unit(*around[i : i + 3]) for i in range(len(numbers))]

    def placed(self, way: Sequence[str]) -> list[int]:
        """A pronunciation's phones: units by place in the word."""
        units = self.spelled(way)
        last = len(units) - 1
        places = [3 if not last else 0 if i == 0 else 1 if i == last else 2 for i in range(len(units))]
        return [_numbered(u, p) for u, p in zip(units, places, strict=True)]


def word_arcs(lexicon: Lexicon, numbers: Mapping[str, int], other: int) -> tuple[list[Arc], dict[int, float]]:
    """HCLr: a loop over every word. State 0 starts, state 1 stands between words. ``other`` numbers talk that is not
    for us: any string of phones, each at a cost.

    Not determinized: words that begin alike have their own states, so no disambiguation symbols are needed.
    """
    arcs: list[Arc] = [(0, 1, 0, 0, SILENT)]
    count = 2

    def pause(state: int, cost: float) -> None:
        nonlocal count
        silent, count = count, count + 1
        arcs.append((state, silent, 2 * SILENCE, 0, cost + SILENT))
        arcs.append((silent, silent, 2 * SILENCE - 1, 0, STAY))
        arcs.append((silent, 1, 0, 0, LEAVE))

    pause(0, 0.0)
    for word, number in numbers.items():
        for way in lexicon.ways[word]:
            state, cost, label = 1, 0.0, number
            for phone in lexicon.placed(way):
                here, count = count, count + 1
                arcs.append((state, here, 2 * phone, label, cost))
                arcs.append((here, here, 2 * phone - 1, 0, STAY))
                state, cost, label = here, LEAVE, 0
            arcs.append((state, 1, 0, 0, LEAVE + SILENT))
            pause(state, LEAVE)
    # By the phone said last, so that talk is held to the same units in the same places as words are. Of the phones that
    # all words share: from those of one word its sound would come out as talk.
    shared = len(set(sounds(lexicon.phones)))
    talk = range(count, count + shared)
    count = talk.stop
    arcs.append((1, talk[0], 0, other, 0.0))
    stands: dict[int, int] = {}
    for before, node in enumerate(talk):
        for phone in range(1, shared):
            unit = lexicon.unit(before, phone, 0)
            placed = _numbered(unit, PLACES.index("internal"))
            if unit not in stands:
                stands[unit], count = count, count + 1
                arcs.append((stands[unit], stands[unit], 2 * placed - 1, 0, STAY))
                arcs.append((stands[unit], talk[phone], 0, 0, LEAVE))
            arcs.append((node, stands[unit], 2 * placed, 0, UNIT_COST))
        if node != talk[0]:
            arcs.append((node, talk[0], 0, 0, EDGE))
    arcs.append((talk[0], 1, 0, 0, SILENT))
    pause(talk[0], 0.0)
    return arcs, {1: 0.0}


def grammar_arcs(usual: Weighed, numbers: Mapping[str, int], other: int) -> tuple[list[Arc], dict[int, float]]:
    """Gr: a sentence of the grammar, each word at its cost, or talk that is not for us, or nothing at all."""
    arcs = [
        (state, to, numbers[word], numbers[word], WORD_COST + cost)
        for state, words in enumerate(usual.going)
        for word, to, cost in words
    ]
    talk = len(usual.going)
    arcs.append((0, talk, other, other, 0.0))
    # The cost comes at the end: at the beginning it would be more than the search's beam lets live.
    said = {state: SAID_COST + cost for state, cost in usual.finals.items()}
    return arcs, {**said, 0: 0.0, talk: TALK_COST}


def fst_bytes(arcs: Iterable[Arc], finals: Mapping[int, float], by_output: bool) -> bytes:
    """OpenFst's const FST over the tropical semiring, arcs of a state in order of the label composed on."""
    arcs = list(arcs)
    states = 1 + max([*finals, *(max(a[0], a[1]) for a in arcs)])
    rows: list[list[Arc]] = [[] for _ in range(states)]
    for arc in arcs:
        rows[arc[0]].append(arc)
    side = 3 if by_output else 2
    for row in rows:
        row.sort(key=lambda arc: (arc[side], arc[5 - side]))

    def name(text: str) -> bytes:
        return struct.pack("<i", len(text)) + text.encode()

    out = [struct.pack("<i", _OPENFST_MAGIC), name("const"), name("standard")]
    out.append(struct.pack("<iiQqqq", _CONST_VERSION, 0, _EXPANDED, 0, states, len(arcs)))
    at = 0
    for state, row in enumerate(rows):
        silent_in, silent_out = sum(a[2] == 0 for a in row), sum(a[3] == 0 for a in row)
        out.append(struct.pack("<fIIII", finals.get(state, math.inf), at, len(row), silent_in, silent_out))
        at += len(row)
    out.extend(struct.pack("<iifi", a[2], a[3], a[4], a[1]) for row in rows for a in row)
    return b"".join(out)


def narrowed(folder: Path) -> dict[str, Path]:
    """The graphs of a model folder that take the place of Gr.fst, by the rule that is expected. Packed: the library
    cannot find them where they lie, and they are a fifth of the size then."""
    return {path.name.split(".")[1]: path for path in sorted((folder / "graph").glob("Gr.*.fst.gz"))}


def write_graph(
    folder: Path,
    going: Sequence[Sequence[tuple[str, int]]],
    finals: Iterable[int],
    sampled: Callable[[Random], str],
    points: Iterable[Point] = (),
) -> None:
    """Write a model folder's graph anew for an automaton over words; ``sampled`` makes a sentence of it.

    ``points`` of the dialogue get a graph each, over words of the same automaton.

    Raises:
        KeyError: a word has no pronunciation in graph/lexicon.txt; it is the error's argument.
    """
    lexicon = Lexicon.read(folder)
    words = sorted({word for state in going for word, _ in state})
    numbers = {word: i + 1 for i, word in enumerate(words)}
    other = len(words) + 1
    graph = folder / "graph"
    (graph / "phones").mkdir(parents=True, exist_ok=True)
    text = "".join(f"{word} {i}\n" for word, i in [("<eps>", 0), *numbers.items(), (OTHER, other)])
    (graph / "words.txt").write_text(text, encoding="utf-8")
    loop, between = word_arcs(lexicon, numbers, other)
    (graph / "HCLr.fst").write_bytes(fst_bytes(loop, between, by_output=True))
    usual = weighed(going, finals, sampled)
    (graph / "Gr.fst").write_bytes(fst_bytes(*grammar_arcs(usual, numbers, other), by_output=False))
    for old in narrowed(folder).values():
        old.unlink()
    for point in points:
        usual = weighed(point.going, point.finals, sampled, point.reply, point.share)
        fst = fst_bytes(*grammar_arcs(usual, numbers, other), by_output=False)
        (graph / f"Gr.{point.rule}.fst.gz").write_bytes(gzip.compress(fst, mtime=0))
    (graph / "disambig_tid.int").write_text("")
    placed = [f"{_numbered(u, p)} {PLACES[p]}\n" for u in range(1, len(lexicon.units)) for p in range(4)]
    (graph / "phones" / "word_boundary.int").write_text(f"{SILENCE} nonword\n" + "".join(placed))
