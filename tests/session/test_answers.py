"""An answer as it is written out for scripts and drawn on the screen."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.language.requests import (
    PIECE,
    Center,
    Convert,
    Hold,
    Keep,
    ListBoard,
    Parts,
    StartString,
    Step,
    TakeOff,
    Walk,
)
from assistant.length import Length
from assistant.session.manners import Manners
from assistant.tape import EIGHTHS, THIRTY_SECONDS, Form, Lean
from tests.session.bench import Bench, feet, hold, m, unclear


def test_center_is_written_out_whole():
    answer = Bench().hear(Center(m("53 5/8")), "center of fifty three and five eighths")
    assert answer.heard == "center of fifty three and five eighths"
    assert answer.status == "answer"
    assert answer.say == "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths."
    (value,) = answer.values
    assert (value.name, value.unit, value.exact, value.tape, value.lean) == (
        "center", "in", "429/16", "26 13/16", Lean.ON,
    )  # fmt: skip
    (mark,) = answer.marks
    assert (mark.index, mark.count, mark.exact, mark.tape, mark.lean) == (1, 1, "429/16", "26 13/16", Lean.ON)
    assert value.inches == mark.inches == Fraction(429, 16)
    assert answer.piece == m("53 5/8")
    assert answer.request == Center(m("53 5/8"))
    assert (answer.cautions, answer.choices, answer.at) == ((), (), None)


# Exact, as written, and the lean; the thirds and halves of sixteenths worked by hand.
@pytest.mark.parametrize(
    ("manners", "request_", "exact", "tape", "lean"),
    [
        (Manners(), hold(54), "54", "54", Lean.ON),
        (Manners(), hold("53 10/16"), "429/8", "53 5/8", Lean.ON),
        (Manners(), hold("64 2/3"), "194/3", "64 11/16", Lean.MINUS),
        (Manners(), Hold(feet("4'-7 15/16\"")), "895/16", "4'-7 15/16\"", Lean.ON),
        (Manners(), Center(m("17 7/16")), "279/32", "8 11/16", Lean.PLUS),
        (Manners(tape=THIRTY_SECONDS), Center(m("17 7/16")), "279/32", "8 23/32", Lean.ON),
        (Manners(tape=EIGHTHS), Center(m("17 7/16")), "279/32", "8 3/4", Lean.MINUS),
        (Manners(), hold("5 3/8", 1), "43/8", "5 3/8", Lean.PLUS),
        (Manners(), Center(m("5 3/8", -1)), "43/16", "2 11/16", Lean.MINUS),
        (Manners(plus=Length("1/32")), hold("5 3/8", 1), "173/32", "5 3/8", Lean.PLUS),
        (Manners(plus=Length("1/32"), tape=THIRTY_SECONDS), hold("5 3/8", 1), "173/32", "5 13/32", Lean.ON),
        (Manners(plus=Length("1/64")), Center(m("5 3/8", 1)), "345/128", "2 11/16", Lean.ON),
        (Manners(plus=Length("1/32")), TakeOff(m("1/64"), (m("1/64", 1),)), "0", "0", Lean.MINUS),
        (Manners(), Convert(m(10), Form.MILLIMETERS), "10", "254 mm", Lean.ON),
        (Manners(), Convert(m("5 3/16"), Form.DECIMAL), "83/16", "5.1875", Lean.ON),
        (Manners(), Convert(m(30), Form.FEET), "30", "2'-6\"", Lean.ON),
    ],
)
def test_how_a_length_is_written(manners, request_, exact, tape, lean):
    value = Bench(manners).hear(request_).values[0]
    assert (value.unit, value.exact, value.tape, value.lean) == ("in", exact, tape, lean)
    assert value.inches == Fraction(exact)


def test_inches_have_feet_and_inches_beside_them_and_feet_do_not():
    bench = Bench()
    assert bench.hear(hold("53 5/8")).values[0].beside == "4'-5 5/8\""
    assert bench.hear(hold("11 5/8")).values[0].beside == ""
    assert bench.hear(Hold(feet("4'-5 5/8\""))).values[0].beside == ""
    assert [mark.beside for mark in bench.hear(Parts(m(30), 3)).marks] == ["", "1'-8\""]


def test_a_count_is_a_count():
    bench = Bench()
    bench.hear(StartString())
    bench.hear(hold(48))
    values = bench.hear(hold("2 1/2")).values
    assert [(v.name, v.unit, v.exact, v.tape) for v in values] == [
        ("item", "in", "5/2", "2 1/2"),
        ("count", "count", "2", ""),
        ("total", "in", "101/2", "50 1/2"),
    ]


def test_a_walk_shows_every_mark_and_lights_one():
    bench = Bench()
    bench.hear(Parts(m(60), 3))
    answer = bench.hear(Walk(Step.LAST))
    assert (answer.status, answer.at) == ("done", 2)
    assert [mark.exact for mark in answer.marks] == ["20", "40"]
    assert [(value.name, value.exact) for value in answer.values] == [("mark", "40")]


def test_choices_are_numbered_and_a_length_is_exact():
    answer = Bench().hear(unclear("Which?", ("thirty", hold("30 3/8")), ("next", Walk(Step.NEXT))))
    assert answer.status == "question"
    assert [(c.key, c.say, c.exact) for c in answer.choices] == [("1", "thirty", "243/8"), ("2", "next", "")]


def test_what_is_kept_is_shown_by_name():
    bench = Bench()
    bench.hear(hold("53 5/8"))
    for request in (Keep("leg"), ListBoard()):
        (value,) = bench.hear(request).values
        assert (value.name, value.exact) == ("leg", "429/8")


def test_a_tolerance_is_said_back_and_never_added():
    answer = Bench().hear(Hold(m("10 1/2", band=Length("1/16"))))
    assert answer.say == "Ten and a half plus or minus a sixteenth."
    assert answer.values[0].exact == "21/2"


def test_the_answer_stands_beside_the_question_about_his_plus():
    answer = Bench().hear(Center(m("53 5/8", 1)))
    assert answer.status == "answer"
    assert [(choice.key, choice.say) for choice in answer.choices] == [
        ("1", "just a hair"),
        ("2", "a sixty-fourth"),
        ("3", "a thirty-second"),
    ]


def test_the_picture_stays_through_what_is_only_said():
    bench = Bench()
    bench.hear(Parts(m(60), 3))
    bench.hear(Walk(Step.NEXT))
    answer = bench.hear(Convert(PIECE, Form.FEET))
    assert [mark.tape for mark in answer.marks] == ["1'-8\"", "3'-4\""]
    assert answer.at == 1
