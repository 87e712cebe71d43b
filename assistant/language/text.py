"""Typed text to the words of the language: numerals are spelled out, spellings and punctuation made plain."""

from __future__ import annotations

import re
from fractions import Fraction

from assistant.errors import Slip
from assistant.language.speak import fraction_names, speak_whole

__all__ = ["in_words", "to_words"]

LONGEST_TEXT = 1000
"""Letters in one typed request. Far longer than anything that can be said in one breath."""
LONGEST_SENTENCE = 80
"""Words in one request. The longest that anybody would say, a row of parts in one breath, has half as many."""
TOO_LONG_A_TEXT = "That is too long for one request. Say it in pieces."
OVER_NOTHING = "A fraction over nothing can't be. Say the fraction again."
ODD_BOTTOM = "I don't know that fraction. Say it in halves, thirds, quarters, eighths, sixteenths or sixty-fourths."

_SPELLINGS = {
    "centre": "center",
    "centres": "center",
    "mm": "millimeters",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "centimetre": "centimeter",
    "centimetres": "centimeters",
    "cm": "centimeters",
    "metre": "meter",
    "metres": "meters",
    "m": "meters",
    "in": "in",
    "ft": "foot",
    '"': "inches",
    "'": "foot",
    "two's": "two",
    "too": "two",
    "won": "one",
    "ate": "eight",
    "fore": "four",
    "fifth's": "fifths",
    "eighth's": "eighths",
    "nought": "ought",
    "gauge": "gage",
    "whats": "what's",
    "thats": "that's",
}
"""Other spellings of words in the grammar, and marks that stand for them. Sound alike words are one word to
an ear, so a person typing may write either; "to" and "for" are words of their own and are left."""

_NUMERAL = re.compile(
    r"""(?P<feet>\d+)\s*(?:'|ft\b\.?|foot\b|feet\b)\s*-?\s*
          (?:(?P<fbare>\d+\s*/\s*\d+)|(?P<finches>\d+)(?:(?:\s+|-)(?P<fpart>\d+\s*/\s*\d+))?)\s*(?:"|(?:in|inch|inches)\b)?
      |(?P<whole>\d+)(?:\s+|-)(?P<part>\d+\s*/\s*\d+)
      |(?P<bare>\d+\s*/\s*\d+)
      |(?P<decimal>\d*\.\d+)
      |(?P<number>\d+)""",
    re.VERBOSE,
)


def to_words(text: str) -> list[str]:
    """The words of a typed request, lower case, numerals spelled out; a comma is kept as ",".

    Raises:
        Slip: for a fraction over nothing, one no tape or rule is marked in, or an absurdly long text.

    >>> " ".join(to_words("Center of 53 5/8"))
    'center of fifty three and five eighths'
    >>> " ".join(to_words("4'-7 15/16\\""))
    'four foot seven and fifteen sixteenths'
    >>> " ".join(to_words("600mm in inches"))
    'six hundred millimeters in inches'
    """
    if len(text) > LONGEST_TEXT:
        raise Slip(TOO_LONG_A_TEXT)
    text = text.lower().replace("’", "'").replace("”", '"').replace("″", '"').replace("′", "'").replace("''", '"')
    spelled = _NUMERAL.sub(lambda found: f" {_spell(found)} ", text)
    tokens = re.findall(r"[a-z]+(?:'[a-z]+)?|[\"',]", spelled.replace("-", " "))
    words = [word for token in tokens for word in _SPELLINGS.get(token, token).split()]
    if len(words) > LONGEST_SENTENCE:
        raise Slip(TOO_LONG_A_TEXT)
    return words


def in_words(sentence: str) -> str:
    """A sentence with its numerals spelled out, to be spoken.

    >>> in_words("You can't take 14 1/2 off 10.")
    "You can't take fourteen and one half off ten."
    """
    return _NUMERAL.sub(_spell_any, sentence)


def _spell_any(found: re.Match[str]) -> str:
    try:
        return _spell(found)
    except Slip:
        # A fraction no tape is marked in, or a number past counting: spoken piece by piece.
        parts = found.group().rstrip('"').replace("'-", " foot ").replace("'", " foot ").replace("/", " over ").split()
        mixed = "over" in parts[-3:] and len(parts) > 3
        joined = " ".join([*parts[:-3], "and", *parts[-3:]] if mixed else parts)
        return re.sub(r"(?<!\d)\d{1,6}(?!\d)", lambda number: speak_whole(int(number.group())), joined)


def _spell(found: re.Match[str]) -> str:
    if found["feet"]:
        inches = found["finches"]
        part = found["fpart"] or found["fbare"]
        if inches is not None and not int(inches) and not part:
            return f"{_whole(found['feet'])} foot"
        if inches is None:
            return f"{_whole(found['feet'])} foot and {_fraction(part)} inch"
        return f"{_whole(found['feet'])} foot {_whole(inches)}" + (f" and {_fraction(part)}" if part else "")
    if found["whole"]:
        return f"{_whole(found['whole'])} and {_fraction(found['part'])}"
    if found["bare"]:
        return _fraction(found["bare"])
    if found["decimal"]:
        whole, _, digits = found["decimal"].partition(".")
        return f"{_whole(whole or '0')} point {' '.join(_whole(d) for d in digits)}"
    return _whole(found["number"])


def _whole(digits: str) -> str:
    number = int(digits)
    if number > 999_999:
        raise Slip("That number is too big to be real. Check it and say it again.")
    return speak_whole(number)


def _fraction(text: str) -> str:
    top, bottom = (int(n) for n in text.split("/"))
    if not bottom:
        raise Slip(OVER_NOTHING)
    words = fraction_names()
    if bottom not in words:
        reduced = Fraction(top, bottom)
        if reduced.denominator not in words:
            raise Slip(ODD_BOTTOM)
        top, bottom = reduced.numerator, reduced.denominator
    if not top:
        return "zero"
    if top >= 100:
        raise Slip(ODD_BOTTOM)
    one, many = words[bottom]
    return f"{speak_whole(top)} {one if top == 1 else many}"
