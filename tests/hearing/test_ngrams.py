"""How likely words are said in a row, and what that changes in a guess's score."""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import pytest

from assistant.hearing.choose import model_folders
from assistant.hearing.graph import SAID_COST, WORD_COST, fst_bytes
from assistant.hearing.ngrams import FILE, SHARE, STEP, Ngrams, Rescorer, numbered
from assistant.resources import folder
from models.build.ngrams import counted, write

SAID = ["half of two", "half of two", "half of four", "two", "four and two"] * 20
OURS = model_folders(folder("models"))[0]


@pytest.fixture
def model(tmp_path: Path) -> Path:
    """A model folder of four words with n-grams, and a graph in which anything may follow anything at a cost of 2."""
    graph = tmp_path / "graph"
    graph.mkdir()
    words = ["half", "of", "two", "four", "and"]
    (graph / "words.txt").write_text("".join(f"{word} {n}\n" for n, word in enumerate(["<eps>", *words])))
    numbers = numbered(tmp_path)
    write(tmp_path, counted(SAID, numbers), numbers)
    arcs = [(0, 0, numbers[word], numbers[word], WORD_COST + 2.0) for word in words[:-1]]
    (graph / "Gr.fst").write_bytes(fst_bytes(arcs, {0: SAID_COST + 1.0}, by_output=False))
    return tmp_path


def price(model: Path, words: str) -> float:
    numbers = numbered(model)
    return Ngrams.read(model).price([numbers[word] for word in words.split()])


def test_after_words_that_were_counted_it_is_their_share(model: Path) -> None:
    # Witten and Bell's estimate (IEEE Trans. Inf. Theory 37, 1991) by hand: c(next) + kinds x lower, over all + kinds.
    base = 7
    alone = {"half": 60, "of": 60, "two": 80, "four": 40, "and": 20, "": 100}
    lower = {word: (count + 6 / base) / (360 + 6) for word, count in alone.items()}
    after_start = {"half": 60, "two": 20, "four": 20}
    first = (after_start["two"] + 3 * lower["two"]) / (100 + 3)
    end_by_one = (80 + 1 * lower[""]) / (80 + 1)
    after_two_first = (20 + end_by_one) / (20 + 1)
    least = first * min(end_by_one, after_two_first)
    most = first * max(end_by_one, after_two_first)
    assert -math.log(most) - STEP <= price(model, "two") <= -math.log(least) + STEP


def test_all_that_may_come_next_sums_to_one(model: Path) -> None:
    ngrams = Ngrams.read(model)
    for before in ([6], [6, 1], [6, 1, 2], [1, 2, 3], [5, 5, 5], [6, 4, 5]):
        chances = [math.exp(-STEP * ngrams._next(before, word)) for word in range(7)]
        assert sum(chances) == pytest.approx(1, rel=2 * STEP)


def test_what_is_said_oftener_costs_less(model: Path) -> None:
    assert price(model, "half of two") < price(model, "half of four") < price(model, "half and four")


def test_a_guess_gains_what_the_graph_asks_too_much_for(model: Path) -> None:
    gain = Rescorer(model).gain("half of two")
    assert gain == pytest.approx(SHARE * (3 * 2.0 + 1.0 - price(model, "half of two")), abs=1e-4)
    assert gain > Rescorer(model).gain("two half of")


@pytest.mark.parametrize("words", ["half and two", "half of seven"])
def test_words_that_the_graph_does_not_have_gain_nothing(model: Path, words: str) -> None:
    assert Rescorer(model).gain(words) == 0.0


@pytest.mark.parametrize("kept", [0, 100, 3000])
def test_a_file_that_is_cut_off_is_told(model: Path, kept: int) -> None:
    file = model / "graph" / FILE
    file.write_bytes(file.read_bytes()[: min(kept, file.stat().st_size // 2)])
    with pytest.raises((OSError, ValueError, KeyError)):
        Rescorer(model)


def test_the_shipped_one_knows_what_people_say_from_what_they_do_not() -> None:
    ours = Rescorer(OURS)
    assert ours.gain("twenty three and half") > ours.gain("twenty three half")
    assert ours.gain("four holes at three three quarter about the center") != 0.0


def test_a_missing_file_leaves_scores_as_they_are(tmp_path: Path) -> None:
    shutil.copytree(OURS / "graph", tmp_path / "graph")
    (tmp_path / "graph" / FILE).unlink()
    with pytest.raises(FileNotFoundError):
        Rescorer(tmp_path)
