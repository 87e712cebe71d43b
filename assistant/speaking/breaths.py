"""Where the voice draws breath.

Speech engines run a measurement together: "fifty-three and five eighths" loses its fraction in a noisy shop.
So a text is cut into breaths, each spoken on its own, with a silence of our own length after it.

A trailing "plus" or "minus" is a lean (a little over, a little under the mark). It stands apart from the
number before it, and no number follows it in the same breath, so that nobody takes it for adding or taking off.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["Breath", "breaths"]

SENTENCE_MS = 350
"""After a full stop, and after a lean."""
COLON_MS = 200
"""Between the read-back and the answer."""
LONGEST = 300
"""Characters in one breath. A longer one is cut at a space: no single request keeps the engine long."""

_UNSPOKEN = re.compile(r"[\x00-\x1f\x7f\s]+")
_SENTENCE = re.compile(r"(?<=[.?!:;])\s+")
# Trailing, or with an operator after it: "five eighths plus, plus a quarter".
_LEAN = re.compile(r",?\s+(?=(?:plus|minus)\s*(?:[.?!:;,]|$|\b(?:plus|minus)\b))", re.IGNORECASE)
_AFTER_LEAN = re.compile(
    r"(?<=\bplus,)\s+|(?<=\bminus,)\s+|(?:(?<=\bplus)|(?<=\bminus))\s+(?=(?:plus|minus)\b)", re.IGNORECASE
)
# "and a half", "and five eighths", "and one hundred twenty-five thousandths": any ending a fraction can have.
_FRACTION = re.compile(
    r"(?<!\bplus)(?<!\bminus),?\s+"
    r"(?=and (?:[a-z-]+ ){1,4}?(?:half|halves|quarters?|[a-z-]*thirds?|[a-z-]*seconds?|[a-z-]+ths?)\b)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Breath:
    text: str
    pause_ms: int
    """Silence after it."""


def breaths(text: str, fraction_pause_ms: int, lean_pause_ms: int) -> list[Breath]:
    """The text in breaths. The last one has no pause after it.

    >>> [b.text for b in breaths("Center: twenty-six and thirteen sixteenths minus. Next?", 100, 200)]
    ['Center:', 'twenty-six,', 'and thirteen sixteenths,', 'minus.', 'Next?']
    """
    found: list[Breath] = []
    for sentence in _SENTENCE.split(_UNSPOKEN.sub(" ", text).strip()):
        end_ms = COLON_MS if sentence.endswith((":", ";")) else SENTENCE_MS
        for clause in _AFTER_LEAN.split(sentence):
            found += _clause(clause, fraction_pause_ms, lean_pause_ms)
            found[-1:] = [Breath(last.text, SENTENCE_MS if _is_lean(last.text) else end_ms) for last in found[-1:]]
    found = [breath for breath in found if re.search(r"\w", breath.text)]
    return found[:-1] + [Breath(last.text, 0) for last in found[-1:]]


def _clause(clause: str, fraction_pause_ms: int, lean_pause_ms: int) -> list[Breath]:
    found: list[Breath] = []
    before_lean = _LEAN.split(clause)
    for number, part in enumerate(before_lean, 1):
        before_fraction = _FRACTION.split(part)
        for piece in before_fraction[:-1]:
            found += _short(piece + ",", fraction_pause_ms)
        last = before_fraction[-1]
        found += _short(last + "," if number < len(before_lean) else last, lean_pause_ms)
    return found


def _short(text: str, pause_ms: int) -> list[Breath]:
    cut: list[Breath] = []
    while len(text) > LONGEST:
        space = text.rfind(" ", 1, LONGEST)
        at = space if space > 0 else LONGEST
        cut.append(Breath(text[:at], 0))
        text = text[at:].lstrip()
    return [*cut, Breath(text, pause_ms)]


def _is_lean(text: str) -> bool:
    return text.rstrip(" .?!:;,").lower() in ("plus", "minus")
