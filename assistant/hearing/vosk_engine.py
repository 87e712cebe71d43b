"""Vosk as a recogniser, in a process of its own that may die without taking the bench with it.

A model that carries our grammar in its own graph says so in ``tapehand.json`` ({"strict_graph": true}) and is used
as it is, with a graph of its own where the dialogue expects the reply to a question. Any other Vosk model takes
sentences sampled from the grammar: to the library those are only word pairs, so what it hears must still parse.
``[unk]`` in a result rejects it. Its own confidence keeps most noise out but not other talk (wrong words come back
with 1.0); for our own model the phones are asked again (``rejection``).
"""

from __future__ import annotations

import importlib.util
import random
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from assistant.child import Child, ChildGone
from assistant.errors import ModelUnusable
from assistant.hearing.graph import about, narrowed
from assistant.hearing.likeliest import Guess, Sense, likeliest, words_alone
from assistant.hearing.recogniser import GrammarSource, Hypothesis, Reason, nothing

__all__ = ["Vosk", "check_folder", "lacking"]

SAMPLED_SENTENCES = 4000
"""Enough that their word pairs mirror the grammar's; a recogniser from 10,000 takes 40 ms to build (measured)."""
LOADING_SECONDS = 60.0
ANSWER_SECONDS = 5.0
"""A process that has not answered by then hangs, and is started again."""
RESTARTS = 3
"""In a row without a single result; after that the model is taken to be past help."""
_NEEDED = ("am/final.mdl", "conf/model.conf", "conf/mfcc.conf")
_TAKES_GRAMMARS = "graph/HCLr.fst"
_SEED = 1


def lacking(folder: Path) -> str:
    """The first file a model needs that a folder does not have; empty where it has them all."""
    return next((name for name in (*_NEEDED, _TAKES_GRAMMARS) if not (folder / name).is_file()), "")


def check_folder(folder: Path) -> None:
    """Raise ModelUnusable, saying what to do, where a folder cannot be a Vosk model that takes our grammar."""
    if not folder.is_dir():
        raise ModelUnusable(f"There is no speech model in {folder}. Put one there, or name its folder in the settings.")
    missing = lacking(folder)
    if missing == _TAKES_GRAMMARS:
        raise ModelUnusable(
            f"The speech model in {folder} takes no grammar. Use one of the small Vosk models, with {_TAKES_GRAMMARS}."
        )
    if missing:
        raise ModelUnusable(f"The speech model in {folder} has no {missing}. Copy the whole model folder again.")


def _strict(folder: Path) -> bool:
    try:
        return bool(about(folder).get("strict_graph")) and (folder / "graph" / "Gr.fst").is_file()
    except (OSError, ValueError):
        return False


class Vosk:
    name = "vosk"

    def __init__(
        self,
        grammar: GrammarSource,
        roots: Sequence[str],
        folder: Path,
        said: Callable[[str], Sequence[str]] | None = None,
        sense: Callable[[str, str], Sense] = words_alone,
    ) -> None:
        """``roots`` are searched; any other rule is heard as the first of them, but for those our model narrows.

        ``said`` gives a text of what is said to a rule, for models without our graph; else it is sampled evenly.
        ``sense(root, words)`` tells what words said to a rule ask for; without it the likeliest words are taken.

        ModelUnusable when vosk is not installed, or the model cannot be used.
        """
        if importlib.util.find_spec("vosk") is None:
            raise ModelUnusable("A Vosk model needs the voice parts: run ./tapehand to install them.")
        check_folder(folder)
        self._folder = folder
        strict = _strict(folder)
        self._narrowed = [root for root in narrowed(folder) if strict and root not in roots]
        self._widest = roots[0]
        self._sense = sense
        self._expecting = ""
        self._words = sorted(grammar.words)
        self._sentences = {
            root: None if strict else list(said(root)) if said else _sampled(grammar, root) for root in roots
        }
        self.missing: frozenset[str] = frozenset()
        """Words of the grammar that this model cannot hear."""
        self.unenhanced = False
        """Whether our model hears sound as it comes, since what enhances it is not installed."""
        self._failures = 0
        self._child: Child | None = None
        self._launch()

    @property
    def pid(self) -> int | None:
        """The process, for those who watch over it."""
        return self._child.pid if self._child else None

    def start(self, expecting: str) -> None:
        if self._child is not None and not self._child.alive:
            self.close()
        if self._child is None:
            self._launch()
        self._expecting = expecting
        known = expecting in self._sentences or expecting in self._narrowed
        self._post({"do": "start", "root": expecting if known else self._widest})

    def accept(self, pcm: bytes) -> None:
        self._post({"do": "sound"}, pcm)

    def partial(self) -> str:
        answer = self._ask({"do": "partial"})
        return str(answer["words"]) if answer else ""

    def peek(self) -> str:
        answer = self._ask({"do": "peek"})
        return self._likeliest(answer).words if answer else ""

    def finish(self) -> Hypothesis:
        result = self._ask({"do": "finish"})
        if result is None:
            return nothing(Reason.RESTARTED)
        self._failures = 0
        found = self._likeliest(result)
        if result["unknown"]:
            return Hypothesis(found.words, 0.0, Reason.NOT_FOR_US)
        return found if found.words else nothing()

    def _likeliest(self, answer: dict[str, Any]) -> Hypothesis:
        guesses = [
            Guess(words, score, min(1.0, max(0.0, confidence)), weakest)
            for words, score, confidence, weakest in answer["guesses"]
        ]
        return likeliest(guesses, partial(self._sense, self._expecting))

    def close(self) -> None:
        child, self._child = self._child, None
        if child is not None:
            child.end(at_once=True)

    def _launch(self) -> None:
        if self._failures > RESTARTS:
            raise ModelUnusable(f"The speech model in {self._folder} keeps failing. Copy the whole model folder again.")
        self._failures += 1
        cannot = ModelUnusable(
            f"The speech model in {self._folder} can't be loaded. Copy the whole model folder again."
        )
        # Its little matrix products are faster on one core than spread, and leave the others to the rest.
        threads = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        try:
            self._child = Child("assistant.hearing.vosk_process", str(self._folder), environment=threads)
        except ChildGone:
            raise cannot from None
        ready = self._answer("ready", LOADING_SECONDS)
        if ready is None:
            raise cannot
        self.unenhanced = ready["unenhanced"]
        answers = [self._ask({"do": "words", "words": self._words}, LOADING_SECONDS)]
        for root, sentences in self._sentences.items():
            answers.append(self._ask({"do": "grammar", "root": root, "sentences": sentences}, LOADING_SECONDS))
        if answers[0] is None or None in answers:
            raise ModelUnusable(f"The speech model in {self._folder} takes no grammar. Use a small Vosk model.")
        self.missing = frozenset(answers[0]["missing"])

    def _post(self, fields: dict[str, Any], payload: bytes = b"") -> None:
        if self._child is not None:
            self._child.post(fields, payload)  # a process that hangs must not hold up the listener too

    def _ask(self, fields: dict[str, Any], seconds: float | None = None) -> dict[str, Any] | None:
        """The process's answer; None where it died or hangs. It is gone then: the next start brings it up again."""
        self._post(fields)
        return self._answer(fields["do"], ANSWER_SECONDS if seconds is None else seconds)

    def _answer(self, to: str, seconds: float) -> dict[str, Any] | None:
        if self._child is None:
            return None
        try:
            answer = self._child.receive(seconds).fields
        except ChildGone:
            answer = {}
        if answer.get("did") != to:
            self.close()
            return None
        return answer


def _sampled(grammar: GrammarSource, root: str) -> list[str]:
    rng = random.Random(_SEED)
    return [grammar.sample(rng, root) for _ in range(SAMPLED_SENTENCES)]
