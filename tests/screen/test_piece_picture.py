"""The piece to scale."""

from __future__ import annotations

import itertools
from fractions import Fraction
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from assistant.screen.piece_picture import PieceMark, piece_picture
from assistant.screen.svg import INK, LIT, STEEL

SVG = "{http://www.w3.org/2000/svg}"


@given(
    st.fractions(min_value=Fraction(1), max_value=500, max_denominator=64),
    st.lists(st.fractions(min_value=0, max_value=1, max_denominator=64), min_size=1, max_size=40, unique=True),
    st.data(),
)
def test_every_mark_stands_in_its_share_of_the_bar_and_one_is_lit(length, shares, data) -> None:
    marks = [PieceMark(length * share, "mark") for share in sorted(shares)]
    lit = data.draw(st.integers(1, len(marks)))
    picture = ElementTree.fromstring(piece_picture(length, "piece", marks, lit))
    (bar,) = [node for node in picture.iter(f"{SVG}rect") if node.get("fill") == STEEL]
    left, wide = Fraction(bar.get("x") or ""), Fraction(bar.get("width") or "")
    drawn = [n for n in picture.iter(f"{SVG}line") if n.get("stroke") in (INK, LIT) and n.get("x1") == n.get("x2")]
    places = [(Fraction(node.get("x1") or "") - left) / wide for node in drawn]
    assert len(places) == len(marks)
    for place, mark in zip(places, marks, strict=True):
        assert abs(place - mark.inches / length) < Fraction(1, 10000)
    assert [n for n, node in enumerate(drawn, 1) if node.get("stroke") == LIT] == [lit]


def test_numbers_never_run_into_each_other() -> None:
    marks = [PieceMark(Fraction(n), "mark") for n in range(1, 200)]
    picture = ElementTree.fromstring(piece_picture(Fraction(200), "200", marks, 57))
    numbers = [
        (Fraction(node.get("x") or ""), node.text) for node in picture.iter(f"{SVG}text") if (node.text or "").isdigit()
    ]
    tops = sorted(x for x, text in numbers if text != "200")
    assert all(after - before >= 44 for before, after in itertools.pairwise(tops) if after != before)
    assert "57" in [text for _, text in numbers]


def test_a_mark_past_the_end_makes_room_for_itself() -> None:
    picture = ElementTree.fromstring(piece_picture(Fraction(10), "10", [PieceMark(Fraction(20), "20")], 1))
    (bar,) = [node for node in picture.iter(f"{SVG}rect") if node.get("fill") == STEEL]
    assert Fraction(bar.get("width") or "") == Fraction(1700, 2)
