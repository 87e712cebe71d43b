"""Tape marks as they stand in a table: "3 15/16-" is a little under 3 15/16, "13'-7 3/4" is on it."""

from fractions import Fraction

from assistant.language.requests import Measure
from assistant.length import Length
from assistant.tape import SIXTEENTHS, Form, Lean, read

LEANS = {"+": Lean.PLUS, "-": Lean.MINUS}


def m(text: str, form: Form = Form.INCHES, band: str | None = None) -> Measure:
    return Measure(Length(text), Fraction(0), form, Length(band) if band else None)


def mark(text: str) -> tuple[Length, Lean]:
    lean = LEANS.get(text[-1], Lean.ON)
    return Length(text.rstrip("+-")), lean


def marks(text: str) -> list[tuple[Length, Lean]]:
    return [mark(one.strip()) for one in text.split(";")]


def shown(value, tape=SIXTEENTHS) -> tuple[Length, Lean]:
    reading = read(value.amount if hasattr(value, "amount") else value, tape)
    return reading.mark, reading.lean


def values(result) -> dict:
    return {value.name: value.amount for value in result.values}
