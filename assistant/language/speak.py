"""Lengths and counts in the trade's words, with the words taken from the grammar files.

What is said can be heard again: ``parse(speak(x)) == {x}`` for every reading a tape can show.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from assistant.language.grammar import Grammar, load_english
from assistant.language.jsgf import Alternatives, Expansion, Sequence, Tagged, Word
from assistant.length import Length
from assistant.tape import MILLIMETERS, SIXTEENTHS, Form, Lean, Real, Tape, read

__all__ = [
    "cap_first",
    "fraction_names",
    "lean_of",
    "speak",
    "speak_decimal",
    "speak_exactly",
    "speak_mark",
    "speak_whole",
]


def cap_first(text: str) -> str:
    """``text`` as the start of a sentence."""
    return text[:1].upper() + text[1:]


class _Words:
    """The grammar's number words, by value: the first one written for a value is the one that is said."""

    def __init__(self, grammar: Grammar) -> None:
        self.small = {v: w for rule in ("zero", "digit", "teen", "tens") for v, w in _table(grammar, rule).items()}
        self.hundred = _table(grammar, "hundred")[100]
        self.thousand = _table(grammar, "thousand")[1000]
        self.one_of = _table(grammar, "one_of")
        self.some_of = _table(grammar, "some_of")


def _table(grammar: Grammar, rule: str) -> dict[int, str]:
    body = grammar.rules[f"number.{rule}"].body
    table: dict[int, str] = {}
    for option in body.options if isinstance(body, Alternatives) else (body,):
        if isinstance(option, Tagged):
            table.setdefault(int(option.tag), _spelled(option.inner))
    return table


def _spelled(expansion: Expansion) -> str:
    if isinstance(expansion, Word):
        return expansion.text
    assert isinstance(expansion, Sequence)
    return " ".join(map(_spelled, expansion.parts))


@lru_cache(maxsize=1)
def _words() -> _Words:
    return _Words(load_english())


def speak_whole(number: int) -> str:
    """A whole number from 0 to 999,999.

    >>> speak_whole(53), speak_whole(104), speak_whole(12000)
    ('fifty-three', 'one hundred four', 'twelve thousand')
    """
    words = _words()
    if number in words.small:
        return words.small[number]
    if number < 100:
        return f"{words.small[number // 10 * 10]}-{words.small[number % 10]}"
    size, name = (1000, words.thousand) if number >= 1000 else (100, words.hundred)
    rest = number % size
    return f"{speak_whole(number // size)} {name}" + (f" {speak_whole(rest)}" if rest else "")


def fraction_names() -> dict[int, tuple[str, str]]:
    """By the bottom number: the name of one of them, and of several."""
    words = _words()
    return {bottom: (words.one_of[bottom], words.some_of[bottom]) for bottom in words.some_of}


def _fraction(part: Fraction, *, article: bool) -> str:
    """A proper fraction: "five eighths"; for one, "an eighth" or "one eighth"."""
    words = _words()
    bottom = part.denominator
    if bottom not in words.some_of:
        return f"{speak_whole(part.numerator)} over {speak_whole(bottom)}"
    if part.numerator > 1:
        return f"{speak_whole(part.numerator)} {words.some_of[bottom].replace(' ', '-')}"
    name = words.one_of[bottom].replace(" ", "-")
    return f"{('an' if name[0] in 'aeiou' else 'a') if article else words.small[1]} {name}"


def _inches(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return speak_whole(int(whole))
    # "A hundred and an eighth" is a hair from "a hundred and eight": "one eighth" is plain.
    after_round_number = bool(whole) and whole % 100 == 0
    words = _fraction(part, article=not after_round_number)
    if whole:
        return f"{speak_whole(int(whole))} and {words}"
    # "Twenty-nine thirty-seconds" alone could be twenty and nine thirty-seconds.
    return f"{words} of an inch" if part.numerator > 20 and part.numerator % 10 else words


def speak_exactly(length: Length, form: Form = Form.INCHES) -> str:
    """A length in exact words, whatever a tape can show. A negative one starts with "minus".

    >>> speak_exactly(Length("53 5/8"))
    'fifty-three and five eighths'
    >>> speak_exactly(Length("76 1/2"), Form.FEET)
    'six foot four and a half'
    >>> speak_exactly(Length("72 1/2"), Form.FEET)
    'six foot and a half inch'
    >>> speak_exactly(Length("1/131"))
    'one over one hundred thirty-one'
    """
    if length < Length(0):
        return f"minus {speak_exactly(-length, form)}"
    if form is Form.MILLIMETERS:
        return f"{speak_decimal(length.mm, 2)} {'millimeter' if length.mm == 1 else 'millimeters'}"
    if form is Form.DECIMAL:
        return speak_decimal(length.inches, 4)
    if form is Form.FEET:
        feet, inches = length.feet_and_inches()
        if feet and not inches:
            return f"{speak_whole(feet)} foot"
        if feet:
            after = f"and {_inches(inches).removesuffix(' of an inch')} inch" if inches < 1 else _inches(inches)
            return f"{speak_whole(feet)} foot {after}"
    return _inches(length.inches)


def speak_decimal(value: Fraction, places: int) -> str:
    """A number in decimals, rounded half up to at most so many places, digit by digit after the point.

    >>> speak_decimal(Fraction(5, 16), 4)
    'zero point three one two five'
    """
    scaled = (value * 10**places + Fraction(1, 2)).__floor__()
    whole, part = divmod(scaled, 10**places)
    digits = f"{part:0{places}d}".rstrip("0")
    words = speak_whole(whole)
    return f"{words} point {' '.join(speak_whole(int(d)) for d in digits)}" if digits else words


def lean_of(reading: Lean, carried: Fraction) -> Lean:
    """The lean to say: the tape's own, or, on the mark, what was carried from the measuring."""
    if reading is not Lean.ON or not carried:
        return reading
    return Lean.PLUS if carried > 0 else Lean.MINUS


def speak(length: Real, tape: Tape = SIXTEENTHS, form: Form = Form.INCHES, lean: Fraction = Fraction(0)) -> str:
    """A length, not negative, as a tape shows it: the mark, and "plus" or "minus" where it is off the mark.

    ``lean`` is the pluses carried from the measuring; it is said where the reading itself is on the mark.

    >>> speak(Length("26 13/16"))
    'twenty-six and thirteen sixteenths'
    >>> speak(Length("50 9/32"), form=Form.FEET)
    'four foot two and a quarter plus'
    >>> speak(Length("7 1/16"), lean=Fraction(-1))
    'seven and a sixteenth minus'
    """
    if form is Form.DECIMAL and isinstance(length, Length):
        return speak_exactly(length, Form.DECIMAL)
    metric = tape is MILLIMETERS or form is Form.MILLIMETERS
    reading = read(length, MILLIMETERS if metric else tape)
    return speak_mark(reading.mark, Form.MILLIMETERS if metric else form, lean_of(reading.lean, lean))


def speak_mark(mark: Length, form: Form, lean: Lean) -> str:
    """A mark and its lean."""
    return speak_exactly(mark, form) + ("" if lean is Lean.ON else f" {lean.value}")
