"""The acoustic network: a factored TDNN with residuals, 42 frames (0.42 s) of context on each side."""

from __future__ import annotations

import torch
from torch import nn

WIDTH, BOTTLENECK, COEFFICIENTS = 1024, 224, 40
FIRST = 7
"""Frames the first layer sees."""
DILATIONS = (1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2)
"""By layer, in output frames of 30 ms."""
CONTEXT = FIRST // 2 + 3 * sum(DILATIONS)
RESIDUAL = 0.66
NORM_FLOOR = 1e-5
"""Added to a batch norm's variance: PyTorch's own."""


def normalized(norm: nn.BatchNorm1d, x: torch.Tensor) -> torch.Tensor:
    return norm(x.reshape(-1, x.shape[-1])).reshape(x.shape)


class Network(nn.Module):
    """Normalized MFCC, padded by CONTEXT frames at both ends, to a score a unit each 30 ms."""

    def __init__(self, outputs: int, width: int = WIDTH, bottleneck: int = BOTTLENECK) -> None:
        super().__init__()
        self.register_buffer("mean", torch.zeros(COEFFICIENTS))
        self.register_buffer("deviation", torch.ones(COEFFICIENTS))
        self.first = nn.Linear(FIRST * COEFFICIENTS, width, bias=False)
        self.first_norm = nn.BatchNorm1d(width)
        self.down = nn.ModuleList(nn.Linear(width, bottleneck, bias=False) for _ in DILATIONS)
        self.up = nn.ModuleList(nn.Linear(3 * bottleneck, width, bias=False) for _ in DILATIONS)
        self.norm = nn.ModuleList(nn.BatchNorm1d(width) for _ in DILATIONS)
        self.out = nn.Linear(width, outputs)
        self.dropout = nn.Dropout(0.1)

    @property
    def norms(self) -> list[nn.BatchNorm1d]:
        """In the order they are gone through."""
        return [self.first_norm, *self.norm]

    def forward(self, features: torch.Tensor) -> torch.Tensor:
        x = (features - self.mean) / self.deviation
        seen = x.unfold(1, FIRST, 3).transpose(2, 3).reshape(x.shape[0], -1, FIRST * COEFFICIENTS)
        now, before = torch.relu(normalized(self.first_norm, self.first(seen))), None
        for down, up, norm, d in zip(self.down, self.up, self.norm, DILATIONS, strict=True):
            narrow = down(now if before is None else now + RESIDUAL * before)
            n = narrow.shape[1] - 2 * d
            joined = torch.cat([narrow[:, :n], narrow[:, d : d + n], narrow[:, 2 * d :]], 2)
            before, now = now[:, d : d + n], self.dropout(torch.relu(normalized(norm, up(joined))))
        return self.out(now + RESIDUAL * before)


def padded(features: torch.Tensor) -> torch.Tensor:
    """First and last frames repeated, as the decoder does."""
    first, last = features[:, :1], features[:, -1:]
    return torch.cat([first.expand(-1, CONTEXT, -1), features, last.expand(-1, CONTEXT, -1)], 1)
