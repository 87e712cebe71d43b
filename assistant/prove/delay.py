"""From the end of speech to the first sound of the answer, in real time through the whole listening path."""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np

from assistant.desk import Desk
from assistant.errors import HardwareError
from assistant.hearing import ears
from assistant.hearing.listener import HeardWords, Rejected, Told
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.recording import Recording
from assistant.hearing.sound import RATE, SAMPLE_BYTES, Taken
from assistant.prove.sets import Clip, synthesized_words
from assistant.prove.table import Row, percentile
from assistant.settings import Settings
from assistant.speaking.voice import PyttsxVoice

__all__ = ["Paced", "measure"]

REQUESTS = (
    "center of fifty three and five eighths",
    "six foot four and a half",
    "take off an eighth each end",
    "five at eighteen and three eighths",
    "in seven parts",
    "ten and a quarter plus three and five eighths",
    "divide ninety six by seven",
    "next",
)
_BEYOND = "of that, words beyond the endpoint"
_PAUSE = bytes(RATE * 3 // 2 * SAMPLE_BYTES)
_LOUD = 300
"""A sample above this is speech in synthesized, noiseless sound."""


class Paced(Recording):
    """A recording that plays no faster than it was spoken."""

    def __init__(self, pcm: bytes) -> None:
        super().__init__(pcm)
        self.started = time.perf_counter()
        self._handed = 0

    def take(self, timeout: float) -> Taken:
        taken = super().take(timeout)
        self._handed += len(getattr(taken, "pcm", b""))
        ahead = self.started + self._handed / (RATE * SAMPLE_BYTES) - time.perf_counter()
        if ahead > 0:
            time.sleep(ahead)
        return taken


def measure(recogniser: Recogniser) -> Iterator[Row]:
    """Rows for one recogniser; one that says why where there is no speech engine to ask with."""
    group = f"delay, {recogniser.name}"
    clips = synthesized_words(REQUESTS)
    voice = PyttsxVoice()
    parts: dict[str, list[float]] = {name: [] for name in ("endpoint and words", _BEYOND, "meaning", "voice")}
    ends: list[float] = []
    """Milliseconds of silence after which the grammar takes each sentence for over."""
    try:
        voice.render("Ready.")
        for clip in clips:
            _ask(clip, recogniser, voice, parts, ends)
    except HardwareError as error:
        yield Row(group, "not measured", str(error))
        return
    finally:
        voice.close()
    if not parts["voice"]:
        yield Row(group, "not measured", "no speech engine to ask with, or nothing was heard right")
        return
    whole = [a + b + c for a, b, c in zip(parts["endpoint and words"], parts["meaning"], parts["voice"], strict=True)]
    figures = f"{percentile(whole, 0.5):.0f} ms median, {percentile(whole, 0.95):.0f} ms 95th percentile"
    yield Row(group, f"end of speech to the answer's first sound, {len(whole)} requests", figures, "900 ms median")
    beyond = f"{percentile([w - e for w, e in zip(whole, ends, strict=True)], 0.95):.0f} ms 95th percentile"
    yield Row(group, "of that, beyond the silence that the grammar waits for", beyond, "350 ms")
    for name, took in parts.items():
        yield Row(group, name, f"{percentile(took, 0.5):.0f} ms median", "60 ms" if name == _BEYOND else "")


def _ask(
    clip: Clip, recogniser: Recogniser, voice: PyttsxVoice, parts: dict[str, list[float]], ends: list[float]
) -> None:
    samples = np.abs(np.frombuffer(clip.pcm, np.int16).astype(np.int32))
    speech_ends = (len(_PAUSE) // SAMPLE_BYTES + int(np.flatnonzero(samples > _LOUD)[-1])) / RATE
    desk = Desk(Settings())
    source = Paced(_PAUSE + clip.pcm + _PAUSE)

    def tell(told: Told) -> None:
        if not isinstance(told, (HeardWords, Rejected)):
            return
        heard_at = time.perf_counter()
        answer = desk.ask(told.words, typed=False)
        meant_at = time.perf_counter()
        voice.render(answer.say)
        ends.append(1000 * ears.completeness(desk.grammar)("request", told.words).value)
        parts["endpoint and words"].append(1000 * (heard_at - source.started - speech_ends))
        parts[_BEYOND].append(1000 * told.decode_seconds)
        parts["meaning"].append(1000 * (meant_at - heard_at))
        parts["voice"].append(1000 * (time.perf_counter() - meant_at))

    listening = ears.listener(desk.grammar, source, recogniser, tell, at_rest="request")
    listening.run()
