"""How one person's tape says and shows what was worked out: his graduations, and what his plus is worth.

A lean is carried beside the number. Where his plus is worth something, that is added here, to the exact
answer and never to what was read back; where it is worth nothing, the lean is said and shown as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.enclosure import Enclosure
from assistant.language.requests import Measure
from assistant.language.speak import (
    cap_first,
    fraction_names,
    lean_of,
    speak,
    speak_decimal,
    speak_exactly,
    speak_mark,
    speak_whole,
)
from assistant.layout.result import Exactly, Phrase, Quantity, Rounded, Value
from assistant.length import INCHES_PER_FOOT, Length
from assistant.session.answer import ShownMark, ShownValue
from assistant.tape import MILLIMETERS, Feet, Form, Lean, Real, Tape, read, written

__all__ = ["Reader", "sentence"]

_DIGITS = 12
"""Significant digits of an irrational answer when written out."""

_PLACES = 1
"""Decimals of an angle or a weight without end: a level or a scale shows no more (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Reader:
    tape: Tape
    plus: Length
    """What a plus is worth."""
    feet: Feet = Feet.SAID

    def words(self, phrase: Phrase, form: Form) -> str:
        """A phrase as it is spoken, without a full stop. Lengths in ``form``, but what he said in his own."""
        return "".join(part if isinstance(part, str) else self._quantity(part, form) for part in phrase)

    def measured(self, measure: Measure) -> str:
        """What he said, as he said it: exactly, in his own form, with his lean and his tolerance."""
        sayable = measure.length.inches.denominator in (1, *fraction_names())
        if not sayable and measure.form in (Form.INCHES, Form.FEET):
            # Worked out, not said: no word has such a fraction, though a mark of another tape may lie there.
            return self.value(Value("", measure.length, lean=measure.lean), measure.form)
        lean = lean_of(Lean.ON, measure.lean)
        said = speak_mark(measure.length, measure.form, lean)
        return f"{said} plus or minus {speak_exactly(measure.band, measure.form)}" if measure.band else said

    def on_tape(self, measure: Measure) -> str:
        """A measurement as it is found on the tape, whoever made it."""
        if self._on_a_mark(measure) and self._form(measure.form) is measure.form:
            return self.measured(measure)
        return self.value(Value("", measure.length, lean=measure.lean), measure.form)

    def said_and_found(self, measure: Measure) -> str:
        """What he said, and where it is on the tape, where that is not the same: thirds, thousandths,
        feet that he wants in inches."""
        said = self.measured(measure)
        found = self.on_tape(measure)
        return said if found == said else f"{said}: {found}"

    def exactly(self, length: Length) -> str:
        """A length as the exact fraction it is."""
        return speak_exactly(length)

    def value(self, value: Value, form: Form) -> str:
        """One answer as it is spoken."""
        if value.unit != "in":
            return _number(value.amount)
        size, lean = self._sized(value)
        return self._length(size, form, lean)

    def shown(self, value: Value, form: Form) -> ShownValue:
        """One answer as it is written and drawn."""
        exact, tape, lean, inches, beside = self._written(value, form)
        return ShownValue(value.name, value.unit, exact, tape, lean, inches, beside)

    def shown_mark(self, mark: Value, index: int, count: int, form: Form) -> ShownMark:
        """One mark as it is written and drawn."""
        exact, tape, lean, inches, beside = self._written(mark, form)
        return ShownMark(index, count, exact, tape, lean, mark.name, inches, beside)

    def _written(self, value: Value, form: Form) -> tuple[str, str, Lean, Fraction | None, str]:
        if value.unit != "in":
            return _exact(value.amount), "", Lean.ON, None, ""
        size, carried = self._sized(value)
        inches = size.inches if isinstance(size, Length) else None
        form = self._form(form)
        reading = read(size, self._tape(form))
        lean = lean_of(reading.lean, carried)
        beside = ""
        if form is Form.INCHES and self.feet is not Feet.NEVER and reading.mark >= Length(INCHES_PER_FOOT):
            beside = written(reading.mark, Form.FEET)
        mark = reading.mark
        if form is Form.DECIMAL:
            mark = size if isinstance(size, Length) else Length(size.rounded(_DIGITS))
        return _exact(size), written(mark, form), lean, inches, beside

    def _sized(self, value: Value) -> tuple[Length | Enclosure, Fraction]:
        """The length with his plus in it, and the lean that is left to be said."""
        size = value.amount
        assert isinstance(size, (Length, Enclosure))
        if not self.plus:
            return size, value.lean
        with_plus = size + self.plus * value.lean
        return (size, value.lean) if with_plus < Length(0) else (with_plus, Fraction(0))

    def _quantity(self, part: Quantity, form: Form) -> str:
        if isinstance(part, Value):
            return self.value(part, form)
        if isinstance(part, Measure):
            return self.measured(part)
        if isinstance(part, Exactly):
            return _exactly(part)
        if isinstance(part, Rounded):
            return _number(part.amount, part.places)
        if isinstance(part, (int, Fraction)):
            return _number(part)
        return self._length(part, form, Fraction(0))

    def _length(self, size: Real, form: Form, lean: Fraction) -> str:
        form = self._form(form)
        return speak(size, self._tape(form), form, lean)

    def _on_a_mark(self, measure: Measure) -> bool:
        return read(measure.length, self._tape(self._form(measure.form))).mark == measure.length

    def _form(self, form: Form) -> Form:
        if self.tape is MILLIMETERS:
            return Form.MILLIMETERS
        match form, self.feet:
            case Form.INCHES, Feet.ALWAYS:
                return Form.FEET
            case Form.FEET, Feet.NEVER:
                return Form.INCHES
        return form

    def _tape(self, form: Form) -> Tape:
        return MILLIMETERS if form is Form.MILLIMETERS else self.tape


def sentence(*parts: str) -> str:
    """Parts of an answer as sentences, each with its capital and its full stop."""
    return " ".join(cap_first(part) + ("" if part[-1] in ".?!" else ".") for part in parts if part)


def _exactly(part: Exactly) -> str:
    if part.bottom is None:
        return speak_exactly(part.length, part.form)
    top = int(part.length.inches * part.bottom)  # all of it over this bottom, not brought down
    names = fraction_names().get(part.bottom)
    if names is None:
        return f"{speak_whole(top)} over {speak_whole(part.bottom)}"
    return f"{speak_whole(top)} {names[top != 1].replace(' ', '-')}"


def _number(amount: Length | Enclosure | Fraction | int, places: int = _PLACES) -> str:
    """A plain number, in decimals where it is not whole."""
    assert not isinstance(amount, Length)
    number = amount.rounded(places) if isinstance(amount, Enclosure) else Fraction(amount)
    return f"minus {speak_decimal(-number, places)}" if number < 0 else speak_decimal(number, places)


def _exact(amount: object) -> str:
    if isinstance(amount, Length):
        return str(amount.inches)
    return amount.decimal(_DIGITS) if isinstance(amount, Enclosure) else str(amount)
