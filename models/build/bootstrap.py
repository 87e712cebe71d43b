"""First phone times for a part of the human speech, by forced alignment with pocketsphinx.

The network trained on them aligns everything else, so a part is enough:
``python -m models.build bootstrap HUMAN OUT.json``.
"""

from __future__ import annotations

import csv
import json
import random
import sys
from pathlib import Path

import soundfile
from pocketsphinx import Decoder

MINUTES = {
    "librispeech-train-250spk": 52, "librispeech-test-clean": 60, "speech-commands": 25, "speechocean762-train": 15,
}
"""How much of each set."""

Phones = list[tuple[str, int, int]]
"""Phone, start and end, in frames of 10 ms."""


def align(decoder: Decoder, sound: bytes, text: str) -> Phones | None:
    """Phone times of known words, or None where pocketsphinx finds no path. A word missing: None."""
    if any(decoder.lookup_word(word) is None for word in text.split()):
        return None
    try:
        decoder.set_align_text(text)
        for second_pass in (False, True):
            if second_pass:
                decoder.set_alignment()
            decoder.start_utt()
            decoder.process_raw(sound, full_utt=True)
            decoder.end_utt()
            if decoder.hyp() is None:
                return None
        found = decoder.get_alignment()
        return [(p.name, p.start, p.start + p.duration) for p in found.phones()]
    except RuntimeError:
        return None


def main(human: str, out: str) -> None:
    rows = list(csv.DictReader(open(f"{human}/manifest.tsv"), delimiter="\t", quoting=csv.QUOTE_NONE))
    random.Random(5).shuffle(rows)
    decoder = Decoder(lm=None, loglevel="FATAL", beam=1e-80, pbeam=1e-80, wbeam=1e-60)
    used: dict[str, float] = {}
    done: dict[str, Phones] = {}
    for row in rows:
        kind = row["set"]
        if used.get(kind, 0) > MINUTES.get(kind, 0) * 60 or float(row["seconds"]) > 16:
            continue
        sound, _ = soundfile.read(Path(human) / row["path"], dtype="int16")
        phones = align(decoder, sound.tobytes(), row["transcript"].lower())
        if phones:
            used[kind] = used.get(kind, 0) + float(row["seconds"])
            done[row["path"]] = phones
    Path(out).write_text(json.dumps(done))
    print(len(done), "aligned", {k: round(v / 60) for k, v in used.items()}, file=sys.stderr)
