"""Whole conversations: what he asks, and what he is told.

The numbers are worked by hand. The sentences follow shop custom (common practice, no source): the number read
back first, "and" before the fraction, one mark a breath with its index and total, the count with every sum.
"""
# ruff: noqa: E501  # one turn a line

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.language.requests import (
    PIECE,
    Add,
    AskEngineer,
    Center,
    Confirm,
    Convert,
    Correct,
    Denominator,
    Done,
    Explain,
    Go,
    Help,
    Hold,
    Items,
    Keep,
    ListBoard,
    Manner,
    Named,
    Parts,
    Pick,
    Recall,
    Scratch,
    SetTape,
    Share,
    StartOver,
    StartString,
    Step,
    TakeOff,
    Times,
    Total,
    Walk,
)
from assistant.language.understanding import Impossible
from assistant.length import Length
from assistant.session.manners import Manners
from assistant.tape import MILLIMETERS, THIRTY_SECONDS, Form
from tests.session.bench import Bench, feet, hold, m, unclear

ODD = unclear("Twenty and an eighth?", ("twenty and an eighth", hold("20 1/8")))
NEXT, BACK, AGAIN, FIRST, LAST, WHERE, ANSWER, LEFT = map(Walk, Step)

CONVERSATIONS = {
    "center, by the Enter key": [
        (hold("53 5/8"), "answer", "Fifty-three and five eighths."),
        (Go(), "answer", "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths."),
        (Go(), "done", "From either end: twenty-six and thirteen sixteenths."),
        (Go(), "done", "That's the last. It closes on fifty-three and five eighths."),
    ],
    "marks walked, both ways and past the ends": [
        (Parts(feet("29'"), 4), "answer", "Twenty-nine foot in four parts: four equal parts of seven foot three."),
        (WHERE, "done", "Before the first of three. Say next to go on."),
        (BACK, "done", "Before the first of three. Say next to go on."),
        (NEXT, "done", "From one end. One of three: seven foot three."),
        (NEXT, "done", "Two of three: fourteen foot six."),
        (AGAIN, "done", "Two of three: fourteen foot six."),
        (WHERE, "done", "From one end. Two of three: fourteen foot six."),
        (NEXT, "done", "Three of three: twenty-one foot nine."),
        (NEXT, "done", "That's the last. It closes on twenty-nine foot."),
        (NEXT, "done", "That's the last. It closes on twenty-nine foot."),
        (BACK, "done", "Two of three: fourteen foot six."),
        (FIRST, "done", "One of three: seven foot three."),
        (BACK, "done", "That's the first. One of three: seven foot three."),
        (LAST, "done", "Three of three: twenty-one foot nine."),
    ],
    "to a mark by its number": [
        (Parts(m(60), 4), "answer", "Sixty in four parts: four equal parts of fifteen."),
        (Walk(2), "done", "From one end. Two of three: thirty."),
        (LEFT, "done", "From one end. Two of three: thirty."),
        (Walk(4), "refused", "There are three marks. Say next, or the number of one."),
        (NEXT, "done", "Three of three: forty-five."),
        (ANSWER, "answer", "Sixty in four parts: four equal parts of fifteen."),
        (BACK, "done", "Two of three: thirty."),
    ],
    "what is left of it is in the answer": [
        (TakeOff(m(60), (m("12 3/8"),)), "answer", "Sixty less twelve and three eighths: forty-seven and five eighths."),
        (LEFT, "answer", "Sixty less twelve and three eighths: forty-seven and five eighths."),
    ],
    "the kerf that he gave comes off by its name": [
        (TakeOff(m(60), (Named("kerf"),)), "question", "What's the kerf?"),
        (hold("1/8"), "answer", "Kerf is an eighth. Sixty less an eighth: fifty-nine and seven eighths."),
        (TakeOff(PIECE, (Named("kerf"),) * 2), "answer", "Fifty-nine and seven eighths less two at an eighth: a quarter off in all, fifty-nine and five eighths left."),
    ],
    "a name and its size in one breath": [
        (hold(50), "answer", "Fifty."),
        (Keep("leg", m("31 1/4")), "done", "Leg is thirty-one and a quarter."),
        (Correct(m("3/8")), "done", "Leg is thirty-one and three eighths."),
        (Center(), "answer", "Center of fifty: twenty-five."),
        (Center(Named("leg")), "answer", "Center of thirty-one and three eighths: fifteen and eleven sixteenths."),
        (Keep("leg", m(40)), "done", "Leg is forty. It was thirty-one and three eighths."),
    ],
    "the datum is said with the first mark he hears, wherever he starts": [
        (Parts(m(60), 3), "answer", "Sixty in three parts: three equal parts of twenty."),
        (LAST, "done", "From one end. Two of two: forty."),
        (FIRST, "done", "One of two: twenty."),
    ],
    "thirds are never on the tape": [
        (hold("64 2/3"), "answer", "Sixty-four and two thirds: sixty-four and eleven sixteenths minus."),
        (Parts(m(50), 3), "answer", "Fifty in three parts: three equal parts of sixteen and eleven sixteenths minus."),
    ],
    "nothing in hand": [
        (Center(), "refused", "Give me a measurement first."),
        (Go(), "refused", "Give me a measurement first."),
        (NEXT, "refused", "Give me a measurement first."),
        (Add((PIECE, m("1/8"))), "refused", "Give me a measurement first."),
        (Keep("leg"), "refused", "Give me a measurement first."),
        (Correct(m("3/8")), "refused", "Give me a measurement first."),
        (Explain(), "refused", "Nothing was worked out yet. Give me a measurement first."),
        (AGAIN, "done", "Nothing was worked out yet. Give me a measurement first."),
        (Scratch(), "refused", "There is nothing to scratch."),
        (Total(), "refused", "There is no string to add up. Say start a string."),
        (Items((m(1), m(2))), "refused", "There is no string to add them to. Say start a string."),
        (Pick(1), "refused", "There is no question to answer. Say what you need."),
        (Denominator(8), "refused", "I didn't get the measurement. Say all of it."),
        (WHERE, "done", "The bench is clear."),
        (ListBoard(), "done", "Nothing on the board."),
        (Done("leg"), "refused", "There is no leg on the board."),
    ],
    "the sum runs on": [
        (hold("10 1/4"), "answer", "Ten and a quarter."),
        (Add((PIECE, m("3 5/8"))), "answer", "Ten and a quarter plus three and five eighths: two pieces, total thirteen and seven eighths."),
        (Add((PIECE, m("1/8"))), "answer", "Thirteen and seven eighths plus an eighth: two pieces, total fourteen."),
        (Times(PIECE, 2), "answer", "Two at fourteen: two pieces, total twenty-eight."),
        (TakeOff(PIECE, (m("1/2"),), 2), "answer", "Twenty-eight less a half each end: one off in all, twenty-seven left."),
        (Share(PIECE, 2, 3), "answer", "Two of three parts of twenty-seven: eighteen."),
        (Center(), "answer", "Center of eighteen: nine."),
        (Times(PIECE, 2), "answer", "Two at eighteen: two pieces, total thirty-six."),
    ],
    "no marks to walk": [
        (hold(12), "answer", "Twelve."),
        (NEXT, "refused", "There are no marks yet. Ask for a center or for parts."),
        (Explain(), "refused", "There was nothing to work out. Ask for a center or for parts."),
        (WHERE, "done", "The piece is twelve."),
    ],
    "a fraction put right keeps the inches": [
        (hold("53 5/8"), "answer", "Fifty-three and five eighths."),
        (Correct(m("3/8")), "answer", "Fifty-three and three eighths."),
        (Center(), "answer", "Center of fifty-three and three eighths: twenty-six and eleven sixteenths."),
        (Correct(m("1/8")), "answer", "Center of fifty-three and an eighth: twenty-six and nine sixteenths."),
        (Scratch(), "done", "Scratched. The piece is fifty-three and three eighths."),
    ],
    "a fraction put right keeps the feet": [
        (Center(feet("6'-4 1/2\"")), "answer", "Center of six foot four and a half: three foot two and a quarter."),
        (Correct(m("3/4")), "answer", "Center of six foot four and three quarters: three foot two and three eighths."),
    ],
    "a whole measurement put right replaces it all": [
        (Add((m("10 1/4"), m("3 5/8"))), "answer", "Ten and a quarter plus three and five eighths: two pieces, total thirteen and seven eighths."),
        (Correct(m("4 5/8")), "answer", "Ten and a quarter plus four and five eighths: two pieces, total fourteen and seven eighths."),
    ],
    "everything since is done again": [
        (hold(10), "answer", "Ten."),
        (Add((PIECE, m("3 5/8"))), "answer", "Ten plus three and five eighths: two pieces, total thirteen and five eighths."),
        (Center(), "answer", "Center of thirteen and five eighths: six and thirteen sixteenths."),
        (Keep("leg"), "done", "Leg is six and thirteen sixteenths."),
        (Correct(m("1/8")), "done", "Three and an eighth. Leg is six and nine sixteenths."),
        (ListBoard(), "done", "On the board: leg, six and nine sixteenths."),
    ],
    "what cannot be put right changes nothing": [
        (TakeOff(m(10), (m(4),)), "answer", "Ten less four: six."),
        (Correct(m(14)), "refused", "You can't take fourteen off ten. Check the numbers."),
        (WHERE, "done", "The piece is six."),
    ],
    "a running string": [
        (StartString(), "done", "String started. Give me the first."),
        (WHERE, "done", "Nothing in the string yet."),
        (Total(), "refused", "Nothing to add yet. Say the first measurement."),
        (hold(48), "answer", "Number one: forty-eight."),
        (hold("12 3/8"), "answer", "Number two: twelve and three eighths."),
        (Correct(m("5/8")), "answer", "Number two: twelve and five eighths."),
        (Items((m(48), m(48))), "answer", "Numbers three and four: forty-eight, forty-eight."),
        (Scratch(), "done", "Scratched. Two in the string, the last was twelve and five eighths."),
        (Add((PIECE, m(6))), "answer", "Number three: six."),
        (Add((m(1), m(2), m(3))), "answer", "Numbers four to six: one, two, three."),
        (Total(), "answer", "The string: six pieces, total seventy-two and five eighths."),
        (Correct(m(4)), "answer", "Four. The string: six pieces, total seventy-three and five eighths."),
        (Center(), "answer", "Center of seventy-three and five eighths: thirty-six and thirteen sixteenths."),
        (Total(), "refused", "There is no string to add up. Say start a string."),
    ],
    "the last of a string is what he keeps": [
        (StartString(), "done", "String started. Give me the first."),
        (hold(48), "answer", "Number one: forty-eight."),
        (Keep("leg"), "done", "Leg is forty-eight."),
        (Recall("leg"), "answer", "Number two: forty-eight."),
    ],
    "over from the start": [
        (StartOver(), "done", "Starting over. The bench is clear."),
        (Scratch(), "refused", "There is nothing to scratch."),
        (hold(10), "answer", "Ten."),
        (StartOver(), "done", "Starting over. The bench is clear."),
        (hold(12), "answer", "Twelve."),
        (StartOver(), "done", "Starting over. The bench is clear."),
        (Scratch(), "done", "Scratched. The piece is twelve."),
        (Scratch(), "done", "Scratched. The bench is clear."),
        (Scratch(), "refused", "There is nothing to scratch."),
    ],
    "a string by the Enter key": [
        (StartString(), "done", "String started. Give me the first."),
        (hold(2), "answer", "Number one: two."),
        (hold(3), "answer", "Number two: three."),
        (Go(), "answer", "The string: two pieces, total five."),
        (Go(), "answer", "Center of five: two and a half."),
    ],
    "the board": [
        (hold("53 5/8"), "answer", "Fifty-three and five eighths."),
        (Keep("leg"), "done", "Leg is fifty-three and five eighths."),
        (Center(), "answer", "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths."),
        (Keep("brace"), "done", "Brace is twenty-six and thirteen sixteenths."),
        (ListBoard(), "done", "On the board: leg, fifty-three and five eighths; brace, twenty-six and thirteen sixteenths."),
        (TakeOff(Named("leg"), (Named("brace"),)), "answer", "Fifty-three and five eighths less twenty-six and thirteen sixteenths: twenty-six and thirteen sixteenths."),
        (Recall("leg"), "answer", "Leg: fifty-three and five eighths."),
        (hold(50), "answer", "Fifty."),
        (Keep("leg"), "done", "Leg is fifty. It was fifty-three and five eighths."),
        (Scratch(), "done", "Scratched. Leg is fifty-three and five eighths."),
        (Done("leg"), "done", "Leg is off the board."),
        (Scratch(), "done", "Scratched. Leg is fifty-three and five eighths."),
        (Done("brace"), "done", "Brace is off the board."),
        (StartOver(), "done", "Starting over. The bench is clear."),
        (Hold(Named("leg")), "answer", "Leg: fifty-three and five eighths."),
    ],
    "the mark he is at is what he keeps": [
        (Parts(m(60), 3), "answer", "Sixty in three parts: three equal parts of twenty."),
        (NEXT, "done", "From one end. One of two: twenty."),
        (NEXT, "done", "Two of two: forty."),
        (Keep("post"), "done", "Post is forty."),
    ],
    "a name nobody gave a size": [
        (TakeOff(m(96), (Named("plate"), Named("gap"))), "question", "What's the plate?"),
        (hold("3/8"), "question", "Plate is three eighths. What's the gap?"),
        (hold("1/8"), "answer", "Gap is an eighth. Ninety-six less three eighths and an eighth: a half off in all, ninety-five and a half left."),
        (ListBoard(), "done", "On the board: plate, three eighths; gap, an eighth."),
        (Correct(m("5/8")), "answer", "Ninety-six less three eighths and five eighths: one off in all, ninety-five left."),
        (Recall("rail"), "question", "What's the rail?"),
        (hold(20), "answer", "Rail: twenty."),
        (Recall("post"), "question", "What's the post?"),
        (Center(m(10)), "answer", "Center of ten: five."),
        (hold(3), "answer", "Three."),
    ],
    "two honest readings": [
        (unclear("Which?", ("two foot and a half inch", Hold(feet("24 1/2"))), ("two and a half foot", Hold(feet(30)))),
         "question", "Which? One: two foot and a half inch. Two: two and a half foot."),
        (Pick(3), "question", "Which? One: two foot and a half inch. Two: two and a half foot."),
        (Confirm(True), "question", "Which? One: two foot and a half inch. Two: two and a half foot."),
        (Go(), "question", "Which? One: two foot and a half inch. Two: two and a half foot."),
        (Manner.LOUDER, "done", "Louder."),
        (AGAIN, "question", "Which? One: two foot and a half inch. Two: two and a half foot."),
        (Pick(2), "answer", "Two foot six."),
        (Pick(2), "refused", "There is no question to answer. Say what you need."),
    ],
    "a bare number picks": [
        (unclear("Which?", ("thirty and three eighths", hold("30 3/8")), ("four and an eighth", hold("4 1/8"))),
         "question", "Which? One: thirty and three eighths. Two: four and an eighth."),
        (hold(2), "answer", "Four and an eighth."),
    ],
    "the choice itself picks": [
        (unclear("Which?", ("center of two foot six", Center(feet(30))), ("center of two foot and a half inch", Center(feet("24 1/2")))),
         "question", "Which? One: center of two foot six. Two: center of two foot and a half inch."),
        (Hold(feet(30)), "answer", "Center of two foot six: one foot three."),
    ],
    "the choice itself comes before its number": [
        (unclear("Which?", ("two", hold(2)), ("one", hold(1))), "question", "Which? One: two. Two: one."),
        (hold(2), "answer", "Two."),
    ],
    "something else drops the question": [
        (unclear("Which?", ("one", hold(1)), ("two", hold(2))), "question", "Which? One: one. Two: two."),
        (Center(m(10)), "answer", "Center of ten: five."),
        (Pick(1), "refused", "There is no question to answer. Say what you need."),
    ],
    "never mind": [
        (hold(10), "answer", "Ten."),
        (unclear("Which?", ("one", hold(1)), ("two", hold(2))), "question", "Which? One: one. Two: two."),
        (Scratch(), "done", "Scratched. The piece is ten."),
        (unclear("Which?", ("one", hold(1)), ("two", hold(2))), "question", "Which? One: one. Two: two."),
        (Confirm(False), "done", "All right. Say it again."),
        (Scratch(), "done", "Scratched. The bench is clear."),
    ],
    "a slip leaves the question open": [
        (unclear("Which?", ("one", hold(1)), ("two", hold(2))), "question", "Which? One: one. Two: two."),
        (Center(m("1001'")), "refused", "Twelve thousand twelve is over a thousand feet. Say it again."),
        (Pick(1), "answer", "One."),
    ],
    "three what": [
        (hold(10), "answer", "Ten."),
        (unclear("Three what?", incomplete=Center(m(6, missing=3))), "question", "Three what?"),
        (Denominator(2), "question", "Three halves is an inch or more. Say it again. Three what?"),
        (Denominator(0), "question", "I don't know that fraction. Three what?"),
        (Denominator(8), "answer", "Center of six and three eighths: three and three sixteenths."),
    ],
    "three what, keyed": [
        (Hold(m(53, missing=5)), "question", "Five what? One: five eighths. Two: five sixteenths."),
        (hold(8), "answer", "Fifty-three and five eighths."),
        (Hold(m(53, missing=5)), "question", "Five what? One: five eighths. Two: five sixteenths."),
        (hold("5/16"), "answer", "Fifty-three and five sixteenths."),
        (Hold(m(53, missing=5)), "question", "Five what? One: five eighths. Two: five sixteenths."),
        (hold("53 5/32"), "answer", "Fifty-three and five thirty-seconds: fifty-three and an eighth plus."),
        (Hold(m(53, missing=5)), "question", "Five what? One: five eighths. Two: five sixteenths."),
        (hold(40), "answer", "Forty."),
    ],
    "an odd reading is confirmed": [
        (ODD, "question", "Twenty and an eighth? Yes or no?"),
        (Pick(2), "question", "Twenty and an eighth? Yes or no?"),
        (Confirm(True), "answer", "Twenty and an eighth."),
        (ODD, "question", "Twenty and an eighth? Yes or no?"),
        (Confirm(False), "done", "All right. Say it again."),
        (ODD, "question", "Twenty and an eighth? Yes or no?"),
        (Go(), "answer", "Twenty and an eighth."),
    ],
    "the choices are not said twice": [
        (unclear("Two inches, or two foot?", ("two inches", hold(2)), ("two foot", Hold(feet(24)))), "question", "Two inches, or two foot? One or two?"),
        (Pick(2), "answer", "Two foot."),
    ],
    "one piece said twice in the noise": [
        (StartString(), "done", "String started. Give me the first."),
        (unclear("That's two of forty-eight?", ("two of them", Items((m(48), m(48)))), ("just the one", hold(48))), "question", "That's two of forty-eight? One: two of them. Two: just the one."),
        (Pick(1), "answer", "Numbers one and two: forty-eight, forty-eight."),
        (Scratch(), "done", "Scratched. Nothing in the string yet."),
    ],
    "a question about the size of a name": [
        (TakeOff(m(96), (Named("plate"),)), "question", "What's the plate?"),
        (Hold(m(0, missing=3)), "question", "Three what? One: three quarters. Two: three eighths. Three: three sixteenths."),
        (Denominator(8), "answer", "Plate is three eighths. Ninety-six less three eighths: ninety-five and five eighths."),
    ],
    "how much is your plus": [
        (hold("53 5/8", 1), "answer", "Fifty-three and five eighths plus. How much is your plus? One: just a hair. Two: a sixty-fourth. Three: a thirty-second."),
        (Pick(3), "done", "Your plus is a thirty-second. Fifty-three and five eighths plus."),
        (Times(PIECE, 2), "answer", "Two at fifty-three and five eighths plus: two pieces, total one hundred seven and five sixteenths."),
        (hold("12 1/2", -1), "answer", "Twelve and a half minus."),
        (Center(), "answer", "Center of twelve and a half minus: six and a quarter minus."),
    ],
    "just a hair": [
        (Center(m("53 5/8", 1)), "answer", "Center of fifty-three and five eighths plus: twenty-six and thirteen sixteenths plus. How much is your plus? One: just a hair. Two: a sixty-fourth. Three: a thirty-second."),
        (hold(1), "done", "Just a hair. The number stays as it is."),
        (Center(m(10, -1)), "answer", "Center of ten minus: five minus."),
    ],
    "not asked twice": [
        (hold(10, 1), "answer", "Ten plus. How much is your plus? One: just a hair. Two: a sixty-fourth. Three: a thirty-second."),
        (Center(), "answer", "Center of ten plus: five plus."),
        (hold(20, 1), "answer", "Twenty plus."),
    ],
    "the tape from now on": [
        (Center(m("17 7/16")), "answer", "Center of seventeen and seven sixteenths: eight and eleven sixteenths plus."),
        (SetTape(THIRTY_SECONDS), "done", "Thirty-seconds from now on."),
        (Center(), "answer", "Center of seventeen and seven sixteenths: eight and twenty-three thirty-seconds."),
        (Scratch(), "done", "Scratched. The piece is seventeen and seven sixteenths."),
        (Scratch(), "done", "Scratched. Sixteenths again."),
    ],
    "the same marks in the other unit": [
        (Parts(m(87), 4), "answer", "Eighty-seven in four parts: four equal parts of twenty-one and three quarters."),
        (NEXT, "done", "From one end. One of three: twenty-one and three quarters."),
        (Convert(PIECE, Form.FEET), "answer", "Eighty-seven in feet and inches: seven foot three."),
        (Explain(), "answer", "Twelve goes into eighty-seven seven times, three left."),
        (NEXT, "done", "Two of three: three foot seven and a half."),
        (Correct(m("87 1/2")), "answer", "Eighty-seven and a half in feet and inches: seven foot three and a half."),
        (NEXT, "done", "From one end. One of three: one foot nine and seven eighths."),
    ],
    "over and undone": [
        (hold(10), "answer", "Ten."),
        (StartOver(), "done", "Starting over. The bench is clear."),
        (Center(), "refused", "Give me a measurement first."),
        (Scratch(), "done", "Scratched. The piece is ten."),
        (Scratch(), "done", "Scratched. The bench is clear."),
        (Scratch(), "refused", "There is nothing to scratch."),
    ],
    "what is not ours": [
        (AskEngineer(), "refused", "That's an engineer's call."),
        (Impossible("Inches go up to eleven after feet."), "refused", "Inches go up to eleven after feet."),
        (Help(), "done", "You can say: center of ten; add seven eighths."),
        (Confirm(True), "done", "All right."),
        (Confirm(False), "done", "Say it again, or say scratch that."),
    ],
    "too large to be real": [
        (hold(10), "answer", "Ten."),
        (hold(12001), "refused", "Twelve thousand one is over a thousand feet. Say it again."),
        (Times(PIECE, 0), "refused", "It can't be zero pieces. Say one or more."),
        (TakeOff(PIECE, (m("10 1/16"),)), "refused", "You can't take ten and one sixteenth off ten. Check the numbers."),
        (WHERE, "done", "The piece is ten."),
    ],
}  # fmt: skip


@pytest.mark.parametrize("name", CONVERSATIONS)
def test_conversation(name):
    bench = Bench()
    for what, status, say in CONVERSATIONS[name]:
        answer = bench.hear(what)
        assert (answer.status, answer.say) == (status, say)
        assert bench.said == [say]


def test_a_step_a_sentence():
    bench = Bench()
    answer = bench.hear(Center(m("53 5/8")))
    explained = bench.hear(Explain())
    assert explained.status == "answer"
    assert explained.steps == answer.steps
    assert len(answer.steps) > 1
    assert explained.say == " ".join(answer.steps)
    assert all(step[0].isupper() and step.endswith(".") for step in answer.steps)


def test_his_plus_is_the_last_step():
    bench = Bench(Manners(plus=Length("1/32")))
    answer = bench.hear(Center(m("53 5/8", 1)))
    assert answer.steps[-1] == "Your plus makes it a sixty-fourth more."
    assert answer.values[0].inches == (Fraction(429, 8) + Fraction(1, 32)) / 2


def test_one_request_alone_is_never_asked_about_his_plus():
    answer = Bench(Manners(ask_plus=False)).hear(hold("53 5/8", 1))
    assert (answer.say, answer.choices) == ("Fifty-three and five eighths plus.", ())


def test_a_millimeter_tape_answers_in_millimeters():
    bench = Bench(Manners(tape=MILLIMETERS))
    value = bench.hear(Center(m(20))).values[0]
    assert (value.exact, value.tape) == ("10", "254 mm")  # 25.4 mm to the inch, NIST SP 811


def test_what_comes_next_is_made_ready():
    bench = Bench()
    bench.hear(hold("53 5/8"))
    (ready,) = bench.prepared
    assert bench.hear(Go()).say == ready
    for _ in range(3):
        (ready,) = bench.prepared
        assert bench.hear(NEXT).say == ready


def test_a_newer_board_on_disk_counts():
    bench = Bench(board=[("leg", m(10))])
    assert bench.hear(Recall("leg")).say == "Leg: ten."
