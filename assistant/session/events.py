"""What happens to a session. Frozen values; do not subclass them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Union

from assistant.language.requests import Request
from assistant.language.understanding import Outcome

__all__ = [
    "Asked",
    "Event",
    "Heard",
    "Misheard",
    "SpeechFinished",
    "TalkKey",
    "WakeHeard",
    "WindowClosed",
]


@dataclass(frozen=True, slots=True)
class Heard:
    """Words came in, by voice or typed, and have been read."""

    words: str
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Asked:
    """A request keyed on the keypad."""

    request: Request
    shown: str
    """What was keyed, in words: "fifty-three and five eighths"."""


@dataclass(frozen=True, slots=True)
class Misheard:
    """There was speech, and it was not for us or not clear enough to trust."""

    reason: str
    """One word for the record: "unclear", "noise", "not-for-us"."""


@dataclass(frozen=True, slots=True)
class WakeHeard:
    """The wake phrase."""


@dataclass(frozen=True, slots=True)
class TalkKey:
    """The push-to-talk key or pedal."""

    down: bool


@dataclass(frozen=True, slots=True)
class WindowClosed:
    """The time to follow up without the wake phrase ran out."""


@dataclass(frozen=True, slots=True)
class SpeechFinished:
    """Everything there was to say has been said, or was cut."""


Event = Union[Heard, Asked, Misheard, WakeHeard, TalkKey, WindowClosed, SpeechFinished]
