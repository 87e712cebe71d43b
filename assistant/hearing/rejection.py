"""How surely the words a recogniser found were said: its own network asked again, phone by phone.

For our own model (tapehand.json with "strict_graph"). The recogniser must fit every sound to some sentence of the
grammar; here each phone of that sentence is compared with the best phone of any kind in the same frames. Talk that is
not for us, and noise, lose much; a well heard measurement loses little. Needs numpy alone.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from assistant.hearing.graph import Lexicon, about, owner, sounds

__all__ = ["Fit", "Rejector", "expanded", "mfcc"]

Floats = npt.NDArray[np.float32]
States = npt.NDArray[np.int64]

RATE, FRAME, SHIFT, FFT, COEFFICIENTS = 16000, 400, 160, 512, 40
LOW, HIGH, LIFTER, PREEMPHASIS, FLOOR = 20.0, 7600.0, 22.0, 0.97, 1.1920929e-07
RESIDUAL = 0.66
MOST_LOSS = 1.07
"""Nats a frame at which confidence is one half, the least that the bench acts on, of words that no other talk comes
near. It and the next two were chosen on 1,238 sentences heard right by voices outside training, of which 1,214 are
kept, 700 sentences of other talk by these (38 pass, most such as "at half past eight") and the development sets (of 246
clips of other talk none passes, of 128 of noise none). At 1.12 something was acted on out of an hour's talk:
models/LOG.md, "What is asked again"."""
NEAR_TALK, PER_NEARER = 10.0, 0.03
"""Nats in the search. Where talk that is not for us, or nothing said, is nearer behind the words than this, so much
less may be lost for each."""
LONGEST_PHONE = 13
"""Frames of 30 ms that a phone of the words lasts at most, the mean of all of them. No right sentence of the
development sets is slower, if a lone digit is not counted; the words that a noise is taken for last 10 to 30."""
MOST_LOSS_OF_LIKELY = 1.5
"""The same where a question was just asked: its short replies ("eighths", "two") lose more, and less else is said. And
where nothing but number words was said and all are sure: lone digits lose more, too."""
SURE = -2.75
"""Mean log chance of a word's own phones from which it is sure. Of the number words that other talk and noise came out
as none was above -3.3; of lone digits heard right, eight in ten are sure."""
LEAST_LIKELY = 4.0
"""Nats a frame that are lost at most: one sound that came out quite differently is no proof against the others."""
STEEPNESS = 6.0
LEAST_SURE = 1e-4
"""Chance of a word's own phones, at least, in a frame: as in LEAST_LIKELY."""


def _tables() -> tuple[Floats, Floats, Floats]:
    """Window, mel triangles and lifted cosines of Kaldi's MFCC (feat/feature-window.cc, mel-computations.cc)."""
    window = (0.5 - 0.5 * np.cos(2 * math.pi * np.arange(FRAME) / (FRAME - 1))) ** 0.85
    mel = 1127 * np.log(1 + np.arange(FFT // 2) * RATE / FFT / 700)
    low, high = (1127 * math.log(1 + f / 700) for f in (LOW, HIGH))
    step = (high - low) / (COEFFICIENTS + 1)
    filters = np.zeros((FFT // 2 + 1, COEFFICIENTS))
    for i in range(COEFFICIENTS):
        rising, falling = (mel - low - i * step) / step, (low + (i + 2) * step - mel) / step
        filters[:-1, i] = np.clip(np.minimum(rising, falling), 0, None)
    n = np.arange(COEFFICIENTS)
    cosines = math.sqrt(2 / COEFFICIENTS) * np.cos(math.pi / COEFFICIENTS * np.outer(n + 0.5, n))
    cosines[:, 0] = math.sqrt(1 / COEFFICIENTS)
    cosines *= 1 + LIFTER / 2 * np.sin(math.pi * n / LIFTER)
    return window.astype(np.float32), filters.astype(np.float32), cosines.astype(np.float32)


_WINDOW, _FILTERS, _COSINES = _tables()


def mfcc(samples: npt.NDArray[np.int16]) -> Floats:
    """Kaldi's 40 MFCC of 16 kHz samples without dither, frames x 40; empty under 25 ms."""
    if len(samples) < FRAME:
        return np.zeros((0, COEFFICIENTS), np.float32)
    sound = samples.astype(np.float32)
    frames = np.lib.stride_tricks.sliding_window_view(sound, FRAME)[::SHIFT]
    frames = frames - frames.mean(1, keepdims=True)
    emphasized = frames - PREEMPHASIS * np.concatenate([frames[:, :1], frames[:, :-1]], 1)
    spectrum = np.fft.rfft(emphasized * _WINDOW, FFT)
    power = (spectrum.real**2 + spectrum.imag**2).astype(np.float32)
    cepstra: Floats = np.log(np.maximum(power @ _FILTERS, FLOOR)) @ _COSINES
    return cepstra


class _Reader:
    """Kaldi's binary values, read in order."""

    def __init__(self, data: bytes) -> None:
        self.data, self.at = data, 0

    def find(self, mark: bytes) -> bool:
        """Go past the next mark; False where there is none."""
        found = self.data.find(mark, self.at)
        self.at = found + len(mark) if found >= 0 else self.at
        return found >= 0

    def integer(self) -> int:
        value: int = struct.unpack_from("<i", self.data, self.at + 1)[0]
        self.at += 5
        return value

    def vector(self) -> Floats:
        self.find(b"FV ")
        return self._floats(self.integer())

    def _floats(self, count: int) -> Floats:
        """Copied, lest all of the file stays in memory for them."""
        self.at += 4 * count
        read: Floats = np.frombuffer(self.data, "<f4", count, self.at - 4 * count).copy()
        return read

    def matrix(self) -> Floats:
        """Single precision (FM), or a byte an element on a scale of four marks a column (CM)."""
        if self.data[self.at : self.at + 3] == b"FM ":
            self.at += 3
            rows, columns = self.integer(), self.integer()
            return self._floats(rows * columns).reshape(rows, columns)
        self.find(b"CM ")
        low, span, rows, columns = struct.unpack_from("<ffii", self.data, self.at)
        marks = np.frombuffer(self.data, "<u2", 4 * columns, self.at + 16).reshape(columns, 4)
        levels = np.frombuffer(self.data, np.uint8, rows * columns, self.at + 16 + 8 * columns)
        self.at += 16 + 8 * columns + rows * columns
        scale = low + marks.T.astype(np.float32) * np.float32(span / 65535)
        return expanded(scale, levels.reshape(columns, rows).T)


def expanded(marks: Floats, levels: npt.NDArray[np.uint8]) -> Floats:
    """Levels (rows x columns, 0 to 255) on the scale of four marks a column (4 x columns), as Kaldi's CM has it."""
    least, quarter, upper, most = marks
    below, between, above = (quarter - least) / 64, (upper - quarter) / 128, (most - upper) / 63
    level = levels.astype(np.float32)
    scaled: Floats = least + level * below
    scaled += np.maximum(level - 64, 0) * (between - below)
    scaled += np.maximum(level - 192, 0) * (above - between)
    return scaled


class Layer(NamedTuple):
    """A linear layer of the network."""

    weights: Floats
    """Rows (out) x columns (in). In single precision they take 33 MB more than in bytes as stored; expanded anew for
    each utterance they took more time than all that is worked out with them."""
    bias: Floats


class Fit(NamedTuple):
    """How well words fit a sound."""

    loss: float
    """How much likelier the best phones (silence is one) were than those of the words, in nats a frame, the mean over
    the words' phones."""
    weakest: float
    """Of words with phones of their own, the least sure: the mean log chance of its phones. 0 where none has any."""
    numbers: bool
    """Whether all words have phones of their own."""
    phones: int = 1
    """How many the words have."""

    @property
    def lost(self) -> float:
        """By all phones together, each counting the same however long it lasts."""
        return self.loss * self.phones

    def confidence(self, reply: bool = False, talk: float = math.inf) -> float:
        """0 to 1. ``reply``: the words answer a question. ``talk``: nats in the search by which it is less
        likely that it was talk not for us, or nothing."""
        likely = reply or (self.numbers and self.weakest > SURE)
        most = MOST_LOSS_OF_LIKELY if likely else MOST_LOSS - PER_NEARER * max(0.0, NEAR_TALK - talk)
        return 1 / (1 + math.exp((self.loss - most) * STEEPNESS))


class Rejector:
    """Our model's network and pronunciations, for judging what was heard with it."""

    def __init__(self, folder: Path) -> None:
        """Read a model folder.

        Raises:
            OSError, ValueError, KeyError, struct.error: where a file is missing or is not what it should be.
        """
        self.lexicon = Lexicon.read(folder)
        reader = _Reader((folder / "am" / "final.mdl").read_bytes())
        self.steps = self._dilations(reader.data)
        self.layers: list[Layer] = []
        while reader.find(b"<LinearParams> "):
            weights = reader.matrix()
            reader.find(b"<BiasParams> ")
            self.layers.append(Layer(weights, reader.vector()))
        reader.find(b"<Priors> ")
        divisors, said_of = reader.vector(), about(folder)
        divisors[0] /= np.float32(said_of["silence_part"])
        self.log_prior = np.log(divisors) / np.float32(said_of["prior_power"])
        """By unit: how often it is said. The recogniser has this to the power of "prior_power", and of silence's a part
        alone: it hears better so, but fits words of one frame a phone to a noise, and those would come off too well
        here."""
        self.phone = np.array(sounds(self.lexicon.phones))[[phone for _, phone, _ in self.lexicon.units]]
        """By unit: its phone, a word's own as the shared one that sounds like it; 0 is silence."""
        self.phones = np.eye(self.phone.max() + 1, dtype=np.float32)[self.phone]
        words = [owner(self.lexicon.phones[phone]) for _, phone, _ in self.lexicon.units]
        owning = sorted(set(words) - {""})
        self.owner = np.array([owning.index(word) if word else -1 for word in words])
        """By unit: the number of the word that has its phone to itself; -1 for a shared one."""
        self.owners = np.eye(len(owning) + 1, dtype=np.float32)[self.owner][:, :-1]

    @staticmethod
    def _dilations(data: bytes) -> list[int]:
        """Each layer's reach in output frames, from the network's own description."""
        steps = []
        layer = 1
        while (at := data.find(f"Offset(narrow{layer}, -".encode())) >= 0:
            steps.append(int(data[at : at + 60].split(b"-", 1)[1].split(b")", 1)[0]) // 3)
            layer += 1
        return steps

    def log_probabilities(self, samples: npt.NDArray[np.int16]) -> Floats:
        """Each unit's log probability by frame of 30 ms, as the recogniser has it."""
        features = mfcc(samples)
        if not len(features):
            return np.zeros((0, len(self.log_prior)), np.float32)
        wanted = (len(features) + 2) // 3
        reach = sum(self.steps)
        count = wanted + 2 * reach
        middle = 3 * (np.arange(count) - reach)
        index = np.clip(middle[:, None] + np.arange(-3, 4)[None], 0, len(features) - 1)
        first, last = self.layers[0], self.layers[-1]
        now = np.maximum(features[index].reshape(count, -1) @ first.weights.T + first.bias, 0)
        fed = now
        for i, step in enumerate(self.steps):
            narrow = fed @ self.layers[1 + 2 * i].weights.T
            wide = self.layers[2 + 2 * i]
            n = len(narrow) - 2 * step
            joined = np.concatenate([narrow[:n], narrow[step : step + n], narrow[2 * step :]], 1)
            before, now = now[step : step + n], np.maximum(joined @ wide.weights.T + wide.bias, 0)
            fed = now + RESIDUAL * before
        scores = fed @ last.weights.T + last.bias
        top = scores.max(1, keepdims=True)
        result: Floats = scores - top - np.log(np.exp(scores - top).sum(1, keepdims=True))
        return result

    def fits(self, samples: npt.NDArray[np.int16], texts: Sequence[str]) -> list[Fit | None]:
        """By text; None where the words do not fit (too short, too long, a word unknown)."""
        fits: list[Fit | None] = [None] * len(texts)
        known = [n for n, text in enumerate(texts) if text and all(w in self.lexicon.ways for w in text.split())]
        if not known:
            return fits
        chances = self.log_probabilities(samples)
        if not len(chances):
            return fits
        units, chain = self._chains([texts[n].split() for n in known])
        paths = _best_paths((chances - self.log_prior)[:, units], chain)
        by_unit = np.exp(chances)
        # By phone, not by unit: of a vowel drawn out, another unit of the same phone may be the likelier.
        likely = by_unit @ self.phones + np.finfo(np.float32).tiny
        best = likely.max(1)
        surely = np.log(np.maximum(by_unit @ self.owners, LEAST_SURE))
        for n, path in zip(known, paths, strict=True):
            lost = None if path is None else self._lost(likely, best, units, path)
            if lost:
                weakest = self._weakest(surely, units[path], chain.word[path])
                fits[n] = Fit(float(np.mean(lost)), *weakest, len(lost))
        return fits

    def _lost(self, likely: Floats, best: Floats, units: States, path: States) -> list[float]:
        """By phone, nats a frame; empty where they last too long."""
        said_phone = self.phone[units[path]]
        lost = np.log(best / likely[np.arange(len(likely)), said_phone])
        lost = np.minimum(lost, LEAST_LIKELY)
        edges = np.flatnonzero(np.diff(path, prepend=-1))
        spans = [(a, b) for a, b in zip(edges, [*edges[1:], len(path)], strict=True) if said_phone[a]]
        if np.mean([b - a for a, b in spans]) > LONGEST_PHONE:
            return []
        return [float(lost[a:b].mean()) for a, b in spans]

    def _weakest(self, surely: Floats, units: States, word: States) -> tuple[float, bool]:
        """As in Fit, and whether all words are such."""
        whose = self.owner[units]
        own = np.flatnonzero(whose >= 0)
        if not len(own):
            return 0.0, False
        number = word[own] - word[own].min()
        frames = np.bincount(number)
        sums = np.bincount(number, surely[own, whose[own]])
        said = len(np.unique(word[self.phone[units] > 0]))
        return float((sums[frames > 0] / frames[frames > 0]).min()), said == np.count_nonzero(frames)

    def _chains(self, rows: Sequence[Sequence[str]]) -> tuple[States, _Chain]:
        """States of each row of words with optional silence, one row's after another's: their units, and how they
        follow each other."""
        units: list[int] = []
        words: list[int] = []
        before: list[list[int]] = []
        first: list[int] = []
        ends: list[list[int]] = []
        count = 0

        def state(unit: int, came: Sequence[int]) -> int:
            new = len(units)
            units.append(unit)
            words.append(count)
            before.append([new, *came])
            return new

        for said in rows:
            came = [state(0, [])]
            first += came
            for number, word in enumerate(said):
                reached = []
                count += 1
                for way in self.lexicon.ways[word]:
                    last = came
                    for i, unit in enumerate(self.lexicon.spelled(way)):
                        last = [state(unit, last)]
                        if number == 0 and i == 0:
                            first += last
                    reached += last
                came = [*reached, state(0, reached)]
            ends.append(came)
        return np.array(units), _Chain(before, first, ends, np.array(words))


class _Chain(NamedTuple):
    before: list[list[int]]
    """By state: those it may come from, itself first."""
    first: list[int]
    """Where a path may begin."""
    ends: list[list[int]]
    """By text: where its path may end."""
    word: States
    """By state: the number of its word, or of the word before its silence."""


def _best_paths(scores: Floats, chain: _Chain) -> list[States | None]:
    """By text: the state of each frame on the best way through its states; None where there are too few frames."""
    states, ways = len(chain.before), max(len(b) for b in chain.before)
    table = np.full((states, ways), states)
    for state, came in enumerate(chain.before):
        table[state, : len(came)] = came
    best = np.full(states + 1, -np.inf, np.float32)
    best[chain.first] = scores[0, chain.first]
    back = np.zeros((len(scores), states), np.int32)
    row = np.arange(states)
    for t in range(1, len(scores)):
        options = best[table]
        way = options.argmax(1)
        back[t] = table[row, way]
        best[:states] = options[row, way] + scores[t]
    return [_traced(back, max(ends, key=lambda s: float(best[s])), best) for ends in chain.ends]


def _traced(back: npt.NDArray[np.int32], end: int, best: Floats) -> States | None:
    if not np.isfinite(best[end]):
        return None
    path = np.zeros(len(back), np.int64)
    state = end
    for t in range(len(back) - 1, -1, -1):
        path[t] = state
        state = int(back[t, state])
    return path
