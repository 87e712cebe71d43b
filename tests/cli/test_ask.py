"""``tapehand ask`` and ``tapehand keys``: the contract with scripts (keys and their order, exit statuses)."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from fractions import Fraction

import pytest

from tests.cli.conftest import Tapehand

KEYS = ["heard", "status", "say", "values", "marks", "steps", "cautions", "choices"]


def test_the_example_of_the_contract(tapehand: Tapehand) -> None:
    ran = tapehand("ask", "center of 53 5/8", "--json")
    assert (ran.status, ran.err) == (0, "")
    answer = ran.object
    assert list(answer) == KEYS
    steps = answer.pop("steps")
    assert steps
    assert all(isinstance(step, str) for step in steps)
    assert answer == {
        "heard": "center of fifty three and five eighths",
        "status": "answer",
        "say": "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths.",
        "values": [{"name": "center", "unit": "in", "exact": "429/16", "tape": "26 13/16", "lean": "on"}],
        "marks": [{"index": 1, "count": 1, "exact": "429/16", "tape": "26 13/16", "lean": "on"}],
        "cautions": [],
        "choices": [],
    }
    assert Fraction(answer["values"][0]["exact"]) == Fraction(429, 8) / 2


def test_a_bare_measurement_is_the_piece(tapehand: Tapehand) -> None:
    answer = tapehand("ask", "--json", "fifty", "three", "and", "five", "eighths").object
    assert answer["values"] == [{"name": "piece", "unit": "in", "exact": "429/8", "tape": "53 5/8", "lean": "on"}]


def test_for_people(tapehand: Tapehand) -> None:
    ran = tapehand("ask", "center of 53 5/8")
    assert ran.status == 0
    assert ran.out.startswith("Center of fifty-three and five eighths: twenty-six and thirteen sixteenths.\n")
    assert "26 13/16" in ran.out


@pytest.mark.parametrize(
    ("words", "status", "exit_status"),
    [
        ("center of 53 5/8", "answer", 0),
        ("next", "refused", 2),
        ("fifty three and five", "question", 3),
        ("what can I say", "done", 0),
        ("the cat sat on the mat", "not-understood", 2),
        ("", "not-understood", 2),
        ("5 1/2 less 6", "refused", 2),
        ("divide 53 by 0", "refused", 2),
    ],
)
def test_exit_statuses(tapehand: Tapehand, words: str, status: str, exit_status: int) -> None:
    ran = tapehand("ask", "--json", words)
    assert (ran.object["status"], ran.status) == (status, exit_status)
    assert ran.object["say"]


def test_what_can_be_said_is_said_and_understood(tapehand: Tapehand) -> None:
    said = tapehand("ask", "what can I say").out
    assert said.startswith("You can say: ")
    phrases = said.strip().removeprefix("You can say: ").rstrip(".").split("; ")
    assert len(phrases) > 8
    answers = tapehand("ask", "-", "--json", stdin="".join(f"{phrase}\n" for phrase in phrases)).objects
    assert "not-understood" not in {answer["status"] for answer in answers}


def test_a_question_has_its_choices(tapehand: Tapehand) -> None:
    answer = tapehand("ask", "--json", "fifty three and five").object
    assert len(answer["choices"]) > 1
    for number, choice in enumerate(answer["choices"], 1):
        assert choice["key"] == str(number)
        assert choice["say"]
        assert set(choice) <= {"key", "say", "exact"}


def test_a_conversation_from_standard_input(tapehand: Tapehand) -> None:
    ran = tapehand("ask", "-", "--json", stdin="53 5/8\n\ncenter\nnonsense words\nthird of 58 1/2\nnext\nnext\n")
    assert ran.status == 0
    assert [answer["status"] for answer in ran.objects] == [
        "answer",
        "answer",
        "not-understood",
        "answer",
        "done",
        "done",
    ]
    assert ran.objects[1]["values"][0]["exact"] == "429/16"
    assert all(list(answer) == KEYS for answer in ran.objects)


def test_a_question_is_answered_in_the_next_line(tapehand: Tapehand) -> None:
    first, second = tapehand("ask", "-", "--json", stdin="fifty three and five\neighths\n").objects
    assert first["status"] == "question"
    assert second["values"][0]["exact"] == "429/8"


def test_each_line_is_answered_as_it_comes(tapehand: Tapehand) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "assistant.cli", "ask", "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=tapehand.environment(),
        cwd=tapehand.folder,
    ) as talk:
        assert talk.stdin is not None
        assert talk.stdout is not None
        talk.stdin.write("center of 53 5/8\n")
        talk.stdin.flush()
        assert talk.stdout.readline().startswith("Center of fifty-three")
        talk.stdin.close()
        assert "26 13/16" in talk.stdout.read()
        talk.stdout.read()
    assert talk.returncode == 0


def test_bytes_and_lengths_nobody_says(tapehand: Tapehand) -> None:
    lines = b"\xff\xfe\x00\n" + b"center of " * 20_000 + b"\n" + "\u2603 53 5\u20448\n".encode() + b"53 5/8\n"
    ran = tapehand("ask", "-", "--json", stdin=lines)
    assert ran.status == 0
    assert [answer["status"] for answer in ran.objects][-1] == "answer"
    assert len(ran.objects) == 4


def test_names_are_kept_from_one_request_to_the_next(tapehand: Tapehand) -> None:
    tapehand("ask", "-", stdin="53 5/8\nkeep that as leg\n")
    answer = tapehand("ask", "--json", "center of the leg").object
    assert answer["values"][0]["exact"] == "429/16"


def test_nothing_is_written_for_a_request_without_a_name(tapehand: Tapehand) -> None:
    tapehand("ask", "center of 53 5/8")
    assert list(tapehand.folder.iterdir()) == []


def test_keys(tapehand: Tapehand) -> None:
    ran = tapehand("keys", "53.5/8EE", "--json")
    assert ran.status == 0
    piece, center = ran.objects
    assert list(piece) == KEYS
    assert piece["values"][0]["exact"] == "429/8"
    assert center["values"] == [{"name": "center", "unit": "in", "exact": "429/16", "tape": "26 13/16", "lean": "on"}]


def test_keys_may_begin_with_a_minus(tapehand: Tapehand) -> None:
    assert tapehand("keys", "-.1/8E", "--json").status in (0, 2, 3)


def test_keys_that_ask(tapehand: Tapehand) -> None:
    ran = tapehand("keys", "53.5E", "--json")
    assert (ran.status, ran.objects[-1]["status"]) == (3, "question")


def test_keys_that_no_keypad_has(tapehand: Tapehand) -> None:
    ran = tapehand("keys", "53q", "--json")
    assert (ran.status, ran.object["status"]) == (2, "refused")
    assert "keypad" in ran.object["say"]


def test_a_broken_settings_file_is_told_and_the_answer_given(tapehand: Tapehand) -> None:
    tapehand.settings.write_text("[measuring\n")
    ran = tapehand("ask", "--json", "center of 53 5/8")
    assert (ran.status, ran.object["status"]) == (0, "answer")
    assert ran.err == (
        f"tapehand: Line 1 of {tapehand.settings} is not a setting. Put it right. "
        "The usual settings are used until then.\n"
    )
    assert tapehand.settings.read_text() == "[measuring\n"


def test_the_tape_of_the_settings(tapehand: Tapehand) -> None:
    tapehand.settings.write_text('[measuring]\ntape = "eighths"\n')
    (value,) = tapehand("ask", "--json", "center of 53 5/8").object["values"]
    assert (value["tape"], value["lean"], value["exact"]) == ("26 3/4", "plus", "429/16")


def test_options_go_over_the_environment(tapehand: Tapehand) -> None:
    other = tapehand.folder / "other.toml"
    other.write_text('[measuring]\ntape = "eighths"\n')
    for words in (("--settings", str(other), "ask", "--json"), ("ask", "--json", "--settings", str(other))):
        assert tapehand(*words, "center of 53 5/8").object["values"][0]["tape"] == "26 3/4"


def test_keeping_on_a_locked_board_is_refused(tapehand: Tapehand) -> None:
    tapehand("ask", "-", stdin="53 5/8\nkeep that as leg\n")
    raw = sqlite3.connect(tapehand.board, isolation_level=None)
    raw.execute("BEGIN EXCLUSIVE")
    ran = tapehand("ask", "-", "--json", stdin="1 1/2\nkeep that as rail\ncenter\n")
    raw.close()
    assert [answer["status"] for answer in ran.objects] == ["answer", "refused", "answer"]
    assert "Another program is holding the board" in ran.objects[1]["say"]
    assert "Another program is holding the board" in ran.err
    listed = tapehand("board", "list", "--json").objects
    assert [entry["name"] for entry in listed] == ["leg"]


def test_a_newer_board_is_left_alone(tapehand: Tapehand) -> None:
    raw = sqlite3.connect(tapehand.board)
    raw.execute("PRAGMA user_version = 99")
    raw.close()
    ran = tapehand("ask", "--json", "center of 53 5/8")
    assert (ran.status, ran.object["status"]) == (0, "answer")
    assert "newer Tapehand" in ran.err
    assert tapehand("board", "list").status == 1
