"""Pronunciations in the CMU dictionary's 39 phones: its own, a few of ours, and a guesser for the rest. The words of
measurements have phones of their own, in the sound of those.

The dictionary is the one in the pocketsphinx package (BSD); the guesser's weights are those of the g2p-en package
(Apache-2.0), run here in numpy. ``python -m models.build lexicon HUMAN SYN OUT.json`` writes every training word's.
"""

from __future__ import annotations

import csv
import importlib.util
import json
import re
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np

from assistant.hearing.graph import sounds
from assistant.language.grammar import load_english

PHONES = [
    "AA",
    "AE",
    "AH",
    "AO",
    "AW",
    "AY",
    "B",
    "CH",
    "D",
    "DH",
    "EH",
    "ER",
    "EY",
    "F",
    "G",
    "HH",
    "IH",
    "IY",
    "JH",
    "K",
    "L",
    "M",
    "N",
    "NG",
    "OW",
    "OY",
    "P",
    "R",
    "S",
    "SH",
    "T",
    "TH",
    "UH",
    "UW",
    "V",
    "W",
    "Y",
    "Z",
    "ZH",
]
SILENCE = 0

OURS: dict[str, tuple[str, ...]] = {
    "fifteenths": ("F IH F T IY N TH S", "F IH F T IY N S"),
    "twelfth": ("T W EH L F TH",),
    "twelfths": ("T W EH L F TH S", "T W EH L F S"),
    "hundredths": ("HH AH N D R AH D TH S", "HH AH N D R AH T S"),
    "crossmember": ("K R AO S M EH M B ER",),
    "skosh": ("S K OW SH",),
    "miter": ("M AY T ER",),
    "and": ("AH N D", "AE N D", "AH N"),
    "in": ("IH N", "AH N"),
    "into": ("IH N T UW", "IH N T AH", "AH N T AH"),
    "divide": ("D IH V AY D", "D AH V AY D"),
    "divided": ("D IH V AY D IH D", "D AH V AY D AH D"),
    "gage": ("G EY JH",),
    "thou": ("TH AW",),
    "thousandths": ("TH AW Z AH N D TH S", "TH AW Z AH N S"),
    "fifths": ("F IH F TH S",),
    "sixths": ("S IH K S TH S",),
    "mil": ("M IH L",),
    "inch": ("IH N CH",),
}
"""Words said otherwise than the dictionary has it, as heard in ordinary speech (common practice, no source)."""

NUMBERS: dict[str, tuple[str, ...]] = {
    "one": ("W AH N",),
    "two": ("T UW",),
    "three": ("TH R IY",),
    "four": ("F AO R",),
    "five": ("F AY V",),
    "six": ("S IH K S",),
    "seven": ("S EH V AH N",),
    "eight": ("EY T",),
    "nine": ("N AY N",),
    "ten": ("T EH N",),
    "eleven": ("IH L EH V AH N", "IY L EH V AH N"),
    "twelve": ("T W EH L V",),
    "thirteen": ("TH ER T IY N",),
    "fourteen": ("F AO R T IY N",),
    "fifteen": ("F IH F T IY N",),
    "sixteen": ("S IH K S T IY N",),
    "seventeen": ("S EH V AH N T IY N",),
    "eighteen": ("EY T IY N",),
    "nineteen": ("N AY N T IY N",),
    "twenty": ("T W EH N T IY", "T W EH N IY", "T W AH N IY", "T W EH N D IY"),
    "thirty": ("TH ER D IY", "TH ER T IY"),
    "forty": ("F AO R T IY", "F AO R D IY"),
    "fifty": ("F IH F T IY",),
    "sixty": ("S IH K S T IY",),
    "seventy": ("S EH V AH N T IY", "S EH V AH N IY", "S EH V AH N D IY"),
    "eighty": ("EY T IY", "EY D IY"),
    "ninety": ("N AY N T IY", "N AY N IY", "N AY N D IY"),
    "eighth": ("EY T TH", "EY TH"),
    "eighths": ("EY T TH S", "EY TH S", "EY T S"),
    "sixteenth": ("S IH K S T IY N TH",),
    "sixteenths": ("S IH K S T IY N TH S", "S IH K S T IY N S"),
    "quarter": ("K W AO R T ER", "K W AO R D ER"),
    "quarters": ("K W AO R T ER Z", "K W AO R D ER Z"),
    "half": ("HH AE F",),
    "hundred": ("HH AH N D R AH D", "HH AH N D R IH D", "HH AH N ER D", "HH AH N D ER D"),
}
"""Ways to say the words of measurements, the dictionary's and ours. Each word's phones are its own (word-dependent
phones, as K.-F. Lee has them for the shortest words in "Automatic Speech Recognition", 1989, from memory): the "n" of
"nineteen" can then be told from that of "ninety" by all that stands around it. The trained network knows the phones by
their number: one more wants a new network."""


def own_phones(word: str, way: str) -> str:
    """A pronunciation in the word's own phones, where it has some: "N.nine AY.nine N.nine2"."""
    if word not in NUMBERS:
        return way
    owner = word.removesuffix("s")  # "eighths" is "eighth" and an "s" more
    seen: Counter[str] = Counter()
    named = []
    for phone in way.split():
        seen[phone] += 1
        named.append(f"{phone}.{owner}{seen[phone] if seen[phone] > 1 else ''}")
    return " ".join(named)


NAMES = [
    "SIL",
    *PHONES,
    *dict.fromkeys(phone for word, ways in NUMBERS.items() for way in ways for phone in own_phones(word, way).split()),
]
"""Of all phones by number: silence, those that all words share, then those of one word alone."""
PHONE = {phone: number for number, phone in enumerate(NAMES)}
SOUND = sounds(NAMES)
"""By number of a phone: the shared phone that sounds like it."""


@cache
def dictionary() -> dict[str, tuple[str, ...]]:
    """Words to pronunciations ("B R EY S", "S.six IH.six K.six S.six2"), from the CMU dictionary."""
    found = importlib.util.find_spec("pocketsphinx")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("install pocketsphinx: its package carries the dictionary")
    words: dict[str, tuple[str, ...]] = {}
    for line in (Path(found.origin).parent / "model/en-us/cmudict-en-us.dict").read_text().splitlines():
        word, said = line.split(" ", 1)
        word = re.sub(r"\(\d+\)$", "", word)
        words[word] = (*words.get(word, ()), said.strip())
    words |= OURS | NUMBERS
    return {word: tuple(own_phones(word, way) for way in ways) for word, ways in words.items()}


class Guesser:
    """Letters to phones: the encoder-decoder GRU of g2p-en."""

    letters = ("<pad>", "<unk>", "</s>", *"abcdefghijklmnopqrstuvwxyz")
    symbols = (
        "<pad>",
        "<unk>",
        "<s>",
        "</s>",
        *[
            "AA0",
            "AA1",
            "AA2",
            "AE0",
            "AE1",
            "AE2",
            "AH0",
            "AH1",
            "AH2",
            "AO0",
            "AO1",
            "AO2",
            "AW0",
            "AW1",
            "AW2",
            "AY0",
            "AY1",
            "AY2",
            "B",
            "CH",
            "D",
            "DH",
            "EH0",
            "EH1",
            "EH2",
            "ER0",
            "ER1",
            "ER2",
            "EY0",
            "EY1",
            "EY2",
            "F",
            "G",
            "HH",
            "IH0",
            "IH1",
            "IH2",
            "IY0",
            "IY1",
            "IY2",
            "JH",
            "K",
            "L",
            "M",
            "N",
            "NG",
            "OW0",
            "OW1",
            "OW2",
            "OY0",
            "OY1",
            "OY2",
            "P",
            "R",
            "S",
            "SH",
            "T",
            "TH",
            "UH0",
            "UH1",
            "UH2",
            "UW",
            "UW0",
            "UW1",
            "UW2",
            "V",
            "W",
            "Y",
            "Z",
            "ZH",
        ],
    )

    def __init__(self) -> None:
        found = importlib.util.find_spec("g2p_en")
        if found is None or not found.submodule_search_locations:
            raise ModuleNotFoundError("install g2p-en: it guesses words the dictionary lacks")
        self.weights = dict(np.load(Path(found.submodule_search_locations[0]) / "checkpoint20.npz"))

    def _step(self, x: np.ndarray, h: np.ndarray, side: str) -> np.ndarray:
        w = self.weights
        into = x @ w[f"{side}_w_ih"].T + w[f"{side}_b_ih"]
        kept = h @ w[f"{side}_w_hh"].T + w[f"{side}_b_hh"]
        n = len(h)
        reset, update = (1 / (1 + np.exp(-(into[i : i + n] + kept[i : i + n]))) for i in (0, n))
        new = np.tanh(into[2 * n :] + reset * kept[2 * n :])
        return (1 - update) * new + update * h

    def __call__(self, word: str) -> str:
        ids = [self.letters.index(c) if c in self.letters else 1 for c in word] + [2]
        h = np.zeros(self.weights["enc_w_hh"].shape[1], np.float32)
        for i in ids:
            h = self._step(self.weights["enc_emb"][i], h, "enc")
        said, last = [], 2
        for _ in range(20):
            h = self._step(self.weights["dec_emb"][last], h, "dec")
            last = int((h @ self.weights["fc_w"].T + self.weights["fc_b"]).argmax())
            if last == 3:
                break
            said.append(self.symbols[last].rstrip("012"))
        return " ".join(p for p in said if p in PHONES)


def pronunciations(lexicon: Path) -> dict[str, list[str]]:
    """Each word's ways to be said, as ``main`` wrote them; none where nobody could tell."""
    return {word: [way for way in ways if way] for word, ways in json.loads(lexicon.read_text()).items()}


def spoken(text: str) -> list[str]:
    """A transcript's words."""
    digits = {"8": "eight", "12": "twelve", "16": "sixteen", "20": "twenty"}
    plain = " ".join(digits.get(w.strip(".,"), w) for w in text.lower().replace("-", " ").split())
    return re.sub(r"[^a-z' ]", " ", plain).split()


def main(human: str, syn: str, out: str) -> None:
    texts = [
        row["transcript"]
        for row in csv.DictReader(open(f"{human}/manifest.tsv"), delimiter="\t", quoting=csv.QUOTE_NONE)
    ] + [line.split("\t")[1] for line in open(f"{syn}/manifest.tsv")]
    known, guess = dictionary(), Guesser()
    words = load_english().words | {word for text in texts for word in spoken(text)}
    said = {word: known.get(word) or (guess(word.replace("'", "")),) for word in sorted(words)}
    Path(out).write_text(json.dumps(said))
    print(len(said), "words,", sum(w not in known for w in said), "guessed")
