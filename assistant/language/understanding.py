"""What became of some words: one request, a question back, a refusal, or nothing."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.language.requests import Request

__all__ = ["Choice", "Impossible", "NotUnderstood", "Outcome", "Unclear", "Understood"]


@dataclass(frozen=True, slots=True)
class Understood:
    request: Request


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the numbered answers to a question; its number is its place, from 1."""

    say: str
    """What is offered, in spoken words."""
    request: Request


@dataclass(frozen=True, slots=True)
class Unclear:
    """Two honest readings, or a piece missing: ask, with numbered choices."""

    question: str
    choices: tuple[Choice, ...]
    incomplete: Request | None = None
    """The request whose Measure has a ``missing`` fraction; a Denominator answer completes it."""


@dataclass(frozen=True, slots=True)
class Impossible:
    """It was heard, and cannot be: one plain sentence."""

    sentence: str


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """Not a sentence of the language."""


Outcome = Understood | Unclear | Impossible | NotUnderstood
