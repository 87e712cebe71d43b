"""The keypad, key by key. Pure: a pad, a key and the bench in; the next pad and what the key leads to out.

With nothing keyed a key acts at once or begins a line, depending on the bench:

    key        no piece yet         a piece, no marks      marks to walk            a question open
    Enter      go                   go: its center         go: the next mark        go
    1 to 9     begins a size        begins a size          begins a size            picks, where it is a choice
    0          begins a size        begins a size          begins a size            begins a size
    .          begins a size        begins a size          says the mark again      says the question again
    -          back (*)             begins "less"          goes back                as without the question
    /          explains (*)         begins "divided by"    explains                 as without; begins "over" after
                                                                                    "five what?"
    +          asks for a piece     begins "plus"          begins "plus"            as without the question
    *          the list of jobs     begins "times"         begins "times"           as without the question
    Backspace  scratches the last answer, in every state

    (*) The session then says that there is nothing to go back to, or to explain.

``-``, ``.`` and ``/`` act at once only where that is a harmless move. He who meant one of them as the
beginning of a line may go on keying all the same: ``53.5/8 E E - .1/8 E``. Enter then finds two honest
readings, "less one eighth" and "a new piece, one eighth", and asks which; where only one of them can be, or both
come to the same (``.5/8``), nothing is asked. No clock decides it, so the same keys always do the same.

Inside a line:

    0-9 . / + -    go on, where they fit; a key that does not fit is refused and changes nothing
    *              takes back the last key; again right after, wipes the line
    Backspace      takes back the last key, as often as it is pressed. Once it has emptied the line, the next one
                   only warns, so that a key leaned on does not scratch an answer
    Enter          asks. What cannot be is refused, and the line stays to be put right
    alone - . / *  then Enter: back, again, explain, the list of jobs
"""

from __future__ import annotations

from dataclasses import replace

from assistant.errors import Slip
from assistant.keypad import joblist
from assistant.keypad.expression import Bench, can_be, measure, outcome, words
from assistant.keypad.keys import DIGITS, Key
from assistant.keypad.pad import Listing, Pad, Pressed, Prompting, refused, take_back
from assistant.keypad.spoken import whole
from assistant.language.requests import Explain, Go, Pick, Request, Scratch, Step, Walk
from assistant.language.understanding import Impossible, Understood

__all__ = ["Bench", "Pad", "Pressed", "press"]

_MOVES: dict[str, tuple[Request, str]] = {
    "-": (Walk(Step.BACK), "back"),
    ".": (Walk(Step.AGAIN), "again"),
    "/": (Explain(), "how come"),
}


def press(pad: Pad, key: Key, bench: Bench) -> Pressed:
    """What one key does. Never raises: what cannot be is an outcome or a refusal."""
    match pad.stage:
        case Listing() as listing:
            return joblist.choose(listing, pad, key, bench)
        case Prompting() as prompting:
            return joblist.answer(prompting, pad, key, bench)
    return _within(pad, key, bench) if pad.line else _first(pad, key, bench)


def _first(pad: Pad, key: Key, bench: Bench) -> Pressed:
    if key in DIGITS and 1 <= int(key.value) <= bench.choices:
        return _done(Pick(int(key.value)), whole(key.value))
    if key.value in _MOVES and _moves_at_once(key, bench):
        request, shown = _MOVES[key.value]
        walked = "-." if pad.walked == "-" and key is Key.DOT else key.value
        return Pressed(Pad(walked=walked), shown=shown, outcome=Understood(request))
    match key:
        case Key.ENTER:
            return _done(Go(), "enter")
        case Key.BACKSPACE if pad.taken is Key.BACKSPACE:
            return Pressed(Pad(), "Nothing keyed. Once more scratches the last answer.")
        case Key.BACKSPACE:
            return _done(Scratch(), "scratch that")
        case Key.STAR if pad.taken is Key.STAR:
            return Pressed(Pad(), "Wiped.")
        case Key.STAR if not bench.piece:
            return joblist.listed()
        case Key.STAR:
            return Pressed(Pad(line="*"), "Times what? Enter for the jobs.")
        case Key.PLUS if not bench.piece:
            return refused(pad, "There is no piece yet. Key its length first, then Enter.")
    return _grown(pad, key)


def _moves_at_once(key: Key, bench: Bench) -> bool:
    if key is Key.DOT:
        return bench.walking or bench.choices > 0
    if key is Key.SLASH and bench.bottom:
        return False
    return bench.walking or not bench.piece


def _within(pad: Pad, key: Key, bench: Bench) -> Pressed:
    if key in (Key.STAR, Key.BACKSPACE):
        return take_back(pad, key, words)
    if key is not Key.ENTER:
        return _grown(pad, key)
    if pad.line == "*":
        return joblist.listed()
    if pad.line in _MOVES and not (pad.line == "/" and bench.bottom):
        return _done(*_MOVES[pad.line])
    asked = outcome(pad.line, bench, pad.walked)
    after = replace(pad, taken=None) if isinstance(asked, Impossible) else Pad()
    return Pressed(after, shown=words(pad.line), outcome=asked)


def _grown(pad: Pad, key: Key) -> Pressed:
    line = pad.line + key.value
    if can_be(line):
        return Pressed(replace(pad, line=line, taken=None), words(line))
    if key in (Key.PLUS, Key.MINUS) and pad.line[0] not in "*/":
        try:
            measure(pad.line)
        except Slip as slip:
            return refused(pad, str(slip))
    return refused(pad)


def _done(request: Request, shown: str) -> Pressed:
    return Pressed(Pad(), shown=shown, outcome=Understood(request))
