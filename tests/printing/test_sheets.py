"""The mark sheet and the cut list."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from assistant.desk import Desk
from assistant.language.requests import Measure
from assistant.layout.sticks import Nest, Pieces, Rack, nest
from assistant.length import Length
from assistant.printing.cut_list import cut_list
from assistant.printing.mark_sheet import mark_sheet
from assistant.printing.paper import A4
from assistant.settings import Settings
from assistant.tape import Form
from tests.printing.rendered import DPI, longest_run, pages, runs, words


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


def cutting(copies: int = 1) -> Nest:
    """By hand: a half inch trim, then 95 7/8, an eighth of kerf, 95 7/8, an eighth, 47 1/4: 239 1/4 from the
    squared end of a 240 inch stick, a quarter left, an eighth of it kerf."""
    pieces = [Pieces(Measure(Length("95 7/8")), 2 * copies), Pieces(Measure(Length("47 1/4")), copies)]
    rack = [Rack(Measure(Length(240)))]
    return nest(pieces, rack, kerf=Measure(Length("1/8")), trim=Measure(Length("1/2")))


def test_the_cut_list_says_every_cut_mark_and_drop(tmp_path: Path) -> None:
    pdf = cut_list(cutting(), "Cut list", ("Keep your line. Kerf goes in the scrap.",))
    (text,) = words(pdf, tmp_path)
    found = [line for line in text.splitlines() if "mark" in line and line.split()[0].isdigit()]
    assert [line.split() for line in found] == [
        ["1", "7'-11", '7/8"', "mark", "7'-11", '7/8"'],
        ["2", "7'-11", '7/8"', "mark", "15'-11", '7/8"'],
        ["3", "3'-11", '1/4"', "mark", "19'-11", '1/4"'],
    ]
    for expected in ("Stick 1: 20'-0\"", 'Trim 1/2" off first', 'kerf of 1/8"', 'Drop 1/8"', "Kerf goes"):
        assert expected in text


def test_the_sticks_are_drawn_to_scale(tmp_path: Path) -> None:
    """Along the bar of the stick: trim, pieces and kerfs as long as they are to the stick, to three pixels."""
    (page,) = pages(cut_list(cutting(), "Cut list"), tmp_path)
    wide = round(7.5 * DPI)
    top = next(y for y, row in enumerate(page) if abs(np.ptp(longest_run(row)) - wide) <= 4)
    edges = [round((a + b) / 2) for a, b in runs(page[top + 8])]
    left, inch = longest_run(page[top])[0] + 2, wide / 240  # the middle of a line of one point
    for at in (0.5 + 95.875, 0.5 + 96, 0.5 + 191.875, 0.5 + 192, 0.5 + 239.25, 240):
        assert min(abs(edge - left - at * inch) for edge in edges) <= 3


def test_a_long_cut_list_goes_on_over_pages(tmp_path: Path) -> None:
    text = words(cut_list(cutting(24), "Cut list"), tmp_path)
    assert len(text) > 2
    assert sum(page.count("Stick ") for page in text) == 24
    assert sum(page.count("3'-11") for page in text) == 24


def test_a_cut_list_in_millimeters_is_printed_in_them(tmp_path: Path) -> None:
    mm = Length.from_mm
    plan = nest([Pieces(Measure(mm(2500)), 2)], [Rack(Measure(mm(6000)))], kerf=Measure(mm(3)))
    (text,) = words(cut_list(plan, "Cut list", form=Form.MILLIMETERS), tmp_path)
    for expected in ("Stick 1: 6000 mm", "mark 5003 mm", "Drop 994 mm", "kerf of 3 mm"):
        assert expected in text


def test_the_cut_list_says_which_drops_are_kept(tmp_path: Path) -> None:
    """By hand."""
    pieces = [Pieces(Measure(Length(96)), 2), Pieces(Measure(Length(49)))]
    plan = nest(pieces, [Rack(Measure(Length(144)))], useful=Measure(Length(60)))
    (text,) = words(cut_list(plan, "Cut list"), tmp_path)
    assert 'A drop shorter than 60" is scrap' in text
    assert text.count("Scrap 4'-0") == 2
    assert text.count("Offcut 7'-11") == 1


def test_the_same_bytes_every_time() -> None:
    answer = Desk(Settings()).ask("53 5/8 in seven parts")
    assert mark_sheet(answer, "t") == mark_sheet(answer, "t")
    assert cut_list(cutting(), "t") == cut_list(cutting(), "t")


def test_letters_no_printer_font_has_do_not_stop_the_sheet(tmp_path: Path) -> None:
    answer = Desk(Settings()).ask("center of 53 5/8")
    (text,) = words(mark_sheet(answer, "Rahmen für 鉄"), tmp_path)
    assert "Rahmen für ?" in text
