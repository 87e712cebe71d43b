"""A narrower network that is grown says what it said: the folder's own scores are what it is held against."""

from __future__ import annotations

from pathlib import Path

import pytest

torch = pytest.importorskip("torch", reason="the model extra is not installed")

from models.build.earlier import grown, network  # noqa: E402
from models.build.network import BOTTLENECK, Network, padded  # noqa: E402

FOLDER = Path(__file__).parents[2] / "models/en"


def cut(net: Network, bottleneck: int) -> Network:
    """Some network of the same outputs with narrower bottlenecks, taken out of one that has learned."""
    narrow = Network(len(net.out.bias), len(net.first.weight), bottleneck)
    state = net.state_dict()
    for name, weights in state.items():
        if name.startswith("down."):
            state[name] = weights[:bottleneck]
        elif name.startswith("up."):
            state[name] = weights.view(len(weights), 3, -1)[:, :, :bottleneck].flatten(1)
    narrow.load_state_dict(state)
    return narrow.eval()


def test_grown_says_the_same() -> None:
    narrow = cut(network(FOLDER)[0], 64)
    wide = grown(narrow)
    assert len(wide.down[0].weight) == BOTTLENECK
    features = padded(torch.randn(1, 60, 40, generator=torch.Generator().manual_seed(1)))
    with torch.no_grad():
        assert torch.allclose(wide(features), narrow(features), atol=1e-3)


def test_what_is_new_can_learn() -> None:
    wide = grown(cut(network(FOLDER)[0], 64))
    wide(padded(torch.randn(1, 60, 40, generator=torch.Generator().manual_seed(1)))).sum().backward()
    grad = wide.up[0].weight.grad.view(-1, 3, BOTTLENECK)[:, :, 64:]
    assert grad.abs().max() > 0


def test_what_is_wide_enough_stays() -> None:
    net = network(FOLDER)[0]
    assert grown(net) is net
