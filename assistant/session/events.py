"""What happens to a session. Frozen values; do not subclass them."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.language.requests import Request
from assistant.language.understanding import Outcome
from assistant.session.job import Names

__all__ = [
    "Asked",
    "BoardChanged",
    "Event",
    "Heard",
    "MicrophoneBack",
    "MicrophoneLost",
    "Misheard",
    "SpeechFinished",
    "Started",
    "TalkKey",
    "WakeHeard",
    "WindowClosed",
]


@dataclass(frozen=True, slots=True)
class Started:
    """The bench is up. What was in hand when it was last put away is shown and said."""


@dataclass(frozen=True, slots=True)
class Heard:
    """Words came in, by voice or typed, and have been read."""

    words: str
    outcome: Outcome
    typed: bool = False
    """True where nothing was said aloud, so that nothing can have been drowned out."""


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
    """One word for the record: "unclear", "noise", "not-for-us"; "restarted" where the recogniser failed under it."""


@dataclass(frozen=True, slots=True)
class WakeHeard:
    """The wake phrase, alone. Where a request came in the same breath, Heard follows."""


@dataclass(frozen=True, slots=True)
class TalkKey:
    """The push-to-talk key or pedal."""

    down: bool


@dataclass(frozen=True, slots=True)
class WindowClosed:
    """The time to go on without the wake phrase ran out."""


@dataclass(frozen=True, slots=True)
class SpeechFinished:
    """Everything there was to say has been said, or was cut, or could not be said."""


@dataclass(frozen=True, slots=True)
class MicrophoneLost:
    """Nothing can be heard any more. The keys go on working."""

    sentence: str
    """What to do about it, as the error says."""


@dataclass(frozen=True, slots=True)
class MicrophoneBack:
    """There is a microphone again."""


@dataclass(frozen=True, slots=True)
class BoardChanged:
    """Another bench was at the board."""

    taken: Names
    """What it finished, or put something else in the place of."""
    added: Names
    """What it put up."""


Event = (
    Started
    | Heard
    | Asked
    | Misheard
    | WakeHeard
    | TalkKey
    | WindowClosed
    | SpeechFinished
    | MicrophoneLost
    | MicrophoneBack
    | BoardChanged
)
