"""What a keypad remembers between keys, and what one key leads to. Also how a line is edited."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from assistant.keypad.jobs import Job
from assistant.keypad.keys import Key
from assistant.keypad.spoken import start
from assistant.language.requests import Operand
from assistant.language.understanding import Outcome

__all__ = ["Listing", "Pad", "Pressed", "Prompting", "refused", "take_back"]


@dataclass(frozen=True, slots=True)
class Listing:
    """The list of jobs is open."""

    page: int = 0
    """Nine jobs a page, from 0."""


@dataclass(frozen=True, slots=True)
class Prompting:
    """A job is asking for its measurements."""

    job: Job
    given: tuple[Operand | int, ...] = ()


@dataclass(frozen=True, slots=True)
class Pad:
    """Everything between two keys. It never changes: keep the one before, and the key was never pressed."""

    line: str = ""
    """The keys of the line being entered."""
    walked: str = ""
    """Keys just before the line that walked the marks, where they may yet be its beginning."""
    taken: Key | None = None
    """The key that has just taken something back, or None."""
    stage: Listing | Prompting | None = None


@dataclass(frozen=True, slots=True)
class Pressed:
    """What one key leads to."""

    pad: Pad
    say: str = ""
    """The echo: the line so far in words, or what the keypad has to say. Empty where there is an outcome."""
    shown: str = ""
    """What was keyed, in words, where there is an outcome."""
    outcome: Outcome | None = None
    """What to put to the session."""
    fits: bool = True
    """False: the key does nothing here; make the short sound that says so."""
    asks: bool = False
    """Whether ``say`` is a prompt or the list of jobs, and should stay before him until it is answered."""
    options: tuple[str, ...] = ()
    """The jobs on the page, by their number from 1."""


def refused(pad: Pad, say: str = "That key does nothing here.") -> Pressed:
    return Pressed(replace(pad, taken=None), say, fits=False)


def take_back(pad: Pad, key: Key, words: Callable[[str], str]) -> Pressed:
    """Take back the last key of a line. ``*`` right after ``*`` wipes the line; Backspace goes key by key."""
    if key is Key.STAR and pad.taken is Key.STAR:
        return Pressed(Pad(stage=pad.stage), "Wiped.")
    line = pad.line[:-1]
    if not line:
        return Pressed(Pad(taken=key, stage=pad.stage), "Taken back. Nothing keyed.")
    return Pressed(replace(pad, line=line, taken=key), f"Taken back. {start(words(line))}.")
