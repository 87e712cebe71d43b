"""What a session wants done, in order. Frozen values; do not subclass them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Union

from assistant.language.requests import Manner
from assistant.session.answer import Answer

if TYPE_CHECKING:
    from assistant.session.job import Job

__all__ = ["Adjust", "Effect", "Hush", "Listen", "Prepare", "Save", "Say", "Show", "Sound", "StopListening"]


@dataclass(frozen=True, slots=True)
class Save:
    """Put the job on disk. Always comes before the Say that confirms it."""

    job: Job


@dataclass(frozen=True, slots=True)
class Show:
    """Put this answer before him. Comes before Say: a voice that fails never blocks the screen."""

    answer: Answer


@dataclass(frozen=True, slots=True)
class Say:
    text: str


@dataclass(frozen=True, slots=True)
class Sound:
    """One of the four earcons: "listening", "got-it", "not-understood", "error"."""

    earcon: str


@dataclass(frozen=True, slots=True)
class Hush:
    """Cut whatever is being said."""


@dataclass(frozen=True, slots=True)
class Listen:
    """Hear what comes next without the wake phrase."""

    expecting: str
    """Which public rule of the grammar: "request", "answer" (a question is open), "denominator"."""
    follow_up: bool
    """True: only for the follow-up window. False: for as long as the talk key is down."""


@dataclass(frozen=True, slots=True)
class StopListening:
    """Back to waiting for the wake phrase."""


@dataclass(frozen=True, slots=True)
class Prepare:
    """Likely to be said next: have them ready to sound."""

    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Adjust:
    """Louder, softer, slower, faster."""

    manner: Manner


Effect = Union[Save, Show, Say, Sound, Hush, Listen, StopListening, Prepare, Adjust]
