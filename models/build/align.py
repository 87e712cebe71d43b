"""Phone times by the best path of a known text through the network's scores, many clips at once on the GPU."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import torch

from models.build.lexicon import PHONE, SILENCE, spoken


@dataclass
class Chain:
    """States of one text: optional silence, then each word in any of its pronunciations."""

    phone: list[int]
    before: list[list[int]]
    """By state: the states it may come from, itself first."""
    word: list[int]
    """By state: number of the word, -1 for silence."""
    left: list[int]
    right: list[int]
    """The phones beside it in its word; 0 at its edges."""
    ends: list[int]
    first: list[int]
    """States a path may begin in."""


def output_frames(samples: int) -> int:
    """Frames that the network gives for so many samples, the last of them begun."""
    return ((samples - 400) // 160 + 1 + 2) // 3


def chain(text: str, said: dict[str, list[str]]) -> Chain:
    made = Chain([SILENCE], [[0]], [-1], [0], [0], [0], [0])
    for number, word in enumerate(spoken(text)):
        ends = []
        for way in said[word]:
            phones = [PHONE[p] for p in way.split()]
            before = list(made.ends)
            for i, phone in enumerate(phones):
                state = len(made.phone)
                made.phone.append(phone)
                made.before.append([state, *before])
                made.word.append(number)
                made.left.append(phones[i - 1] if i else 0)
                made.right.append(phones[i + 1] if i + 1 < len(phones) else 0)
                if number == 0 and i == 0:
                    made.first.append(state)
                before = [state]
            ends += before
        state = len(made.phone)
        made.phone.append(SILENCE)
        made.before.append([state, *ends])
        made.word.append(-1)
        made.left.append(0)
        made.right.append(0)
        made.ends = [*ends, state]
    return made


def viterbi(scores: torch.Tensor, lengths: list[int], chains: list[Chain]) -> list[tuple[np.ndarray, float]]:
    """Batch x time x phones of log scores: for each clip its state by frame, and the mean score a frame."""
    device, b = scores.device, len(chains)
    states = max(len(c.phone) for c in chains)
    ways = max(len(x) for c in chains for x in c.before)
    phone = np.zeros((b, states), int)
    before = np.full((b, states, ways), states)
    start = np.full((b, states + 1), -1e9, np.float32)
    for i, c in enumerate(chains):
        phone[i, : len(c.phone)] = c.phone
        for s, x in enumerate(c.before):
            before[i, s, : len(x)] = x
        start[i, c.first] = 0
    emitted = scores.gather(2, torch.tensor(phone, device=device)[:, None].expand(-1, scores.shape[1], -1))
    before_on = torch.tensor(before, device=device)
    flat = before_on.reshape(b, -1)
    best = torch.tensor(start, device=device)
    best[:, :states] += emitted[:, 0]
    back = torch.zeros(scores.shape[1], b, states, dtype=torch.uint8, device=device)
    ended = torch.full((b, states + 1), -1e9, device=device)
    until = torch.tensor(lengths, device=device)
    for t in range(1, scores.shape[1]):
        value, way = best.gather(1, flat).view(b, states, ways).max(2)
        back[t] = way.to(torch.uint8)
        new = torch.full_like(best, -1e9)
        new[:, :states] = value + emitted[:, t]
        best = torch.where((t < until)[:, None], new, best)
    ended = best.cpu().numpy()
    back_here = back.cpu().numpy()
    found = []
    for i, c in enumerate(chains):
        state = max(c.ends, key=lambda s: ended[i, s])
        total = ended[i, state] / lengths[i]
        path = np.zeros(lengths[i], int)
        for t in range(lengths[i] - 1, -1, -1):
            path[t] = state
            if t:
                state = before[i, state, back_here[t, i, state]]
        found.append((path, float(total)))
    return found
