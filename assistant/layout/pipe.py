"""Pipe by its nominal size, and the distance around anything round."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.angles import PI
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps, tables
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length

__all__ = ["Pipe", "around", "around_pipe", "pipe"]


@dataclass(frozen=True, slots=True)
class Pipe:
    """One nominal size. ASME B36.10M."""

    nps: Fraction
    outside: Length
    """Outside diameter in inches."""
    walls: dict[str, Length]
    """Wall thickness in inches by "std", "xs", "40", "80", "160"; those that exist."""


def pipe(nps: Fraction) -> Pipe:
    """The pipe of a nominal size.

    >>> pipe(Fraction(6)).outside
    Length('6 5/8')

    Raises:
        Slip: where the table has no such size.
    """
    for line in tables.rows("pipe"):
        if Length(line["nps"]).inches == nps:
            walls = {k: Length(v) for k, v in line.items() if k not in ("nps", "outside") and v}
            return Pipe(Fraction(nps), Length(line["outside"]), walls)
    raise Slip(f"I have no {Length(Fraction(nps))} pipe size. Say its outside diameter.")


def around(outside: Measure, *, parts: int = 4) -> Result:
    """Once around a round thing, and the marks that part it equally, from a line drawn along it. All in inches.

    Raises:
        Slip: where the diameter or the count cannot be.
    """
    across = limits.positive(outside.length, "diameter", outside.form)
    parts = limits.count(parts)
    circumference = across * PI
    whole = Value("around", circumference)
    part = Value("quarter" if parts == 4 else "part", circumference / parts)
    pieces: Phrase = (", quarters ", part) if parts == 4 else (f", {parts} parts of ", part)
    return Result(
        values=(whole, part),
        say=(whole, *(pieces if parts > 1 else ())),
        marks=tuple(Value("", circumference * Fraction(k, parts)) for k in range(1, parts)),
        datum="the line along it",
        closing=circumference,
        steps=(
            (Exactly(across), " times ", steps.about(PI, 4), " is ", steps.about(circumference, 3)),
            *(
                ((steps.about(circumference, 3), " in ", parts, " is ", steps.about(part.amount, 3)),)
                if parts > 1
                else ()
            ),
        ),
        cautions=(cautions.TAPE_SNUG,),
        heard=("Around ", outside),
        form=outside.form,
    )


def around_pipe(nps: Fraction, *, parts: int = 4) -> Result:
    """Once around a pipe of a nominal size, and its quarter points; its outside diameter is said first.

    With a square laid over the pipe, its center line lies half the outside diameter from the inside corner (US
    Navy, NAVEDTRA 14251, "Quartering the Pipe").

    Raises:
        Slip: where the table has no such size, or the count cannot be.
    """
    outside = Measure(pipe(nps).outside)
    result = around(outside, parts=parts)
    return replace(
        result,
        values=(
            *result.values,
            Value("outside", outside.length),
            Value("center line in the square", outside.length / 2),
        ),
        say=(outside, " outside, around ", *result.say),
        cautions=(cautions.PIPE_SIZE, *result.cautions),
        heard=(Exactly(Length(nps)), " inch pipe"),
    )
