"""Cautions stand with every answer that owes them, and are spoken once for a piece."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.language.requests import PIECE, Center, Explain, Parts, StartOver, Step, Walk
from assistant.layout import center
from assistant.session.carry_out import result_of
from tests.session.bench import Bench, hold, m

CAUTION = "Check it with the tape before you cut."


@pytest.fixture
def _cautious(monkeypatch):
    """The center owes a caution. (None of the main job's answers does.)"""
    plain = center.center
    monkeypatch.setattr(center, "center", lambda measure: replace(plain(measure), cautions=(CAUTION,)))
    result_of.cache_clear()
    yield
    result_of.cache_clear()


@pytest.mark.usefixtures("_cautious")
def test_spoken_once_a_piece_and_shown_every_time():
    bench = Bench()
    spoken = []
    for request in (Center(m(10)), Parts(PIECE, 2), Center(), hold(12), Center(), StartOver(), Center(m(12))):
        answer = bench.hear(request)
        spoken.append(CAUTION in answer.say)
        assert answer.cautions == ((CAUTION,) if isinstance(request, Center) else ())
    assert spoken == [True, False, False, False, True, False, True]


@pytest.mark.usefixtures("_cautious")
def test_shown_as_long_as_the_answer_is():
    bench = Bench()
    for request in (Center(m(10)), Walk(Step.NEXT), Walk(Step.AGAIN), Explain(), Walk(Step.NEXT)):
        assert bench.hear(request).cautions == (CAUTION,)
    assert bench.hear(hold(12)).cautions == ()
