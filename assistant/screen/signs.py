"""Every state of the bench as a word, a shape and a color: any one of the three is enough to tell it."""

from __future__ import annotations

from dataclasses import dataclass, replace

__all__ = ["SIGNS", "Sign", "sign"]


@dataclass(frozen=True, slots=True)
class Sign:
    label: str
    shape: str
    """Which drawing in the page."""
    color: str
    """Which color of the page: idle, go, busy, speak or stop."""
    hint: str = ""
    """What to do, where that is not plain."""


SIGNS = {
    "listening": Sign("Listening", "ear", "go"),
    "hearing": Sign("Hearing you", "waves", "go"),
    "thinking": Sign("Thinking", "dots", "busy"),
    "speaking": Sign("Speaking", "speaker", "speak"),
    "too loud": Sign("Too loud", "hand", "stop", "use the keys"),
    "microphone lost": Sign("No microphone", "no-mic", "stop"),
}
"""By the state word, without what to do."""


def sign(words: str) -> Sign:
    """The sign for a state as it is told: a word, and after a colon what to do. Any other words say what to do
    while nothing is going on.

    >>> sign("microphone lost: use the keys").hint, sign("use the keys").label
    ('use the keys', 'Ready')
    """
    state, _, to_do = words.partition(": ")
    if state in SIGNS:
        return replace(SIGNS[state], hint=to_do or SIGNS[state].hint)
    return Sign("Ready", "ring", "idle", words)
