"""First phone times for a part of the human speech, from an earlier model in Vosk's format with 39 phones as outputs.

``python -m models.build bootstrap EARLIER HUMAN LEXICON OUT.json``. The network trained on them aligns everything
else, so a part is enough. (pocketsphinx 5.1.1 aligns too, but its alignment's iterators crash the process.)
"""

from __future__ import annotations

import csv
import json
import random
import sys
from pathlib import Path

import numpy as np
import soundfile
import torch

from assistant.hearing.rejection import _Reader, mfcc
from models.build.align import chain, viterbi
from models.build.lexicon import PHONES

MINUTES = {
    "librispeech-train-250spk": 30,
    "librispeech-test-clean": 20,
    "speech-commands": 14,
    "speechocean762-train": 8,
}
"""How much of each set."""
STEPS = (1, 1, 1, 1, 1, 2, 2, 2)
"""The earlier model's reach by layer, in output frames."""
SMOOTH, WINDOW = 200, 600
"""Kaldi's online mean: frames of the global mean at first, frames remembered."""


class Earlier:
    """The earlier model's scores."""

    def __init__(self, folder: Path) -> None:
        reader = _Reader((folder / "am/final.mdl").read_bytes())
        self.layers = []
        while reader.find(b"<LinearParams> "):
            weights = reader.matrix()
            reader.find(b"<BiasParams> ")
            self.layers.append((torch.tensor(weights.copy()), torch.tensor(reader.vector().copy())))
        reader.find(b"<Priors> ")
        self.prior = torch.log(torch.tensor(reader.vector().copy()))
        stats = (folder / "am/global_cmvn.stats").read_bytes()
        row = np.frombuffer(stats, "<f8", 41, stats.index(b"DM ") + 13)
        self.mean = row[:40] / row[40]

    def scores(self, sound: np.ndarray) -> torch.Tensor:
        features = mfcc(sound)
        sums = np.cumsum(features.astype(np.float64), 0)
        count = np.minimum(np.arange(1, len(features) + 1), WINDOW)
        sums[WINDOW:] -= sums[:-WINDOW].copy() if len(features) > WINDOW else 0
        extra = np.minimum(WINDOW - count, SMOOTH)
        x = torch.tensor(features - (sums + self.mean * extra[:, None]) / (count + extra)[:, None]).float()
        reach = sum(STEPS)
        wanted = (len(x) + 2) // 3
        middle = 3 * (torch.arange(wanted + 2 * reach) - reach)
        index = (middle[:, None] + torch.arange(-3, 4)).clamp(0, len(x) - 1)
        weights, bias = self.layers[0]
        now = fed = torch.relu(x[index].reshape(len(index), -1) @ weights.T + bias)
        for i, step in enumerate(STEPS):
            narrow = fed @ self.layers[1 + 2 * i][0].T
            weights, bias = self.layers[2 + 2 * i]
            n = len(narrow) - 2 * step
            joined = torch.cat([narrow[:n], narrow[step : step + n], narrow[2 * step :]], 1)
            before, now = now[step : step + n], torch.relu(joined @ weights.T + bias)
            fed = now + 0.66 * before
        weights, bias = self.layers[-1]
        return torch.log_softmax(fed @ weights.T + bias, 1) - self.prior


def main(earlier: str, human: str, lexicon: str, out: str) -> None:
    torch.set_num_threads(1)
    model = Earlier(Path(earlier))
    said = json.loads(Path(lexicon).read_text())
    rows = list(csv.DictReader(open(f"{human}/manifest.tsv"), delimiter="\t", quoting=csv.QUOTE_NONE))
    random.Random(5).shuffle(rows)
    used: dict[str, float] = {}
    means: dict[str, list[float]] = {}
    done: dict[str, list[tuple[str, int, int]]] = {}
    for row in rows:
        kind = row["set"]
        if used.get(kind, 0) > MINUTES.get(kind, 0) * 60 or float(row["seconds"]) > 12:
            continue
        sound, _ = soundfile.read(Path(human) / row["path"], dtype="int16")
        made = chain(row["transcript"], said)
        scores = model.scores(sound)
        path, mean = viterbi(scores[None], [len(scores)], [made])[0]
        if mean < -50:
            continue
        edges = np.flatnonzero(np.diff(path, prepend=-1, append=-1))
        names = ["SIL", *PHONES]
        done[row["path"]] = [
            (names[made.phone[path[a]]], 3 * int(a), 3 * int(b)) for a, b in zip(edges[:-1], edges[1:], strict=True)
        ]
        used[kind] = used.get(kind, 0) + float(row["seconds"])
        means.setdefault(kind, []).append(mean)
    Path(out).write_text(json.dumps(done))
    print(
        len(done),
        "aligned",
        {k: (round(v / 60), round(float(np.mean(means[k])), 2)) for k, v in used.items()},
        file=sys.stderr,
    )
