"""What the right words compete with in sequence training: every string of words of the language.

A hidden Markov model of units: each word's pronunciations, a pause or none between words, and which word follows which
as in usual requests, half and half with any word at all (so that no slip is out of the question).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import torch

ANY = 0.5
"""Share of word pairs taken as if each word were as likely as another."""


LEAST = -30.0
"""A unit is taken as no less likely than this below the likeliest of its frame: single precision ends at -87."""


class WordLoop:
    def __init__(
        self,
        ways: dict[str, list[list[int]]],
        sentences: Iterable[list[str]],
        device: torch.device,
    ) -> None:
        """``ways`` gives each word's pronunciations in units; ``sentences`` are usual ones, for the pairs."""
        words = sorted(ways)
        number = {word: i for i, word in enumerate(words)}
        units, first, last, owner, share = [], [], [], [], []
        for word in words:
            for way in ways[word]:
                first.append(len(units))
                units += way
                last.append(len(units) - 1)
                owner.append(number[word])
                share.append(1 / len(ways[word]))
        self.silent = len(units)
        self.unit = torch.tensor([*units, 0], device=device)
        self.first, self.last = torch.tensor(first, device=device), torch.tensor(last, device=device)
        self.owner, self.share = torch.tensor(owner, device=device), torch.tensor(share, device=device)
        inner = torch.ones(len(units) + 1, device=device)
        inner[self.first] = 0
        inner[self.silent] = 0
        self.inner = inner
        pairs = torch.zeros(len(words), len(words))
        alone = torch.zeros(len(words))
        for sentence in sentences:
            known = [number[w] for w in sentence if w in number]
            for a, b in zip(known[:-1], known[1:], strict=True):
                pairs[a, b] += 1
            for a in known:
                alone[a] += 1
        even = 1 / len(words)
        self.usual = ((1 - ANY) * alone / alone.sum() + ANY * even).to(device)
        followed = (pairs + alone[None] / alone.sum()) / (pairs.sum(1, keepdim=True) + 1)
        self.follow = ((1 - ANY) * followed.to(device) + ANY * even).contiguous()
        begin = torch.full((len(units) + 1,), 0.5 / len(units), device=device)
        begin[self.silent] = 0.5
        self.begin = begin

    def total(self, score: torch.Tensor) -> torch.Tensor:
        """Batch x time x units of log likelihoods: the log of all strings' likelihood together, a frame."""
        highest = score.amax(2).detach()
        likely = (score - highest[:, :, None]).clamp(min=LEAST).exp().index_select(2, self.unit)
        state = likely[:, 0] * self.begin
        norm = state.sum(1) + 1e-20
        logs = [norm.log()]
        state = state / norm[:, None]
        for t in range(1, score.shape[1]):
            half = 0.5 * state
            ended = torch.zeros(len(half), len(self.usual), device=half.device).index_add(
                1, self.owner, half.index_select(1, self.last)
            )
            begun = 0.5 * ended @ self.follow + half[:, self.silent :] * self.usual
            moved = torch.nn.functional.pad(half[:, :-1], (1, 0)) * self.inner
            into = (half + moved).index_add(1, self.first, begun.index_select(1, self.owner) * self.share)
            pause = torch.nn.functional.pad(0.5 * ended.sum(1, keepdim=True), (self.silent, 0))
            state = (into + pause) * likely[:, t]
            norm = state.sum(1) + 1e-20
            logs.append(norm.log())
            state = state / norm[:, None]
        return torch.stack(logs, 1) + highest


def spelled(
    words: Iterable[str], said: dict[str, list[str]], unit: Callable[[int, int, int], int], phone: dict[str, int]
) -> dict[str, list[list[int]]]:
    """Words' pronunciations in units; words that nobody has told how to say are left out."""
    found: dict[str, list[list[int]]] = {}
    for word in words:
        for way in said.get(word, []):
            around = [0, *(phone[p] for p in way.split()), 0]
            found.setdefault(word, []).append([unit(*around[i : i + 3]) for i in range(len(around) - 2)])
    return found
