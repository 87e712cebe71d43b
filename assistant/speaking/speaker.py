"""Says things in order, on a thread of its own, until told to hush.

Whoever asks for something to be said goes on at once. A voice or a loudspeaker that fails is reported in one
sentence, once, and everything else carries on as if it had been said.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Iterable
from typing import NamedTuple

from assistant.errors import HardwareError, LoudspeakerUnavailable, VoiceUnavailable
from assistant.speaking.earcons import earcon
from assistant.speaking.player import Player
from assistant.speaking.sound import Sound
from assistant.speaking.voice import Voice

__all__ = ["Speaker"]

LOUDEST = 2.0
"""Times the sound as made. Above 1 the peaks are rounded off (see ``Sound.at_volume``)."""


class _Item(NamedTuple):
    text: str = ""
    earcon: str = ""


class Speaker:
    """The one voice of the bench. Every method comes back at once and may be called from any thread."""

    def __init__(
        self,
        voice: Voice,
        player: Player,
        *,
        volume: float = 1.0,
        on_finished: Callable[[], None] = lambda: None,
        on_trouble: Callable[[str], None] = lambda sentence: None,
    ) -> None:
        """``on_finished`` is called when everything there was to say has been said or cut.

        ``on_trouble`` is called with a plain sentence when the voice or the loudspeaker fails, and not again for
        the same one until it has worked in between. Both are called on the speaker's own thread.
        """
        self._voice = voice
        self._player = player
        self._volume = volume
        self._on_finished = on_finished
        self._on_trouble = on_trouble
        self._state = threading.Condition()
        self._queue: deque[_Item] = deque()
        self._cuts = 0
        self._owes_finished = False
        self._closed = False
        self._told: dict[type[HardwareError], str] = {}
        self._thread = threading.Thread(target=self._run, daemon=True, name="speaker")
        self._thread.start()

    def say(self, text: str) -> None:
        """After what is being said already."""
        with self._state:
            self._queue.append(_Item(text=text))
            self._owes_finished = True
            self._state.notify_all()

    def sound(self, name: str) -> None:
        """One of the earcons or key sounds, in its turn. KeyError for a name that is neither."""
        earcon(name)
        with self._state:
            self._queue.append(_Item(earcon=name))
            self._state.notify_all()

    def hush(self) -> None:
        """Cut what is being said and forget what was still to come."""
        with self._state:
            self._queue.clear()
            self._cuts += 1
            self._player.stop()
            self._state.notify_all()

    def prepare(self, texts: Iterable[str]) -> None:
        """These are likely to be said next."""
        self._voice.prepare(texts)

    def set_volume(self, volume: float) -> None:
        """From 0 to 2; 1 is the sound as made. Holds from the next sound on."""
        self._volume = min(LOUDEST, max(0.0, volume))

    @property
    def saying(self) -> bool:
        """Whether ``on_finished`` is still to come for what was said last."""
        with self._state:
            return self._owes_finished

    def close(self) -> None:
        """Hush, and let go of voice and loudspeaker. No process is left behind. Closing twice is no error."""
        with self._state:
            self._closed = True
        self.hush()
        if threading.current_thread() is not self._thread:
            self._thread.join()
        self._voice.close()
        self._player.close()

    def _run(self) -> None:
        while True:
            with self._state:
                while not (self._queue or self._owes_finished or self._closed):
                    self._state.wait()
                if self._closed:
                    return
                item = self._queue.popleft() if self._queue else None
                self._owes_finished = self._owes_finished and item is not None
                cuts = self._cuts
            if item is None:
                self._on_finished()
                continue
            self._utter(item, cuts)

    def _utter(self, item: _Item, cuts: int) -> None:
        try:
            sound = earcon(item.earcon) if item.earcon else self._render(item.text)
            with self._state:  # so that a hush comes either before it starts or after, and never gets lost
                if self._cuts != cuts:
                    return
                self._player.play(sound.at_volume(self._volume))
            self._player.wait()
            self._told.pop(LoudspeakerUnavailable, None)
        except HardwareError as error:
            sentence = str(error)
            if self._told.get(type(error)) != sentence:
                self._told[type(error)] = sentence
                self._on_trouble(sentence)

    def _render(self, text: str) -> Sound:
        sound = self._voice.render(text)
        self._told.pop(VoiceUnavailable, None)
        return sound
