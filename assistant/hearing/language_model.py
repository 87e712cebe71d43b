"""How likely words are said in a row, by a small recurrent network that learned from what is usually said.

What can be said after "bolt circle twelve" depends on the first word as much as on the last, and numbers of any length
stand between. Written by ``models/build/language_model.py``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

__all__ = ["END", "FILE", "LanguageModel"]

FILE = "language_model.npz"
"""In a model folder's graph: ``words``, all it knows, a line each, UTF-8 bytes; and of the network ``embedding`` (row n
is word n from 1; before them a sentence's end, behind them a word it does not know and a sentence's beginning),
``input``, ``hidden`` and ``out``, matrices of bytes with one ``_scale`` a row, and ``input_bias``, ``hidden_bias``,
``out_bias`` and ``word_bias``. A gated recurrent unit: rows of reset, update and new state, in this order; ``out`` maps
a state to an embedding."""
END = 0
_MATRICES = ("embedding", "input", "hidden", "out")
_BIASES = ("input_bias", "hidden_bias", "out_bias", "word_bias")
_Floats = NDArray[np.float32]


class LanguageModel:
    def __init__(self, words: Sequence[str], network: Mapping[str, _Floats]) -> None:
        """Raises:
        ValueError: where the network is not one for so many words.
        """
        embedding, hidden = network["embedding"], network["hidden"]
        self._numbers = {word: number for number, word in enumerate(words, 1)}
        self._new, self._start = len(words) + 1, len(words) + 2
        if len(embedding) != self._start + 1 or len(network["word_bias"]) != len(embedding):
            raise ValueError("the language model's network is for other words")
        self._taken_in = embedding @ network["input"].T + network["input_bias"]  # of each word, once
        self._hidden, self._hidden_bias = np.ascontiguousarray(hidden.T), network["hidden_bias"]
        self._told = np.ascontiguousarray((embedding @ network["out"]).T)
        self._word_bias = network["word_bias"] + embedding @ network["out_bias"]

    @classmethod
    def read(cls, folder: Path) -> LanguageModel:
        """Of a model folder.

        Raises:
            OSError, ValueError, KeyError: where the file is missing, or is not what it should be.
        """
        try:
            with (folder / "graph" / FILE).open("rb") as file, np.load(file) as packed:
                words = packed["words"].tobytes().decode().split("\n")
                network = {name: packed[name].astype(np.float32) for name in _BIASES}
                network |= {name: packed[name] * packed[f"{name}_scale"][:, None] for name in _MATRICES}
                return cls(words, network)
        except (BadZipFile, EOFError) as error:
            raise ValueError(str(error)) from None

    def prices(self, sentences: Sequence[Sequence[str]]) -> list[float]:
        """Of sentences, their ends included; nats. What many begin with is worked out once."""
        rows = [[*(self._numbers.get(word, self._new) for word in words), END] for words in sentences]
        prices = np.zeros(len(rows))
        at = np.zeros(len(rows), np.int64)
        states = self._after(np.zeros((1, len(self._hidden)), np.float32), np.array([self._start]))
        live = np.arange(len(rows))
        said = 0
        while len(live):
            words = np.array([rows[i][said] for i in live])
            prices[live] -= self._chances(states)[at[live], words]
            going = words != END
            live, words = live[going], words[going]
            beginnings, at[live] = np.unique(at[live] * (self._start + 1) + words, return_inverse=True)
            before, words = np.divmod(beginnings, self._start + 1)
            states = self._after(states[before], words)
            said += 1
        return [float(price) for price in prices]

    def _after(self, states: _Floats, words: NDArray[np.int64]) -> _Floats:
        """States once a word more was said, a row each."""
        size = states.shape[1]
        taken, kept = self._taken_in[words], states @ self._hidden + self._hidden_bias
        gates = 1 / (1 + np.exp(-(taken[:, : 2 * size] + kept[:, : 2 * size])))
        reset, update = gates[:, :size], gates[:, size:]
        new = np.tanh(taken[:, 2 * size :] + reset * kept[:, 2 * size :])
        after: _Floats = new + update * (states - new)
        return after

    def _chances(self, states: _Floats) -> _Floats:
        """Logs of how likely each word, or the end, comes next."""
        scores = states @ self._told + self._word_bias
        scores -= scores.max(1, keepdims=True)
        chances: _Floats = scores - np.log(np.exp(scores).sum(1, keepdims=True))
        return chances
