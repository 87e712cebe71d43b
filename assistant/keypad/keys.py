"""The keys of a bare numeric keypad, and how they are typed out in text."""

from __future__ import annotations

from enum import Enum

from assistant.errors import Slip

__all__ = ["DIGITS", "Key", "Press", "Talk", "keyed"]


class Key(Enum):
    """One key. The value is how it is typed out: ``E`` is Enter, ``<`` Backspace."""

    ZERO = "0"
    ONE = "1"
    TWO = "2"
    THREE = "3"
    FOUR = "4"
    FIVE = "5"
    SIX = "6"
    SEVEN = "7"
    EIGHT = "8"
    NINE = "9"
    DOT = "."
    SLASH = "/"
    STAR = "*"
    MINUS = "-"
    PLUS = "+"
    ENTER = "E"
    BACKSPACE = "<"


_NAMES = frozenset(key.value for key in Key)
DIGITS = frozenset(key for key in Key if key.value.isdigit())


class Talk(Enum):
    """The push-to-talk key or pedal."""

    DOWN = "talk key down"
    UP = "talk key up"


Press = Key | Talk
"""What comes from a keypad."""


def keyed(text: str) -> tuple[Key, ...]:
    """The keys that a text stands for. Spaces are left out, ``e`` is as good as ``E``.

    >>> [key.name for key in keyed("5 E<")]
    ['FIVE', 'ENTER', 'BACKSPACE']

    Raises:
        Slip: for a key that a keypad does not have.
    """
    letters = [letter for letter in text.upper() if not letter.isspace()]
    for letter in letters:
        if letter not in _NAMES:
            raise Slip(
                f"There is no {letter!r} on the keypad. Use 0 to 9 . / * - + with E for Enter and < to take back."
            )
    return tuple(Key(letter) for letter in letters)
