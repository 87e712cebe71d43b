"""A model in Tapehand's own format as a network in PyTorch: it gives the first phone times to train a new one with, or
learns on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import torch

from assistant.hearing.rejection import Rejector
from models.build.lexicon import NAMES
from models.build.network import BOTTLENECK, DILATIONS, NORM_FLOOR, Network, padded

SEED = 7
"""Of the rows that are new in a wider network, so that those grown alike can be averaged."""


def network(folder: Path) -> tuple[Network, list[list[int]], torch.Tensor]:
    """The network of a model folder, its units as (phone before, phone, phone after), and their log priors.

    The folder has each batch norm folded into its layer; here the norms only add the layer's bias.

    Raises:
        ValueError: the network is not of the shape that is trained here, or has other phones.
    """
    read = Rejector(folder)
    units = [list(unit) for unit in read.lexicon.units]
    weights = [torch.tensor(layer.weights.copy()) for layer in read.layers]
    biases = [torch.tensor(layer.bias.copy()) for layer in read.layers]
    if read.lexicon.phones != NAMES:
        raise ValueError(f"{folder} has other phones")
    if tuple(read.steps) != DILATIONS:
        raise ValueError(f"{folder} has layers {read.steps}, not {list(DILATIONS)}")
    net = Network(len(units), width=len(weights[0]), bottleneck=len(weights[1]))
    linear = [net.first, *(layer for pair in zip(net.down, net.up, strict=True) for layer in pair), net.out]
    with torch.no_grad():
        for layer, weight in zip(linear, weights, strict=True):
            layer.weight.copy_(weight)
        net.out.bias.copy_(biases[-1])
        for norm, bias in zip(net.norms, [biases[0], *biases[2:-1:2]], strict=True):
            norm.running_var.fill_(1 - NORM_FLOOR)
            norm.bias.copy_(bias)
    return net.eval(), units, torch.tensor(read.log_prior.copy())


def grown(net: Network) -> Network:
    """The same network with bottlenecks of BOTTLENECK. It says the same until it learns: nothing that is new is
    listened to yet."""
    narrow = len(net.down[0].weight)
    more = BOTTLENECK - narrow
    if more <= 0:
        return net
    wide = Network(len(net.out.bias), len(net.first.weight)).to(net.mean.device)
    rng = torch.Generator().manual_seed(SEED)
    state = net.state_dict()
    for name, weights in state.items():
        if name.startswith("down."):
            new = torch.randn(more, weights.shape[1], generator=rng).to(weights) * weights.std()
            state[name] = torch.cat([weights, new])
        elif name.startswith("up."):
            by_frame = weights.view(len(weights), 3, narrow)
            state[name] = torch.cat([by_frame, by_frame.new_zeros(len(weights), 3, more)], 2).flatten(1)
    wide.load_state_dict(state)
    return wide.train(net.training)


def by_phone(scores: torch.Tensor, phone: torch.Tensor) -> torch.Tensor:
    """Unit scores before the softmax to log probabilities of phones; ``phone`` gives each unit's."""
    logs = torch.log_softmax(scores.float(), 2)
    return torch.stack([torch.logsumexp(logs[:, :, phone == p], 2) for p in range(len(NAMES))], 2)


def judge(net: Network, own: list[list[int]], log_prior: torch.Tensor) -> Callable[[torch.Tensor], torch.Tensor]:
    """A network's log likelihoods of phones for MFCC; ``own`` and ``log_prior`` are its units' phones and priors."""
    net.eval()
    phone = torch.tensor([p for _before, p, _after in own], device=log_prior.device)
    base = log_prior.new_zeros(len(NAMES)).index_add_(0, phone, log_prior.exp()).log()
    return lambda features: by_phone(net(padded(features)), phone) - base
