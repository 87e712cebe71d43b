"""From collected speech to a model folder: ``python -m models.build everything SPEECH NOISE VOICES WORK MODEL [SECONDS]``.

SPEECH is what ``collect`` wrote, NOISE a folder with noise.tsv, VOICES the neural voice's, WORK a folder for what comes
between, MODEL the folder of the present model, which aligns the speech and is then written over. Each step is one of
the others and can be run alone; with several GPUs, run ``further`` on each at the same time.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from models.build import durations, export, fixture, joined, lexicon, mean, neural, pack, revoice, synthesize, train

SECONDS = "1200"
"""Of training on one GPU, from nothing and then of each that learns on."""
SPOKEN, SPOKEN_SECONDS = "20000", "3600"
"""Sentences for the neural voice, and how long it speaks."""
JOINED_SECONDS = "6600"
"""Of people's sounds put together."""
REVOICED_SECONDS = {"joined": "10000", "syn": "6000"}
"""Of those, and of the synthetic voices, in other voices."""
SEEDS = ("2", "3", "4", "5")
"""Of the networks that learn on."""

KEPT = "0"
"""Of the network that they began from."""


def main(speech: str, noise: str, voices: str, work: str, model: str, seconds: str = SECONDS) -> None:
    at = Path(work)
    words, lines, spoken = (str(at / name) for name in ("lexicon.json", "lines.json", "neural"))
    together = str(at / "joined")
    synthesize.main(str(at / "syn"))
    neural.main(lines, SPOKEN)
    neural.main(lines, voices, spoken, SPOKEN_SECONDS)
    synthetic = str(at / "syn" / "train")
    lexicon.main(speech, synthetic, words)
    joined.main(speech, words, model, together, JOINED_SECONDS)
    others = {name: str(at / f"revoiced_{name}") for name in REVOICED_SECONDS}
    revoice.main(together, others["joined"], REVOICED_SECONDS["joined"])
    revoice.main(synthetic, others["syn"], REVOICED_SECONDS["syn"])
    packs = {
        "human": (speech, "18"),
        "syn": (synthetic, "13"),
        "neural": (spoken, "14"),
        "joined": (together, "14"),
        **{f"revoiced_{name}": (folder, "14") for name, folder in others.items()},
        "noise": (noise, "32"),
    }
    for name, (source, kbits) in packs.items():
        pack.main(source, str(at / "pack" / name), kbits)
    folders = [str(at / "pack" / name) for name in packs]
    train.main(words, model, work, seconds, *folders)
    units, network = str(at / "units.json"), str(at / "mmi.pt")
    export.main(network, units, model)
    shutil.copy(at / durations.FILE, model)
    outs = [at / f"further{seed}" for seed in SEEDS]
    for seed, out in zip(SEEDS, outs, strict=True):
        out.mkdir(exist_ok=True)
        train.further(words, model, str(out), seconds, seed, *folders)
    network = str(at / "mean.pt")
    mean.main(network, KEPT, model, *(str(out / "mmi.pt") for out in outs))
    export.main(network, units, model)
    fixture.main(network, str(at / "scores.npz"))
