"""How one person wants to be answered. Read from the settings once; what he asks for aloud goes over it."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.language.requests import Attend, Attention, Manner, Request, SetFeet, SetPlus, SetTape, Settings
from assistant.length import Length
from assistant.tape import SIXTEENTHS, TAPES, Feet, Tape

__all__ = ["PLUS_SIZES", "SETTINGS", "Manners"]

PLUS_SIZES = (Length(0), Length("1/64"), Length("1/32"))
"""What a plus may be worth. The trade has no one size for it (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Manners:
    tape: Tape = SIXTEENTHS
    attention: Attention = Attention.WAKE
    plus: Length | None = None
    """How much a plus is worth, one of PLUS_SIZES; none where he was never asked, and then it is worth nothing."""
    ask_plus: bool = True
    """Whether to ask how much it is worth the first time he says one. Not where one request is all there is."""
    feet: Feet = Feet.SAID


SETTINGS: dict[str, tuple[str, tuple[tuple[str, Request], ...]]] = {
    "": (
        "Change what?",
        (
            ("the voice", Settings("voice")),
            ("the tape", Settings("tape")),
            ("feet", Settings("feet")),
            ("your plus", Settings("plus")),
            ("when I listen", Settings("attention")),
        ),
    ),
    "voice": ("The voice?", tuple((manner.value, manner) for manner in Manner if manner is not Manner.STOP)),
    "tape": ("Which tape?", tuple((tape.name, SetTape(tape)) for tape in TAPES)),
    "feet": (
        "Feet and inches?",
        (
            ("where you say feet", SetFeet(Feet.SAID)),
            ("always", SetFeet(Feet.ALWAYS)),
            ("inches only", SetFeet(Feet.NEVER)),
        ),
    ),
    "plus": (
        "How much is your plus?",
        tuple(
            (say, SetPlus(size))
            for say, size in zip(("just a hair", "a sixty-fourth", "a thirty-second"), PLUS_SIZES, strict=True)
        ),
    ),
    "attention": (
        "When do I listen?",
        (
            ("after the wake phrase", Attend(Attention.WAKE)),
            ("while the talk key is down", Attend(Attention.PUSH)),
            ("always", Attend(Attention.OPEN)),
        ),
    ),
}
"""The questions in which everything he may change can be keyed: what is asked, and what each number means."""
