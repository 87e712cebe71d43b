"""Fresh noisy sound each step, made on the GPU from packed clips: splicing, speed, room, equalizer, noise, gain."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import soundfile
import torch

RATE = 16000
WINDOW = int(6.4 * RATE)
"""Samples a training window."""
PIECES = 12
"""Spliced parts a window at most."""
SIZE = 1 << 17
"""Samples of the Fourier transform: a window and its echo."""


NUMBERS = frozenset(
    word
    for row in (
        "zero one two three four five six seven eight nine ten eleven twelve",
        "thirteen fourteen fifteen sixteen seventeen eighteen nineteen",
        "twenty thirty forty fifty sixty seventy eighty ninety hundred",
        "half third quarter quarters eighth eighths sixteenth sixteenths foot feet inch inches",
    )
    for word in row.split()
)
MORE, COMMON = 3.0, 400
"""How much oftener a number word is drawn than another as common; above COMMON tokens commoner counts no more."""


@dataclass
class Clip:
    start: int
    """First sample in the bank; a multiple of 160."""
    samples: int
    text: str
    speaker: str
    kind: str
    path: str
    words: list[tuple[str, int, int]] = field(default_factory=list)
    """Word, first and past-last frame of 10 ms, once aligned."""


def decode(path: Path) -> np.ndarray:
    sound, rate = soundfile.read(path, dtype="int16")
    if rate != RATE:
        raise ValueError(f"{path}: {rate} Hz")
    return sound


def load(folders: list[Path], pool: Pool) -> tuple[torch.Tensor, list[Clip]]:
    """Every packed clip in one row of samples, each padded to whole frames."""
    clips: list[Clip] = []
    parts: list[np.ndarray] = []
    at = 0
    for folder in folders:
        index = json.loads((folder / "index.json").read_text())
        files = pool.map(decode, [folder / f"{n:02d}.opus" for n in range(1 + max(row[0] for row in index))])
        for number, start, samples, text, speaker, kind, path in index:
            sound = files[number][start : start + samples]
            sound = np.pad(sound, (0, -len(sound) % 160))
            clips.append(Clip(at, len(sound), text, speaker, kind, path))
            parts.append(sound)
            at += len(sound)
    return torch.from_numpy(np.concatenate(parts)), clips


EACH_NOISE = (60 * RATE, 120 * RATE)
"""Samples of each category of recorded noise, at least and at most. Left as they come, nine tenths would be a kitchen."""


def recorded_noise(bank: torch.Tensor, clips: list[Clip], rng: np.random.RandomState) -> np.ndarray:
    """Every category (a noise clip's speaker) about as long: short clips over and over with rests, parts of long ones."""
    kinds: dict[str, list[np.ndarray]] = {}
    for clip in clips:
        if clip.kind == "noise":
            kinds.setdefault(clip.speaker, []).append(bank[clip.start : clip.start + clip.samples].numpy())
    rows: list[np.ndarray] = []
    least, most = EACH_NOISE
    for _, sounds in sorted(kinds.items()):
        wanted = min(max(sum(map(len, sounds)), least), most)
        while wanted > 0:
            sound = sounds[rng.randint(len(sounds))]
            skip = rng.randint(max(1, len(sound) - 10 * RATE))
            rest = rng.randint(RATE // 2) if len(sound) < 2 * RATE else 0
            rows += [sound[skip : skip + 10 * RATE], np.zeros(rest, np.int16)]
            wanted -= len(rows[-2]) + rest
    return np.concatenate(rows)


def _radio(rng: np.random.RandomState, n: int) -> np.ndarray:
    """Chords, a tune and a beat."""
    sound, beat = np.zeros(n), int(RATE * rng.uniform(0.18, 0.5))
    scale = rng.uniform(90, 180) * 2 ** (np.array([0, 2, 4, 5, 7, 9, 11, 12, 14, 16]) / 12)
    bright, root = rng.uniform(0.5, 2), 0
    for step, at in enumerate(range(0, n - 4 * beat, beat)):
        root = rng.randint(6) if step % 8 == 0 else root
        notes = [
            scale[root] / 2,
            *(scale[[root, root + 2, root + 4]] if step % 2 == 0 else ()),
            2 * scale[rng.randint(10)],
        ]
        t = np.arange(int(beat * rng.choice((1, 1, 2, 4)))) / RATE
        for note in notes:
            tones = [
                np.sin(2 * np.pi * note * h * t + rng.rand() * 6) / h**bright for h in range(1, 9) if note * h < 7000
            ]
            sound[at : at + len(t)] += rng.uniform(0.2, 1) * np.sum(tones, 0) * np.exp(-t * rng.uniform(1, 8))
        if step % 2 == 1 or rng.rand() < 0.3:
            hit = rng.randn(beat) * np.exp(-np.arange(beat) / RATE * rng.uniform(20, 80))
            sound[at : at + beat] += rng.uniform(0.3, 2) * hit
    return sound


def machine_noise(seed: int) -> np.ndarray:
    """Eight seconds of made-up shop: hiss, blade-pass harmonics, arc buzz, blows on plate or a radio."""
    rng = np.random.RandomState(seed)
    n = 8 * RATE
    white = rng.randn(n)
    spectrum = np.fft.rfft(white)
    knots = np.interp(np.linspace(0, 9, len(spectrum)), np.arange(10), 10 ** (rng.uniform(-22, 12, 10) / 20))
    shaped = np.fft.irfft(spectrum * knots, n)
    shaped /= shaped.std()
    kind = rng.randint(7)
    if kind == 0:
        sound = shaped
    elif kind == 6:
        sound = _radio(rng, n) + shaped * 0.05 * rng.rand()
    elif kind in (1, 2, 3):  # A motor or blade: harmonics with wander; 1 is a 120 Hz arc, gated by its half-waves.
        base = 120.0 if kind == 1 else rng.uniform(40, 1100)
        wander = 1 + 0.02 * np.cumsum(rng.randn(n // 1600 + 2)) / 8 * (kind != 1)
        phase = 2 * np.pi * np.cumsum(base * np.interp(np.arange(n) / 1600, np.arange(len(wander)), wander)) / RATE
        tone = sum(
            rng.rand() / h ** rng.uniform(0, 1) * np.sin(h * phase + rng.rand() * 6.28)
            for h in range(1, 1 + int(min(25, 7000 / base)))
        )
        gate = np.abs(np.sin(phase / 2)) ** rng.uniform(1, 4) if kind == 1 else 1.0
        sound = tone / tone.std() * rng.uniform(0.2, 1) + shaped * gate * rng.uniform(0.3, 2)
    else:  # Blows: bursts through a plate's ring.
        sound = np.zeros(n)
        for _ in range(rng.randint(4, 40)):
            m = int(RATE * rng.uniform(0.03, 0.5))
            t = np.arange(m) / RATE
            blow = rng.randn(m) * np.exp(-t * rng.uniform(20, 200))
            for _ in range(rng.randint(0, 7)):
                blow += (
                    2 * rng.rand() * np.sin(2 * np.pi * rng.uniform(300, 7000) * t) * np.exp(-t * rng.uniform(5, 60))
                )
            s = rng.randint(n - m)
            sound[s : s + m] += blow * rng.rand()
        sound += shaped * 0.03 * rng.rand()
    if rng.rand() < 0.3:  # Bearing down and letting off.
        sound = sound * np.interp(np.arange(n), np.linspace(0, n, 12), rng.uniform(0.1, 1, 12))
    return (sound / (np.abs(sound).max() + 1e-9) * 30000).astype(np.int16)


SHARES = {
    "libri": 0.14,
    "commands": 0.13,
    "nonnative": 0.04,
    "orders": 0.03,
    "syn": 0.18,
    "neural": 0.22,
    "joined": 0.08,
    "words": 0.14,
    "noise": 0.04,
}
"""Windows by source. "words" are single words of the language cut out of people's and the neural voices' sentences and
strung together."""
OURS = ("commands", "syn", "neural", "joined", "words", "noise")
"""Sources in which nothing but words of the language is said, or nothing at all."""
MIXED = 0.5
"""Share of "words" windows whose words come from many speakers: the rarer words have few."""
Plan = tuple[str, list[tuple[int, int, int, float]]]
"""Source, and the pieces of one window: start in it, start in the bank, samples in the window, speed."""


def group(kind: str) -> str:
    named = {"speech-commands": "commands", "speechocean762-train": "nonnative"}
    return named.get(kind, kind if kind in ("noise", "orders", "syn", "neural", "joined") else "libri")


class Mixer:
    """Windows of sound and their labels."""

    def __init__(self, bank: torch.Tensor, clips: list[Clip], noise: torch.Tensor, real: int, vocabulary: set[str]):
        """``noise``: one row of samples, the recorded up to ``real``, then the made-up."""
        self.bank, self.clips, self.noise, self.real = bank, clips, noise, real
        self.by_group: dict[str, list[int]] = {}
        self.by_speaker: dict[str, list[int]] = {}
        self.tokens: dict[str, list[tuple[int, int]]] = {}
        self.by_word: dict[str, list[tuple[int, int]]] = {}
        for i, clip in enumerate(clips):
            g = group(clip.kind)
            if g != "noise" and not clip.words:
                continue
            self.by_group.setdefault(g, []).append(i)
            self.by_speaker.setdefault(clip.speaker, []).append(i)
            if g in ("libri", "nonnative", "commands", "neural", "joined"):
                for word, s, e in clip.words:
                    if word in vocabulary and e - s > 9:
                        token = (clip.start + s * 160, (e - s) * 160)
                        self.tokens.setdefault(clip.speaker, []).append(token)
                        self.by_word.setdefault(word, []).append(token)
        self.tokens = {k: v for k, v in self.tokens.items() if len(v) > 5}
        self.many = [(k, len(v)) for k, v in self.tokens.items()]
        self.words = list(self.by_word)
        self.word_weights = [
            min(len(self.by_word[w]), COMMON) ** 0.5 * (MORE if w in NUMBERS else 1) for w in self.words
        ]
        here = {k: v for k, v in SHARES.items() if k in self.by_group or (k == "words" and self.tokens)}
        self.groups, self.weights = list(here), list(here.values())
        self.frequencies = torch.linspace(0, RATE / 2, SIZE // 2 + 1, device=bank.device)

    def plans(self, rng: random.Random, count: int) -> list[Plan]:
        """Windows by source in their shares, those of OURS first, as many of them every time."""
        ours = sum(w for g, w in zip(self.groups, self.weights, strict=True) if g in OURS) / sum(self.weights)
        first = round(count * ours)
        return [self._plan(rng, (i < first)) for i in range(count)]

    def _plan(self, rng: random.Random, ours: bool) -> Plan:
        pieces: list[tuple[int, int, int, float]] = []
        g = rng.choices(
            self.groups, [w * ((g in OURS) == ours) for g, w in zip(self.groups, self.weights, strict=True)]
        )[0]
        mixed = rng.random() < MIXED
        speed = rng.choice((1.0, 1.0, rng.uniform(0.82, 1.22), rng.uniform(0.9, 1.1)))
        at = int(rng.uniform(0, 0.5) * RATE)
        if g == "words":
            speaker = rng.choices([k for k, _ in self.many], [min(n, 40) for _, n in self.many])[0]
        elif g != "noise":
            speaker = self.clips[rng.choice(self.by_group[g])].speaker
        for _ in range(PIECES):
            if at > WINDOW - RATE // 4:
                break
            if g == "words":
                known = self.by_word[rng.choices(self.words, self.word_weights)[0]] if mixed else self.tokens[speaker]
                start, n = rng.choice(known)
                edge = int(rng.uniform(0, 0.04) * RATE)
                start, n = max(0, start - edge), n + 2 * edge
            else:
                clip = self.clips[rng.choice(self.by_group[g] if g == "noise" else self.by_speaker[speaker])]
                start, n = clip.start, clip.samples
                if g == "commands":
                    first = max(0, clip.words[0][1] - rng.randint(1, 10)) * 160
                    last = min(n, (clip.words[-1][2] + rng.randint(1, 10)) * 160)
                    start, n = start + first, last - first
                elif n > WINDOW * speed and rng.random() < 0.8:
                    skip = rng.randrange(int(n - WINDOW * speed * 0.8)) // 160 * 160
                    start, n = start + skip, n - skip
            n = min(int(n / speed), WINDOW - at)
            pieces.append((at, start, n, speed))
            at += n + int((rng.uniform(0, 0.12) if g == "words" else rng.uniform(0, 0.7)) * RATE)
            if g in ("syn", "neural", "joined", "words", "commands") and rng.random() < 0.12:
                break
        return g, pieces

    def batch(self, plans: list[Plan]) -> tuple[torch.Tensor, torch.Tensor]:
        """Clean windows (float, 16-bit scale) and where each sample comes from in the bank (-1: nowhere)."""
        device = self.bank.device
        table = np.zeros((len(plans), PIECES, 4))
        table[:, :, 0] = WINDOW * 2
        for i, (_source, pieces) in enumerate(plans):
            table[i, : len(pieces)] = pieces
        pieces_on = torch.tensor(table, device=device)
        t = torch.arange(WINDOW, device=device)[None]
        source = torch.full((len(plans), WINDOW), -1.0, device=device, dtype=torch.float64)
        for p in range(max(len(pieces) for _source, pieces in plans)):
            into, start, n, speed = (pieces_on[:, p, k : k + 1] for k in range(4))
            inside = (t >= into) & (t < into + n)
            source = torch.where(inside, start + (t - into) * speed, source)
        here = source >= 0
        whole = source.clamp(min=1).floor()
        f = (source.clamp(min=1) - whole).float()
        i = whole.long().clamp(1, len(self.bank) - 3)
        a, b, c, d = (self.bank[i + k].float() for k in (-1, 0, 1, 2))
        value = b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
        return torch.where(here, value, 0.0), torch.where(here, source.long().clamp(max=len(self.bank) - 1), -1)

    def mixed(self, sound: torch.Tensor, rng: np.random.RandomState) -> torch.Tensor:
        """Equalizer, room, noise, gain; rounded to 16-bit samples."""
        device, n = sound.device, len(sound)

        def uniform(low: float, high: float) -> torch.Tensor:
            return torch.tensor(rng.uniform(low, high, (n, 1)), device=device, dtype=torch.float32)

        def sometimes(chance: float) -> torch.Tensor:
            return torch.tensor(rng.rand(n, 1) < chance, device=device)

        def curve(spread: float) -> torch.Tensor:
            knots = np.cumsum(rng.uniform(-spread, spread, (n, 10)), 1) * (rng.rand(n, 1) < 0.75)
            knots = torch.tensor(10 ** (knots / 20), device=device, dtype=torch.float32)
            return torch.nn.functional.interpolate(knots[:, None], SIZE // 2 + 1, mode="linear", align_corners=True)[
                :, 0
            ]

        response = curve(4.0).to(torch.complex64)
        f = self.frequencies[None]
        band = (f < uniform(3300, 4000)) & (f > uniform(50, 300))
        response = torch.where(sometimes(0.2), response * band, response)
        decay, wet = uniform(0.06, 0.55) * RATE, uniform(0.05, 0.75)
        t = torch.arange(SIZE // 8, device=device)[None]
        tail = torch.randn(n, SIZE // 8, device=device) * torch.exp(-6.9 * t / decay)
        tail = tail / tail.pow(2).sum(1, keepdim=True).sqrt() * wet
        tail[:, 0] = 1
        response = torch.where(sometimes(0.4), response * torch.fft.rfft(tail, SIZE), response)
        sound = torch.fft.irfft(torch.fft.rfft(sound, SIZE) * response, SIZE)[:, :WINDOW]
        peak = sound.abs().amax(1, keepdim=True)
        active = (sound.abs() > 0.02 * peak) & (peak > 0)
        power = (sound.pow(2) * active).sum(1, keepdim=True) / active.sum(1, keepdim=True).clamp(min=1)
        level = torch.where(peak > 30, power.sqrt(), torch.full_like(power, 500.0))
        real = rng.rand(n) < 0.5
        starts = np.where(
            real, rng.randint(0, self.real - 2 * WINDOW, n), rng.randint(self.real, len(self.noise) - 2 * WINDOW, n)
        )
        steps = torch.arange(WINDOW, device=device)[None] * uniform(0.75, 1.35)
        noise = self.noise[torch.tensor(starts, device=device)[:, None] + steps.long()].float()
        noise = torch.fft.irfft(torch.fft.rfft(noise, SIZE) * curve(3.0), SIZE)[:, :WINDOW]
        noise = noise / (noise.pow(2).mean(1, keepdim=True).sqrt() + 1e-3)
        noise = noise + torch.where(sometimes(0.3), noise.roll(1, 0) * uniform(0.2, 1.0), torch.zeros_like(noise))
        draw = rng.rand(n, 1)
        ratio = np.where(
            draw < 0.22,
            rng.uniform(28, 60, (n, 1)),
            np.where(draw < 0.58, rng.uniform(8, 28, (n, 1)), rng.uniform(-5, 8, (n, 1))),
        )
        ratio_on = torch.tensor(10 ** (-ratio / 20), device=device, dtype=torch.float32)
        noise = torch.where(sometimes(0.05), torch.zeros_like(noise), noise * level * ratio_on)
        hiss = torch.randn_like(sound) * level * 10 ** (-uniform(40, 75) / 20)
        mixed = sound + noise + torch.where(sometimes(0.1), torch.zeros_like(hiss), hiss)
        mixed = mixed * (32000 * 10 ** (-uniform(0.5, 32) / 20) / (mixed.abs().amax(1, keepdim=True) + 1e-3))
        return mixed.round()
