"""The keypad key by key. The examples are those of the product contract, "Keys"."""

from __future__ import annotations

from unittest.mock import ANY

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.keypad.entry import Bench, Pad, press
from assistant.keypad.keys import Key, keyed
from assistant.language.requests import (
    PIECE,
    Add,
    Center,
    Convert,
    Denominator,
    Explain,
    Go,
    Hold,
    ListBoard,
    Measure,
    Parts,
    Pick,
    Print,
    Scratch,
    StartString,
    Step,
    TakeOff,
    Task,
    Times,
    Total,
    Walk,
)
from assistant.language.understanding import Impossible, Unclear, Understood
from assistant.length import Length
from assistant.tape import Form
from tests.keypad.test_sizes import keyed_sizes

EMPTY = Bench()
HELD = Bench(piece=Measure(Length("53 5/8")))
WALKING = Bench(piece=Measure(Length("53 5/8")), walking=True)
BENCHES = [
    EMPTY,
    HELD,
    WALKING,
    Bench(choices=2),
    Bench(HELD.piece, True, 3),
    Bench(HELD.piece, True, 2, bottom=True),
]
BACK, AGAIN = Walk(Step.BACK), Walk(Step.AGAIN)


def m(text: str, missing: int | None = None) -> Measure:
    return Measure(Length(text), form=Form.FEET if "'" in text else Form.INCHES, missing=missing)


def keyed_in(text: str, bench: Bench = EMPTY):
    """The pad afterwards, and everything the keys led to."""
    pad, results = Pad(), []
    for key in keyed(text):
        results.append(press(pad, key, bench))
        pad = results[-1].pad
    return pad, results


def outcomes(text: str, bench: Bench = EMPTY):
    return [result.outcome for result in keyed_in(text, bench)[1] if result.outcome]


def requests(text: str, bench: Bench = EMPTY):
    found = outcomes(text, bench)
    assert all(isinstance(outcome, Understood) for outcome in found), found
    return [outcome.request for outcome in found]


@pytest.mark.parametrize(
    ("keys", "bench", "asked"),
    [
        ("53.5/8E", EMPTY, [Hold(m("53 5/8"))]),
        ("53.5/8E", WALKING, [Hold(m("53 5/8"))]),
        ("11..4.3/8E", EMPTY, [Hold(m("11' 4 3/8"))]),
        (".5/8E", EMPTY, [Hold(m("5/8"))]),
        (".5/8E", HELD, [Hold(m("5/8"))]),
        ("53.5/8EE", EMPTY, [Hold(m("53 5/8")), Go()]),
        ("EE-./", WALKING, [Go(), Go(), BACK, AGAIN, Explain()]),
        ("+53.5/8E", HELD, [Add((PIECE, m("53 5/8")))]),
        ("-.1/8E", HELD, [TakeOff(PIECE, (m("1/8"),))]),
        ("*3E", HELD, [Times(PIECE, 3)]),
        ("/7E", HELD, [Parts(PIECE, 7)]),
        ("+53.5/8E", WALKING, [Add((PIECE, m("53 5/8")))]),
        ("*3E", WALKING, [Times(PIECE, 3)]),
        ("53.5/8+7/8E", EMPTY, [Add((m("53 5/8"), m("7/8")))]),
        ("53.5/8+7/8E", WALKING, [Add((m("53 5/8"), m("7/8")))]),
        ("10+2+3E", EMPTY, [Add((m("10"), m("2"), m("3")))]),
        ("96.1/4-3/4E", EMPTY, [TakeOff(m("96 1/4"), (m("3/4"),))]),
        ("10-1-2E", EMPTY, [TakeOff(m("10"), (m("1"), m("2")))]),
        ("10+2-1+3E", EMPTY, [TakeOff(m("15"), (m("1"),))]),
        ("+5-1E", HELD, [TakeOff(m("58 5/8"), (m("1"),))]),
        ("-1+5E", HELD, [TakeOff(m("58 5/8"), (m("1"),))]),
        ("+5+1E", HELD, [Add((PIECE, m("5"), m("1")))]),
        ("-E", HELD, [BACK]),
        ("/E", HELD, [Explain()]),
        (".E", HELD, [AGAIN]),
        ("-/", EMPTY, [BACK, Explain()]),
        ("2", Bench(choices=2), [Pick(2)]),
        ("3E", Bench(choices=2), [Hold(m("3"))]),
        (".1", Bench(choices=2), [AGAIN, Pick(1)]),
        ("/8E", Bench(HELD.piece, True, 2, bottom=True), [Denominator(8)]),
        ("8E", Bench(HELD.piece, True, 2, bottom=True), [Hold(m("8"))]),
        ("<", HELD, [Scratch()]),
        ("53E<", EMPTY, [Hold(m("53")), Scratch()]),
    ],
)
def test_keys_ask_for(keys, bench, asked):
    assert requests(keys, bench) == asked


def test_a_mixed_sum_comes_to_what_was_keyed():
    (request,) = requests("53.5/8+7/8-1/4+2E")
    assert isinstance(request, TakeOff)
    assert request.of.length - request.off[0].length == Length("53 5/8") + Length("7/8") - Length("1/4") + Length("2")


# -------------------------------------------------------------- what is asked back


@pytest.mark.parametrize(
    ("keys", "bench", "question", "choices", "incomplete"),
    [
        (
            "53.5E", EMPTY, "Five what?",
            {"five eighths": Hold(m("53 5/8")), "five sixteenths": Hold(m("53 5/16"))},
            Hold(m("53", missing=5)),
        ),
        (
            ".3/E", EMPTY, "Three what?",
            {"three quarters": Hold(m("3/4")), "three eighths": Hold(m("3/8")),
             "three sixteenths": Hold(m("3/16"))},
            Hold(m("0", missing=3)),
        ),
        (
            "-.9E", HELD, "Nine what?",
            {"nine sixteenths": TakeOff(PIECE, (m("9/16"),))},
            TakeOff(PIECE, (m("0", missing=9),)),
        ),
        ("10+2.17E", EMPTY, "Seventeen what?", {}, Add((m("10"), m("2", missing=17)))),
    ],
)  # fmt: skip
def test_a_missing_bottom_number_is_asked_for(keys, bench, question, choices, incomplete):
    pad, results = keyed_in(keys, bench)
    (outcome,) = (result.outcome for result in results if result.outcome)
    assert outcome.question == question
    assert {choice.say: choice.request for choice in outcome.choices} == choices
    assert outcome.incomplete == incomplete
    assert pad == Pad()


@pytest.mark.parametrize(
    ("keys", "moves", "choices"),
    [
        ("-.1/8E", [BACK, AGAIN], [("it less an eighth", TakeOff(PIECE, (m("1/8"),))),
                                   ("a new piece, an eighth", Hold(m("1/8")))]),
        ("-48.3/4E", [BACK], [("it less forty-eight and three quarters", TakeOff(PIECE, (m("48 3/4"),))),
                              ("a new piece, forty-eight and three quarters", Hold(m("48 3/4")))]),
        ("/7E", [Explain()], [("it in seven parts", Parts(PIECE, 7)),
                              ("a new piece, seven inches", Hold(m("7")))]),
        (".9E", [AGAIN], [("nine sixteenths", Hold(m("9/16"))), ("nine inches", Hold(m("9")))]),
    ],
)  # fmt: skip
def test_a_line_right_after_a_walking_key_is_asked_about(keys, moves, choices):
    """Both readings are honest: he walked the marks and now keys a new piece, or he means the operator."""
    *walked, last = outcomes(keys, WALKING)
    assert [outcome.request for outcome in walked] == moves
    assert isinstance(last, Unclear)
    assert [(choice.say, choice.request) for choice in last.choices] == choices
    said = ", or ".join(say for say, _ in choices)
    assert last.question == f"{said[0].upper()}{said[1:]}?"


@pytest.mark.parametrize(
    ("keys", "asked"),
    [
        (".5/8E", [AGAIN, Hold(m("5/8"))]),  # the same either way
        ("..5/8E", [AGAIN, AGAIN, Hold(m("5/8"))]),
        (".48E", [AGAIN, Hold(m("48"))]),  # forty-eight is the top of no fraction
        (".12.1/2E", [AGAIN, Hold(m("12 1/2"))]),
        ("/53.5/8E", [Explain(), Hold(m("53 5/8"))]),  # nothing is divided by that
        ("-E48E", [BACK, Go(), Hold(m("48"))]),  # the move is over
        ("-+2E", [BACK, Add((PIECE, m("2")))]),
        ("-*2E", [BACK, Times(PIECE, 2)]),
        ("-5*48E", [BACK, Hold(m("48"))]),  # taken back: begun afresh
    ],
)
def test_where_only_one_reading_is_left_nothing_is_asked(keys, asked):
    assert requests(keys, WALKING) == asked


# -------------------------------------------------------------- what cannot be


@pytest.mark.parametrize(
    ("keys", "bench", "says"),
    [
        ("53.5/0E", EMPTY, "Nothing goes over zero. Take it back, and key the bottom number."),
        ("11..12E", EMPTY, "Twelve inches is a foot or more. Key the feet and the inches again."),
        ("53.9/8E", EMPTY, "Nine over eight is an inch or more. Key the whole inches first."),
        ("12001E", EMPTY, "That is over a thousand feet. Take back a key."),
        ("0E", EMPTY, "A piece of nothing is no piece. Key its length."),
        ("+E", HELD, "There is no measurement yet. Key the inches."),
        ("*0E", HELD, "It can't be 0 times. Say one or more."),
        ("/0E", HELD, "It can't be 0 parts. Say one or more."),
        ("/E", Bench(HELD.piece, False, 2, bottom=True), "Over what? Key the bottom number."),
        ("/0E", Bench(HELD.piece, False, 2, bottom=True), "Over what? Key the bottom number."),
    ],
)
def test_what_cannot_be_is_said_and_the_line_stays(keys, bench, says):
    pad, results = keyed_in(keys, bench)
    assert results[-1].outcome == Impossible(says)
    assert pad.line == keys[:-1]


def test_a_line_is_put_right_where_it_went_wrong():
    assert outcomes("11..12E<.1/2E") == [Impossible(ANY), Understood(Hold(m("11' 1 1/2")))]


@pytest.mark.parametrize(
    ("keys", "bench", "line", "says"),
    [
        ("5.+", EMPTY, "5.", "Five and what? Key the fraction, or take back the dot."),
        ("53.5+", EMPTY, "53.5", "Five what? Key over, and the bottom number."),
        ("9/8+", EMPTY, "9/8", "Nine over eight is an inch or more. Key the whole inches first."),
        ("11..4..", EMPTY, "11..4.", "That key does nothing here."),
        ("5/8/", EMPTY, "5/8", "That key does nothing here."),
        ("*3.", HELD, "*3", "That key does nothing here."),
        ("+", EMPTY, "", "There is no piece yet. Key its length first, then Enter."),
        ("1234567", EMPTY, "123456", "That key does nothing here."),
    ],
)
def test_a_key_that_does_not_fit_changes_nothing(keys, bench, line, says):
    pad, results = keyed_in(keys, bench)
    assert (pad.line, results[-1].say, results[-1].fits) == (line, says, False)
    assert all(result.fits for result in results[:-1])


# -------------------------------------------------------------- echo and taking back


def test_every_key_is_answered_with_the_line_so_far():
    _, results = keyed_in("53.5/8")
    assert [result.say for result in results] == [
        "five",
        "fifty-three",
        "fifty-three and",
        "fifty-three and five",
        "fifty-three and five over",
        "fifty-three and five eighths",
    ]


@pytest.mark.parametrize(
    ("keys", "bench", "line", "says"),
    [
        ("53*", EMPTY, "5", "Taken back. Five."),
        ("53**", EMPTY, "", "Wiped."),
        ("5*", EMPTY, "", "Taken back. Nothing keyed."),
        ("5**", EMPTY, "", "Wiped."),
        ("53*4*", EMPTY, "5", "Taken back. Five."),
        ("53.5<<", EMPTY, "53", "Taken back. Fifty-three."),
        ("5.5<*", EMPTY, "5", "Taken back. Five."),
        ("*", HELD, "*", "Times what? Enter for the jobs."),
        ("*3*", HELD, "*", "Taken back. Times."),
        ("**", HELD, "", "Taken back. Nothing keyed."),
        ("53.5/8+*", EMPTY, "53.5/8", "Taken back. Fifty-three and five eighths."),
    ],
)
def test_taking_back_and_wiping_are_said(keys, bench, line, says):
    pad, results = keyed_in(keys, bench)
    assert (pad.line, results[-1].say) == (line, says)


def test_star_after_a_wipe_is_the_list_again():
    assert keyed_in("53***")[1][-1].asks


def test_leaning_on_backspace_does_not_scratch_an_answer():
    _, results = keyed_in("53<<<")
    assert results[-1].say == "Nothing keyed. Once more scratches the last answer."
    assert requests("53<<<") == []
    assert requests("53<<<<") == [Scratch()]


# -------------------------------------------------------------- the jobs


@pytest.mark.parametrize(
    ("keys", "bench", "asked"),
    [
        ("*153.5/8E", EMPTY, Center(m("53 5/8"))),
        ("*E1E", HELD, Center(PIECE)),
        ("*E296E7E", HELD, Parts(m("96"), 7)),
        ("*E2E7E", HELD, Parts(PIECE, 7)),
        ("*E111..E12E", EMPTY, Times(m("11'"), 12)),
        ("*8", EMPTY, StartString()),
        ("*9", EMPTY, Total()),
        ("*-253E", EMPTY, Convert(m("53"), Form.MILLIMETERS)),
        ("*E-3E", HELD, Convert(PIECE, Form.FEET)),
        ("*-4", EMPTY, ListBoard()),
        ("*-5", EMPTY, Scratch()),
        ("*-6", EMPTY, Print()),
        ("*3", EMPTY, Task("spaces")),
        ("*E2", EMPTY, Task("brace")),
        ("*E-E3", HELD, Task("spaces")),
        ("*150+3.5/8-1/8E", EMPTY, Center(m("53 1/2"))),
        ("*E1.5/8E", WALKING, Center(m("5/8"))),
        ("*2<296E<8E4E", EMPTY, Parts(m("8"), 4)),  # back to the list, and back a prompt
        ("*E+-.1E", HELD, Center(PIECE)),
    ],
)  # fmt: skip
def test_a_job_asks_for_what_it_needs_and_then_asks_the_session(keys, bench, asked):
    pad, results = keyed_in(keys, bench)
    assert results[-1].outcome == Understood(asked)
    assert pad == Pad()


def test_the_list_and_the_prompts_are_spoken():
    _, results = keyed_in("*296E7E")
    assert results[0].say.startswith("Jobs. One, center. Two, equal parts. ")
    assert results[0].options[:2] == ("center", "equal parts")
    assert results[1].say == "Equal parts. Equal parts of what?"
    assert results[4].say == "How many parts?"
    assert [result.asks for result in results] == [True, True, False, False, True, False, False]


def test_enter_is_offered_only_where_there_is_a_piece():
    assert keyed_in("*E1", HELD)[1][-1].say == "Center. Center of what? Enter for the piece."
    assert keyed_in("*1", EMPTY)[1][-1].say == "Center. Center of what?"
    assert outcomes("*1E") == [Impossible("Nothing is keyed. Center of what?")]


@pytest.mark.parametrize(
    ("keys", "line", "says"),
    [
        ("*153.5E", "53.5", "Five what? Key over, and the bottom number."),
        ("*11-2E", "1-2", "You can't take 2 off 1. Check the numbers."),
        ("*296E0E", "0", "It can't be 0 parts. Say one or more."),
        ("*296E9999E", "9999", "9999 parts is more than I can count. Say 1000 or fewer."),
        ("*296EE", "", "Nothing is keyed. How many parts?"),
    ],
)
def test_a_prompt_keeps_what_was_keyed_when_it_cannot_be(keys, line, says):
    pad, results = keyed_in(keys)
    assert results[-1].outcome == Impossible(says)
    assert pad.line == line
    assert pad.stage is not None


# -------------------------------------------------------------- for every sequence of keys

benches = st.sampled_from(BENCHES)


@given(st.lists(st.tuples(st.sampled_from(Key), benches), max_size=60))
def test_no_keys_ever_fail_and_everything_can_be_wiped(presses):
    pad = Pad()
    for key, bench in presses:
        result = press(pad, key, bench)
        assert result.say or result.outcome
        pad = result.pad
    for _ in range(2):
        pad = press(pad, Key.STAR, EMPTY).pad if pad.line or pad.taken is Key.STAR else pad
    assert pad.line == ""
    for _ in range(4):  # out of the prompts of any job, and out of the list
        pad = press(pad, Key.STAR, EMPTY).pad if pad.stage else pad
    assert pad.stage is None
    assert press(Pad(), Key.FIVE, EMPTY).pad.line == "5"


@given(st.lists(st.sampled_from(Key), max_size=60), benches)
def test_the_same_keys_always_do_the_same(keys, bench):
    def run():
        pad, seen = Pad(), []
        for key in keys:
            result = press(pad, key, bench)
            seen.append(result)
            pad = result.pad
        return seen

    assert run() == run()


@given(keyed_sizes(), st.sampled_from([EMPTY, HELD, WALKING]))
def test_a_length_keyed_then_enter_is_exactly_that_length(size, bench):
    keys, length, form = size
    pad = Pad()
    for key in keyed(keys):
        result = press(pad, key, bench)
        assert result.fits
        pad = result.pad
    outcome = press(pad, Key.ENTER, bench).outcome
    if length:
        assert outcome == Understood(Hold(Measure(length, form=form)))
    else:
        assert isinstance(outcome, Impossible)


@given(st.lists(keyed_sizes(), min_size=2, max_size=4), st.data())
def test_a_sum_keyed_in_comes_to_what_was_keyed(parts, data):
    keys, total = parts[0][0], parts[0][1]
    for part, length, _ in parts[1:]:
        sign = data.draw(st.sampled_from("+-"))
        if len(keys) + len(part) > 55:
            break
        keys += sign + part
        total = total + length if sign == "+" else total - length
    (asked,) = requests(keys + "E") if keys != parts[0][0] else (Add((Measure(total), Measure(Length(0)))),)
    if isinstance(asked, Add):
        assert sum((term.length for term in asked.terms), Length(0)) == total
    else:
        assert asked.of.length - sum((off.length for off in asked.off), Length(0)) == total
