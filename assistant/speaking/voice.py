"""The port to a voice: text in, sound out; pyttsx3 behind it, and a stand-in that keeps what was said."""

from __future__ import annotations

import sys
import threading
from collections import OrderedDict, deque
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol

from assistant.child import Child, ChildGone
from assistant.errors import Slip, VoiceUnavailable
from assistant.memory import give_back
from assistant.speaking.breaths import Breath, breaths
from assistant.speaking.sound import Sound, join, silence

__all__ = ["PyttsxVoice", "SilentVoice", "Voice", "VoiceSettings", "say_to_file"]

START_DEADLINE_S = 10.0
"""Python, pyttsx3 and the engine's data, on a slow and busy machine."""
RENDER_DEADLINE_S = 1.5
"""One breath. Typically ten milliseconds; more than this is an engine that hangs: he is to hear the answer within three
seconds all the same, from a new one."""
CACHE_BYTES = 4_000_000
"""About a minute and a half of speech at 22,050 Hz: some fifty breaths. What is prepared is far less."""
SLOWEST, FASTEST = 80, 320
"""Words a minute. The engine's own limit below; above it nobody follows a measurement."""

_INSTALL = {
    "linux": "Type: sudo apt install espeak-ng",
    "win32": "Add an English voice in the speech settings of Windows",
    "darwin": "Type: brew install espeak-ng",
}
_NO_ENGINE = "There is no voice on this computer. {install}. The answers are on the screen."
_NO_LIBRARY = "The voice is not installed. Run ./tapehand to install the voice parts. The answers are on the screen."
_SILENT = "The voice has stopped working. The answers are on the screen."


class Voice(Protocol):
    """Text to sound. ``render`` may be called from one thread while ``prepare`` is called from another."""

    def render(self, text: str) -> Sound:
        """The text, spoken. VoiceUnavailable when it cannot be."""

    def prepare(self, texts: Iterable[str]) -> None:
        """These are likely to be said next. Comes back at once, never fails; replaces what it was told before."""

    def adjust(self, settings: VoiceSettings) -> None:
        """Another pace, pitch or voice, from the next text on."""

    def close(self) -> None:
        """Let go of the engine. Closing twice is no error."""


@dataclass(frozen=True, slots=True)
class VoiceSettings:
    """Clear in a noisy shop beats natural: slower than the engines' own 200 words a minute, and more pauses."""

    words_per_minute: int = 160
    pitch: int = 50
    """0 to 99, where the engine has it."""
    voice: str = "en-us"
    """Part of the name of an installed voice, with espeak-ng also a variant of it ("en-us+f3"). The engine's own
    choice when there is none by that name."""
    fraction_pause_ms: int = 90
    """Before "and five eighths"."""
    lean_pause_ms: int = 220
    """Before a trailing "plus" or "minus", so that it is not heard as adding or taking off."""


class PyttsxVoice:
    """pyttsx3 in a process of its own, started when first needed and again whenever it dies or hangs."""

    def __init__(self, settings: VoiceSettings | None = None) -> None:
        self._settings = settings or VoiceSettings()
        self._child: Child | None = None
        self._voices: tuple[str, ...] = ()
        self._turn = threading.Condition()
        self._busy = False
        self._urgent = 0
        self._closed = False
        self._pending: deque[Breath] = deque()
        self._preparer: threading.Thread | None = None
        self._cache: OrderedDict[tuple[str, VoiceSettings], Sound] = OrderedDict()
        self._cached_bytes = 0

    @property
    def child_pid(self) -> int | None:
        """The process that speaks just now."""
        return self._child.pid if self._child is not None and self._child.alive else None

    def render(self, text: str) -> Sound:
        parts: list[Sound] = []
        for breath in self._breaths(text):
            sound = self._kept(breath) or self._speak_now(breath)
            parts += [sound, silence(breath.pause_ms, sound.rate)]
        rate = parts[0].rate if parts else 22_050
        return join(parts, rate)

    def prepare(self, texts: Iterable[str]) -> None:
        wanted = [breath for text in texts for breath in self._breaths(text)]
        with self._turn:
            self._pending = deque(wanted)
            if self._preparer is None and wanted and not self._closed:
                self._preparer = threading.Thread(target=self._prepare, daemon=True, name="voice preparing")
                self._preparer.start()
            self._turn.notify_all()

    def is_prepared(self, text: str) -> bool:
        """Whether the whole text would sound without asking the engine."""
        return all(self._kept(breath) for breath in self._breaths(text))

    @property
    def voices(self) -> tuple[str, ...]:
        """Names of the English voices there are, the usual one (no name) first. None before it has first spoken."""
        return self._voices

    def adjust(self, settings: VoiceSettings) -> None:
        pace = min(FASTEST, max(SLOWEST, settings.words_per_minute))
        self._settings = replace(settings, words_per_minute=pace)

    def close(self) -> None:
        with self._turn:
            self._closed = True
            self._pending.clear()
            self._turn.notify_all()
        if self._preparer is not None:
            self._preparer.join()
        with self._turn_of_mine():
            self._drop_child()

    def _breaths(self, text: str) -> list[Breath]:
        return breaths(text, self._settings.fraction_pause_ms, self._settings.lean_pause_ms)

    def _speak_now(self, breath: Breath) -> Sound:
        with self._turn_of_mine():
            return self._kept(breath) or self._speak(breath)  # it may have been prepared while we waited

    @contextmanager
    def _turn_of_mine(self) -> Iterator[None]:
        """The engine to ourselves, before anything that is only being prepared."""
        with self._turn:
            self._urgent += 1
            while self._busy:
                self._turn.wait()
            self._urgent -= 1
            self._busy = True
        try:
            yield
        finally:
            self._give_turn_back()

    def _give_turn_back(self) -> None:
        with self._turn:
            self._busy = False
            self._turn.notify_all()

    def _prepare(self) -> None:
        """One breath at a time, and only while nobody is waiting to hear something."""
        while True:
            with self._turn:
                while not self._closed and (self._busy or self._urgent or not self._pending):
                    self._turn.wait()
                if self._closed:
                    return
                breath = self._pending.popleft()
                self._busy = True
            try:
                if self._kept(breath) is None:
                    self._speak(breath)
            except VoiceUnavailable:  # whoever asks for it to be said gets the sentence
                with self._turn:
                    self._pending.clear()
            finally:
                self._give_turn_back()
            if not self._pending:
                give_back()

    def _speak(self, breath: Breath) -> Sound:
        """Ask the engine. A second try on a fresh process when the first one dies or hangs."""
        settings = self._settings
        order = {
            "text": breath.text, "voice": settings.voice, "pitch": settings.pitch,
            "words_per_minute": settings.words_per_minute,
        }  # fmt: skip
        for _ in range(2):
            try:
                child = self._running()
                child.send(order)
                answer = child.receive(RENDER_DEADLINE_S)
            except ChildGone:
                continue
            if answer.fields["event"] == "sound":
                sound = Sound(answer.payload, answer.fields["rate"]).trimmed()
                self._keep(breath, settings, sound)
                return sound
            self._drop_child()
        raise VoiceUnavailable(_SILENT)

    def _running(self) -> Child:
        if self._child is not None and self._child.alive:
            return self._child
        self._drop_child()
        if self._closed:
            raise VoiceUnavailable(_SILENT)
        child = Child("assistant.speaking.voice_process")
        ready = child.receive(START_DEADLINE_S).fields
        if ready["event"] == "missing":
            child.end()
            install = _INSTALL.get(sys.platform, "Install espeak-ng")
            raise VoiceUnavailable(_NO_LIBRARY if ready["what"] == "library" else _NO_ENGINE.format(install=install))
        self._child = child
        self._voices = ("", *ready["voices"])
        return child

    def _drop_child(self) -> None:
        if self._child is not None:
            self._child.end()
            self._child = None

    def _kept(self, breath: Breath) -> Sound | None:
        with self._turn:
            key = (breath.text, self._settings)
            if key in self._cache:
                self._cache.move_to_end(key)
            return self._cache.get(key)

    def _keep(self, breath: Breath, settings: VoiceSettings, sound: Sound) -> None:
        with self._turn:
            self._cache[breath.text, settings] = sound  # never there already: both callers looked
            self._cached_bytes += len(sound.pcm)
            while self._cached_bytes > CACHE_BYTES:
                _, oldest = self._cache.popitem(last=False)
                self._cached_bytes -= len(oldest.pcm)


class SilentVoice:
    """The official stand-in: says nothing, and keeps what it was asked to say."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def render(self, text: str) -> Sound:
        self.said.append(text)
        return silence(20, 22_050)

    def prepare(self, texts: Iterable[str]) -> None:
        """Nothing takes any time here."""

    def adjust(self, settings: VoiceSettings) -> None:
        """Nothing has a pace here."""

    def close(self) -> None:
        """Nothing to let go of."""


def say_to_file(text: str, path: Path, voice: Voice) -> Sound:
    """Speak into a WAV file. Slip for nothing to say or a file that cannot be written; VoiceUnavailable."""
    sound = voice.render(text)
    if not sound.pcm:
        raise Slip("There is nothing to say. Put some words in quotes.")
    sound.save(path)
    return sound
