"""By how much words are likelier than a model's graph takes them."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from assistant.hearing.choose import model_folders
from assistant.hearing.graph import SAID_COST, WORD_COST, fst_bytes
from assistant.hearing.language_model import FILE, LanguageModel
from assistant.hearing.rescoring import Rescorer
from assistant.resources import folder
from models.build.language_model import write

WORDS = ["half", "of", "two", "four", "and"]
OURS = model_folders(folder("models"))[0]


@pytest.fixture
def model(tmp_path: Path) -> Path:
    """A model folder of five words that are all as likely but for "half", and a graph in which any but the last may
    follow any at a cost of 2; "two" after "of" has a cheaper way, too."""
    graph = tmp_path / "graph"
    graph.mkdir()
    (graph / "words.txt").write_text("".join(f"{word} {n}\n" for n, word in enumerate(["<eps>", *WORDS])))
    rows = len(WORDS) + 3
    flat = {"embedding": (rows, 1), "input": (3, 1), "hidden": (3, 1), "out": (1, 1)}
    network = {name: np.zeros(shape, np.float32) for name, shape in flat.items()}
    network |= {name: np.zeros(3, np.float32) for name in ("input_bias", "hidden_bias")}
    network |= {"out_bias": np.zeros(1, np.float32), "word_bias": np.zeros(rows, np.float32)}
    network["word_bias"][1 + WORDS.index("half")] = 1.0
    write(tmp_path, WORDS, network)
    of, two = 1 + WORDS.index("of"), 1 + WORDS.index("two")
    arcs = [(0, 0, n, n, WORD_COST + 2.0) for n in range(1, len(WORDS)) if n != of]
    arcs += [(0, 1, of, of, WORD_COST + 2.0), (1, 0, two, two, WORD_COST + 2.0), (1, 0, two, two, WORD_COST + 1.0)]
    (graph / "Gr.fst").write_bytes(fst_bytes(arcs, {0: SAID_COST + 1.0}, by_output=False))
    return tmp_path


@pytest.mark.parametrize(("words", "graph"), [("two", 3.0), ("half two", 5.0), ("half of two", 6.0), ("", 1.0)])
def test_a_guess_gains_what_the_graph_asks_too_much_for(model: Path, words: str, graph: float) -> None:
    (price,) = LanguageModel.read(model).prices([words.split()])
    assert Rescorer(model).gains([words]) == [pytest.approx(graph - price, abs=1e-4)]


def test_what_is_likelier_gains_more(model: Path) -> None:
    half, four = Rescorer(model).gains(["half half", "four four"])
    assert half == pytest.approx(four + 2.0, abs=1e-2)


@pytest.mark.parametrize("words", ["half and two", "half of seven", "half of"])
def test_words_that_the_graph_does_not_have_gain_nothing(model: Path, words: str) -> None:
    assert Rescorer(model).gains([words]) == [0.0]


def test_guesses_with_one_beginning_gain_what_each_does_alone(model: Path) -> None:
    guesses = ["half of two", "half of", "half of two two", "half", "of two", "half of two half"]
    ours = Rescorer(model)
    assert ours.gains(guesses) == pytest.approx([ours.gains([guess])[0] for guess in guesses], abs=1e-4)


def test_the_shipped_one_moves_what_is_said_before_what_is_not() -> None:
    likely, unlikely = Rescorer(OURS).gains(["twenty three and a half", "twenty three half"])
    assert likely > unlikely
    assert Rescorer(OURS).gains(["four holes at three three quarter about the center"]) != [0.0]


def test_a_missing_file_leaves_scores_as_they_are(tmp_path: Path) -> None:
    shutil.copytree(OURS / "graph", tmp_path / "graph")
    (tmp_path / "graph" / FILE).unlink()
    with pytest.raises(FileNotFoundError):
        Rescorer(tmp_path)
