"""What a weld pulls, what heat adds, and what a gauge number is."""

from __future__ import annotations

from fractions import Fraction

import fluids.piping
import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.enclosure import enclose
from assistant.errors import Slip
from assistant.layout import cautions, tables
from assistant.layout.gauge import gauge
from assistant.layout.heat import growth, weld_shrinkage
from tests.layout.rework import check
from tests.layout.tape_marks import m


def near(amount) -> float:
    low, high = enclose(amount).bounds()
    return float((low + high) / 2)


@given(st.integers(1, 64), st.integers(0, 8), st.integers(0, 120))
def test_shrinkage_is_a_tenth_of_the_area_by_the_thickness(sixteenths, opening, groove):
    """0.10 A/t, a method statement citing Lincoln's Procedure Handbook and Blodgett; the area of the opening and of
    a single V, worked here in floating point."""
    if not opening and not groove:
        return
    thick, gap = sixteenths / 16, opening / 32
    area = gap * thick + thick**2 * float(mpmath.tan(mpmath.radians(groove) / 2))
    result = weld_shrinkage(m(f"{sixteenths}/16"), opening=m(f"{opening}/32"), groove=Fraction(groove))
    assert near(result.values[0].amount) == pytest.approx(0.10 * area / thick)
    assert cautions.ALLOW_FOR_WELD in result.cautions
    check(result.steps)


def test_twenty_feet_grow_three_sixty_fourths():
    # 6.5e-6 a degree Fahrenheit, AISC Manual (from memory): 20 ft, 30 degrees, 0.0468 in.
    result = growth(m("20'"), Fraction(30))
    assert result.values[0].amount.inches == Fraction("0.0468")
    assert result.values[1].amount.inches == Fraction("240.0468")
    assert cautions.HOT_STEEL in result.cautions
    check(result.steps)


ROWS = tables.rows("gauges")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["gauge"])
def test_tube_and_aluminum_are_those_of_another_library(row):
    """fluids carries the Birmingham and the American wire gauge."""
    number = int(row["gauge"])
    for of, theirs in (("tube wall", "BWG"), ("aluminum", "AWG")):
        printed = fluids.piping.t_from_gauge(number, SI=False, schedule=theirs)
        assert near(gauge(number, of).values[0].amount) == pytest.approx(printed, abs=6e-5)


@pytest.mark.parametrize(
    ("number", "of", "printed"),
    [
        # Manufacturers' standard gauge, as mills print it (from memory).
        (7, "steel", ".1793"), (10, "steel", ".1345"), (11, "steel", ".1196"), (12, "steel", ".1046"),
        (14, "steel", ".0747"), (16, "steel", ".0598"), (18, "steel", ".0478"), (20, "steel", ".0359"),
        (22, "steel", ".0299"), (24, "steel", ".0239"), (26, "steel", ".0179"), (28, "steel", ".0149"),
        # US standard gauge, stainless (from memory).
        (11, "stainless", ".1250"), (14, "stainless", ".0781"), (16, "stainless", ".0625"), (20, "stainless", ".0375"),
        # "two-inch eleven gauge square" is 0.120: common practice, no source.
        (11, "tube wall", ".120"),
    ],
)  # fmt: skip
def test_printed_gauges(number, of, printed):
    assert near(gauge(number, of).values[0].amount) == pytest.approx(float(printed), abs=6e-5)


@pytest.mark.parametrize(
    ("ask", "named"),
    [
        (lambda: weld_shrinkage(m("3/8")), "no opening and no groove"),
        (lambda: weld_shrinkage(m("0"), opening=m("1/8")), "thickness can't be nothing"),
        (lambda: weld_shrinkage(m("3/8"), groove=Fraction(180)), "180 degrees"),
        (lambda: growth(m("0"), Fraction(30)), "length can't be nothing"),
        (lambda: growth(m("240"), Fraction(3000)), "3000 degrees"),
        (lambda: gauge(21, "steel"), "no 21 gauge"),
    ],
)
def test_what_cannot_be(ask, named):
    with pytest.raises(Slip) as slip:
        ask()
    assert named in str(slip.value)
