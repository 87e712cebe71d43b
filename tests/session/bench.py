"""A session with somebody at it: requests in, answers out, every effect kept."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.requests import Hold, Measure, Request
from assistant.language.understanding import (
    Choice,
    Impossible,
    NotUnderstood,
    Outcome,
    Unclear,
    Understood,
)
from assistant.length import Length
from assistant.session.answer import Answer
from assistant.session.effects import Effect, Prepare, Save, Say, Show
from assistant.session.events import Asked, Event, Heard
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.tape import Form

EXAMPLES = ("center of ten", "add seven eighths")


def m(size: str | int, lean: int = 0, form: Form = Form.INCHES, **more) -> Measure:
    return Measure(Length(size), Fraction(lean), form, **more)


def feet(size: str | int, lean: int = 0) -> Measure:
    return m(size, lean, Form.FEET)


def hold(size: str | int, lean: int = 0) -> Hold:
    return Hold(m(size, lean))


def unclear(question: str, *choices: tuple[str, Request], incomplete: Request | None = None) -> Unclear:
    return Unclear(question, tuple(Choice(say, request) for say, request in choices), incomplete)


class Bench:
    def __init__(self, manners: Manners | None = None, **more) -> None:
        self.session = Session(manners or Manners(), examples=EXAMPLES, **more)
        self.effects: list[Effect] = []

    def send(self, event: Event) -> list[Effect]:
        self.effects = self.session.handle(event)
        return self.effects

    def hear(self, what: Request | Outcome, words: str = "words", **more) -> Answer:
        """The one answer to something said."""
        outcomes = (Understood, Unclear, Impossible, NotUnderstood)
        outcome = what if isinstance(what, outcomes) else Understood(what)
        self.send(Heard(words, outcome, **more))
        return self.shown

    def key(self, request: Request, shown: str = "keyed") -> Answer:
        """The one answer to something keyed."""
        self.send(Asked(request, shown))
        return self.shown

    @property
    def shown(self) -> Answer:
        (answer,) = [effect.answer for effect in self.effects if isinstance(effect, Show)]
        return answer

    @property
    def said(self) -> list[str]:
        return [effect.text for effect in self.effects if isinstance(effect, Say)]

    @property
    def saved(self) -> list[Save]:
        return [effect for effect in self.effects if isinstance(effect, Save)]

    @property
    def prepared(self) -> tuple[str, ...]:
        return next((effect.texts for effect in self.effects if isinstance(effect, Prepare)), ())
