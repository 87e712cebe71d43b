"""Sentences put together from one speaker's own sounds: unit selection over half phones (Hunt and Black, ICASSP 1996).

What stood together in the recording costs nothing, other joins cost by how different the sound is, and a half phone
costs more where its neighbors were others. The cheapest row of half phones is found by dynamic programming.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from models.build.lexicon import PHONE, PHONES, SILENCE

RATE = 16000
EDGE = RATE // 20
"""Samples of the silence around that are taken along."""
FADE = 64
"""Samples over which one piece gives way to the next, on either side of the join."""
CANDIDATES = 80
"""Of each half phone, those with the best neighbors."""
JOIN, ACROSS, NEIGHBOR, ALIKE, FAR = 1.0, 2.5, 2.5, 1.0, 0.3
"""Costs of a join in a phone, of one between two phones, of a neighbor that is another phone, of one of its kind, and how
much the neighbor of the phone's other half counts. A join costs as much again for half of each deviation by which the
sound changes."""
HURRY, SLOWER = 0.5, 0.3
"""Cost of a phone for each time e that it is shorter than is usual for it and this much more: stories are read faster
than a tape."""
CHOICE = 0.2
"""Costs are off by so much at random, so that not every sentence is made of the same few pieces."""
SAID_ALIKE = (
    *("P T K B D G", "F TH S SH CH HH", "V DH Z ZH JH", "M N NG", "L R W Y"),
    *("IY IH EY EH AE", "AA AO AH OW UH UW"),
)


@dataclass
class Speaker:
    """One speaker's phones in order. Clips begin and end in silence."""

    sound: np.ndarray
    """Samples, each clip as loud."""
    phone: np.ndarray
    """0 is silence."""
    start: np.ndarray
    """First sample of each phone; the last's end stands behind."""
    edges: np.ndarray
    """By half phone: the sound where it begins, any number of measures, in deviations."""
    middle: np.ndarray
    """Sample between a phone's halves."""
    follows: np.ndarray
    """By phone: whether it comes right after the one before."""


_KIND = -1 - np.arange(len(PHONES) + 1)
"""By phone: which of those said alike it is one of; each of the others is alone."""
for _number, _row in enumerate(SAID_ALIKE):
    _KIND[[PHONE[phone] for phone in _row.split()]] = _number


def _other(wanted: int, has: np.ndarray) -> np.ndarray:
    """What neighbors cost that stand where another is wanted."""
    return np.where(has == wanted, 0.0, np.where(_KIND[has] == _KIND[wanted], ALIKE, NEIGHBOR))


class Selection:
    """Puts rows of phones together from one speaker's."""

    def __init__(self, speaker: Speaker) -> None:
        self.speaker = speaker
        self.where = {int(p): np.flatnonzero(speaker.phone == p) for p in np.unique(speaker.phone)}
        self.length = np.diff(speaker.start)
        self.before = np.where(speaker.follows, np.roll(speaker.phone, 1), SILENCE)
        self.after = np.where(np.roll(speaker.follows, -1), np.roll(speaker.phone, -1), SILENCE)

    def say(self, phones: list[int], rng: np.random.RandomState) -> tuple[np.ndarray, float] | None:
        """The sound of a row of phones that begins and ends in silence, and its mean cost a half phone; None where this
        speaker never says one of them."""
        # From the second half of the first silence to the first half of the last.
        wanted = [(i, half) for i in range(len(phones)) for half in (0, 1)][1:-1]
        rows: list[np.ndarray] = []
        costs: list[np.ndarray] = []
        for i, half in wanted:
            found = self.where.get(phones[i])
            if found is None:
                return None
            cost = self._unlike(found, half, phones[max(0, i - 1)], phones[min(i + 1, len(phones) - 1)])
            cost += CHOICE * rng.rand(len(found))
            best = np.argsort(cost)[:CANDIDATES]
            rows.append(2 * found[best] + half)
            costs.append(cost[best])
        total = costs[0]
        back: list[np.ndarray] = []
        edges = self.speaker.edges
        for (_i, half), a, b, cost in zip(wanted[1:], rows[:-1], rows[1:], costs[1:], strict=True):
            # How the sound would have gone on, and how it goes on.
            change = np.abs(edges[np.minimum(a + 1, len(edges) - 1)][:, None] - edges[b][None]).mean(2)
            joined = (ACROSS if half == 0 else JOIN) * (0.5 + change)
            joined[(a + 1)[:, None] == b[None]] = 0.0
            whole = total[:, None] + joined
            way = whole.argmin(0)
            back.append(way)
            total = whole[way, np.arange(len(b))] + cost
        at = int(total.argmin())
        mean = float(total[at]) / len(wanted)
        chosen = [int(rows[-1][at])]
        for way, row in zip(back[::-1], rows[-2::-1], strict=True):
            at = int(way[at])
            chosen.append(int(row[at]))
        return self._sound(chosen[::-1]), mean

    def _unlike(self, found: np.ndarray, half: int, before: int, after: int) -> np.ndarray:
        """What these phones' halves cost between two others."""
        left, right = _other(before, self.before[found]), _other(after, self.after[found])
        length = np.maximum(self.length[found], 1)
        hurried = HURRY * np.maximum(0, np.log(np.median(length) / length) + SLOWER)
        return hurried + (left + FAR * right if half == 0 else right + FAR * left)

    def _sound(self, halves: list[int]) -> np.ndarray:
        """Pieces of halves that stood together, one fading into the next."""
        pieces: list[tuple[int, int]] = []
        for n, half in enumerate(halves):
            k, second = divmod(half, 2)
            a, b = (
                (self.speaker.middle[k], self.speaker.start[k + 1])
                if second
                else (self.speaker.start[k], self.speaker.middle[k])
            )
            if n == 0:
                a = max(a, b - EDGE)
            elif n == len(halves) - 1:
                b = min(b, a + EDGE)
            if n and halves[n - 1] + 1 == half:
                pieces[-1] = (pieces[-1][0], int(b))
            else:
                pieces.append((int(a), int(b)))
        sound = np.zeros(0, np.float32)
        ramp = np.linspace(0, 1, 2 * FADE, dtype=np.float32)
        for a, b in pieces:
            a, b = max(0, a - FADE), min(len(self.speaker.sound), b + FADE)
            piece = self.speaker.sound[a:b].copy()
            if len(sound) and len(piece) > 4 * FADE and len(sound) > 2 * FADE:
                sound[-2 * FADE :] = sound[-2 * FADE :] * (1 - ramp) + piece[: 2 * FADE] * ramp
                piece = piece[2 * FADE :]
            sound = np.concatenate([sound, piece])
        return sound
