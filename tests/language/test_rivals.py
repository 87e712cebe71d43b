"""Two sentences that were about as likely said: he is asked which, where sizes hang on it."""

from __future__ import annotations

import pytest

from assistant.desk import Desk
from assistant.language.grammar import Grammar, load_english
from assistant.language.understand import understand
from assistant.language.understanding import Unclear, Understood
from assistant.settings import Settings


@pytest.fixture(scope="module")
def grammar() -> Grammar:
    return load_english()


@pytest.mark.parametrize(
    ("words", "rival", "question"),
    [
        ("half of nineteen", "half of ninety", "Center of nineteen, or center of ninety?"),
        ("fifty six and a half", "sixty six and a half", "Fifty-six and a half, or sixty-six and a half?"),
        ("six at fourteen", "six at forty", "Six at fourteen, or six at forty?"),
        ("half of the leg", "half of the lid", "Center of the leg, or center of the lid?"),
        ("add five", "add nine", "Plus five, or plus nine?"),
        ("in five parts", "in nine parts", "In five parts, or in nine parts?"),
        ("no three eighths", "no five eighths", "Three eighths, or five eighths?"),
    ],
)
def test_he_is_asked_which(grammar: Grammar, words: str, rival: str, question: str) -> None:
    heard, asked = understand(grammar, words, rival=rival)
    assert heard == words
    assert isinstance(asked, Unclear)
    assert asked.question == question
    wanted = [understand(grammar, said)[1] for said in (words, rival)]
    assert [Understood(choice.request) for choice in asked.choices] == wanted


@pytest.mark.parametrize(
    ("words", "rival"),
    [
        ("half of nineteen", ""),
        ("half of nineteen", "half of of"),  # no sentence
        ("half of nineteen", "forty three eighths"),  # can be read in two ways itself
        ("half of nineteen", "nineteen divided by nothing"),  # cannot be answered
        ("half of nineteen", "half of nineteen inches"),  # the same
        ("half of nineteen", "scratch that"),
        ("next", "sixteen"),
        ("forty three eighths", "fourteen three eighths"),
    ],
)
def test_he_is_not_asked(grammar: Grammar, words: str, rival: str) -> None:
    assert understand(grammar, words, rival=rival) == understand(grammar, words)


@pytest.mark.parametrize(
    ("reply", "said"),
    [
        ("one", "Center of nineteen: nine and a half."),
        ("the second", "Center of ninety: forty-five."),
        ("ninety", "Center of ninety: forty-five."),
        ("half of eighty", "Center of eighty: forty."),  # neither: he says it again
    ],
)
def test_his_reply_is_answered(grammar: Grammar, reply: str, said: str) -> None:
    """By hand: 19 / 2, 90 / 2, 80 / 2."""
    desk = Desk(Settings(), grammar=grammar)
    asked = desk.ask("half of nineteen", typed=False, rival="half of ninety")
    assert asked.status == "question"
    assert asked.say == "Center of nineteen, or center of ninety? One or two?"
    assert [choice.say for choice in asked.choices] == ["center of nineteen", "center of ninety"]
    answer = desk.ask(reply, typed=False)
    assert answer.status == "answer"
    assert answer.say == said


def test_what_was_in_hand_stays_until_he_has_said_which(grammar: Grammar) -> None:
    desk = Desk(Settings(), grammar=grammar)
    desk.ask("ten and a half")
    desk.ask("plus nineteen", typed=False, rival="plus ninety")
    assert desk.ask("one", typed=False).say == "Ten and a half plus nineteen: two pieces, total twenty-nine and a half."
    desk.ask("half of nineteen", typed=False, rival="half of ninety")
    desk.ask("no", typed=False)
    assert desk.session.job.piece is not None


@pytest.mark.parametrize(
    ("replies", "said"),
    [
        (["two"], "Ninety. How many spaces? Say no to give the biggest space instead."),
        (["twelve feet"], "Twelve foot. How many spaces? Say no to give the biggest space instead."),  # says it again
        (["no"], "All right. How long?"),
        (["scratch that"], "All right. How long?"),
        (["no", "twelve feet"], "Twelve foot. How many spaces? Say no to give the biggest space instead."),
        (["no", "no"], "All right. Say it again."),  # the task itself
        (["center of five"], "Center of five: two and a half."),  # something else
    ],
)
def test_a_task_that_was_asking_goes_on(grammar: Grammar, replies: list[str], said: str) -> None:
    desk = Desk(Settings(), grammar=grammar)
    assert desk.ask("equal spaces").say == "Equal spaces. How long?"
    assert desk.ask("nineteen", typed=False, rival="ninety").say == "Nineteen, or ninety? One or two?"
    *_, last = (desk.ask(reply, typed=False) for reply in replies)
    assert last.say == said
