"""The table of how long words last, from sentences whose times are made up."""

from __future__ import annotations

import math
from itertools import accumulate, pairwise

import pytest

from models.build.durations import DRAWN_OUT, FEW, usual

VOCABULARY = frozenset({"half", "of", "five"})


def sentence(pace: float, *words: tuple[str, int]) -> list[tuple[str, int, int]]:
    edges = list(accumulate((round(pace * frames) for _, frames in words), initial=7))
    return [(word, a, b) for (word, _), (a, b) in zip(words, pairwise(edges), strict=True)]


def test_each_word_inside_and_last_in_a_sentence() -> None:
    found = usual([sentence(1, ("half", 40), ("of", 15), ("five", 50))] * FEW, VOCABULARY)
    assert found["half", False].mean == pytest.approx(math.log(0.40))
    assert found["of", False].mean == pytest.approx(math.log(0.15))
    assert found["five", True].mean == pytest.approx(math.log(0.50))
    assert ("five", False) not in found
    assert all(one.deviation == pytest.approx(0) for one in found.values())


def test_a_word_that_was_never_last_is_drawn_out_like_others() -> None:
    found = usual([sentence(1, ("half", 40), ("of", 15), ("five", 50))] * FEW, VOCABULARY)
    assert found["half", True].mean == pytest.approx(found["half", False].mean + DRAWN_OUT)


def test_a_speakers_pace_is_not_the_words() -> None:
    words = [("half", 40), ("of", 20), ("five", 60), ("of", 20), ("half", 40), ("five", 60)]
    paces = [0.5, 2.0] * FEW
    at_own = usual([sentence(p, *words) for p in paces], VOCABULARY)["half", False].deviation
    assert at_own < math.log(2) / 2  # half of what it is by the words alone


def test_what_was_hardly_said_is_left_out() -> None:
    rare = usual([sentence(1, ("half", 40), ("of", 15))] * (FEW - 1), VOCABULARY)
    other = usual([sentence(1, ("gusset", 40), ("gusset", 15))] * FEW, VOCABULARY)
    alone = usual([sentence(1, ("five", 40))] * FEW, VOCABULARY)
    assert rare == other == alone == {}
