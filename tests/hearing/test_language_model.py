"""How likely words are said in a row, as a small recurrent network has it."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.choose import model_folders
from assistant.hearing.language_model import END, FILE, LanguageModel
from assistant.resources import folder
from models.build.language_model import write

WORDS = ["half", "of", "two", "four", "and"]
OURS = model_folders(folder("models"))[0]
EMBEDDED, HIDDEN = 3, 4
ROWS = len(WORDS) + 3
SHAPES = {
    "embedding": (ROWS, EMBEDDED),
    "input": (3 * HIDDEN, EMBEDDED),
    "hidden": (3 * HIDDEN, HIDDEN),
    "out": (EMBEDDED, HIDDEN),
    "input_bias": (3 * HIDDEN,),
    "hidden_bias": (3 * HIDDEN,),
    "out_bias": (EMBEDDED,),
    "word_bias": (ROWS,),
}
said = st.lists(st.sampled_from([*WORDS, "weld"]), max_size=5)


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A model folder with a language model of five words that has learned nothing, but is written as one that has."""
    path = tmp_path_factory.mktemp("model")
    (path / "graph").mkdir()
    rng = np.random.default_rng(1)
    write(path, WORDS, {name: rng.normal(size=shape).astype(np.float32) for name, shape in SHAPES.items()})
    return path


def stored(path: Path) -> dict[str, list]:
    """The network as it was written, in Python's own numbers."""
    with np.load(path / "graph" / FILE) as packed:
        whole = {name: packed[name].astype(float) for name in SHAPES}
        for name, shape in SHAPES.items():
            if len(shape) == 2:
                whole[name] *= packed[f"{name}_scale"][:, None]
    return {name: weights.tolist() for name, weights in whole.items()}


def by_hand(path: Path, words: list[str]) -> float:
    """The price by the gated recurrent unit's equations one number at a time (K. Cho and others, EMNLP 2014, with the
    reset gate behind the state's map, as in the cuDNN library's documentation of its GRU)."""
    net = stored(path)

    def dot(row: list[float], by: list[float]) -> float:
        return sum(a * b for a, b in zip(row, by, strict=True))

    def sigmoid(x: float) -> float:
        return 1 / (1 + math.exp(-x))

    state, price = [0.0] * HIDDEN, 0.0
    numbers = [WORDS.index(word) + 1 if word in WORDS else len(WORDS) + 1 for word in words]
    for before, word in zip([len(WORDS) + 2, *numbers], [*numbers, END], strict=True):
        given = net["embedding"][before]
        taken = [dot(row, given) + bias for row, bias in zip(net["input"], net["input_bias"], strict=True)]
        kept = [dot(row, state) + bias for row, bias in zip(net["hidden"], net["hidden_bias"], strict=True)]
        after = []
        for n, old in enumerate(state):
            reset, update = sigmoid(taken[n] + kept[n]), sigmoid(taken[HIDDEN + n] + kept[HIDDEN + n])
            new = math.tanh(taken[2 * HIDDEN + n] + reset * kept[2 * HIDDEN + n])
            after.append((1 - update) * new + update * old)
        state = after
        told = [dot(row, state) + bias for row, bias in zip(net["out"], net["out_bias"], strict=True)]
        scores = [dot(row, told) + bias for row, bias in zip(net["embedding"], net["word_bias"], strict=True)]
        price += math.log(sum(map(math.exp, scores))) - scores[word]
    return price


@pytest.mark.parametrize("words", ["", "two", "half of two", "four and four and half", "two weld of"])
def test_a_price_is_that_of_the_equations(model: Path, words: str) -> None:
    (price,) = LanguageModel.read(model).prices([words.split()])
    assert price == pytest.approx(by_hand(model, words.split()), abs=1e-3)


def test_it_is_what_the_library_that_trains_it_says(model: Path) -> None:
    torch = pytest.importorskip("torch", reason="the model extra is not installed")
    net = {name: torch.tensor(weights) for name, weights in stored(model).items()}
    unit = torch.nn.GRU(EMBEDDED, HIDDEN, batch_first=True)
    unit.load_state_dict(
        {
            "weight_ih_l0": net["input"],
            "weight_hh_l0": net["hidden"],
            "bias_ih_l0": net["input_bias"],
            "bias_hh_l0": net["hidden_bias"],
        }
    )
    numbers = torch.tensor([[len(WORDS) + 2, 1, 2, 3]])
    told = unit(net["embedding"][numbers])[0].detach() @ net["out"].T + net["out_bias"]
    chances = torch.log_softmax(told @ net["embedding"].T + net["word_bias"], -1)[0]
    price = -sum(float(chances[n, word]) for n, word in enumerate([1, 2, 3, END]))
    assert LanguageModel.read(model).prices([["half", "of", "two"]]) == [pytest.approx(price, abs=1e-3)]


@given(sentences=st.lists(said, max_size=8))
def test_many_together_cost_what_each_does_alone(model: Path, sentences: list[list[str]]) -> None:
    read = LanguageModel.read(model)
    alone = [read.prices([sentence])[0] for sentence in sentences]
    assert read.prices(sentences) == pytest.approx(alone, abs=1e-3)


def test_short_sentences_are_not_all_there_is(model: Path) -> None:
    # Whatever is said is nothing at all, one word, or begins with one: what ends is at most all there is.
    short = [[], *([word] for word in (*WORDS, "weld"))]
    assert 0 < sum(math.exp(-price) for price in LanguageModel.read(model).prices(short)) < 1


@pytest.mark.parametrize("kept", [0, 100, 1500])
def test_a_file_that_is_cut_off_is_told(tmp_path: Path, model: Path, kept: int) -> None:
    (tmp_path / "graph").mkdir()
    whole = (model / "graph" / FILE).read_bytes()
    (tmp_path / "graph" / FILE).write_bytes(whole[: min(kept, len(whole) // 2)])
    with pytest.raises((OSError, ValueError, KeyError)):
        LanguageModel.read(tmp_path)


def test_a_network_for_other_words_is_told(tmp_path: Path) -> None:
    (tmp_path / "graph").mkdir()
    write(tmp_path, WORDS[:3], {name: np.zeros(shape, np.float32) for name, shape in SHAPES.items()})
    with pytest.raises(ValueError, match="other words"):
        LanguageModel.read(tmp_path)


@pytest.mark.parametrize(
    ("said", "not_said"),
    [
        ("twenty three and a half", "twenty three a half and"),
        ("chord for seven holes on a seventy inch circle", "chord for seven holes on a seventy inch"),
        # What the first word asks for decides what the last can be, with any numbers in between.
        ("weigh five by three and an eighth angle twenty feet", "holes five by three and an eighth angle twenty feet"),
    ],
)
def test_the_shipped_one_knows_what_people_say_from_what_they_do_not(said: str, not_said: str) -> None:
    likely, unlikely = LanguageModel.read(OURS).prices([said.split(), not_said.split()])
    assert likely < unlikely - 2
