"""What a terminal sends, back to the keys of the pad. Bytes in, keys out; no terminal in here.

A numeric keypad reaches a terminal in three ways, depending on NumLock and on the terminal's mode:

    NumLock on       plain characters                                  ``5``
    application mode ESC O p ... y, and M k m j o n for Enter + - * / .  ``ESC O u``
    NumLock off      Home, arrows, End, Page Up and Down, Insert,
                     Delete, and "center"                              ``ESC [ E``

All three come out as the same key, so the state of NumLock does not matter. Sequences: "XTerm Control
Sequences" (invisible-island.net, VT220-style function keys, PC-style function keys); Linux console:
console_codes(4) and the kernel's drivers/tty/vt/keyboard.c, where application mode sends ``l`` for plus and
F1 to F4's letters for NumLock, ``/``, ``*`` and ``-``.
"""

from __future__ import annotations

import re

from assistant.keypad.keys import Key, Press, Talk

__all__ = ["Decoder"]

_PLAIN: dict[str, Press] = {
    **{key.value: key for key in Key if key not in (Key.ENTER, Key.BACKSPACE)},
    "\r": Key.ENTER,
    "\n": Key.ENTER,
    "\x7f": Key.BACKSPACE,
    "\b": Key.BACKSPACE,
    ",": Key.DOT,  # the decimal key of a keypad made for most of Europe
}
_APPLICATION = {letter: Key(digit) for letter, digit in zip("pqrstuvwxy", "0123456789", strict=True)} | {
    "M": Key.ENTER,
    "k": Key.PLUS,
    "m": Key.MINUS,
    "j": Key.STAR,
    "o": Key.SLASH,
    "n": Key.DOT,
    "l": Key.DOT,
}
_LINUX_CONSOLE = {"l": Key.PLUS, "Q": Key.SLASH, "R": Key.STAR, "S": Key.MINUS}
# With NumLock off, by what is printed small on the key; G is the center key of the Linux console.
_MOVES = {
    "A": Key.EIGHT,
    "B": Key.TWO,
    "C": Key.SIX,
    "D": Key.FOUR,
    "E": Key.FIVE,
    "F": Key.ONE,
    "G": Key.FIVE,
    "H": Key.SEVEN,
}
_EDITING = {
    "1": Key.SEVEN,
    "2": Key.ZERO,
    "3": Key.DOT,
    "4": Key.ONE,
    "5": Key.NINE,
    "6": Key.THREE,
    "7": Key.SEVEN,
    "8": Key.ONE,
}

# ECMA-48, 5.4: parameter bytes, intermediate bytes, one final byte. A function key names itself with "[[".
_CONTROL = re.compile(r"\x1b\[(?:\[[A-E]|(?P<numbers>[0-?]*)[ -/]*(?P<final>[@-~]))")
_SHIFT_THREE = re.compile(r"\x1bO[0-9;]*(?P<final>[A-Za-z])")
_UNFINISHED = re.compile(r"\x1b(?:\[\[?[0-?]*[ -/]*|O[0-9;]*)?")
_LONGEST_SEQUENCE = 32
"""Characters after which an unfinished sequence is noise on the line."""


class Decoder:
    """Turns what was read, in pieces of any size, into keys.

    >>> [key.value for key in Decoder().feed(b"5\\x1bOn\\x1b[C\\r")]
    ['5', '.', '6', 'E']
    """

    def __init__(self, talk: str = " ", linux_console: bool = False) -> None:
        """``talk`` is the character of the push-to-talk key; ``linux_console`` is true where TERM is "linux".

        Each press of the talk key comes out as ``Talk.DOWN``.
        """
        self._plain: dict[str, Press] = _PLAIN | {talk: Talk.DOWN}
        self._application = _APPLICATION | (_LINUX_CONSOLE if linux_console else {})
        self._rest = ""
        self._pasting = False

    @property
    def waiting(self) -> bool:
        """Whether a sequence has begun that may yet go on."""
        return bool(self._rest)

    def feed(self, data: bytes) -> list[Press]:
        """The keys that are complete with this data."""
        text = self._rest + data.decode("ascii", "ignore")
        keys: list[Press] = []
        at = 0
        while at < len(text):
            found = _CONTROL.match(text, at) or _SHIFT_THREE.match(text, at)
            if found:
                at = found.end()
                self._sequence(found, keys)
            elif text[at] == "\x1b" and self._may_go_on(text, at):
                break
            else:
                if text[at] in self._plain and not self._pasting:
                    keys.append(self._plain[text[at]])
                at += 1
        self._rest = text[at:]
        return keys

    def give_up(self) -> list[Press]:
        """The keys in what was held back: call it when nothing followed, for then Esc was a key of its own."""
        held, self._rest = self._rest, ""
        return self.feed(held[1:].encode("ascii"))

    @staticmethod
    def _may_go_on(text: str, at: int) -> bool:
        return len(text) - at < _LONGEST_SEQUENCE and _UNFINISHED.fullmatch(text, at) is not None

    def _sequence(self, found: re.Match[str], keys: list[Press]) -> None:
        shift_three = found.re is _SHIFT_THREE
        final = found["final"]
        first = "" if shift_three or not found["numbers"] else found["numbers"].split(";")[0]
        if final == "~" and first in ("200", "201"):  # bracketed paste: nothing that was pasted is a key
            self._pasting = first == "200"
            return
        key = _EDITING.get(first) if final == "~" else _MOVES.get(final or "")
        if shift_three:
            key = self._application.get(final) or key
        if key and not self._pasting:
            keys.append(key)
