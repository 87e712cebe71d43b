"""The mark sheet and the cut list."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from assistant.desk import Desk
from assistant.length import Length
from assistant.printing.cut_list import Piece, Stick, cut_list
from assistant.printing.mark_sheet import mark_sheet
from assistant.printing.paper import A4
from assistant.settings import Settings
from tests.printing.rendered import pages, runs, words


def test_every_mark_is_on_the_sheet_with_its_lean_and_number(tmp_path: Path) -> None:
    answer = Desk(Settings()).ask("53 5/8 in seven parts")
    (text,) = words(mark_sheet(answer, answer.say), tmp_path)
    for mark in answer.marks:
        lean = "" if mark.lean.value == "on" else f" {mark.lean.value}"
        assert re.search(rf"^ *{mark.index} +{mark.tape}{lean}\b", text, re.MULTILINE)
    assert "Piece 53 5/8" in text
    assert "Fifty-three and five eighths in seven parts" in text


def test_many_marks_go_on_over_pages_and_none_is_lost(tmp_path: Path) -> None:
    answer = Desk(Settings()).ask("20 foot in 60 parts")
    text = words(mark_sheet(answer, answer.say), tmp_path)
    assert len(text) > 2
    assert "page 2" in text[1]
    for mark in answer.marks:
        assert any(f"{mark.tape}" in page for page in text)


def test_a_center_alone_and_a_size_alone_have_sheets_too(tmp_path: Path) -> None:
    desk = Desk(Settings())
    for words_said, written in (("center of 53 5/8", "26 13/16"), ("11 foot 4 3/8", "11'-4 3/8\"")):
        answer = desk.ask(words_said)
        (text,) = words(mark_sheet(answer, answer.say, A4), tmp_path)
        assert written in text


def test_the_piece_is_drawn_to_scale(tmp_path: Path) -> None:
    answer = Desk(Settings()).ask("50 in five parts")
    (page,) = pages(mark_sheet(answer, answer.say), tmp_path, 200)
    # The row of pixels through the middle of the bar is crossed by both ends and every mark.
    top = next(y for y, row in enumerate(page) if runs(row) and max(b - a for a, b in runs(row)) > 1000)
    row = page[top + 30]
    xs = [(a + b) / 2 for a, b in runs(row)]
    gaps = np.diff(xs)
    assert len(gaps) == 5
    assert np.ptp(gaps) <= 2


def sticks() -> tuple[Stick, ...]:
    leg, rail = Piece("leg", Length("95 7/8")), Piece("rail", Length("47 1/4"))
    return (
        Stick(Length("239 1/2"), (leg, leg, rail), Length("1/8")),
        Stick(Length("239 1/2"), (rail, rail, rail), Length("1/8")),
    )


def test_cut_marks_hold_the_kerfs_before_them() -> None:
    """By hand: 95 7/8; + 1/8 + 95 7/8 = 191 7/8; + 1/8 + 47 1/4 = 239 1/4; 1/4 left, an eighth of it kerf."""
    first, _ = sticks()
    assert first.marks() == (Length("95 7/8"), Length("191 7/8"), Length("239 1/4"))
    assert first.drop == Length("1/8")
    exact = Stick(Length(20), (Piece("", Length(20)),), Length("1/8"))
    assert exact.drop == Length(0)


def test_the_cut_list_says_every_cut_mark_and_drop(tmp_path: Path) -> None:
    (text,) = words(cut_list(sticks(), "Cut list", ("Keep your line. Kerf goes in the scrap.",)), tmp_path)
    for expected in ("Stick 1", "Stick 2", "7'-11 7/8\"", "leg", "15'-11 7/8\"", "19'-11 1/4\"", "Drop", "Kerf goes"):
        assert expected in text
    assert text.count("rail") == 4


def test_a_long_cut_list_goes_on_over_pages(tmp_path: Path) -> None:
    text = words(cut_list(sticks() * 12, "Cut list"), tmp_path)
    assert len(text) > 2
    assert sum(page.count("Stick ") for page in text) == 24
    assert sum(page.count("rail") for page in text) == 48


def test_the_same_bytes_every_time() -> None:
    answer = Desk(Settings()).ask("53 5/8 in seven parts")
    assert mark_sheet(answer, "t") == mark_sheet(answer, "t")
    assert cut_list(sticks(), "t") == cut_list(sticks(), "t")


def test_letters_no_printer_font_has_do_not_stop_the_sheet(tmp_path: Path) -> None:
    answer = Desk(Settings()).ask("center of 53 5/8")
    (text,) = words(mark_sheet(answer, "Rahmen für 鉄"), tmp_path)
    assert "Rahmen für ?" in text
