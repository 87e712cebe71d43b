"""The last gate: what is acted on, and why the rest is not."""

from __future__ import annotations

import pytest

from assistant.hearing.accept import judged
from assistant.hearing.recogniser import Hypothesis, Reason, ScriptedRecogniser, nothing
from tests.hearing.small_grammar import SmallGrammar

PARSES = SmallGrammar().parses
LEAST = {"sure": 0.5}


@pytest.mark.parametrize(
    ("heard", "reason"),
    [
        (Hypothesis("twenty seven and a half", 0.9), Reason.TRUSTED),
        (Hypothesis("twenty seven and a half", 0.5), Reason.TRUSTED),  # the threshold itself is enough
        (Hypothesis("twenty seven and a half", 0.49), Reason.UNCLEAR),
        (Hypothesis("twenty seven and", 1.0), Reason.NOT_FOR_US),  # no whole sentence
        (Hypothesis("half a sixteenth twenty", 1.0), Reason.NOT_FOR_US),
        (Hypothesis("nice weather", 1.0), Reason.NOT_FOR_US),
        (Hypothesis("", 1.0), Reason.NOTHING),
        (nothing(), Reason.NOTHING),
        (Hypothesis("next", 1.0, Reason.NOISE), Reason.NOISE),  # what the recogniser itself says stands
        (nothing(Reason.RESTARTED), Reason.RESTARTED),
    ],
)
def test_judged(heard: Hypothesis, reason: str) -> None:
    found = judged(heard, "sure", PARSES, LEAST)
    assert found.reason == reason
    assert (found.words, found.confidence) == (heard.words, heard.confidence)


def test_one_nobody_has_measured_is_judged_by_the_grammar_alone() -> None:
    assert judged(Hypothesis("next", 0.01), "other", PARSES, LEAST).reason == Reason.TRUSTED
    assert judged(Hypothesis("and", 0.99), "other", PARSES, LEAST).reason == Reason.NOT_FOR_US


def test_the_scripted_recogniser_says_its_lines_and_then_nothing() -> None:
    engine = ScriptedRecogniser(["next", Hypothesis("back", 0.3)])
    assert engine.finish() == nothing()  # not started
    engine.start("request")
    engine.accept(bytes(1024))
    assert engine.partial() == "next"
    assert engine.finish() == Hypothesis("next", 1.0)
    engine.start("answer")
    assert engine.finish() == Hypothesis("back", 0.3)
    engine.start("request")
    assert engine.finish() == nothing()
    assert engine.expected == ["request", "answer", "request"]
    engine.close()
    engine.close()
