"""An earlier model in Tapehand's own format, run in PyTorch: it gives the first phone times to train a new one with."""

from __future__ import annotations

import json
from pathlib import Path

import torch

from assistant.hearing.rejection import RESIDUAL, Rejector
from models.build.lexicon import PHONES
from models.build.network import FIRST


class Earlier:
    """MFCC, batch x frames x 40, to log likelihoods of the 39 phones and silence each 30 ms."""

    def __init__(self, folder: Path, device: torch.device) -> None:
        judge = Rejector(folder)
        self.layers = [
            (torch.tensor(layer.weights.copy(), device=device), torch.tensor(layer.bias.copy(), device=device))
            for layer in judge.layers
        ]
        self.steps = judge.steps
        units = json.loads((folder / "tapehand.json").read_text())["units"]
        self.phone = torch.tensor([phone for _before, phone, _after in units], device=device)
        prior = torch.tensor(judge.log_prior.copy(), device=device).exp()
        self.prior = prior.new_zeros(len(PHONES) + 1).index_add_(0, self.phone, prior).log()

    def __call__(self, features: torch.Tensor) -> torch.Tensor:
        edge = FIRST // 2 + 3 * sum(self.steps)
        first, last = features[:, :1], features[:, -1:]
        x = torch.cat([first.expand(-1, edge, -1), features, last.expand(-1, edge, -1)], 1)
        seen = x.unfold(1, FIRST, 3).transpose(2, 3).reshape(len(x), -1, FIRST * x.shape[2])
        weights, bias = self.layers[0]
        now = fed = torch.relu(seen @ weights.T + bias)
        for i, step in enumerate(self.steps):
            narrow = fed @ self.layers[1 + 2 * i][0].T
            weights, bias = self.layers[2 + 2 * i]
            n = narrow.shape[1] - 2 * step
            joined = torch.cat([narrow[:, :n], narrow[:, step : step + n], narrow[:, 2 * step :]], 2)
            before, now = now[:, step : step + n], torch.relu(joined @ weights.T + bias)
            fed = now + RESIDUAL * before
        weights, bias = self.layers[-1]
        return by_phone(fed @ weights.T + bias, self.phone) - self.prior


def by_phone(scores: torch.Tensor, phone: torch.Tensor) -> torch.Tensor:
    """Unit scores before the softmax to log probabilities of phones; ``phone`` gives each unit's."""
    logs = torch.log_softmax(scores.float(), 2)
    return torch.stack([torch.logsumexp(logs[:, :, phone == p], 2) for p in range(len(PHONES) + 1)], 2)
