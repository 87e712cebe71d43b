"""A trained network as a Vosk model folder: ``python -m models.build export TRAINED.pt UNITS.json FOLDER [SCALE]``.

The folder's scores are those of the finished network (tests/models checks 1e-3).
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
import torch

from models.build import kaldi
from models.build.graph import rebuild
from models.build.lexicon import NAMES
from models.build.network import COEFFICIENTS, CONTEXT, DILATIONS, FIRST, NORM_FLOOR, RESIDUAL

MFCC = (
    "--use-energy=false --num-mel-bins=40 --num-ceps=40 --low-freq=20 --high-freq=7600 --allow-upsample=true "
    "--allow-downsample=true --dither=0"
)
DECODER = (
    "--min-active=200 --max-active=2000 --beam=19.0 --lattice-beam=11.0 --acoustic-scale={scale} --phone-determinize=false "
    "--frame-subsampling-factor=3 --frames-per-chunk=90 --endpoint.silence-phones=1 --endpoint.rule2.min-trailing-silence=0.5 "
    "--endpoint.rule3.min-trailing-silence=1.0 --endpoint.rule4.min-trailing-silence=2.0"
)
"""Dither off: the same sound gives the same words. Beams: narrower, what was said was pruned away in one sentence of a
hundred, and no later weighing brought it back; few active states hold down what wide ones cost in noise (models/LOG.md,
after run 25). The phones of other talk may follow each other in any order: made one way a row of phones before one way a row of
words, as is the library's habit, the lattice of five seconds of talk took ten. Chunks of 0.9 s: the network goes
through all its weights for each, and with 0.6 s the search takes 0.045 of a core for 0.038; with the library's own 0.2 s
two thirds more than that."""
SCALE = 0.36
"""Of the sounds against the prices. At 0.3 what is usual won over what had been said, at 0.5 words were made up at the
edges of a sentence (models/LOG.md, run 24). The beams, and what other talk costs in graph.py, go with it."""
PRIOR_POWER = 0.55
"""Of the units' chances, by which the search divides the network's. At 1, as learned, what is rare (the "n" of
"nineteen") gains so much that a breath of noise brings it up: models/LOG.md, run 12."""
SILENCE_PART = 0.3
"""Of silence's chance to that power. In noise the network is never as sure of silence as of a phone, and words were made
up before and after a sentence: models/LOG.md, run 16."""

NOISE_LOWERED = 20.0
"""dB by which noise is lowered at most before the sound is searched: models/LOG.md, run 17."""


def folded(state: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    """A network's state with its norms, and the features' own, folded into the matrices before them."""
    done = dict(state)

    def fold(norm: str, name: str, weights: np.ndarray, bias: np.ndarray | float) -> None:
        gain = state[f"{norm}.weight"] / np.sqrt(state[f"{norm}.running_var"] + NORM_FLOOR)
        done[name] = weights * gain[:, None]
        done[f"{norm}.bias"] = (bias - state[f"{norm}.running_mean"]) * gain + state[f"{norm}.bias"]
        done[f"{norm}.weight"], done[f"{norm}.running_mean"] = np.ones_like(gain), np.zeros_like(gain)
        done[f"{norm}.running_var"] = np.full_like(gain, 1 - NORM_FLOOR)

    first = state["first.weight"].reshape(-1, FIRST, COEFFICIENTS) / state["deviation"]
    shift = -(first * state["mean"]).sum((1, 2))
    fold("first_norm", "first.weight", first.reshape(len(first), -1), shift)
    done["mean"], done["deviation"] = np.zeros(COEFFICIENTS), np.ones(COEFFICIENTS)
    for i in range(len(DILATIONS)):
        fold(f"norm.{i}", f"up.{i}.weight", state[f"up.{i}.weight"], 0.0)
    return done


def finished(state: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    """A network's state as it ships: folded, and the matrices rounded to a byte an element, all but the first."""
    after = {"out.weight"} | {f"{name}.{i}.weight" for name in ("down", "up") for i in range(len(DILATIONS))}
    return {k: kaldi.rounded(v) if k in after else v for k, v in folded(state).items()}


def network(state: dict[str, np.ndarray]) -> tuple[list[str], list[tuple[str, bytes]]]:
    """Description lines and components of a finished state."""

    def beside(name: str, step: int) -> str:
        return f"Append(Offset({name}, {-step}), {name}, Offset({name}, {step}))"

    width, outputs = len(state["first.weight"]), len(state["out.bias"])
    seen = ", ".join("input" if i == 0 else f"Offset(input, {i})" for i in range(-(FIRST // 2), FIRST // 2 + 1))
    nodes = ["input-node name=input dim=40"]
    parts: list[tuple[str, bytes]] = []

    def add(name: str, part: bytes, fed: str) -> None:
        parts.append((name, part))
        nodes.append(f"component-node name={name} component={name} input={fed}")

    add("affine0", kaldi.affine(state["first.weight"], state["first_norm.bias"], exact=True), f"Append({seen})")
    add("relu0", kaldi.nonlinear("RectifiedLinearComponent", width), "affine0")
    now, fed = "relu0", "relu0"
    for i, step in enumerate(DILATIONS):
        narrow = state[f"down.{i}.weight"]
        add(f"narrow{i + 1}", kaldi.affine(narrow, np.zeros(len(narrow))), fed)
        add(
            f"affine{i + 1}",
            kaldi.affine(state[f"up.{i}.weight"], state[f"norm.{i}.bias"]),
            beside(f"narrow{i + 1}", 3 * step),
        )
        add(f"relu{i + 1}", kaldi.nonlinear("RectifiedLinearComponent", width), f"affine{i + 1}")
        fed = f"Sum(Scale({RESIDUAL}, {now}), relu{i + 1})"
        now = f"relu{i + 1}"
    add("affine_out", kaldi.affine(state["out.weight"], state["out.bias"]), fed)
    add("log_softmax", kaldi.nonlinear("LogSoftmaxComponent", outputs), "affine_out")
    nodes.append("output-node name=output input=log_softmax objective=linear")
    return nodes, parts


def saved(trained: str) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """A saved network's state and its priors, as chances."""
    found = torch.load(trained, map_location="cpu", weights_only=True)
    return {k: v.double().numpy() for k, v in found["state"].items()}, np.exp(found["prior"].double().numpy())


def trained_state(trained: str) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """A saved network, finished, and its priors."""
    state, prior = saved(trained)
    return finished(state), prior


def main(trained: str, units: str, folder: str, scale: str = str(SCALE)) -> None:
    state, prior = trained_state(trained)
    own = json.loads(Path(units).read_text())
    target = Path(folder)
    for part in ("am", "conf", "graph"):
        (target / part).mkdir(parents=True, exist_ok=True)
    outputs = [0] + [u for u in range(1, len(own)) for _ in range(4)]
    nodes, parts = network(state)
    divisors = prior**PRIOR_POWER
    divisors[0] *= SILENCE_PART
    (target / "am/final.mdl").write_bytes(kaldi.model(outputs, nodes, parts, CONTEXT, divisors))
    (target / "conf/mfcc.conf").write_text(MFCC.replace(" ", "\n") + "\n")
    (target / "conf/model.conf").write_text(DECODER.format(scale=scale).replace(" ", "\n") + "\n")
    divided = {"prior_power": PRIOR_POWER, "silence_part": SILENCE_PART}
    about = {"strict_graph": True, "noise_lowered": NOISE_LOWERED, **divided, "phones": NAMES, "units": own}
    (target / "tapehand.json").write_text(json.dumps(about) + "\n")
    rebuild(folder)
    print(len(own), "units", file=sys.stderr)
