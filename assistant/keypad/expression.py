"""A whole line of keys: whether it can be one, how it is said, and what it asks for when Enter is pressed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.errors import Slip
from assistant.keypad import sizes
from assistant.keypad.spoken import start, whole
from assistant.language.describe import describe
from assistant.language.requests import (
    PIECE,
    Add,
    Denominator,
    Hold,
    Measure,
    Parts,
    Request,
    TakeOff,
    Times,
)
from assistant.language.understand import ask_for_bottom, which
from assistant.language.understanding import Impossible, Outcome, Unclear, Understood
from assistant.layout import limits

__all__ = ["Bench", "can_be", "measure", "outcome", "whole_number", "words"]

_LONGEST = 60
"""Keys in one line. More is a key stuck down."""
_COUNT = re.compile(r"\d{0,4}", re.ASCII)
_TERM = re.compile(r"(^(?![+-])|[+-])([^+-]*)")


@dataclass(frozen=True, slots=True)
class Bench:
    """What the keys need to know of the session."""

    piece: Measure | None = None
    """The measurement in hand."""
    walking: bool = False
    """Whether there are marks to walk."""
    choices: int = 0
    """How many numbered choices the open question has; 0 when none is open."""
    bottom: bool = False
    """Whether the open question is "five what?"."""


def can_be(line: str) -> bool:
    """Whether these keys are a line, or the beginning of one. Every size but the last has to be complete.

    >>> can_be("53.5/8+"), can_be("53.5+"), can_be("*3"), can_be("5*")
    (True, False, True, False)
    """
    if len(line) > _LONGEST:
        return False
    if line[:1] in ("*", "/"):
        return _COUNT.fullmatch(line[1:]) is not None
    *before, last = _signed(line)
    return all(_complete(size) for _, size in before) and sizes.can_be(last[1])


def words(line: str) -> str:
    """A line as far as it is keyed, in words.

    >>> words("53.5/8+7/8"), words("-.1/8"), words("/7")
    ('fifty-three and five eighths plus seven eighths', 'less one eighth', 'divided by seven')
    """
    if line[:1] in ("*", "/"):
        joining = "times" if line[0] == "*" else "divided by"
        return f"{joining} {whole(line[1:])}" if line[1:] else joining
    said = []
    for sign, size in _signed(line):
        said += [{"+": "plus", "-": "less"}.get(sign, ""), sizes.words(size)]
    return " ".join(filter(None, said))


def measure(line: str) -> Measure:
    """One measurement, or several added up and taken off.

    Raises:
        Slip: where it cannot be, or a fraction has no bottom yet.
    """
    terms = _terms(line)
    missing = terms[-1][1].missing
    if missing is not None:
        raise Slip(f"{start(whole(str(missing)))} what? Key over, and the bottom number.")
    off = [taken for sign, taken in terms if sign == "-"]
    total = _together([added for sign, added in terms if sign != "-"])
    if off:
        taken = _together(off)
        limits.fits(taken.length, total.length, total.form)
        total = Measure(total.length - taken.length, form=total.form)
    return total


def whole_number(digits: str, what: str) -> int:
    """A count as keyed.

    Raises:
        Slip: where it is none.
    """
    if not digits.isdigit():
        raise Slip(f"How many {what}? Key a whole number.")
    return limits.count(int(digits), what)


def outcome(line: str, bench: Bench, walked: str = "") -> Outcome:
    """What a line asks for.

    ``walked`` are the keys just before it that walked the marks, and may have been meant as its beginning.
    Where that makes another honest reading, the outcome is the question which it is.
    """
    lines = [walked[start:] + line for start in range(len(walked) + 1)]
    readings = {text: _read(text, bench) for text in lines if can_be(text)}
    possible = {text: reading for text, reading in readings.items() if _can_be_offered(reading)}
    if not possible:
        return readings[line]
    different = list(dict.fromkeys(possible.values()))
    return different[0] if len(different) == 1 else _which(possible)


def _can_be_offered(reading: Outcome) -> bool:
    return isinstance(reading, Understood) or (isinstance(reading, Unclear) and bool(reading.choices))


def _read(line: str, bench: Bench) -> Outcome:
    try:
        if bench.bottom and line[0] == "/":
            return Understood(Denominator(_bottom(line[1:])))
        if line[0] in ("+", "-", "*", "/") and not bench.piece:
            raise Slip("There is no piece yet. Key its length first, then Enter.")
        if line[0] == "*":
            return Understood(Times(PIECE, whole_number(line[1:], "times")))
        if line[0] == "/":
            return Understood(Parts(PIECE, whole_number(line[1:], "parts")))
        return _sum(line, bench)
    except Slip as slip:
        return Impossible(str(slip))


def _bottom(digits: str) -> int:
    if not digits.strip("0"):
        raise Slip("Over what? Key the bottom number.")
    return int(digits)


def _sum(line: str, bench: Bench) -> Outcome:
    terms = _terms(line)
    sign, last = terms[-1]
    if last.missing is not None:
        return ask_for_bottom(_asked(terms, bench))
    if len(terms) == 1 and not sign and not last.length:
        raise Slip("A piece of nothing is no piece. Key its length.")
    return Understood(_asked(terms, bench))


def _asked(terms: list[tuple[str, Measure]], bench: Bench) -> Request:
    """The request for measurements to be added and taken off, in the order keyed."""
    on = [measure for sign, measure in terms if sign != "-"]
    off = tuple(measure for sign, measure in terms if sign == "-")
    to_piece = bool(terms[0][0])
    if not off:
        return Add((PIECE, *on)) if to_piece else Add(tuple(on)) if len(on) > 1 else Hold(on[0])
    if not on:
        return TakeOff(PIECE, off)
    if to_piece and bench.piece:
        on = [bench.piece, *on]
    return TakeOff(_together(on), off)


def _which(readings: Mapping[str, Outcome]) -> Unclear:
    """The question which of several readings is meant. Each offers what it would come to."""
    with_piece = any(line[0] in ("-", "/") for line in readings)
    says: dict[Request, str] = {}
    for line, reading in readings.items():
        fresh = "a new piece, " if with_piece and line[0] not in ("-", "/") else ""
        if isinstance(reading, Understood):
            says[reading.request] = fresh + describe(reading.request) + (" inches" if line.isdigit() else "")
        elif isinstance(reading, Unclear):
            offered = [choice.request for choice in reading.choices]
            says |= {request: fresh + describe(request) for request in offered}
    return which(list(says.values()), list(says))


def _complete(size: str) -> bool:
    try:
        return sizes.read(size).missing is None
    except Slip:
        return False


def _signed(line: str) -> list[tuple[str, str]]:
    """The sizes of a line, each with the sign before it; the first may have none."""
    return _TERM.findall(line)


def _terms(line: str) -> list[tuple[str, Measure]]:
    return [(sign, sizes.read(size)) for sign, size in _signed(line)]


def _together(measures: list[Measure]) -> Measure:
    """Measurements added up into one, said in the form of the first."""
    total = sum((m.length for m in measures[1:]), measures[0].length)
    lean = sum((m.lean for m in measures), Fraction(0))
    return Measure(total, lean, measures[0].form, missing=measures[-1].missing)
