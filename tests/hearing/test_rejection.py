"""How surely words were said, by how well they fit: what is acted on, whatever the sound."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.accept import LEAST_CONFIDENCE
from assistant.hearing.rejection import MOST_LOSS, MOST_LOSS_OF_LIKELY, SURE, Fit


@pytest.mark.parametrize(
    ("loss", "weakest", "reply", "acted_on"),
    [
        (0.5, 0.0, False, True),
        (0.5, -5.0, False, True),
        (1.3, 0.0, False, False),  # no number word that would speak for it
        (1.3, 0.0, True, True),
        (1.3, -1.0, False, True),  # a lone digit, its phones its own
        (1.3, -3.4, False, False),  # what a noise came out as
        (1.8, -1.0, False, False),
        (1.8, 0.0, True, False),
    ],
)
def test_what_is_acted_on(loss: float, weakest: float, reply: bool, acted_on: bool) -> None:
    assert (Fit(loss, weakest).confidence(reply) >= LEAST_CONFIDENCE["vosk"]) == acted_on


@given(st.floats(0, 5), st.floats(0, 5), st.floats(-9, 0), st.booleans())
def test_who_loses_more_is_less_sure(loss: float, more: float, weakest: float, reply: bool) -> None:
    better, worse = Fit(loss, weakest).confidence(reply), Fit(loss + more, weakest).confidence(reply)
    assert 0 <= worse <= better <= 1


def test_half_sure_at_the_limits() -> None:
    assert Fit(MOST_LOSS, SURE).confidence() == 0.5
    assert Fit(MOST_LOSS_OF_LIKELY, SURE / 2).confidence() == Fit(MOST_LOSS_OF_LIKELY, 0.0).confidence(True) == 0.5
