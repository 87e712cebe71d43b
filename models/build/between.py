"""A network part of the way from a model folder's to one that learned on from it:
``python -m models.build between FOLDER TRAINED.pt PART OUT.pt``.

What the one learned of sequences and the other of new voices and noises is mostly kept by both (models/LOG.md, run 10).
PART is 0 for the folder's, 1 for the trained one's. OUT.pt is for ``export``.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch

from models.build.earlier import network
from models.build.export import folded, saved


def main(folder: str, trained: str, part: str, out: str) -> None:
    share = float(part)
    net, _units, prior = network(Path(folder))
    one = folded({k: v.double().numpy() for k, v in net.state_dict().items()})
    state, chances = saved(trained)
    other = folded(state)
    mixed = {k: torch.from_numpy(np.asarray((1 - share) * one[k] + share * other[k])) for k in one}
    priors = (1 - share) * prior.double().exp() + share * torch.from_numpy(chances)
    torch.save({"state": {k: v.half() for k, v in mixed.items()}, "prior": priors.log().float()}, out)
