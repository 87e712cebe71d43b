"""Whatever is answered can be shown and printed."""

from __future__ import annotations

import json

import pytest

from assistant.desk import Desk
from assistant.language.grammar import Grammar
from assistant.printing.mark_sheet import mark_sheet
from assistant.screen.parts import answer_part, enter_word, picture_part
from assistant.session.answer import Answer
from assistant.settings import Settings


def test_every_example_of_the_grammar_can_be_shown_and_printed(grammar: Grammar) -> None:
    shown = 0
    for tape in ("sixteenths", "thirty-seconds", "eighths", "millimeters"):
        desk = Desk(Settings(tape=tape), grammar=grammar)
        for _, examples in grammar.examples():
            for example in examples:
                for words in (example, "next", "how come"):
                    answer = desk.ask(words)
                    picture = picture_part(answer)
                    json.dumps([picture, answer_part(answer), enter_word(answer, keying=False)])
                    shown += picture is not None
                    mark_sheet(answer, answer.say)
    assert shown > 100


def test_the_first_length_is_large_and_the_rest_are_beside_it(grammar: Grammar) -> None:
    desk = Desk(Settings(), grammar=grammar)
    part = picture_part(desk.ask("53 5/8 in seven parts"))
    assert part is not None
    assert (part["figures"]["whole"], part["figures"]["top"], part["lean"]) == ("7", "11", "minus")
    part = picture_part(desk.ask("next"))
    assert part is not None
    assert (part["place"], part["others"]) == ("1 of 6", [])


def test_the_picture_stays_where_an_answer_has_none_and_goes_when_the_bench_is_cleared(grammar: Grammar) -> None:
    desk = Desk(Settings(), grammar=grammar)
    desk.ask("53 5/8")
    assert picture_part(desk.ask("wibble")) is None
    assert picture_part(desk.ask("start over")) == {}


@pytest.mark.parametrize(
    ("keyed", "answer_to", "word"),
    [(False, "53 5/8", "Center"), (False, "center of 53 5/8", "Next"), (True, "53 5/8", "Enter")],
)
def test_enter_says_what_it_does(grammar: Grammar, keyed: bool, answer_to: str, word: str) -> None:
    assert enter_word(Desk(Settings(), grammar=grammar).ask(answer_to), keyed) == word
    assert enter_word(Answer("", "question", "Five what?"), keyed) == "Enter"


def test_a_mark_is_drawn_only_on_what_it_is_laid_out_on(grammar: Grammar) -> None:
    desk = Desk(Settings(), grammar=grammar)
    for words, drawn in (
        ("72", True),
        ("six holes in 72", True),
        ("eight holes on a nine and five eighths circle straddling", False),
    ):
        part = picture_part(desk.ask(words))
        assert part is not None
        assert bool(part["piece"]) is drawn


def test_a_held_inch_is_told_until_it_is_given_back(grammar: Grammar) -> None:
    desk = Desk(Settings(), grammar=grammar)
    desk.ask("center of 53 5/8")
    assert answer_part(desk.ask("burn an inch"))["held"] == 'Holding 1"'
    assert answer_part(desk.ask("next"))["held"] == 'Holding 1"'
    assert answer_part(desk.ask("center of 60"))["held"] == ""


def test_cautions_stand_beside_what_is_said(grammar: Grammar) -> None:
    answer = Desk(Settings(), grammar=grammar).ask("weigh 48 by 24 by a half plate")
    part = answer_part(answer)
    assert part["cautions"] == list(answer.cautions)
    assert part["cautions"]
    assert not [caution for caution in answer.cautions if caution in part["say"]]
    assert part["say"] == "Forty-eight by twenty-four by a half steel plate: about one hundred sixty-four pounds."


def test_a_mark_that_is_walked_to_is_told_from_a_message(grammar: Grammar) -> None:
    desk = Desk(Settings(), grammar=grammar)
    desk.ask("53 5/8 in three parts")
    told = [
        answer_part(desk.ask(words))["walked"] for words in ("next", "again", "where am i", "print the marks", "next")
    ]
    assert told == [True, True, True, False, True]
    assert [answer_part(desk.ask(words))["walked"] for words in ("next", "how come")] == [False, False]


def test_a_weight_is_shown_as_it_is_said(grammar: Grammar) -> None:
    answer = Desk(Settings(), grammar=grammar).ask("weigh 48 by 24 by a half plate")
    part = picture_part(answer)
    assert part is not None
    assert (part["figures"]["whole"], part["figures"]["unit"]) == ("164", "lb")
    assert "one hundred sixty-four pounds" in answer.say
