"""The port to a speech recogniser, and the scripted stand-in for it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from random import Random
from typing import Protocol

__all__ = [
    "WAKE_PHRASE",
    "Automaton",
    "GrammarSource",
    "Hypothesis",
    "Reason",
    "Recogniser",
    "ScriptedRecogniser",
    "after_wake_phrase",
    "nothing",
]

WAKE_PHRASE = "tape hand"


def after_wake_phrase(words: str) -> str | None:
    """What follows the wake phrase, empty where it stands alone; None of words that do not begin with it."""
    return words.removeprefix(WAKE_PHRASE).strip() if words.startswith(WAKE_PHRASE) else None


class Reason:
    """Why words are not to be trusted. One word each, for the record."""

    TRUSTED = ""
    NOTHING = "nothing"
    """No words at all."""
    NOISE = "noise"
    """Sound that is no voice."""
    NOT_FOR_US = "not-for-us"
    """Talk that is no request."""
    UNCLEAR = "unclear"
    """May be a request, too poorly heard to act on."""
    RESTARTED = "restarted"
    """The recogniser died under it and has been started again."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """What one recogniser thinks one utterance was."""

    words: str
    """Lower case, one space between words; empty for nothing."""
    confidence: float
    """0 to 1, calibrated for each recogniser so that they can be compared: see ``accept``."""
    reason: str = Reason.TRUSTED
    """One of Reason."""
    rival: str = ""
    """Words that ask for something else and are about as likely to have been said; empty where it is sure enough."""


def nothing(reason: str = Reason.NOTHING) -> Hypothesis:
    return Hypothesis("", 0.0, reason)


class Automaton(Protocol):
    """A word automaton. It need not be deterministic: from one state a word may lead to several."""

    @property
    def start(self) -> int: ...

    @property
    def arcs(self) -> Sequence[Sequence[tuple[str, int]]]:
        """For each state, the words that may come, each with a state it leads to."""

    @property
    def finals(self) -> Collection[int]:
        """The states in which a sentence may end."""


class GrammarSource(Protocol):
    """What a recogniser needs of a grammar. ``root``: a public rule, as request, answer, denominator, wake."""

    @property
    def words(self) -> frozenset[str]: ...

    def automaton(self, root: str) -> Automaton: ...

    def sample(self, rng: Random, root: str) -> str:
        """A random sentence."""


class Recogniser(Protocol):
    """One utterance at a time: ``start``, ``accept`` as often as wanted, ``finish``. One thread owns it."""

    name: str
    """Fit to be shown: "vosk", "pocketsphinx"."""

    def start(self, expecting: str) -> None:
        """Begin an utterance; an unfinished one is thrown away. ``expecting`` is a public rule of the grammar;
        what it has no search of its own for it hears with a wider one.

        ModelUnusable when the recogniser is past help.
        """

    def accept(self, pcm: bytes) -> None:
        """More sound: 16 kHz mono int16, of any length."""

    def partial(self) -> str:
        """The words so far. They may change, and be late."""

    def peek(self) -> str:
        """The words if the sound ended here. More sound may come."""

    def finish(self) -> Hypothesis:
        """End the utterance. Without a start: nothing."""

    def close(self) -> None:
        """Let go of everything. Closing twice is no error."""


class ScriptedRecogniser:
    """The official stand-in: each utterance, whatever its sound, is heard as the next of the words given."""

    name = "scripted"

    def __init__(self, script: Iterable[str | Hypothesis]) -> None:
        """A str is heard with full confidence. After the last one nothing more is heard."""
        self._script = iter(script)
        self._now = nothing()
        self.expected: list[str] = []
        """What each utterance was started with."""

    def start(self, expecting: str) -> None:
        self.expected.append(expecting)
        line = next(self._script, nothing())
        self._now = line if isinstance(line, Hypothesis) else Hypothesis(line, 1.0)

    def accept(self, pcm: bytes) -> None:
        pass

    def partial(self) -> str:
        return self._now.words

    def peek(self) -> str:
        return self._now.words

    def finish(self) -> Hypothesis:
        now, self._now = self._now, nothing()
        return now

    def close(self) -> None:
        pass
