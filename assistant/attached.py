"""The voice and the ears of the bench, made of what speaking and hearing offer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.bench import Happening, Hearing, Loudness, Trouble, Words
from assistant.hearing import ears
from assistant.hearing.listener import (
    WAKE,
    Back,
    Changed,
    Failed,
    Gone,
    HeardWords,
    Level,
    Partial,
    Rejected,
    Told,
    UtteranceStarted,
    Woken,
)
from assistant.hearing.microphone import Microphone
from assistant.hearing.sound import QUIET_DBFS
from assistant.language.grammar import Grammar
from assistant.language.requests import Attention
from assistant.session.events import MicrophoneBack, MicrophoneLost, Misheard, SpeechFinished, WakeHeard
from assistant.settings import Settings
from assistant.speaking.player import Loudspeaker
from assistant.speaking.speaker import Speaker
from assistant.speaking.voice import PyttsxVoice, VoiceSettings

__all__ = ["AT_REST", "HearingEars", "SpokenVoice", "happenings", "voice_settings"]


AT_REST = {Attention.WAKE: WAKE, Attention.PUSH: None, Attention.OPEN: "request"}
"""The rule of the grammar that is listened for at rest."""


def voice_settings(settings: Settings) -> VoiceSettings:
    """The voice that the settings ask for."""
    usual = VoiceSettings()
    return replace(usual, words_per_minute=settings.rate, pitch=settings.pitch, voice=settings.voice or usual.voice)


class SpokenVoice:
    """The bench's voice: the speaker of the speaking room."""

    def __init__(self, settings: Settings, post: Callable[[Happening], None]) -> None:
        self._voice = PyttsxVoice(voice_settings(settings))
        self._speaker = Speaker(
            self._voice,
            Loudspeaker(settings.loudspeaker),
            volume=settings.volume / 100,
            on_finished=lambda: post(SpeechFinished()),
            on_trouble=lambda sentence: post(Trouble(sentence)),
        )

    @property
    def saying(self) -> bool:
        return self._speaker.saying

    @property
    def voices(self) -> Sequence[str]:
        return self._voice.voices

    def say(self, text: str) -> None:
        self._speaker.say(text)

    def sound(self, earcon: str) -> None:
        self._speaker.sound(earcon)

    def hush(self) -> None:
        self._speaker.hush()

    def prepare(self, texts: Sequence[str]) -> None:
        self._speaker.prepare(texts)

    def adjust(self, settings: Settings) -> None:
        self._voice.adjust(voice_settings(settings))
        self._speaker.set_volume(settings.volume / 100)

    def close(self) -> None:
        self._speaker.close()


class HearingEars:
    """The bench's ears: the microphone and a listener of the hearing room. ``trouble`` is to be told once.

    Raises:
        ModelUnusable: where there is no recogniser, or no voice detector.
    """

    def __init__(self, settings: Settings, grammar: Grammar, post: Callable[[Happening], None]) -> None:
        self._post = post
        chosen = ears.recogniser(grammar, settings.model)
        self.trouble = chosen.trouble
        at_rest = AT_REST[Attention(settings.attention)]
        self._listener = ears.listener(
            grammar, Microphone(settings.microphone), chosen.recogniser, self._told, at_rest, chosen.spare
        )
        self._listener.start()

    def listen(self, expecting: str) -> None:
        self._listener.listen(expecting)

    def rest(self) -> None:
        self._listener.rest()

    def finish(self) -> None:
        self._listener.finish()

    def attend(self, by: Attention) -> None:
        self._listener.rest_with(AT_REST[by])

    def mute(self) -> None:
        self._listener.mute()

    def unmute(self) -> None:
        self._listener.unmute()

    def close(self) -> None:
        self._listener.close()

    def _told(self, told: Told) -> None:
        for happening in happenings(told):
            self._post(happening)


def happenings(told: Told) -> Sequence[Happening]:
    """What the bench makes of what the listener tells."""
    match told:
        case HeardWords(words, rival=rival):
            return [Words(words, rival)]
        case Rejected(reason):
            return [Misheard(reason)]
        case Woken():
            return [WakeHeard()]
        case UtteranceStarted():
            return [Hearing("")]
        case Partial(words):
            return [Hearing(words)]
        case Level(dbfs, too_loud):
            return [Loudness(1 - dbfs / QUIET_DBFS, too_loud)]
        case Back():
            return [MicrophoneBack()]
        case Changed(sentence):
            return [Trouble(sentence, aloud=True)]
        case Gone(sentence) | Failed(sentence):
            return [MicrophoneLost(sentence)]
