"""What an answer carries only so that it can be drawn."""

from __future__ import annotations

from fractions import Fraction

from assistant.language.requests import Center, Explain, Hold, SetTape
from assistant.tape import EIGHTHS, SIXTEENTHS
from tests.session.bench import Bench, m


def test_every_step_has_the_length_it_comes_to() -> None:
    bench = Bench()
    bench.hear(Center(m("53 5/8")))
    answer = bench.hear(Explain())
    assert len(answer.step_sizes) == len(answer.steps) > 1
    # By hand: half of 53 5/8 is 26 and a half for the inches, 5/16 for the fraction, 26 13/16 together.
    assert answer.step_sizes[-1] == Fraction(429, 16)


def test_the_tape_it_is_read_on_goes_along() -> None:
    bench = Bench()
    assert bench.hear(Hold(m("53 5/8"))).tape == SIXTEENTHS
    assert bench.hear(SetTape(EIGHTHS)).tape == EIGHTHS


def test_what_the_marks_are_laid_out_on_goes_along() -> None:
    bench = Bench()
    assert bench.hear(Hold(m("53 5/8"))).marks_on is None
    assert bench.hear(Center(m("53 5/8"))).marks_on == Fraction(429, 8)
