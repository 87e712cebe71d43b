"""The bench while it runs: one thread takes what happens, one after another, and has the session's effects done.

    keys, words, a finished sentence, a lost microphone ── post ──▶ queue ──▶ session ──▶ view, voice, ears, board

Voice, ears and view are ports: any of them may be the stand-in for what is missing, and the rest goes on.
"""

from __future__ import annotations

import queue
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Protocol

from assistant.board.keeper import Keeper
from assistant.keypad.bridge import Keypad
from assistant.keypad.keys import Key, Talk
from assistant.language.requests import Manner
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
)
from assistant.session.events import Event, SpeechFinished, Started, TalkKey, WindowClosed
from assistant.session.session import Session
from assistant.session.states import State
from assistant.settings import Settings

__all__ = ["Bench", "Ears", "Happening", "NoEars", "NoVoice", "Quit", "Trouble", "Voice"]


class Quit:
    """Put the bench away."""


class Trouble:
    """A sentence about the bench itself, to be shown."""

    def __init__(self, sentence: str) -> None:
        self.sentence = sentence


Happening = Event | Key | Talk | Trouble | Quit


class Voice(Protocol):
    """What speaks. Nothing in it blocks; ``SpeechFinished`` is posted at the end of what is said."""

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
    def close(self) -> None: ...


class NoVoice:
    """The stand-in where nothing can be said: everything is on the screen at once."""

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

    def close(self) -> None:
        pass


_STEPS = {
    Manner.LOUDER: ("volume", 20, 100),
    Manner.SOFTER: ("volume", -20, 20),
    Manner.FASTER: ("rate", 20, 300),
    Manner.SLOWER: ("rate", -20, 80),
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
    """``waiting`` is the state word while only the wake phrase or the talk key counts."""

    def __init__(
        self,
        session: Session,
        keeper: Keeper,
        views: Sequence[View],
        settings: Settings,
        keep_settings: Callable[[Settings], None] = lambda _: None,
        waiting: str = "ready",
    ) -> None:
        self.session = session
        self.voice: Voice = NoVoice(self.post)
        self.ears: Ears = NoEars()
        self._keeper = keeper
        self._views = list(views)
        self._settings = settings
        self._keep_settings = keep_settings
        self._waiting = waiting
        self._keypad = Keypad()
        self._happened: queue.SimpleQueue[Happening] = queue.SimpleQueue()
        self._window_ends: float | None = None

    def add_view(self, view: View) -> None:
        """Show everything here too. Before ``run``."""
        self._views.append(view)

    def post(self, happening: Happening) -> None:
        """Something happened. Any thread may say so."""
        self._happened.put(happening)

    def run(self) -> None:
        """Until Quit is posted. KeyboardInterrupt goes through."""
        self._handle(Started())
        while True:
            happening = self._next()
            match happening:
                case Quit():
                    return
                case Trouble():
                    self._notice(happening.sentence)
                case Key():
                    self._do(self._keypad.press(happening, self.session))
                    for view in self._views:
                        view.entry(self._keypad.line)
                case Talk():
                    self._handle(TalkKey(happening is Talk.DOWN))
                    if happening is Talk.UP:  # what was being said may still come; after that nobody is listening
                        self._open_window()
                case _:
                    self._handle(happening)

    def _next(self) -> Happening:
        if self._window_ends is None:
            return self._happened.get()
        try:
            return self._happened.get(timeout=max(0.0, self._window_ends - time.monotonic()))
        except queue.Empty:
            self._window_ends = None
            return WindowClosed()

    def _handle(self, event: Event) -> None:
        self._do(self.session.handle(event))

    def _do(self, effects: Sequence[Effect]) -> None:
        for effect in self._keeper.carried_out(effects):
            match effect:
                case Hush():
                    self.voice.hush()
                case Adjust(manner):
                    self._adjust(manner)
                case Show(answer):
                    for view in self._views:
                        view.answer(answer)
                case Sound(earcon):
                    self.voice.sound(earcon)
                case Say(text):
                    self.voice.say(text)
                case Listen(expecting, follow_up):
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
        words = _STATE_WORDS.get(self.session.state, self._waiting)
        for view in self._views:
            view.state(words)

    def _open_window(self) -> None:
        self._window_ends = time.monotonic() + self._settings.follow_up

    def _notice(self, sentence: str) -> None:
        for view in self._views:
            view.notice(sentence)

    def _adjust(self, manner: Manner) -> None:
        field, step, end = _STEPS[manner]
        limit = min if step > 0 else max
        self._settings = replace(self._settings, **{field: limit(getattr(self._settings, field) + step, end)})
        self.voice.adjust(self._settings)
        self._keep_settings(self._settings)
