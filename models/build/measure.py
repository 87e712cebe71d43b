"""What a model hears on the development sets: ``python -m models.build measure FOLDER SPEECH [PART ...]``.

SPEECH holds dev/ with manifest.tsv and noise.tsv. Parts: spliced, digits, sizes (both again, searched in the grammar of
sizes alone, as a plain number grammar would), offgrammar, noise, and any folder of voices that were kept out of training,
as ``synthesize`` and ``neural`` write them. Nothing here trains.
"""

from __future__ import annotations

import csv
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import numpy as np

from assistant.hearing.accept import LEAST_CONFIDENCE
from assistant.hearing.ears import senses
from assistant.hearing.likeliest import Guess, likeliest
from assistant.hearing.vosk_process import Ear
from assistant.language.grammar import load_english
from assistant.language.understand import understand_words
from assistant.language.understanding import Outcome, Understood
from models.build.graph import only
from models.build.pack import RATE, read

DRAWS = 3
"""Of noise for each sentence."""
EACH = 40
"""Sentences of each voice."""
SAME = {
    "feet": "foot",
    "eighths": "eighth",
    "eights": "eighth",
    "sixteenths": "sixteenth",
    "quarters": "quarter",
    "thirds": "third",
    "seconds": "second",
    "inches": "inch",
    "halves": "half",
    "a": "one",
    "an": "one",
    "oh": "zero",
}


def plain(words: str) -> str:
    """Words without what does not count: "and", "inch", plurals."""
    return " ".join(w for w in (SAME.get(w, w) for w in words.split()) if w not in ("and", "inch"))


class Development:
    def __init__(self, speech: Path) -> None:
        self.folder = speech / "dev"
        self.rows = self._table("manifest.tsv")
        kinds: dict[str, list[np.ndarray]] = defaultdict(list)
        self.noise_rows = self._table("noise.tsv")
        for row in self.noise_rows:
            kinds[row["category"]].append(self.sound(row["path"]))
        self.noise = {kind: np.concatenate(parts) for kind, parts in kinds.items()}

    def _table(self, name: str) -> list[dict[str, str]]:
        return list(csv.DictReader((self.folder / name).open(), delimiter="\t", quoting=csv.QUOTE_NONE))

    def sound(self, path: str) -> np.ndarray:
        return read(self.folder / path).astype(np.float32)

    def mixed(self, path: str, ratio: float | None, number: int) -> np.ndarray:
        """A clip between rests, in one kind of noise at a ratio in dB over its active speech."""
        rng = np.random.RandomState(1000 + number)
        rest = np.zeros(int(0.4 * RATE), np.float32)
        sound = np.concatenate([rest, self.sound(path), rest])
        size = np.abs(sound)
        frames = size[: len(size) // 160 * 160].reshape(-1, 160).max(1) > 0.02 * size.max()
        active = np.repeat(frames, 160)
        power = np.sqrt((sound[: len(active)][active] ** 2).mean())
        if ratio is None:
            return sound + rng.randn(len(sound)) * power * 1e-3
        noise = self.noise[sorted(self.noise)[number % len(self.noise)]]
        noise = np.tile(noise, 2 + len(sound) // len(noise))
        start = rng.randint(len(noise) - len(sound))
        noise = noise[start : start + len(sound)]
        return sound + noise * power / 10 ** (ratio / 20) / (np.sqrt((noise**2).mean()) + 1e-6)


def samples(sound: np.ndarray) -> np.ndarray:
    peak = np.abs(sound).max()
    return np.round(sound * (29500 / peak if peak > 29500 else 1)).astype("<i2")


class Heard(NamedTuple):
    words: str
    through: bool
    """Whether the gate lets it through."""
    asked: bool
    """Whether it would be asked which of two it was."""


class Gate:
    """Hears as the bench does, from the recogniser's guesses to what is acted on; voice detector and endpoint apart."""

    def __init__(self, folder: str, root: str = "request") -> None:
        self.folder = Path(folder)
        self.ear = Ear(folder)
        self.ear.grammar(root, None)
        self.root = root
        self.sense = partial(senses(load_english()), "request")
        self.spent = self.seconds = 0.0
        """Processor time that hearing took, and of sound."""

    def __call__(self, sound: np.ndarray) -> Heard:
        begin = time.process_time()
        data = samples(sound).tobytes()
        self.ear.start(self.root)
        for k in range(0, len(data), 6400):
            self.ear.accept(data[k : k + 6400])
        result = self.ear.finish()
        found = likeliest([Guess(*guess) for guess in result["guesses"]], self.sense)
        self.spent += time.process_time() - begin
        self.seconds += len(sound) / RATE
        through = bool(found.words) and not result["unknown"] and found.confidence >= LEAST_CONFIDENCE["vosk"]
        return Heard(found.words, through, through and bool(found.rival))


def spliced(gate: Gate, dev: Development) -> Iterator[str]:
    rows = [r for r in dev.rows if r["kind"] == "spliced_number"]
    for ratio in (None, 10, 5, 0):
        right, kept, asked, wrong, passed = 0, 0, 0, Counter(), 0
        gate.spent = gate.seconds = 0.0
        trials = [(row, i + 1001 * n) for n in range(1 if ratio is None else DRAWS) for i, row in enumerate(rows)]
        for row, number in trials:
            said = gate(dev.mixed(row["path"], ratio, number))
            if plain(said.words) == plain(row["transcript"]):
                right, kept, asked = right + 1, kept + said.through, asked + said.asked
            else:
                wrong[f"{row['transcript']} -> {said.words}"] += 1
                passed += said.through and not said.asked
        name = "clean" if ratio is None else f"{ratio} dB"
        share = f"{right}/{len(trials)} = {100 * right / max(1, len(trials)):.0f} %"
        fate = f"kept {kept}, {asked} of them asked which, wrong and acted on {passed}"
        yield f"spliced numbers {name}: {share}, {fate}, real time {gate.spent / gate.seconds:.3f}"
        yield from (f"    {w}" for w, _ in wrong.most_common(8))


def digits(gate: Gate, dev: Development) -> Iterator[str]:
    right, kept, tried, wrong, asked = Counter(), Counter(), Counter(), Counter(), 0
    for i, row in enumerate(r for r in dev.rows if r["kind"] == "digit"):
        who = row["speaker"] if "fsdd" in row["speaker"] else "speech commands"
        said = gate(dev.mixed(row["path"], None, i))
        tried[who] += 1
        if plain(said.words) == plain(row["transcript"]):
            right[who] += 1
            kept[who] += said.through
            asked += said.asked
        else:
            wrong[row["transcript"], said.words] += 1
    yield f"digits ({asked} asked which): " + ", ".join(f"{w} {right[w]}/{tried[w]}, kept {kept[w]}" for w in tried)
    yield f"    {wrong.most_common(14)}"


def sizes(gate: Gate, dev: Development) -> Iterator[str]:
    """The same where nothing but a size can be said."""
    with TemporaryDirectory() as folder:
        only(gate.folder, "measure.measure", Path(folder) / "sizes")
        alone = Gate(str(Path(folder) / "sizes"))
        for line in (*spliced(alone, dev), *digits(alone, dev)):
            yield f"sizes alone: {line}"


def offgrammar(gate: Gate, dev: Development) -> Iterator[str]:
    for kind in ("order", "wake", "read"):
        rows = [r for r in dev.rows if r["kind"] == kind]
        said = [gate(dev.mixed(r["path"], None, i)) for i, r in enumerate(rows)]
        through = [one.words for one in said if one.through]
        words = sum(bool(one.words) for one in said)
        yield f"off grammar, {kind}: words out of {words}/{len(said)}, through the gate {through}"


def voices(gate: Gate, dev: Development, folder: Path) -> Iterator[str]:
    """Sentences by each voice, so many of each, that ask for one thing: right is what asks for the same."""
    grammar = load_english()
    rows: dict[str, list[tuple[Path, Outcome]]] = defaultdict(list)
    for line in (folder / "manifest.tsv").read_text().splitlines():
        path, text, speaker = line.split("\t")[:3]
        meant = understand_words(grammar, text.split())
        if len(rows[speaker]) < EACH and isinstance(meant, Understood):
            rows[speaker].append((folder / path, meant))
    for speaker, clips in sorted(rows.items()):
        right: Counter[str] = Counter()
        for i, (path, meant) in enumerate(clips):
            for name, ratio in (("clean", None), ("5 dB", 5)):
                said = gate(dev.mixed(str(path.resolve()), ratio, i))
                same = understand_words(grammar, said.words.split()) == meant
                right[name] += same
                right[f"{name} and kept"] += same and said.through
                right[f"{name}, asked which"] += same and said.asked
                right[f"{name}, wrong and acted on"] += not same and said.through and not said.asked
        yield f"{speaker}, {len(clips)}: " + ", ".join(f"{name} {n}" for name, n in right.items())


def noise(gate: Gate, dev: Development) -> Iterator[str]:
    said = []
    for row in dev.noise_rows:
        sound = dev.sound(row["path"])
        said += [gate(sound[k : k + 10 * RATE]) for k in range(0, max(1, len(sound) - RATE // 2), 10 * RATE)]
    through = [one.words for one in said if one.through]
    yield f"noise: words out of {sum(bool(one.words) for one in said)}/{len(said)}, through the gate {through}"


def main(folder: str, speech: str, *parts: str) -> None:
    gate, dev = Gate(folder), Development(Path(speech))
    named = {"spliced": spliced, "digits": digits, "sizes": sizes, "offgrammar": offgrammar, "noise": noise}
    for name, part in named.items():
        if not parts or name in parts:
            for line in part(gate, dev):
                print(line, flush=True)
    for folder_of_voices in parts:
        if folder_of_voices not in named:
            for line in voices(gate, dev, Path(folder_of_voices)):
                print(line, flush=True)
