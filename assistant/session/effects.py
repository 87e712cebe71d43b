"""What a session wants done, in order. Frozen values; do not subclass them.

For one event they always come in this order: Hush, Adjust, Suit, Save, PutOnPaper, Show, Sound, Say, Listen or
StopListening, Prepare. So what is confirmed aloud is on disk, and a voice that fails never blocks the screen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.language.requests import Manner
from assistant.session.answer import Answer
from assistant.session.job import Job
from assistant.session.manners import Manners
from assistant.session.on_paper import PutOnPaper

__all__ = [
    "Adjust",
    "Effect",
    "Hush",
    "Listen",
    "Notice",
    "Prepare",
    "PutOnPaper",
    "Save",
    "Say",
    "Show",
    "Sound",
    "StopListening",
    "Suit",
    "instead",
]


@dataclass(frozen=True, slots=True)
class Save:
    """Put the job on disk. Always comes before the Say that confirms it."""

    job: Job
    """As it is now. Its ``kept`` is what stands on the board."""
    history: tuple[Job, ...] = ()
    """The jobs before it that "scratch that" goes back to, oldest first. Mostly the one before with one added
    or taken away at the end."""


@dataclass(frozen=True, slots=True)
class Show:
    """Put this answer before him. One with neither values nor marks leaves the picture as it is."""

    answer: Answer


@dataclass(frozen=True, slots=True)
class Say:
    """Speak. Whoever does it reports SpeechFinished at the end, also when there is no voice."""

    text: str


@dataclass(frozen=True, slots=True)
class Sound:
    """One of the four earcons: "listening", "got-it", "not-understood", "error"."""

    earcon: str


@dataclass(frozen=True, slots=True)
class Notice:
    """Something about the bench itself, shown until the next one; empty takes it away."""

    text: str


@dataclass(frozen=True, slots=True)
class Hush:
    """Cut whatever is being said."""


@dataclass(frozen=True, slots=True)
class Listen:
    """Hear what comes next without the wake phrase."""

    expecting: str
    """Which public rule of the grammar: "request", "walking", "next_in_string", "answer", "denominator"."""
    follow_up: bool
    """True: only for the follow-up window, which counts from the last Listen; one comes with the answer, so
    that a headset may cut in, and one when it has been said. False: until told to stop, for the talk key is
    down or attention is always open."""


@dataclass(frozen=True, slots=True)
class StopListening:
    """Finish what is being heard, then back to waiting for the wake phrase or the talk key."""


@dataclass(frozen=True, slots=True)
class Prepare:
    """Likely to be said next: have them ready to sound."""

    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Adjust:
    """Louder, slower, deeper, another voice."""

    manner: Manner


@dataclass(frozen=True, slots=True)
class Suit:
    """What he wants for good is otherwise now: keep it in the settings, and go by it."""

    manners: Manners


Effect = Save | PutOnPaper | Show | Say | Sound | Notice | Hush | Listen | StopListening | Prepare | Adjust | Suit


def instead(effects: Sequence[Effect], answer: Answer) -> list[Effect]:
    """The effects with another answer in them, said as well as shown; with the error sound where it is refused."""
    before = next(effect.answer for effect in effects if isinstance(effect, Show))
    swapped: list[Effect] = []
    for effect in effects:
        if isinstance(effect, Show):
            effect = Show(answer)
        elif effect == Say(before.say):
            effect = Say(answer.say)
        elif isinstance(effect, Sound) and answer.status == "refused":
            effect = Sound("error")
        swapped.append(effect)
    return swapped if Say(answer.say) in swapped else [*swapped, Say(answer.say)]
