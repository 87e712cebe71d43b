"""The jobs on the keypad's list, the most used first: every trade task of the language is among them.

A trade task has no prompts here: the session asks for what it needs, as it does aloud.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import partial

from assistant.language.requests import (
    PIECE,
    Center,
    Convert,
    ListBoard,
    Operand,
    Parts,
    Print,
    Request,
    Scratch,
    Settings,
    StartString,
    Task,
    Times,
    Total,
    Turn,
)
from assistant.language.tasks import TASKS
from assistant.tape import Form

__all__ = ["JOBS", "Job", "Prompt", "Wanted"]


class Wanted(Enum):
    """What a prompt is answered with."""

    LENGTH = "length"
    """A measurement as product.md 4 keys it, or several added up and taken off."""
    NUMBER = "number"
    """A whole number from 1."""


@dataclass(frozen=True, slots=True)
class Prompt:
    """One thing a job asks for."""

    say: str
    wanted: Wanted = Wanted.LENGTH
    enter: Operand | int | None = None
    """What Enter alone stands for; None where it has to be keyed."""
    enter_is: str = "the piece"
    """``enter`` in words."""
    things: str = "parts"
    """What is counted, where a number is wanted."""


@dataclass(frozen=True, slots=True)
class Job:
    name: str
    """As it is spoken in the list."""
    prompts: tuple[Prompt, ...]
    request: Callable[..., Request]
    """Makes the request from the answers to the prompts, in their order: an Operand or an int each."""


_HOW_MANY_PARTS = Prompt("How many parts?", Wanted.NUMBER)
_HOW_MANY = Prompt("How many?", Wanted.NUMBER, things="times")

_MENUS = {kind for row in TASKS.values() for kind in row.menu}
_TRADE = tuple(Job(row.name, (), partial(Task, row.kind)) for row in TASKS.values() if row.kind not in _MENUS)
_FIRST_PAGE = 5
"""Trade tasks among the first nine jobs."""

JOBS = (
    Job("center", (Prompt("Center of what?", enter=PIECE),), Center),
    Job("equal parts", (Prompt("Equal parts of what?", enter=PIECE), _HOW_MANY_PARTS), Parts),
    *_TRADE[:_FIRST_PAGE],
    Job("running string", (), StartString),
    Job("total of the string", (), Total),
    Job("so many of one length", (Prompt("What length?", enter=PIECE), _HOW_MANY), Times),
    *_TRADE[_FIRST_PAGE:],
    Job("from the other end", (), Turn),
    Job("to millimeters", (Prompt("What length?", enter=PIECE),), lambda of: Convert(of, Form.MILLIMETERS)),
    Job("to feet and inches", (Prompt("What length?", enter=PIECE),), lambda of: Convert(of, Form.FEET)),
    Job("the board", (), ListBoard),
    Job("undo", (), Scratch),
    Job("print a sheet", (), Print),
    Job("settings", (), Settings),
)
"""The most used first."""
