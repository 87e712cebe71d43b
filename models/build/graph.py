"""The shipped model's graph anew from grammars/: ``python -m models.build graph FOLDER``. Seconds, no training."""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from pathlib import Path
from shutil import copytree

from assistant.hearing.graph import Point, write_graph
from assistant.hearing.language_model import FILE
from assistant.hearing.recogniser import WAKE_PHRASE
from assistant.language.grammar import Grammar, load_english
from models.build.lexicon import Guesser, dictionary
from models.build.texts import LATER


def pronounce(folder: Path, words: set[str]) -> None:
    """Write graph/lexicon.txt; a word the dictionary lacks is guessed and named."""
    known, guess = dictionary(), Guesser()
    guessed = sorted(w for w in words if w not in known)
    said = {w: known.get(w) or (guess(w.replace("'", "")),) for w in sorted(words)}
    lines = [f"{word} {way}\n" for word, ways in said.items() for way in dict.fromkeys(ways)]
    (folder / "graph/lexicon.txt").write_text("".join(lines))
    print(len(words), "words, guessed:", guessed, file=sys.stderr)


NAMED_SHARE, WAKE_SHARE, REPLY_SHARE = 0.08, 0.2, 0.05
"""How often a job is named and no more ("bend"), how often the wake phrase is said, alone or with a request in the same
breath, and how often a reply with no question before it, for the costs of the graph; guesses."""


def sampled(grammar: Grammar, rng: random.Random) -> str:
    """Whatever is not said now and then here is priced as if it never were."""
    if rng.random() < NAMED_SHARE:
        return grammar.sample(rng, "tasks.head")
    if rng.random() < WAKE_SHARE:
        return rng.choice((WAKE_PHRASE, f"{WAKE_PHRASE} {grammar.sample(rng, 'request')}"))
    return grammar.sample(rng, "answer" if rng.random() < REPLY_SHARE else "request")


def rebuild(folder: str) -> None:
    """Write a model folder's pronunciations and graphs."""
    grammar = load_english()
    pronounce(Path(folder), grammar.words | set(LATER))
    automaton = grammar.automaton("everything")
    points = [_point(grammar, rule, replies, share) for rule, (replies, share) in REPLIES.items()]
    write_graph(Path(folder), automaton.arcs, automaton.finals, lambda rng: sampled(grammar, rng), points)


REPLIES = {
    "denominator": (("what",), 0.9),
    "answer": (("pick", "pick", "yes", "no"), 0.9),
    "walking": (("walk",), 0.6),
}
"""By the rule that is expected: the rules that are replies, the usual ones oftener, and what share of all that is said
there they are taken to be. models/LOG.md has what each gains and costs."""


def _point(grammar: Grammar, rule: str, replies: Sequence[str], share: float) -> Point:
    automaton = grammar.automaton(rule)

    def reply(rng: random.Random) -> str:
        return grammar.sample(rng, rng.choice(replies))

    return Point(rule, automaton.arcs, automaton.finals, reply, share)


def only(folder: Path, rule: str, out: Path) -> None:
    """A copy of a model folder that hears one rule of the grammar ("measure.measure") and nothing else, for measuring."""
    grammar = load_english()
    automaton = grammar.automaton(rule)
    copytree(folder, out)
    (out / "graph" / FILE).unlink(missing_ok=True)  # it is of what is said to the whole grammar
    write_graph(out, automaton.arcs, automaton.finals, lambda rng: grammar.sample(rng, rule))


def main(folder: str) -> None:
    rebuild(folder)
