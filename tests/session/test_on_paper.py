"""What is put on paper of the job on the bench."""

from __future__ import annotations

import pytest

from assistant.language.grammar import load_english
from assistant.language.requests import Print, Sheet
from assistant.language.understand import understand
from assistant.session.effects import Prepare, PutOnPaper, Say, Show
from tests.session.bench import Bench

ENGLISH = load_english()
NEST = ("sticks twenty foot", "cut four at ninety five and seven eighths", "nest", "an eighth")
SADDLE = "saddle four on six outside ninety degrees"


def put(*said: str, sheet: Sheet = Sheet.FITTING) -> PutOnPaper | str:
    """What goes on paper after all that was said, or the refusal."""
    bench = Bench()
    for words in said:
        heard, outcome = understand(ENGLISH, words, bench.session.expecting)
        bench.hear(outcome, heard)
    before = bench.session.job, bench.session.history
    answer = bench.key(Print(sheet))
    assert (bench.session.job, bench.session.history) == before
    sheets = [effect for effect in bench.effects if isinstance(effect, PutOnPaper)]
    if answer.status == "refused":
        assert not sheets
        return answer.say
    (only,) = sheets
    assert [type(effect) for effect in bench.effects if not isinstance(effect, Prepare)][:3] != [Show, Say, PutOnPaper]
    return only


@pytest.mark.parametrize(
    ("said", "sheet"),
    [
        (("53 5/8 in seven parts",), Sheet.MARKS),
        (("53 5/8 in seven parts", "from the other end"), Sheet.MARKS),
        (("53 5/8",), Sheet.MARKS),
        (NEST, Sheet.CUTS),
        ((*NEST, "next"), Sheet.CUTS),
        ((SADDLE,), Sheet.TEMPLATE),
        (("miter six inch pipe two pieces ninety degrees",), Sheet.TEMPLATE),
    ],
)
def test_the_sheet_that_fits(said: tuple[str, ...], sheet: Sheet) -> None:
    found = put(*said)
    assert isinstance(found, PutOnPaper)
    assert found.sheet is sheet
    assert (found.nest is not None, found.wrap is not None) == (sheet is Sheet.CUTS, sheet is Sheet.TEMPLATE)


@pytest.mark.parametrize(
    ("said", "sheet", "sentence"),
    [
        ((), Sheet.FITTING, "There is nothing on the bench to print. Give me a measurement first."),
        ((), Sheet.MARKS, "There is nothing on the bench to print. Give me a measurement first."),
        (("start a string", "10"), Sheet.MARKS, "There is nothing on the bench to print. Give me a measurement first."),
        (("53 5/8",), Sheet.CUTS, "There is no cut list to print. Say how long the sticks are, and what to cut."),
        (NEST[:2], Sheet.CUTS, "How wide is the kerf of your saw? Say kerf and its size, then print."),
        (NEST[:1], Sheet.CUTS, "There is no cut list to print. Say how long the sticks are, and what to cut."),
        (
            ("center of 10",),
            Sheet.TEMPLATE,
            "There is no template to print. Ask for a pipe miter or a saddle first.",
        ),
        (
            ("kerf an eighth", "sticks ten foot", "cut one at fifteen foot"),
            Sheet.CUTS,
            "A piece of fifteen foot is longer than every stick: the longest gives ten foot.",
        ),
    ],
)
def test_what_is_not_there_is_not_printed(said: tuple[str, ...], sheet: Sheet, sentence: str) -> None:
    assert put(*said, sheet=sheet) == sentence


def test_a_mark_sheet_of_a_saddle_when_it_is_asked_for() -> None:
    found = put(SADDLE, sheet=Sheet.MARKS)
    assert isinstance(found, PutOnPaper)
    assert found.sheet is Sheet.MARKS
    assert len(found.answer.marks) == 16
    assert found.datum == "the line around the branch"


def test_the_inch_he_holds_is_in_the_marks_and_told() -> None:
    found = put("center of 53 5/8", "burn an inch")
    assert isinstance(found, PutOnPaper)
    assert [mark.tape for mark in found.answer.marks] == ["27 13/16"]
    assert "holding on one" in found.datum


def test_the_cut_list_is_the_cutting_that_was_said() -> None:
    """By hand: two of 95 7/8 and as many eighths from a stick of 240 leave 48."""
    found = put("kerf an eighth", *NEST[:2], sheet=Sheet.CUTS)
    assert isinstance(found, PutOnPaper)
    assert found.nest is not None
    assert [str(stick.drop) for stick in found.nest.sticks] == ["48", "48"]


def test_a_question_stays_open_and_again_repeats_what_was_asked() -> None:
    bench = Bench()
    for words in ("center of 53 5/8", "pickets in sixty"):
        heard, outcome = understand(ENGLISH, words, bench.session.expecting)
        bench.hear(outcome, heard)
    assert bench.key(Print()).status == "done"
    assert bench.session.question is not None
    heard, outcome = understand(ENGLISH, "again", bench.session.expecting)
    assert bench.hear(outcome, heard).say == "Pickets, clear sixty. How wide is the picket?"
