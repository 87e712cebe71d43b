"""From collected speech to a model folder in one go: ``python -m models.build everything SPEECH NOISE WORK MODEL [SECONDS]``.

SPEECH is what ``collect`` wrote, NOISE a folder with noise.tsv, WORK a folder for what comes between, MODEL the folder of
the present model, which aligns the speech and is then written over. Each step is one of the others and can be run alone.
"""

from __future__ import annotations

from pathlib import Path

from models.build import export, fixture, lexicon, pack, synthesize, train

SECONDS = "1250"
"""Of training on one GPU."""


def main(speech: str, noise: str, work: str, model: str, seconds: str = SECONDS) -> None:
    at = Path(work)
    synthesize.main(str(at / "syn"))
    lexicon.main(speech, str(at / "syn" / "train"), str(at / "lexicon.json"))
    packs = {"human": (speech, "18"), "syn": (str(at / "syn" / "train"), "13"), "noise": (noise, "32")}
    for name, (source, kbits) in packs.items():
        pack.main(source, str(at / "pack" / name), kbits)
    folders = [str(at / "pack" / name) for name in packs]
    train.main(str(at / "lexicon.json"), model, work, seconds, *folders)
    export.main(str(at / "mmi.pt"), str(at / "units.json"), model)
    fixture.main(str(at / "mmi.pt"), str(at / "scores.npz"))
