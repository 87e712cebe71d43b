"""How surely words were said, by how well they fit: what is acted on, whatever the sound."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.accept import LEAST_CONFIDENCE
from assistant.hearing.rejection import MOST_LOSS, MOST_LOSS_OF_LIKELY, SURE, Fit


@pytest.mark.parametrize(
    ("fit", "reply", "acted_on"),
    [
        (Fit(0.5, 0.0, False), False, True),
        (Fit(0.5, -5.0, True), False, True),
        (Fit(1.3, 0.0, False), False, False),  # no number word that would speak for it
        (Fit(1.3, 0.0, False), True, True),
        (Fit(1.3, -1.0, True), False, True),  # a lone digit
        (Fit(1.3, -1.0, False), False, False),  # "seven of those", where a card was named
        (Fit(1.3, -3.4, True), False, False),  # what a noise came out as
        (Fit(1.8, -1.0, True), False, False),
        (Fit(1.8, 0.0, False), True, False),
    ],
)
def test_what_is_acted_on(fit: Fit, reply: bool, acted_on: bool) -> None:
    assert (fit.confidence(reply) >= LEAST_CONFIDENCE["vosk"]) == acted_on


@pytest.mark.parametrize(
    ("talk", "acted_on"),
    [
        (math.inf, True),  # that it was talk not for us was not among the guesses at all
        (12.0, True),
        (8.0, True),
        (4.0, False),
        (0.0, False),
    ],
)
def test_words_that_may_have_been_other_talk_must_fit_better(talk: float, acted_on: bool) -> None:
    assert (Fit(1.0, 0.0, False).confidence(talk=talk) >= LEAST_CONFIDENCE["vosk"]) == acted_on
    assert Fit(0.7, 0.0, False).confidence(talk=talk) >= LEAST_CONFIDENCE["vosk"]
    assert Fit(1.0, 0.0, False).confidence(reply=True, talk=talk) >= LEAST_CONFIDENCE["vosk"]


RISES = st.floats(0, 5)
TALK = st.floats(0, 99)


@given(RISES, RISES, TALK, TALK, st.floats(-9, 0), st.booleans(), st.booleans())
def test_who_loses_more_or_is_nearer_to_other_talk_is_less_sure(
    loss: float, more: float, talk: float, further: float, weakest: float, numbers: bool, reply: bool
) -> None:
    better = Fit(loss, weakest, numbers).confidence(reply, talk + further)
    worse = Fit(loss + more, weakest, numbers).confidence(reply, talk)
    assert 0 <= worse <= better <= 1


def test_half_sure_at_the_limits() -> None:
    assert Fit(MOST_LOSS, SURE, numbers=True).confidence() == 0.5
    assert Fit(MOST_LOSS_OF_LIKELY, SURE / 2, numbers=True).confidence() == 0.5
    assert Fit(MOST_LOSS_OF_LIKELY, 0.0, numbers=False).confidence(reply=True) == 0.5
