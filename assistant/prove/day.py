"""The sound of a day in the shop, made in a process of its own: ``python -m assistant.prove.day``.

It holds minutes of recordings, which are none of the bench's memory. Messages are those of ``assistant.child``: in,
``wake`` (true or false) for the next stretch of a day with or without the wake phrase; out, that stretch: its ``kind``
and the sound.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator

import numpy as np

from assistant.child import read_message, take_over_stdout, write_message
from assistant.hearing.sound import RATE, SAMPLE_BYTES, seconds_of
from assistant.language.grammar import load_english
from assistant.prove.sets import Clip, dev_folder, noises, people, synthesized_words

__all__ = ["SHARES"]

SHARES = {"conversation": 0.2, "noise": 0.3, "talk": 0.3, "silence": 0.2}
"""Of the day, by what is to be heard. Half of eight hours has more than an hour of talk."""

_SEED = 17
_REQUESTS = (
    "fifty three and five eighths", "center", "six foot four and a half", "in seven parts", "next", "next", "next",
    "how come", "keep that as leg", "ten and a quarter plus three and five eighths", "scratch that", "start over",
    "brace thirty six by forty eight", "what's on the board", "done with leg", "divide ninety six by seven", "back",
    "add seven eighths", "take off an eighth each end", "again",
)  # fmt: skip
_TALK = (
    "are you coming to lunch with us today", "tell him the truck is here", "that was a good game last night",
    "i will call her back in the morning", "where did you put my gloves", "turn the radio up i like this song",
)  # fmt: skip


class _Clips:
    """What the day is made of."""

    def __init__(self) -> None:
        self.rng = random.Random(_SEED)
        folder = dev_folder()
        self._requests = synthesized_words(_REQUESTS)
        self._woken = synthesized_words([f"tape hand {words}" for words in _REQUESTS])
        self._noise = noises(folder, 40) if folder else [_hum()]
        self._talk = _of_others(people(folder, ["orders", "read-speech"])) if folder else synthesized_words(_TALK)

    def of(self, wake: bool) -> dict[str, list[Clip]]:
        """By kind; a kind of which there is nothing is left out."""
        found = {
            "conversation": self._woken if wake else self._requests,
            "noise": self._noise, "talk": self._talk, "silence": [Clip(b"", "", "", "")],
        }  # fmt: skip
        return {kind: clips for kind, clips in found.items() if clips}


def _of_others(clips: list[Clip]) -> list[Clip]:
    """Without those in which somebody says a thing that may be said to us ("five five"), in whole or between pauses."""
    ours = load_english().words
    return [clip for clip in clips if not any(ours.issuperset(part.split() or [""]) for part in clip.words.split("|"))]


def _stretches(clips: _Clips, wake: bool) -> Iterator[tuple[str, bytes]]:
    """Kind and sound, one after another, for ever. Room noise under all of it: no microphone gives digital silence."""
    available = clips.of(wake)
    lasted = dict.fromkeys(available, 0.0)
    while True:
        kind = min(available, key=lambda kind: lasted[kind] / SHARES[kind])
        clip = clips.rng.choice(available[kind])
        pause = clips.rng.uniform(1.5, 12.0)  # long enough for the endpoint; at times for the window to close
        pcm = _in_a_room(clip, pause, clips.rng)
        lasted[kind] += seconds_of(pcm)
        yield kind, pcm


def _in_a_room(clip: Clip, pause: float, rng: random.Random) -> bytes:
    length = len(clip.pcm) // SAMPLE_BYTES + round(pause * RATE)
    sound = np.random.default_rng(rng.randrange(2**32)).standard_normal(length) * 20
    sound[: len(clip.pcm) // SAMPLE_BYTES] += np.frombuffer(clip.pcm, "<i2")
    return bytes(np.clip(sound, -32768, 32767).astype("<i2").tobytes())


def _hum() -> Clip:
    rng = np.random.default_rng(_SEED)
    hum = 1500 * np.sin(2 * np.pi * 120 * np.arange(20 * RATE) / RATE) + 400 * rng.standard_normal(20 * RATE)
    return Clip(hum.astype("<i2").tobytes(), "", "hum", "hum")


def main() -> None:
    outgoing = take_over_stdout()
    clips = _Clips()
    days = {wake: _stretches(clips, wake) for wake in (True, False)}
    while (message := read_message(sys.stdin.buffer)) is not None:
        kind, pcm = next(days[message.fields["wake"]])
        write_message(outgoing, {"kind": kind}, pcm)


if __name__ == "__main__":
    main()
