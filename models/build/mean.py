"""The mean of networks that learned on from one beginning: ``python -m models.build mean OUT.pt TRAINED.pt...``.

It is better than each of them, and in what it is sure of they check each other: those before sequence training (ce.pt)
tell best what was not said, those after it (mmi.pt) hear best (models/LOG.md, run 11). OUT.pt is for ``export``.
"""

from __future__ import annotations

import numpy as np
import torch

from models.build.export import folded, saved


def main(out: str, *trained: str) -> None:
    states, priors = zip(*((folded(state), prior) for state, prior in map(saved, trained)), strict=True)
    state = {k: np.mean([other[k] for other in states], axis=0) for k in states[0]}
    halves = {k: torch.from_numpy(np.asarray(v)).half() for k, v in state.items()}
    torch.save({"state": halves, "prior": torch.from_numpy(np.mean(priors, axis=0)).log().float()}, out)
