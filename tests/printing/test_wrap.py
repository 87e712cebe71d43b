"""The wrap-around template, measured as it comes out of a printer that keeps the scale."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from assistant.angles import PI
from assistant.language.requests import Measure
from assistant.layout.template import Wrap, pipe_miter_curve, saddle_wrap
from assistant.length import Length
from assistant.printing.paper import A4, LETTER, Paper
from assistant.printing.wrap import ACROSS_BAR, UP_BAR, WrapTemplate, wrap_sheets
from tests.printing.rendered import DPI, longest_run, pages, runs, words

PIXEL = 1 / DPI
TWO_INCH, SIX_INCH = Length("2 3/8"), Length("6 5/8")
"""Outside diameters of NPS 2 and 6 pipe: ASME B36.10M."""
ARM = 3 / 16


def miter(outside: Length, paper: Paper = LETTER) -> bytes:
    heights = pipe_miter_curve(outside, Fraction(45), 192)
    return wrap_sheets(WrapTemplate("Miter.", Wrap(outside * PI, heights)), paper)


def rows_with_a_run(page: np.ndarray, inches: float) -> list[tuple[int, tuple[int, int]]]:
    found = []
    for y, row in enumerate(page):
        start, end = longest_run(row)
        if abs((end - start) * PIXEL - inches) <= 3 * PIXEL:
            found.append((y, (start, end)))
    return found


@pytest.mark.parametrize("paper", [LETTER, A4], ids=["letter", "a4"])
def test_the_check_bars_measure_what_they_say_on_every_page(tmp_path: Path, paper: Paper) -> None:
    drawn = pages(miter(SIX_INCH, paper), tmp_path)
    assert len(drawn) > 1
    for page in drawn:
        assert rows_with_a_run(page[-DPI:], float(ACROSS_BAR))  # the bottom inch
        upright = [longest_run(column) for column in page[:, : DPI * 3 // 4].T]
        assert any(abs((end - start) * PIXEL - float(UP_BAR)) <= 3 * PIXEL for start, end in upright)


def test_a_small_one_is_full_size_on_one_page(tmp_path: Path) -> None:
    (page,) = pages(miter(TWO_INCH), tmp_path)
    around = math.pi * 2.375
    lines = rows_with_a_run(page, around)
    assert lines  # the square line and the lower edge, seam to seam
    y, (start, end) = min(lines)
    middle = page[:y, (start + end) // 2]
    (top, bottom) = longest_run(middle)
    # The long point stands across the pipe from the seam, the outside diameter above the square line: tan 45 is 1.
    assert (bottom - top) * PIXEL == pytest.approx(2.375, abs=4 * PIXEL)
    assert bottom >= y - 2


def crosses(page: np.ndarray) -> list[tuple[float, float]]:
    """The middles of the registration crosses, in pixels."""
    found: list[tuple[float, float]] = []
    size = 2 * ARM * DPI
    for y, row in enumerate(page):
        for start, end in runs(row):
            x = (start + end) // 2
            if abs(end - start - size) > 4:
                continue
            for top, bottom in runs(page[:, x]):
                if abs(bottom - top - size) <= 4 and abs((top + bottom) / 2 - y) <= 3:
                    at = ((start + end) / 2, (top + bottom) / 2)
                    if not any(abs(at[0] - x2) < 9 and abs(at[1] - y2) < 9 for x2, y2 in found):
                        found.append(at)
    return sorted(found)


def test_laid_cross_on_cross_the_pages_go_once_around(tmp_path: Path) -> None:
    """A slim one, so that the pages lie in one row."""
    heights = tuple(
        Length(Fraction(h.rounded(6) if hasattr(h, "rounded") else h.inches) / 4)
        for h in pipe_miter_curve(SIX_INCH, Fraction(45), 192)
    )
    drawn = pages(wrap_sheets(WrapTemplate("Slim.", Wrap(SIX_INCH * PI, heights))), tmp_path)
    assert len(drawn) == 3
    spans = []
    for page in drawn:
        y = max(range(len(page) - 2 * DPI), key=lambda y: longest_run(page[y])[1] - longest_run(page[y])[0])
        spans.append(longest_run(page[y]))
    low = [max(crosses(page), key=lambda at: at[1])[1] for page in drawn]
    assert max(low) - min(low) <= 2
    xs = [sorted({round(x) for x, _ in crosses(page)}) for page in drawn]
    first, second, third = [[xs[n][0], xs[n][-1]] for n in range(3)]
    total = (first[0] - spans[0][0]) + (second[1] - second[0]) + (spans[2][1] - third[1])
    assert total * PIXEL == pytest.approx(math.pi * 6.625, abs=8 * PIXEL)


def test_the_edge_of_a_saddle_is_the_curve(tmp_path: Path) -> None:
    """Against the textbook drop, R - sqrt(R^2 - r^2 sin^2), in floats: center lines crossing square."""
    branch, header = Length("2 3/8"), Length("4 1/2")
    wrap = saddle_wrap(Measure(branch), Measure(header), degrees=Fraction(90))
    (page,) = pages(wrap_sheets(WrapTemplate("Saddle.", wrap)), tmp_path)
    around = math.pi * 2.375
    y0, (start, end) = min(rows_with_a_run(page, around))
    r, big_r = 2.375 / 2, 2.25
    high = big_r - math.sqrt(big_r**2 - r**2)  # the square line is at the deepest cut
    for n in range(1, 16):
        x = start + 6 + (end - start) * n / 16  # beside the ordinate, clear of it
        theta = 2 * math.pi * (x - start) / (end - start)
        drop = big_r - math.sqrt(big_r**2 - (r * math.sin(theta)) ** 2)
        top = runs(page[:y0, round(x)])[0]
        assert (y0 - sum(top) / 2) * PIXEL == pytest.approx(high - drop, abs=5 * PIXEL)


def test_no_page_is_bare_and_each_says_which_it_is(tmp_path: Path) -> None:
    pdf = miter(SIX_INCH)
    text = words(pdf, tmp_path)
    for number, page in enumerate(text, start=1):
        assert f"page {number} of {len(text)}" in page
        assert "100 %" in page


def test_the_same_bytes_every_time() -> None:
    assert miter(SIX_INCH) == miter(SIX_INCH)
    assert b"/CreationDate (D:2000" in miter(TWO_INCH)
