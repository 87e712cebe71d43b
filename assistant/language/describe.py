"""A request in words, for asking which of two was meant. What it says can be understood again."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.requests import (
    Add,
    Center,
    Convert,
    Correct,
    Hold,
    Measure,
    Named,
    Operand,
    Parts,
    Request,
    Share,
    TakeOff,
    Task,
    Times,
)
from assistant.language.speak import speak_decimal, speak_exactly, speak_whole
from assistant.language.tasks import TASKS
from assistant.tape import Form

__all__ = ["DESCRIBED", "describe", "describe_operand"]

_FORMS = {Form.INCHES: "inches", Form.FEET: "feet", Form.MILLIMETERS: "millimeters", Form.DECIMAL: "decimal"}


def describe_operand(of: Operand) -> str:
    """ "Fifty-three and five eighths", "the leg", "it"."""
    match of:
        case Measure():
            lean = f" {'plus' if of.lean > 0 else 'minus'}" if of.lean else ""
            band = f" plus or minus {speak_exactly(of.band)}" if of.band else ""
            return speak_exactly(of.length, of.form) + lean + band
        case Named(name):
            return f"the {name}"
        case _:
            return "it"


def _given(name: str, value: Operand | int | Fraction | str) -> str:
    if isinstance(value, str):
        return (name if value == "yes" else value) or f"no {name}"
    said = describe_operand(value) if isinstance(value, Operand) else speak_decimal(Fraction(value), 2)
    return f"{name} {said}"


DESCRIBED = (Hold, Center, Parts, Share, Add, TakeOff, Times, Convert, Task, Correct)
"""Requests that work on lengths."""


def describe(request: Request) -> str:
    """A request that works on lengths, in plain words; others by their name."""
    match request:
        case Hold(what):
            return describe_operand(what)
        case Center(of):
            return f"center of {describe_operand(of)}"
        case Parts(of, count):
            return f"{describe_operand(of)} in {speak_whole(count)} parts"
        case Share(of, taken, count):
            return f"{speak_whole(taken)} of {speak_whole(count)} parts of {describe_operand(of)}"
        case Add(terms):
            return " plus ".join(map(describe_operand, terms))
        case TakeOff(of, off, ends):
            less = " and ".join(map(describe_operand, off))
            return f"{describe_operand(of)} less {less}" + (" each end" if ends == 2 else "")
        case Times(of, count):
            return f"{speak_whole(count)} at {describe_operand(of)}"
        case Convert(of, form):
            return f"{describe_operand(of)} in {_FORMS[form]}"
        case Task(kind, given):
            return ", ".join([TASKS[kind].name, *(_given(name, value) for name, value in given)])
        case Correct(to):
            return f"no, {describe_operand(to)}"
        case _:
            return type(request).__name__.lower()
