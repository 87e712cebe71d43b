"""A model folder's language model, learned from what is usually said: ``python -m models.build language_model FOLDER``.

Writes graph/language_model.npz for ``assistant.hearing.language_model``. Four minutes on a GPU (a second argument is the
seconds that it learns). Needed again when the grammar or grammars/en/asked.txt has changed: a way of asking that it has
not learned is taken for another more easily, and a word that is new in the graph costs as much as a rare one.
"""

from __future__ import annotations

import math
import os
import random
import time
from collections.abc import Iterator, Mapping
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from assistant.hearing.arc_costs import said_in_all
from assistant.hearing.language_model import END, FILE
from assistant.hearing.rescoring import numbered
from assistant.language.grammar import load_english
from models.build.graph import sampled

SENTENCES, PARTS = 8_000_000, 48
LONGEST = 26
"""Words of a sentence at most."""
EMBEDDED, HIDDEN = 64, 128
"""With 192, 256, and two layers of 512 no more is heard right (models/LOG.md)."""
NEW_SHARE = 0.005
"""Of words taken for one that is not known."""
SECONDS = 240.0
BATCH, RATE, WARM = 2048, 3e-3, 200
HELD_OUT = 5_000
_NOTHING = -1
"""Behind a sentence's end."""


def said(rng: random.Random, count: int) -> Iterator[str]:
    """About so many sentences."""
    return said_in_all(rng, partial(sampled, load_english()), count)


def in_rows(part: int, words: list[str], count: int) -> np.ndarray:
    """Sentences, a row each: their beginning, their words' numbers, and their end."""
    numbers = {word: number for number, word in enumerate(words, 1)}
    rows = np.full((count, LONGEST + 2), _NOTHING, np.int16)
    kept = 0
    for sentence in said(random.Random(part), count):
        row = [numbers[word] for word in sentence.split()]
        if len(row) <= LONGEST:
            rows[kept, : len(row) + 2] = [len(words) + 2, *row, END]
            kept += 1
    return rows[:kept]


def write(folder: Path, words: list[str], network: Mapping[str, np.ndarray]) -> None:
    """As ``assistant.hearing.language_model`` reads it; its matrices in bytes."""
    packed = {"words": np.frombuffer("\n".join(words).encode(), np.uint8)}
    for name, weights in network.items():
        if weights.ndim == 2:
            scale = np.maximum(np.abs(weights).max(1), 1e-9) / 127
            packed[name] = np.round(weights / scale[:, None]).astype(np.int8)
            packed[f"{name}_scale"] = scale.astype(np.float32)
        else:
            packed[name] = weights.astype(np.float16)
    np.savez_compressed(folder / "graph" / FILE, **packed)


def learned(words: list[str], rows: np.ndarray, seconds: float) -> dict[str, np.ndarray]:
    import torch
    from torch import Tensor, nn

    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(1)
    rng = random.Random(1)
    rows = np.random.RandomState(1).permutation(rows)
    held, rows = rows[:HELD_OUT], rows[HELD_OUT:]

    class Net(nn.Module):
        def __init__(self) -> None:
            super().__init__()
            self.embedding = nn.Embedding(len(words) + 3, EMBEDDED)
            self.unit = nn.GRU(EMBEDDED, HIDDEN, batch_first=True)
            self.out = nn.Linear(HIDDEN, EMBEDDED)
            self.word_bias = nn.Parameter(torch.zeros(len(words) + 3))

        def forward(self, said: Tensor) -> Tensor:
            return self.out(self.unit(self.embedding(said))[0]) @ self.embedding.weight.T + self.word_bias

    net = Net().to(device)

    def loss(said: Tensor) -> Tensor:
        """A word, or an end; nats."""
        longest = int((said != _NOTHING).sum(1).max())
        said = said[:, :longest].long()
        new = (torch.rand(said.shape, device=device) < NEW_SHARE) & (said > END) & (said <= len(words))
        said = torch.where(new, len(words) + 1, said)
        scores = net(said[:, :-1].clamp(min=END))
        return nn.functional.cross_entropy(scores.float().flatten(0, 1), said[:, 1:].flatten(), ignore_index=_NOTHING)

    def by_length(some: np.ndarray) -> Tensor:
        return torch.tensor(some[np.argsort((some != _NOTHING).sum(1), kind="stable")], device=device)

    learning, asked = by_length(rows), by_length(held)
    optimizer = torch.optim.AdamW(net.parameters(), RATE, betas=(0.9, 0.98), weight_decay=1e-5)
    start, step = time.monotonic(), 0
    while (part := (time.monotonic() - start) / seconds) < 1:
        optimizer.param_groups[0]["lr"] = RATE * min(1.0, step / WARM) * 0.5 * (1 + math.cos(math.pi * part))
        at = rng.randrange(len(learning) - BATCH)
        with torch.autocast(device, torch.bfloat16, enabled=device == "cuda"):
            now = loss(learning[at : at + BATCH])
        optimizer.zero_grad()
        now.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimizer.step()
        step += 1
        if step % 2000 == 0:
            with torch.no_grad():
                print(f"{time.monotonic() - start:.0f} s step {step} {loss(asked).item():.4f} nats", flush=True)
    with torch.no_grad():
        print(f"end, step {step} {loss(asked).item():.4f} nats", flush=True)
    state = {name: weights.detach().float().cpu().numpy() for name, weights in net.state_dict().items()}
    names = {
        "embedding": "embedding.weight",
        "input": "unit.weight_ih_l0",
        "hidden": "unit.weight_hh_l0",
        "out": "out.weight",
        "input_bias": "unit.bias_ih_l0",
        "hidden_bias": "unit.bias_hh_l0",
        "out_bias": "out.bias",
        "word_bias": "word_bias",
    }
    return {ours: state[theirs] for ours, theirs in names.items()}


def main(folder: str, seconds: str = str(SECONDS)) -> None:
    words = [
        word for word in numbered(Path(folder)) if not word.startswith(("<", "["))
    ]  # but for silence and other talk
    with get_context("spawn").Pool(os.cpu_count()) as pool:
        parts = pool.map(partial(in_rows, words=words, count=SENTENCES // PARTS), range(PARTS), 1)
    write(Path(folder), words, learned(words, np.concatenate(parts), float(seconds)))
