"""Speech and noise to measure with: people's recordings where they are at hand, else synthesized speech.

The recordings are kept beside the project, never in it: ``shared/speech/dev`` with a ``manifest.tsv`` (path,
transcript, speaker, kind) and a ``noise.tsv``. ``TAPEHAND_SHARED`` may name another place.
"""

from __future__ import annotations

import csv
import os
import random
import subprocess
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from shutil import which

import numpy as np
from numpy.typing import NDArray

from assistant.hearing import recording
from assistant.language.grammar import Grammar

__all__ = ["Clip", "dev_folder", "mixed", "noises", "people", "sizes_of_digits", "synthesized", "synthesized_words"]

ACTIVE = 0.02
"""Speech level is taken over the frames above this share of the peak, so that pauses do not count."""
FRAME = 400
"""25 ms at 16 kHz."""
_LOUDEST = 32767
_PEAK = 12000
_GAP = bytes(2 * 16000 // 20)
"""A twentieth of a second between two words put together."""
_WHOLES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TOPS = ("three", "five", "seven")
_ENOUGH_WHOLES = 5
_SEED = 3
_FLITE_VOICES = ("slt", "rms", "awb", "kal16")
_ESPEAK_VOICES = ("en-us", "en-us+f3", "en-gb+m3", "en-us+m7")


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording."""

    pcm: bytes
    """16 kHz mono int16."""
    words: str
    """What was said, in words of the language; empty for noise and for speech that is not for us."""
    speaker: str
    name: str


def dev_folder() -> Path | None:
    """The people's recordings, where they are at hand."""
    shared = os.environ.get("TAPEHAND_SHARED") or Path(__file__).resolve().parents[2].parent / "shared"
    folder = Path(shared) / "speech" / "dev"
    return folder if (folder / "manifest.tsv").is_file() else None


def people(folder: Path, kinds: Iterable[str], limit: int | None = None) -> list[Clip]:
    """The clips of some folders of the dev set ("spliced-numbers", "orders"), at most ``limit``, spread evenly."""
    wanted = set(kinds)
    with (folder / "manifest.tsv").open(encoding="utf-8", newline="") as table:
        rows = [r for r in csv.DictReader(table, delimiter="\t") if r["path"].split("/")[0] in wanted]
    return [
        Clip(recording.read(folder / r["path"]), r["transcript"].lower(), r["speaker"], r["path"])
        for r in _spread(rows, limit)
    ]


def sizes_of_digits(folder: Path, each: int) -> list[Clip]:
    """Sizes put together from a speaker's single digits, ``each`` of every speaker who has them: "five three eight".

    The only sentences of ours that the dev set's other speakers can be made to say. What is not said of "eighths" is
    made up for by the grammar, as it is at the bench.
    """
    said: dict[str, dict[str, list[bytes]]] = {}
    for clip in people(folder, ["spoken-digits", "speech-commands"]):
        said.setdefault(clip.speaker, {}).setdefault(clip.words, []).append(clip.pcm)
    rng = random.Random(_SEED)
    clips = []
    for speaker, has in sorted(said.items()):
        wholes, tops = ([d for d in digits if d in has] for digits in (_WHOLES, _TOPS))
        if "eight" not in has or not tops or len(wholes) < _ENOUGH_WHOLES:
            continue
        for number in range(each):
            words = [rng.choice(wholes), rng.choice(tops), "eight"]
            sound = _GAP.join(_trimmed(rng.choice(has[word])) for word in words)
            rest = bytes(len(_GAP) * 8)
            clips.append(Clip(rest + sound + rest, " ".join(words) + "s", speaker, f"{speaker} {number}"))
    return clips


def _trimmed(pcm: bytes) -> bytes:
    """From the first to the last sample that is loud against the loudest, all as loud."""
    samples = _samples(pcm)
    loud = np.flatnonzero(np.abs(samples) > ACTIVE * np.max(np.abs(samples), initial=1.0))
    if not len(loud):
        return b""
    heard = samples[loud[0] : loud[-1] + 1]
    return bytes((heard * (_PEAK / np.max(np.abs(heard)))).astype(np.int16).tobytes())


def noises(folder: Path, limit: int | None = None) -> list[Clip]:
    """The noise clips of the dev set."""
    with (folder / "noise.tsv").open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table, delimiter="\t"))
    return [Clip(recording.read(folder / r["path"]), "", r["category"], r["path"]) for r in _spread(rows, limit)]


def synthesized(grammar: Grammar, count: int, seed: int = 7) -> list[Clip]:
    """Sentences sampled from the grammar, spoken by the engines that are here, if any."""
    rng = random.Random(seed)
    return synthesized_words([grammar.sample(rng) for _ in range(count)])


def synthesized_words(sentences: Sequence[str]) -> list[Clip]:
    """Sentences spoken by the engines that are here, by one voice after another; none where there are none."""
    voices = [("flite", v) for v in _FLITE_VOICES if which("flite")]
    voices += [("espeak-ng", v) for v in _ESPEAK_VOICES if which("espeak-ng")]
    if not voices:
        return []
    clips = []
    with tempfile.TemporaryDirectory() as folder:
        for number, words in enumerate(sentences):
            engine, voice = voices[number % len(voices)]
            path = Path(folder) / f"{number}.wav"
            command = (
                ["flite", "-voice", voice, "-t", words, "-o", str(path)]
                if engine == "flite"
                else ["espeak-ng", "-v", voice, "-s", "150", "-w", str(path), words]
            )
            subprocess.run(command, check=True, capture_output=True)
            clips.append(Clip(recording.read(path), words, f"{engine} {voice}", words))
    return clips


def _spread(rows: list[dict[str, str]], limit: int | None) -> list[dict[str, str]]:
    if limit is None or limit >= len(rows):
        return rows
    return [rows[i * len(rows) // limit] for i in range(limit)]


def mixed(clip: Clip, noise: Clip, decibels: float, rng: random.Random) -> Clip:
    """The clip with noise under it, so many decibels below the active speech."""
    speech = _samples(clip.pcm)
    sound = _samples(noise.pcm)
    repeats = -(-len(speech) // max(1, len(sound)))
    start = rng.randrange(len(sound)) if len(sound) > 1 else 0
    under = np.roll(np.tile(sound, repeats), -start)[: len(speech)]
    power = float(np.mean(under**2))
    if not power:
        return clip
    gain = np.sqrt(_active_power(speech) / power / 10 ** (decibels / 10))
    both = speech + gain * under
    both *= min(1.0, _LOUDEST / max(1.0, float(np.max(np.abs(both)))))
    return replace(clip, pcm=both.astype(np.int16).tobytes(), name=f"{clip.name} + {noise.name} at {decibels} dB")


def _samples(pcm: bytes) -> NDArray[np.float64]:
    return np.frombuffer(pcm, np.int16).astype(np.float64)


def _active_power(speech: NDArray[np.float64]) -> float:
    frames = speech[: len(speech) // FRAME * FRAME].reshape(-1, FRAME)
    if not len(frames):
        return float(np.mean(speech**2)) if len(speech) else 0.0
    peaks = np.max(np.abs(frames), axis=1)
    active = frames[peaks > ACTIVE * np.max(peaks)]
    return float(np.mean(active**2)) if len(active) else float(np.mean(frames**2))
