"""Speech and noise as a few Opus files with an index, small enough to carry to a machine with a GPU.

``python -m models.build pack SOURCE OUT KBITS``: SOURCE holds manifest.tsv and the clips; OUT gets 00.opus, 01.opus,
... of about half an hour each and index.json with, by clip: file, first sample, samples, text, speaker, set.
"""

from __future__ import annotations

import csv
import json
from math import gcd
from pathlib import Path
from typing import BinaryIO

import numpy as np
import soundfile
from scipy.signal import resample_poly

RATE = 16000
SHARD = 30 * 60 * RATE
LONGEST = 20.0
"""Seconds; longer clips are left out."""


def read(path: Path | BinaryIO) -> np.ndarray:
    sound, rate = soundfile.read(path, dtype="float32")
    sound = sound if sound.ndim == 1 else sound.mean(1)
    if rate != RATE:
        sound = resample_poly(sound, RATE // gcd(rate, RATE), rate // gcd(rate, RATE))
    return (np.clip(sound, -1, 1) * 32767).astype(np.int16)


def write(out: Path, number: int, clips: list[np.ndarray], kbits: str) -> None:
    # The library's level runs from 256 kbit/s at 0 to 6 at 1.
    level = 1 - (float(kbits) - 6) / 250
    sound = np.concatenate(clips)
    soundfile.write(out / f"{number:02d}.opus", sound, RATE, format="OGG", subtype="OPUS", compression_level=level)


def main(source: str, out: str, kbits: str = "16") -> None:
    folder, target = Path(source), Path(out)
    target.mkdir(parents=True, exist_ok=True)
    manifest = folder / "manifest.tsv" if (folder / "manifest.tsv").exists() else folder / "noise.tsv"
    index: list[list[object]] = []
    clips: list[np.ndarray] = []
    number, at = 0, 0
    header = (
        None
        if (folder / "noise.tsv").exists() or "set" in manifest.open().readline()
        else (["path", "transcript", "speaker", "seconds", "set"])
    )
    for row in csv.DictReader(manifest.open(), header, delimiter="\t", quoting=csv.QUOTE_NONE):
        if float(row["seconds"]) > LONGEST and "transcript" in row:
            continue
        sound = read(folder / row["path"])
        if at + len(sound) > SHARD and clips:
            write(target, number, clips, kbits)
            number, at, clips = number + 1, 0, []
        text, speaker = row.get("transcript", ""), row.get("speaker", row.get("category", ""))
        index.append([number, at, len(sound), text, speaker, row.get("set", "noise"), row["path"]])
        clips.append(sound)
        at += len(sound)
    write(target, number, clips, kbits)
    (target / "index.json").write_text(json.dumps(index))
    print(len(index), "clips", number + 1, "files", sum(f.stat().st_size for f in target.iterdir()) >> 20, "MiB")
