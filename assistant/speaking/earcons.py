"""The short sounds that need no words.

Where they sit, and why:

- Between 500 and 2,000 Hz. Motors and compressors hum below, grinders and air hiss above, ear muffs keep out the
  highs, small loudspeakers have no lows, and hearing hurt by noise goes first between 3,000 and 6,000 Hz
  (ISO 7731 puts danger signals between 500 and 2,500 Hz for the same reasons; from memory).
- Each note carries its second and third harmonic, so that one whining machine cannot cover all of it.
- They differ by shape before pitch, for ears that are tired or tone-deaf: two rising, one long, two falling,
  three level and harsh. The shape comes through in noise even when the pitch does not.
- Key sounds are much shorter than any of these, and high: one tick, two ticks down, a slide down.
"""

from __future__ import annotations

import math
from array import array
from functools import cache
from typing import NamedTuple

from assistant.speaking.sound import FULL_SCALE, Sound

__all__ = ["EARCONS", "KEY_SOUNDS", "RATE", "earcon"]

RATE = 22_050
"""The rate of the usual voices, so that nothing needs resampling."""
LOUDNESS = 0.7
"""Of full scale: about as loud as the voice."""
EDGE_MS = 5
"""Rise and fall of a note. A hard edge clicks."""

SOFT = (1.0, 0.45, 0.25)
"""Strength of the note and its harmonics."""
LIGHT = (1.0, 0.3, 0.1)
HARSH = (1.0, 0.0, 0.7, 0.0, 0.5)
"""Odd harmonics only: the sound of a buzzer."""


class Note(NamedTuple):
    start_hz: float
    end_hz: float
    milliseconds: int
    gap_ms: int = 0
    """Silence after it."""
    harmonics: tuple[float, ...] = SOFT


def _level(hz: float, milliseconds: int, gap_ms: int = 0, harmonics: tuple[float, ...] = SOFT) -> Note:
    return Note(hz, hz, milliseconds, gap_ms, harmonics)


EARCONS: dict[str, tuple[Note, ...]] = {
    # A fourth or a fifth apart: plain to the ear, and no two earcons share a first note.
    "listening": (_level(880, 90, 15), _level(1320, 130)),
    "got-it": (_level(1050, 220),),
    "not-understood": (_level(740, 130, 15), _level(555, 190)),
    "error": (_level(500, 110, 70, HARSH),) * 2 + (_level(500, 110, 0, HARSH),),
}
KEY_SOUNDS: dict[str, tuple[Note, ...]] = {
    "key": (_level(1760, 30, 0, LIGHT),),
    "key-back": (_level(1760, 30, 25, LIGHT), _level(1175, 30, 0, LIGHT)),
    "wiped": (Note(1760, 590, 150, 0, LIGHT),),
}


@cache
def earcon(name: str) -> Sound:
    """The sound by its name. KeyError for a name that is neither an earcon nor a key sound."""
    notes = EARCONS[name] if name in EARCONS else KEY_SOUNDS[name]
    samples = array("h")
    for note in notes:
        samples.extend(_samples(note))
        samples.extend([0] * (RATE * note.gap_ms // 1000))
    return Sound(samples.tobytes(), RATE)


def _samples(note: Note) -> list[int]:
    count = RATE * note.milliseconds // 1000
    edge = RATE * EDGE_MS // 1000
    peak = FULL_SCALE * LOUDNESS / sum(note.harmonics)
    phase = 0.0
    made = []
    for index in range(count):
        phase += math.tau * (note.start_hz + (note.end_hz - note.start_hz) * index / count) / RATE
        wave = sum(part * math.sin(phase * order) for order, part in enumerate(note.harmonics, 1) if part)
        made.append(int(peak * wave * min(1.0, index / edge, (count - 1 - index) / edge)))
    return made
