"""Networks that learned on, tempered: ``python -m models.build mean OUT.pt KEPT FOLDER TRAINED.pt...``.

The mean of the trained ones, alike, and of what they began from, a model folder, whose share is KEPT: what has learned
sequences is sure of whatever it takes for the likeliest words, and what came before tells that they were not said
(models/LOG.md, runs 11 and 13). At a low learning rate nothing of it need be kept (run 21). OUT.pt is for ``export``.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch

from models.build import earlier
from models.build.export import folded, saved


def main(out: str, kept: str, folder: str, *trained: str) -> None:
    began, _units, log_prior = earlier.network(Path(folder))
    began = earlier.grown(began)
    networks = [({k: v.double().numpy() for k, v in began.state_dict().items()}, np.exp(log_prior.double().numpy()))]
    networks += map(saved, trained)
    shares = [float(kept), *((1 - float(kept)) / len(trained) for _ in trained)]
    states = [folded(state) for state, _prior in networks]
    state = {k: np.average([other[k] for other in states], axis=0, weights=shares) for k in states[0]}
    prior = np.average([prior for _state, prior in networks], axis=0, weights=shares)
    halves = {k: torch.from_numpy(np.asarray(v)).half() for k, v in state.items()}
    torch.save({"state": halves, "prior": torch.from_numpy(prior).log().float()}, out)
