"""A conversation in words or keys, one answer each, without sound or screen: for scripts and desks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from assistant.board.keeper import Keeper
from assistant.board.port import Board, MemoryBoard
from assistant.language.grammar import Grammar, load_english
from assistant.language.requests import Attention
from assistant.language.understand import understand
from assistant.length import Length
from assistant.printing.printer import NoPrinter, Printer, printed
from assistant.session.answer import Answer
from assistant.session.effects import Effect, Listen, Show
from assistant.session.events import Event, Heard
from assistant.session.job import Job
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.settings import Settings
from assistant.tape import TAPES, Feet

__all__ = ["LONGEST_REQUEST", "Desk", "as_settings", "examples_of", "manners_of", "taken_up"]

LONGEST_REQUEST = 2000
"""Characters. The longest request anyone would make is under two hundred; reading more is not worth the time."""


def manners_of(settings: Settings, attention: Attention | None = None, ask_plus: bool = True) -> Manners:
    """The part of the settings that the session goes by."""
    return Manners(
        tape=next(tape for tape in TAPES if tape.name == settings.tape),
        attention=attention or Attention(settings.attention),
        plus=None if settings.plus is None else Length(settings.plus),
        ask_plus=ask_plus,
        feet=Feet(settings.feet),
    )


def as_settings(manners: Manners) -> dict[str, Any]:
    """The settings that stand for what ``manners_of`` makes of them."""
    return {
        "tape": manners.tape.name,
        "attention": manners.attention.value,
        "plus": None if manners.plus is None else manners.plus.inches,
        "feet": manners.feet.value,
    }


def taken_up(job: Job, manners: Manners) -> Job:
    """A job from disk, by the settings as they are today.

    What he asks for aloud goes into the settings too; where the two differ, somebody has changed the settings since.
    """
    return replace(
        job,
        tape=job.tape if job.tape == manners.tape else None,
        plus=job.plus if job.plus == manners.plus else None,
        feet=job.feet if job.feet == manners.feet else None,
    )


def examples_of(grammar: Grammar) -> list[str]:
    """One thing to say of each kind, for "what can I say"."""
    return [examples[0] for _, examples in grammar.examples()]


class Desk:
    """One conversation. ``expecting`` is the rule of the grammar that what comes next is read by."""

    def __init__(
        self,
        settings: Settings,
        board: Board | None = None,
        grammar: Grammar | None = None,
        printer: Printer | None = None,
    ) -> None:
        board = board or MemoryBoard()
        job, history = board.load()
        self.grammar = grammar or load_english()
        self.session = Session(
            manners_of(settings, Attention.OPEN, ask_plus=False),
            job=job,
            history=history,
            examples=examples_of(self.grammar),
        )
        self.expecting = "request"
        self._keeper = Keeper(board)
        self._printer = printer or NoPrinter()

    def ask(self, words: str, typed: bool = True, rival: str = "") -> Answer:
        """The answer to one request in words, typed or heard; ``rival``: others, about as likely to have been said."""
        heard, outcome = understand(self.grammar, words[:LONGEST_REQUEST], self.expecting, rival)
        return self.answer(Heard(heard, outcome, typed=typed))

    def answer(self, event: Event) -> Answer:
        """The answer to anything that has one."""
        (answer,) = self._answers(self.session.handle(event))
        return answer

    def keys(self, text: str) -> Iterator[Answer]:
        """The answers to key presses, as they are typed out.

        Raises:
            Slip: before the first key, where the text has a key that no keypad has.
        """
        from assistant.keypad.bridge import key_effects

        group: list[Effect] = []
        for effect in key_effects(self.session, text):
            group.append(effect)
            if isinstance(effect, Show):  # always after the Save it belongs to
                yield from self._answers(group)
                group = []
        yield from self._answers(group)

    def _answers(self, effects: list[Effect]) -> Iterator[Answer]:
        for effect in self._keeper.carried_out(printed(effects, self._printer)):
            if isinstance(effect, Show):
                yield effect.answer
            elif isinstance(effect, Listen):
                self.expecting = effect.expecting
