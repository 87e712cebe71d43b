"""The bench while it runs: one thread takes what happens, one after another, and has the session's effects done.

    keys, words, a finished sentence, a lost microphone ── post ──▶ queue ──▶ session ──▶ view, voice, ears, board

Voice, ears and view are ports: any of them may be the stand-in for what is missing, and the rest goes on.
"""

from __future__ import annotations

import queue
import re
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Protocol

from assistant.board.keeper import Keeper
from assistant.desk import as_settings
from assistant.keypad.bridge import Keypad
from assistant.keypad.keys import Key, Talk
from assistant.language.grammar import Grammar
from assistant.language.requests import Attention, Manner
from assistant.language.understand import understand
from assistant.printing.printer import NoPrinter, Printer, printed
from assistant.screen.view import View
from assistant.session.effects import (
    Adjust,
    Effect,
    Hush,
    Listen,
    Notice,
    Prepare,
    Say,
    Show,
    Sound,
    StopListening,
    Suit,
)
from assistant.session.events import Event, Heard, Misheard, SpeechFinished, Started, TalkKey, WindowClosed
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.session.states import State
from assistant.settings import Settings

__all__ = [
    "Bench",
    "BoardMoved",
    "Ears",
    "Happening",
    "Hearing",
    "Loudness",
    "NoEars",
    "NoVoice",
    "Quit",
    "Trouble",
    "Voice",
    "Words",
]


@dataclass(frozen=True, slots=True)
class Quit:
    """Put the bench away."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something about the bench itself, to be shown."""

    sentence: str
    aloud: bool = False
    """Whether it is said too: where it changes how he is heard, and he may not be looking."""


@dataclass(frozen=True, slots=True)
class Words:
    """A sentence was heard, still to be read."""

    text: str
    rival: str = ""
    """Another that was about as likely said; empty where it was heard well enough."""


@dataclass(frozen=True, slots=True)
class Hearing:
    """Somebody is speaking; the words so far."""

    words: str


@dataclass(frozen=True, slots=True)
class Loudness:
    """How loud it is, from 0 to 1."""

    level: float
    too_loud: bool


@dataclass(frozen=True, slots=True)
class BoardMoved:
    """Another bench was at the board: look what stands there now."""


Happening = Event | Key | Talk | Words | Hearing | Loudness | Trouble | BoardMoved | Quit


class Voice(Protocol):
    """What speaks. Nothing in it blocks; ``SpeechFinished`` is posted at the end of what is said."""

    @property
    def saying(self) -> bool:
        """Whether ``SpeechFinished`` is still to come for what was said last."""

    @property
    def voices(self) -> Sequence[str]:
        """The voices it can be set to, as far as they are known by now."""

    def say(self, text: str) -> None: ...
    def sound(self, earcon: str) -> None: ...
    def hush(self) -> None: ...
    def prepare(self, texts: Sequence[str]) -> None: ...
    def adjust(self, settings: Settings) -> None: ...
    def close(self) -> None: ...


class Ears(Protocol):
    """What hears. Nothing in it blocks; what was heard is posted."""

    def listen(self, expecting: str) -> None: ...
    def rest(self) -> None: ...
    def finish(self) -> None:
        """What is being said ends here."""

    def attend(self, by: Attention) -> None:
        """What is listened for at rest, from now on."""

    def mute(self) -> None: ...
    def unmute(self) -> None: ...
    def close(self) -> None: ...


class NoVoice:
    """The stand-in where nothing can be said: everything is on the screen at once."""

    saying = False
    voices: Sequence[str] = ()

    def __init__(self, post: Callable[[Happening], None]) -> None:
        self._post = post

    def say(self, text: str) -> None:
        self._post(SpeechFinished())

    def sound(self, earcon: str) -> None:
        pass

    def hush(self) -> None:
        pass

    def prepare(self, texts: Sequence[str]) -> None:
        pass

    def adjust(self, settings: Settings) -> None:
        pass

    def close(self) -> None:
        pass


class NoEars:
    """The stand-in where nothing can be heard."""

    def listen(self, expecting: str) -> None:
        pass

    def rest(self) -> None:
        pass

    def finish(self) -> None:
        pass

    def attend(self, by: Attention) -> None:
        pass

    def mute(self) -> None:
        pass

    def unmute(self) -> None:
        pass

    def close(self) -> None:
        pass


_STEPS = {
    Manner.LOUDER: ("volume", 20, 200),
    Manner.SOFTER: ("volume", -20, 20),
    Manner.FASTER: ("rate", 20, 300),
    Manner.SLOWER: ("rate", -20, 80),
    Manner.HIGHER: ("pitch", 10, 99),
    Manner.DEEPER: ("pitch", -10, 0),
}
"""Field, step and the end of the scale: never so soft that nobody knows it still speaks."""

_STATE_WORDS = {
    State.CALLED: "listening",
    State.LISTENING: "listening",
    State.HELD: "listening",
    State.RELEASED: "thinking",
    State.SPEAKING: "speaking",
    State.DEAF: "microphone lost: use the keys",
}


class Bench:
    """``waiting`` are the state words while only the wake phrase or the talk key counts."""

    def __init__(
        self,
        session: Session,
        keeper: Keeper,
        grammar: Grammar,
        settings: Settings,
        keep_settings: Callable[[Mapping[str, Any]], None] = lambda _: None,
        waiting: Mapping[Attention, str] = MappingProxyType({}),
        printer: Printer | None = None,
    ) -> None:
        self.session = session
        self.voice: Voice = NoVoice(self.post)
        self.ears: Ears = NoEars()
        self.views: list[View] = []
        self._keeper = keeper
        self._grammar = grammar
        self._settings = settings
        self._keep_settings = keep_settings
        self._waiting = waiting
        self._printer = printer or NoPrinter()
        self._manners = session.manners
        self._keypad = Keypad()
        # Not a SimpleQueue: with the time just run out, that of Python 3.10 may wait for ever.
        self._happened: queue.Queue[Happening] = queue.Queue()
        self._window_ends: float | None = None
        self._expecting = "request"
        self._hearing = self._too_loud = False

    def post(self, happening: Happening) -> None:
        """Something happened. Any thread may say so."""
        self._happened.put(happening)

    def run(self) -> None:
        """Until Quit is posted."""
        happening: Happening = Started()
        while not isinstance(happening, Quit):
            self._take(happening)
            words = self._state_words()
            for view in self.views:
                view.state(words)
            happening = self._next()

    def _take(self, happening: Happening) -> None:
        if isinstance(happening, (Words, Misheard)):
            self._show_hearing("", over=True)
        match happening:
            case Key():
                self._do(self._keypad.press(happening, self.session))
                for view in self.views:
                    view.entry(self._keypad.line)
            case Talk.DOWN:
                self._do(self.session.handle(TalkKey(True)))
            case Talk.UP:
                self.ears.finish()
                self._do(self.session.handle(TalkKey(False)))
                self._open_window()  # for what was being said; after that nobody is listening
            case Words(text, rival):
                self._do(self.session.handle(Heard(*understand(self._grammar, text, self._expecting, rival))))
            case Hearing(text):
                self._show_hearing(text)
            case Loudness(level, too_loud):
                self._too_loud = too_loud
                for view in self.views:
                    view.level(level)
            case Trouble(sentence, aloud):
                self._notice(sentence)
                if aloud:
                    self._say(_without_paths(sentence))
            case BoardMoved():
                changed = self._keeper.board_changed()
                if changed is not None:
                    self._do(self.session.handle(changed))
            case SpeechFinished() if self.voice.saying:
                pass  # the end of what was cut; more is being said by now
            case SpeechFinished():
                self.ears.unmute()
                self._do(self.session.handle(happening))
            case Quit():
                pass
            case _:
                self._do(self.session.handle(happening))

    def _next(self) -> Happening:
        if self._window_ends is None:
            return self._happened.get()
        try:
            return self._happened.get(timeout=max(0.0, self._window_ends - time.monotonic()))
        except queue.Empty:
            self._window_ends = None
            return WindowClosed()

    def _do(self, effects: Sequence[Effect]) -> None:
        for effect in self._keeper.carried_out(printed(effects, self._printer)):
            match effect:
                case Hush():
                    self.voice.hush()
                case Adjust(manner):
                    self._adjust(manner)
                case Suit(manners):
                    self._suit(manners)
                case Show(answer):
                    for view in self.views:
                        view.answer(answer)
                case Sound(earcon):
                    self.voice.sound(earcon)
                case Say(text):
                    self._say(text)
                case Listen(expecting, follow_up):
                    self._expecting = expecting
                    self.ears.listen(expecting)
                    self._window_ends = None
                    if follow_up:
                        self._open_window()
                case StopListening():
                    self.ears.rest()
                case Notice(sentence):
                    self._notice(sentence)
                case Prepare(texts):
                    self.voice.prepare(texts)
        if self._keeper.moved:
            self.post(BoardMoved())

    def _say(self, text: str) -> None:
        if not self._settings.headset:
            self.ears.mute()
        self.voice.say(text)

    def _state_words(self) -> str:
        if self._hearing:
            return "hearing"
        words = _STATE_WORDS.get(self.session.state) or self._waiting.get(self.session.manners.attention, "ready")
        return "too loud" if self._too_loud and self.session.state is not State.SPEAKING else words

    def _show_hearing(self, words: str, over: bool = False) -> None:
        self._hearing = not over
        for view in self.views:
            view.hearing(words)

    def _open_window(self) -> None:
        self._window_ends = time.monotonic() + self._settings.follow_up

    def _notice(self, sentence: str) -> None:
        for view in self.views:
            view.notice(sentence)

    def _adjust(self, manner: Manner) -> None:
        if manner is Manner.ANOTHER_VOICE:
            self._change_voice()
            return
        field, step, end = _STEPS[manner]
        limit = min if step > 0 else max
        self._set({field: limit(getattr(self._settings, field) + step, end)})
        self.voice.adjust(self._settings)

    def _change_voice(self) -> None:
        """The next of the voices there are; the first again after the last."""
        names = list(self.voice.voices)
        if len(names) < 2:
            self._notice("There is only one voice on this computer. Install more in its settings for speech.")
            return
        at = names.index(self._settings.voice) if self._settings.voice in names else 0  # the first is the usual one
        self._set({"voice": names[(at + 1) % len(names)]})
        self.voice.adjust(self._settings)

    def _suit(self, manners: Manners) -> None:
        before, after = as_settings(self._manners), as_settings(manners)
        self._manners = manners
        self._set({name: value for name, value in after.items() if value != before[name]})
        self.ears.attend(manners.attention)

    def _set(self, changes: Mapping[str, Any]) -> None:
        self._settings = replace(self._settings, **changes)
        self._keep_settings(changes)


def _without_paths(sentence: str) -> str:
    """A file by its name alone: nobody follows a path by ear."""
    return re.sub(r"(?<!\S)(?:[A-Za-z]:)?[/\\](?:\S*[/\\])?(?=\w)", "", sentence)
