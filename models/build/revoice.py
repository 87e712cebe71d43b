"""People's clips in other voices: ``python -m models.build revoice CLIPS OUT SECONDS``.

CLIPS is a folder with a manifest, as ``joined`` and ``synthesize`` write it; OUT gets so many seconds of clips taken
from it at random, and a manifest. Each is taken apart by WORLD (M. Morise) into pitch, envelope and breath, and put
together slower or faster, higher, lower or on one note, by a longer or shorter vocal tract, now and then with the
envelope smoothed as old synthesizers do, or whispered. What was said stays.
"""

from __future__ import annotations

import random
import zlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from models.build.pack import RATE, read

STRETCH = (0.85, 1.7)
"""How many times as long a voice speaks. The sounds that are put together are those of fast readers."""
SWAY = 0.2
"""How far the speed goes up and down within a clip, as a part of it."""
TRACT = (0.84, 1.18)
"""How far formants move up."""
PITCH = (0.65, 1.5)
MONOTONE, ROBOT = 0.35, (80.0, 240.0)
"""How many speak on one note, and on which, Hz."""
WHISPER = 0.04
VOICES = 3
"""Made of each speaker."""
PEAK = 0.7
SMOOTH, ORDERS = 0.3, (18, 40)
"""How many envelopes are smoothed, and of how many cepstra they are left."""


def warped_time(frames: int, rng: np.random.RandomState) -> np.ndarray:
    """Where each new frame is taken from, in old frames: slower and faster in turn."""
    knots = 2 + frames // 60
    rate = rng.uniform(*STRETCH) * rng.uniform(1 - SWAY, 1 + SWAY, knots)
    lasts = np.interp(np.linspace(0, knots - 1, frames), np.arange(knots), rate)
    ends = np.cumsum(lasts)
    return np.interp(np.arange(int(ends[-1])), ends, np.arange(frames))


def smoothed(logs: np.ndarray, order: int) -> np.ndarray:
    """Logs of power spectra, of which the first cepstra are left."""
    cepstra = np.fft.irfft(logs, axis=1)
    cepstra[:, order : cepstra.shape[1] - order + 1] = 0
    return np.fft.rfft(cepstra, axis=1).real


def between(rows: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Rows at places between them; the last one beyond it."""
    at = np.clip(at, 0, len(rows) - 1)
    low = np.minimum(at.astype(int), len(rows) - 2)
    part = (at - low)[:, None]
    return rows[low] * (1 - part) + rows[low + 1] * part


@dataclass(frozen=True)
class Voice:
    """How one speaker is turned into another."""

    tract: float
    pitch: float
    note: float | None
    """Hz of the one note spoken on; 0 for a whisper."""
    order: int | None
    """Of the envelope's smoothing."""

    @classmethod
    def drawn(cls, rng: np.random.RandomState) -> Voice:
        kind = rng.rand()
        note = 0.0 if kind < WHISPER else rng.uniform(*ROBOT) if kind < WHISPER + MONOTONE else None
        order = rng.randint(*ORDERS) if rng.rand() < SMOOTH else None
        return cls(rng.uniform(*TRACT), rng.uniform(*PITCH), note, order)

    def __call__(self, sound: np.ndarray, rng: np.random.RandomState) -> np.ndarray:
        """Samples at RATE, full scale at 1, said by this voice."""
        import pyworld

        sound = np.ascontiguousarray(sound, np.float64)
        rough, times = pyworld.dio(sound, RATE)
        pitch = pyworld.stonemask(sound, rough, times, RATE)
        envelope = pyworld.cheaptrick(sound, pitch, times, RATE)
        breath = pyworld.d4c(sound, pitch, times, RATE)
        at = warped_time(len(pitch), rng)
        near = np.round(at).astype(int)
        logs = between(np.log(envelope), at)
        if self.order is not None:
            logs = smoothed(logs, self.order)
        bins = np.arange(logs.shape[1]) / self.tract
        envelope = np.exp(between(logs.T, bins).T)
        breath = between(breath[near].T, bins).T
        pitch = pitch[near] * self.pitch if self.note is None else np.where(pitch[near] > 0, self.note, 0.0)
        made = pyworld.synthesize(pitch, np.ascontiguousarray(envelope), np.ascontiguousarray(breath), RATE)
        return made / (np.abs(made).max() + 1e-9) * PEAK


def main(source: str, out: str, seconds: str) -> None:
    folder, target, left = Path(source), Path(out), float(seconds)
    clips = [line.split("\t") for line in (folder / "manifest.tsv").read_text().splitlines()]
    random.Random(7).shuffle(clips)
    lines: list[str] = []
    for number, (path, text, speaker, _seconds, kind) in enumerate(clips):
        if left <= 0:
            break
        name = f"{speaker}_{number % VOICES}"
        voice = Voice.drawn(np.random.RandomState(zlib.crc32(name.encode())))
        sound = voice(read(folder / path) / 32768, np.random.RandomState(number))
        (target / path).parent.mkdir(parents=True, exist_ok=True)
        soundfile.write(target / path, sound, RATE, subtype="PCM_16")
        lines.append(f"{path}\t{text}\t{name}\t{len(sound) / RATE:.2f}\t{kind}\n")
        left -= len(sound) / RATE
    (target / "manifest.tsv").write_text("".join(lines))
    print(len(lines), "clips")
