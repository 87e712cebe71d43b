"""Whole pieces of work, said in words and answered with marks.

Every value is computed with exact fractions, or to 40 digits where there is a root or pi, outside this project.
"3'-3 3/16-" is a little under that mark.
"""
# ruff: noqa: E501  # one turn a line

from __future__ import annotations

import pytest

from assistant.language.grammar import load_english
from assistant.language.understand import understand
from tests.layout.tape_marks import mark, marks
from tests.session.bench import Bench


class Talk:
    def __init__(self) -> None:
        self.bench = Bench()

    def say(self, words):
        heard, outcome = understand(load_english(), words, self.bench.session.expecting)
        return self.bench.hear(outcome, heard)


def on_tape(shown):
    """A shown value or mark as its tape mark and lean."""
    return mark(shown.tape.strip('"').replace('"', ""))[0], shown.lean


SWING_GATE = [
    ("center of thirteen foot seven and three quarters", {"center": "6'-9 7/8"}, ""),
    ("miter two long point thirteen foot seven and three quarters", {"short point": "13'-3 3/4"}, ""),
    ("miter two long point fifty and a half", {"short point": "46 1/2"}, ""),
    (
        "pickets in 78 7/8 bar a half no more than four inch gap",
        {"gap": "3 15/16-"},
        "3 15/16-; 8 5/16; 12 3/4-; 17 1/8+; 21 9/16-; 25 15/16+; 30 3/8; 34 3/4+; 3'-3 3/16; 3'-7 5/8-; 4'-0; 4'-4 7/16-;"
        "4'-8 13/16+; 5'-1 1/4-; 5'-5 5/8+; 5'-10 1/16; 6'-2 7/16+",
    ),
    ("diagonal of thirteen foot seven and three quarters by four foot two and a half", {"diagonal": "14'-3 3/8-"}, ""),
    ("brace forty six and a half by seventy eight and seven eighths", {"brace": "7'-7 9/16"}, ""),
    (
        "square thirteen foot seven and three quarters by fifty and a half got fourteen foot three and a half and fourteen foot three and a quarter",
        {"pull in": "1/8", "difference": "1/4", "target": "14'-3 3/8-"},
        "",
    ),
]
TRAILER = [
    (
        "spaces no more than twenty four in twelve foot four and three eighths",
        {"space": "21 3/16+"},
        "21 3/16+; 3'-6 3/8+; 5'-3 9/16+; 7'-0 13/16-; 8'-10-; 10'-7 3/16-",
    ),
    ("diagonal of 77 1/2 by twelve foot four and three eighths", {"diagonal": "13'-11 3/8+"}, ""),
    (
        "square twelve foot four and three eighths by 77 1/2 got thirteen foot eleven and eleven sixteenths and thirteen foot eleven and an eighth",
        {"difference": "9/16", "pull in": "1/4+"},
        "",
    ),
]
GUARD_FRAME = [
    (
        "six holes in fifty eight and seven sixteenths an inch and a quarter from each end",
        {"space": "11 3/16", "first to last": "4'-7 15/16"},
        "1 1/4; 12 7/16; 23 5/8; 34 13/16; 3'-10; 4'-9 3/16",
    ),
    ("center of fifty eight and seven sixteenths", {"center": "29 3/16+"}, ""),
    (
        "four holes in thirty four and five eighths an inch and a quarter from each end",
        {"space": "10 11/16+", "first to last": "32 1/8"},
        "1 1/4; 11 15/16+; 22 11/16-; 33 3/8",
    ),
    (
        "bend quarter plate three by two and an eighth quarter radius k point four two",
        {
            "blank": "4 11/16",
            "bend line": "2 3/4+",
            "bend allowance": "9/16",
            "outside setback": "1/2",
            "bend deduction": "7/16",
        },
        "2 3/4+",
    ),
    ("diagonal of fifty eight and seven sixteenths by thirty four and five eighths", {"diagonal": "5'-7 15/16-"}, ""),
]
GUARD_RAIL = [
    (
        "five holes in eighteen foot seven and three eighths two and three quarters from each end",
        {"space": "4'-6 7/16+", "first to last": "18'-1 7/8"},
        "2 3/4; 4'-9 3/16+; 9'-3 11/16; 13'-10 1/8+; 18'-4 5/8",
    ),
    (
        "pickets in fifty two and thirty one thirty seconds bar a half no more than three and seven eighths gap",
        {"gap": "3 5/8-"},
        "3 5/8-; 7 3/4-; 11 13/16+; 15 15/16+; 20 1/16; 24 3/16-; 28 5/16-; 32 3/8+; 3'-0 1/2+; 3'-4 5/8; 3'-8 3/4; 4'-0 7/8-",
    ),
    ("forty two less one and a half less three eighths", {"left": "3'-4 1/8"}, ""),
]
CUT_LIST = [
    "sticks twenty foot kerf an eighth trim a half",
    "cut four at five foot eleven and seven eighths",
    "cut four at four foot ten and seven sixteenths",
    "cut three at three foot ten and a half",
    "cut three at two foot ten and five eighths",
    "cut four at two foot three and three sixteenths",
    "cut six at one foot one and a quarter",
]
STAIR = [
    (
        "stairs rise nine foot four and an eighth tread ten fourteen risers industrial",
        {"riser": "8+", "total run": "10'-10"},
        "8+; 16+; 24+; 32 1/16-; 3'-4 1/16-; 4'-0 1/16-; 4'-8 1/16; 5'-4 1/16+; 6'-0 1/16+; 6'-8 1/16+; 7'-4 1/8-; 8'-0 1/8-;"
        "8'-8 1/8-; 9'-4 1/8",
    ),
    ("stairs rise nine foot four and an eighth tread eleven", {"riser": "6 5/8-"}, ""),
    (
        "stringer marks rise nine foot four and an eighth tread ten fourteen risers",
        {"step": "12 13/16", "along stringer": "13'-10 9/16-"},
        "12 13/16; 25 5/8; 3'-2 7/16; 4'-3 1/4; 5'-4 1/16; 6'-4 7/8; 7'-5 11/16; 8'-6 1/2; 9'-7 5/16; 10'-8 1/8; 11'-8 15/16;"
        "12'-9 3/4-; 13'-10 9/16-",
    ),
]
SCENARIOS = {
    "a swing gate": SWING_GATE,
    "a trailer deck": TRAILER,
    "a machine guard frame": GUARD_FRAME,
    "a mezzanine guard rail": GUARD_RAIL,
    "a stair": STAIR,
}


@pytest.mark.parametrize("turns", SCENARIOS.values(), ids=SCENARIOS)
def test_a_whole_piece_of_work_in_words(turns):
    talk = Talk()
    for words, values, expected in turns:
        answer = talk.say(words)
        assert answer.status == "answer", (words, answer.say)
        shown = {}
        for v in answer.values:
            shown.setdefault(v.name, v)
        for name, text in values.items():
            assert on_tape(shown[name]) == mark(text), (words, name, {n: v.tape for n, v in shown.items()})
        if expected:
            assert [on_tape(m) for m in answer.marks] == marks(expected), words


def test_a_cut_list_in_words_takes_four_sticks_where_longest_first_takes_five():
    talk = Talk()
    for words in CUT_LIST:
        assert talk.say(words).status == "done"
    answer = talk.say("nest")
    assert answer.status == "answer", answer.say
    assert {v.name: v.exact for v in answer.values}["sticks"] == "4"
    assert len(answer.marks) == 24


def test_the_last_mark_closes_on_the_piece():
    talk = Talk()
    talk.say("pickets in 78 7/8 bar a half no more than four inch gap")
    talk.say("last")
    assert talk.say("next").say == "That's the last. It closes on seventy-eight and seven eighths."


def test_a_limit_is_tested_on_the_exact_riser():
    """112 1/8 in sixteen is 7 1/128: it reads seven and is over seven."""
    answer = Talk().say("stairs rise nine foot four and an eighth tread eleven sixteen risers")
    riser = next(v for v in answer.values if v.name == "riser")
    assert (riser.exact, riser.tape) == ("897/128", '7"')
    assert any("over" in caution for caution in answer.cautions)


def test_cautions_come_before_stairs_and_after_the_rest():
    talk = Talk()
    answer = talk.say("stairs rise 9 foot 4 1/8 tread 11")
    assert answer.say.startswith("People walk on this.")
    pickets = talk.say("pickets in 60 bar a half no more than 4 inch gap")
    assert pickets.say.startswith("Pickets in sixty")
    assert "A four-inch ball must not go through" in pickets.say
    again = talk.say("pickets in 60 bar five eighths no more than 4 inch gap")
    assert "ball" not in again.say  # once for the piece
    assert any("ball" in caution for caution in again.cautions)  # and shown as long as the answer is
