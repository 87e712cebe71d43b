"""Ears for the tests of the voice: pocketsphinx with a handful of phrases to choose from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import pytest

from assistant.errors import VoiceUnavailable
from assistant.speaking.sound import Sound, join, silence
from assistant.speaking.voice import PyttsxVoice

RATE = 16_000


def heard(sound: Sound, choices: Sequence[str]) -> str:
    """Which of the choices (lower-case words) pocketsphinx hears. Skips the test where there is none."""
    pocketsphinx = pytest.importorskip("pocketsphinx", reason="no recogniser here to hear the voice with")
    decoder = pocketsphinx.Decoder(
        lm=None, bestpath=False, beam=1e-60, pbeam=1e-60, wbeam=1e-40, loglevel="FATAL", samprate=RATE
    )
    grammar = f"#JSGF V1.0; grammar choices; public <said> = {' | '.join(choices)};"
    decoder.add_jsgf_string("said", grammar)
    decoder.activate_search("said")
    quiet = silence(300, RATE)
    decoder.start_utt()
    decoder.process_raw(join([quiet, sound, quiet], RATE).pcm, full_utt=True)
    decoder.end_utt()
    hypothesis = decoder.hyp()
    return hypothesis.hypstr if hypothesis else ""


@contextmanager
def real_voice() -> Iterator[PyttsxVoice]:
    """The real voice; the test is skipped with the reason where there is none."""
    voice = PyttsxVoice()
    try:
        voice.render("ready")
    except VoiceUnavailable as reason:
        voice.close()
        pytest.skip(str(reason))
    try:
        yield voice
    finally:
        voice.close()
