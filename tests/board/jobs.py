"""Jobs to keep. The sizes are invented."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.requests import Measure
from assistant.length import Length
from assistant.session.job import Job
from assistant.tape import Form


def measure(text: str, **how: object) -> Measure:
    return Measure(Length(text), **how)  # type: ignore[arg-type]


LEG = measure("53 5/8")
RAIL = measure("4'-7 15/16\"", form=Form.FEET, lean=Fraction(-1))
THIRD = Measure(Length(Fraction(193, 3)), band=Length("1/16"))


def with_piece(text: str, *kept: tuple[str, Measure]) -> Job:
    return Job(piece=measure(text), kept=kept)
