"""From what was worked out to what is said and shown."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from assistant.enclosure import Enclosure
from assistant.language.requests import Measure
from assistant.language.speak import speak_whole
from assistant.language.text import in_words
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length
from assistant.session.answer import Answer, ShownMark
from assistant.session.deeds import Deed, operands
from assistant.session.reader import Reader, sentence

__all__ = ["answered", "closing_words", "inches_of", "mark_words", "marks_of", "said", "step_sizes", "steps_of"]

_DRAWN_PLACES = 6
"""Decimals of an inch: far finer than any screen or pen."""


def answered(heard: str, result: Result, reader: Reader) -> Answer:
    """The whole answer to a request, with everything a script or a screen may want of it."""
    return Answer(
        heard=heard,
        status="answer",
        say=said(result, reader),
        values=tuple(reader.shown(value, result.form) for value in result.values),
        marks=marks_of(result, reader),
        steps=steps_of(result, reader),
        step_sizes=step_sizes(result, reader),
        cautions=result.cautions,
    )


def said(result: Result, reader: Reader) -> str:
    """What was heard, said back; then the answer in one breath."""
    if result.heard:
        return sentence(f"{reader.words(result.heard, result.form)}: {reader.words(result.say, result.form)}")
    (only,) = result.say  # a bare measurement
    assert isinstance(only, Measure)
    return sentence(reader.said_and_found(only))


@lru_cache(maxsize=8)  # every step of a walk shows them all again: a thousand take a twentieth of a second
def marks_of(result: Result, reader: Reader) -> tuple[ShownMark, ...]:
    """Every mark, from the datum."""
    count = len(result.marks)
    return tuple(reader.shown_mark(mark, index, count, result.form) for index, mark in enumerate(result.marks, start=1))


def steps_of(result: Result, reader: Reader) -> tuple[str, ...]:
    """How it is worked in the head, a sentence a step; his plus last, where it is worth something."""
    steps = [sentence(reader.words(step, result.form)) for step in result.steps]
    first = result.values[0]
    if steps and reader.plus and first.lean:
        more = "more" if first.lean > 0 else "less"
        steps.append(sentence(f"Your plus makes it {reader.exactly(reader.plus * abs(first.lean))} {more}"))
    return tuple(steps)


def step_sizes(result: Result, reader: Reader) -> tuple[Fraction | None, ...]:
    """The length each step of ``steps_of`` comes to, in inches, where it comes to one: the last in it."""
    sizes: list[Fraction | None] = [_last_length(step) for step in result.steps]
    return tuple(sizes + [None] * (len(steps_of(result, reader)) - len(sizes)))


def inches_of(size: Length | Enclosure) -> Fraction:
    """Inches to draw with: exact where they are rational, else to a millionth."""
    return size.inches if isinstance(size, Length) else size.rounded(_DRAWN_PLACES)


_COLUMNS = {"Feet: ": 12, "The odd foot is ": 1, "Inches: ": 1}
"""Inches in what a step of ``layout.steps`` that begins so comes to: it works on whole feet or inches alone."""


def _last_length(step: Phrase) -> Fraction | None:
    for part in reversed(step):
        amount = part.amount if isinstance(part, Value) else part
        if isinstance(amount, (Exactly, Measure)):
            amount = amount.length
        if isinstance(amount, Length):
            return amount.inches
    return _column(step)


def _column(step: Phrase) -> Fraction | None:
    inches = next((inches for start, inches in _COLUMNS.items() if str(step[0]).startswith(start)), None)
    ends = [part for before, part in pairwise(step) if str(before).endswith(" is ") and isinstance(part, int)]
    return Fraction(ends[-1] * inches) if inches and ends else None


def mark_words(result: Result, reader: Reader, at: int, *, datum: bool) -> str:
    """One mark in one breath: index, total, its name where it has one, the mark. ``datum`` says first where all
    of them are measured from."""
    mark, count = result.marks[at - 1], len(result.marks)
    name = f", {in_words(mark.name)}" if mark.name and count > 1 else ""
    place = f"{speak_whole(at)} of {speak_whole(count)}{name}: " if count > 1 else ""
    start = f"From {result.datum}"
    if datum and not place:
        return sentence(f"{start}: {reader.value(mark, result.form)}")
    return sentence(start if datum else "", place + reader.value(mark, result.form))


def closing_words(result: Result, reader: Reader, asked: Deed) -> str:
    """After the last mark: where everything must come out."""
    closing = result.closing
    if not isinstance(closing, (Length, Enclosure)):
        return sentence("That's the last")
    measures = [operand for operand in operands(asked) if isinstance(operand, Measure)]
    lean = next((m.lean for m in measures if m.length == closing), Fraction(0))
    end = reader.value(Value("", closing, lean=lean), result.form)
    return sentence("That's the last", f"It closes on {end}")
