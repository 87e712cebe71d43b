"""Measurements that people never said, put together from what they did say.

``python -m models.build joined SPEECH LEXICON FOLDER OUT SECONDS``: SPEECH is what ``collect`` wrote, LEXICON the
pronunciations of all that is said there, FOLDER a model that tells when; OUT gets clips and a manifest, of so many
seconds in all.

In nine hours of people's speech "fifty" comes three times and "seventy" once, and synthetic voices say them more alike
than people do. But everybody says the sounds of "fifty" over and over.
"""

from __future__ import annotations

import csv
import random
import zlib
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import soundfile
import torch

from assistant.hearing.arc_costs import job, measurement, usual_request
from models.build.align import chain, output_frames, viterbi
from models.build.earlier import judge, network
from models.build.features import SHIFT, Mfcc
from models.build.lexicon import PHONE, SILENCE, SOUND, pronunciations, spoken
from models.build.pack import LONGEST, RATE, read
from models.build.unit_selection import Selection, Speaker

SET = "librispeech-test-clean"
"""Whose speakers say enough each."""
LEAST_SPEECH = 120.0
"""Seconds a speaker must have."""
BATCH = 8
FRAME = 3 * SHIFT
"""Samples an output frame of the network."""
LOUDNESS = 3000.0
"""Of each clip where somebody speaks, in root mean square of 16-bit samples."""
MEASURES = 13
"""Of the MFCC, the first, by which joins are judged."""
MOST = 1.35
"""Mean cost a half phone at which a sentence is left out: three in ten."""
WORDS, LENGTHS = 0.15, 0.45
"""Shares of single words and of lengths; the rest are requests, most of them for a job."""
NUMBER_WORDS = [
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen"),
    *("fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty", "thirty", "forty", "fifty"),
    *("sixty", "seventy", "eighty", "ninety", "hundred", "half", "third", "quarter", "eighth", "eighths"),
    *("sixteenth", "sixteenths", "foot", "feet", "inch", "inches"),
]
PAUSES = 0.1
"""Of the gaps between words."""


def aligned(
    rows: list[dict[str, str]], speech: Path, said: dict[str, list[str]], folder: Path
) -> Iterator[tuple[dict[str, str], np.ndarray, np.ndarray]]:
    """Each row, its sound, and the phone that is heard and the state by output frame, 2 x frames: of two equal phones
    side by side the state tells that they are two."""
    likelihoods, mfcc = judge(*network(folder)), Mfcc()
    for k in range(0, len(rows), BATCH):
        some = rows[k : k + BATCH]
        sounds = [read(speech / row["path"]) for row in some]
        block = torch.zeros(len(some), max(map(len, sounds)))
        for into, sound in zip(block, sounds, strict=True):
            into[: len(sound)] = torch.from_numpy(sound).float()
        with torch.no_grad():
            scores = likelihoods(mfcc(block))
        lengths = [output_frames(len(s)) for s in sounds]
        chains = [chain(row["transcript"], said) for row in some]
        for row, sound, made, (path, _mean) in zip(some, sounds, chains, viterbi(scores, lengths, chains), strict=True):
            yield row, sound, np.stack([np.array(SOUND)[made.phone][path], path])


def speakers(speech: Path, said: dict[str, list[str]], folder: Path) -> dict[str, Speaker]:
    rows = list(csv.DictReader((speech / "manifest.tsv").open(), delimiter="\t", quoting=csv.QUOTE_NONE))
    rows = [r for r in rows if r["set"] == SET and float(r["seconds"]) <= LONGEST]
    rows = [r for r in rows if spoken(r["transcript"]) and all(said.get(w) for w in spoken(r["transcript"]))]
    rows.sort(key=lambda r: float(r["seconds"]))
    clips: dict[str, list[tuple[np.ndarray, np.ndarray]]] = defaultdict(list)
    for row, sound, path in aligned(rows, speech, said, folder):
        clips[row["speaker"]].append((sound, path))
    return {
        name: _speaker(own) for name, own in sorted(clips.items()) if sum(len(s) for s, _ in own) > LEAST_SPEECH * RATE
    }


def _speaker(clips: list[tuple[np.ndarray, np.ndarray]]) -> Speaker:
    mfcc, sounds, at = Mfcc(), [], 0
    phone, start, middle, follows, edges = [], [], [], [], []
    for sound, (said, state) in clips:
        loud = np.abs(sound).astype(np.float32)
        level = loud[loud > 0.02 * loud.max()]
        sound = (sound * min(LOUDNESS / np.sqrt((level**2).mean()), 32000 / loud.max())).astype(np.float32)
        with torch.no_grad():
            cepstra = mfcc(torch.from_numpy(sound)[None])[0].numpy()[:, :MEASURES]
        begins = np.flatnonzero(np.diff(state, prepend=-1))
        ends = np.append(begins[1:], len(state))
        for n, (a, b) in enumerate(zip(begins, ends, strict=True)):
            first, last = int(a) * FRAME, min(int(b) * FRAME, len(sound))
            half = (first + last) // 2
            phone.append(int(said[a]))
            start.append(at + first)
            middle.append(at + half)
            follows.append(n > 0)
            edges += [cepstra[min(x // SHIFT, len(cepstra) - 1)] for x in (first, half)]
        sounds.append(sound)
        at += len(sound)
    start.append(at)
    spread = np.array(edges)
    return Speaker(
        np.concatenate(sounds),
        np.array(phone),
        np.array(start),
        spread / spread.std(0),
        np.array(middle),
        np.array(follows),
    )


def text(rng: random.Random) -> str:
    """Something to say: mostly lengths, some of them a word long."""
    kind = rng.random()
    if kind < WORDS:
        return rng.choice(NUMBER_WORDS)
    return measurement(rng) if kind < WORDS + LENGTHS else rng.choice((usual_request, job))(rng)


def row(words: list[str], said: dict[str, list[str]], rng: random.Random) -> list[int]:
    """Phones of words, one of the ways of each, between silences and now and then a pause."""
    phones = [SILENCE]
    for word in words:
        if len(phones) > 1 and rng.random() < PAUSES:
            phones.append(SILENCE)
        phones += [SOUND[PHONE[p]] for p in rng.choice(said[word]).split()]
    return [*phones, SILENCE]


def main(speech: str, lexicon: str, folder: str, out: str, seconds: str) -> None:
    target, left = Path(out), float(seconds)
    target.mkdir(parents=True, exist_ok=True)
    said = pronunciations(Path(lexicon))
    selections = {name: Selection(who) for name, who in speakers(Path(speech), said, Path(folder)).items()}
    if not selections:
        raise SystemExit(f"Nobody in {SET} says {LEAST_SPEECH:.0f} seconds. Collect more of that set.")
    rng, lines, dear = random.Random(5), [], 0
    while left > 0:
        name = rng.choice(list(selections))
        words = text(rng)
        made = selections[name].say(row(words.split(), said, rng), np.random.RandomState(zlib.crc32(words.encode())))
        if made is None or made[1] > MOST:
            dear += 1
            continue
        sound = made[0] / np.abs(made[0]).max() * 0.7
        path = f"{len(lines):05d}.flac"
        soundfile.write(target / path, sound, RATE, subtype="PCM_16")
        lines.append(f"{path}\t{words}\tjoined_{name}\t{len(sound) / RATE:.2f}\tjoined\n")
        left -= len(sound) / RATE
    (target / "manifest.tsv").write_text("".join(lines))
    print(len(lines), "clips by", len(selections), "speakers;", dear, "left out")
