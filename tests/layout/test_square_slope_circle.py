"""Diagonals, corners, braces, bevels, bolt circles, miters, the other end, a cut piece."""

from fractions import Fraction

import mpmath
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from assistant.enclosure import Enclosure, enclose
from assistant.errors import Slip
from assistant.layout import cautions
from assistant.layout.check_cut import check_cut
from assistant.layout.circle import bolt_circle
from assistant.layout.cope import cope
from assistant.layout.miter import bevel_cut, miter
from assistant.layout.other_end import held, other_end, turned
from assistant.layout.slope import bevel, bevel_of_angle, brace
from assistant.layout.spacing import spaces
from assistant.layout.square import Opposite, diagonal, square
from assistant.layout.triangle import corner, three_four_five
from assistant.length import Length
from assistant.tape import Form
from tests.layout.rework import check
from tests.layout.strategies import lengths, measures
from tests.layout.tape_marks import m, mark, shown, values

sides = lengths(400).filter(lambda size: size > Length("1/2"))


def near(size, places: int = 12) -> float:
    """For the float libraries."""
    low, high = enclose(size).bounds()
    return float((low + high) / 2)


# Square


@pytest.mark.parametrize(
    ("one", "other", "tape"),
    [
        ("36", "36", "50 15/16-"),  # 50.91, Cyclopedia of Carpentry, "The Steel Square"
        ("42", "42", "59 3/8+"),  # 59.40, the same
        ("6", "12", "13 7/16-"),  # 13.42 a foot at 6 in 12: encyclopedia text on the steel square
        ("72", "96", "120"),  # 6-8-10: Carpenters Guide, "How to square a foundation"
        ("163 3/4", "50 1/2", "14'-3 3/8-"),  # computed, 40 digits: a gate
        ("148 3/8", "77 1/2", "13'-11 3/8+"),  # computed: a trailer frame
        ("58 7/16", "34 5/8", "5'-7 15/16-"),  # computed: a guard frame
    ],
)
def test_diagonals(one, other, tape):
    result = diagonal(m(one), m(other))
    assert shown(result.values[0]) == mark(tape)
    assert cautions.SIDES_FIRST in result.cautions
    check(result.steps)


def test_sixty_by_a_hundred_feet():
    # √13600 = 116.619 ft; .619 ft is 7 7/16 in, not six tenths of an inch (a trap seen on a forum).
    result = diagonal(m("60'"), m("100'"))
    assert (result.values[0].amount / 12).rounded(3) == Fraction("116.619")
    assert shown(result.values[0])[0] == Length("116' 7 7/16")


def test_a_racked_gate():
    # Computed: diagonals 14'-3 1/2 and 14'-3 1/4 differ 1/4; the top rail has slid 1371/10480 over the height.
    result = square(m("163 3/4"), m("50 1/2"), first=m("14'-3 1/2"), second=m("14'-3 1/4"))
    assert values(result)["out of square"].inches == Fraction(1371, 10480)
    assert values(result)["pull in"] == Length("1/8")
    assert values(result)["difference"] == Length("1/4")
    assert shown(result.values[3]) == mark("14'-3 3/8-")
    assert result.say[1] == "first"
    assert cautions.SIDES_FIRST in result.cautions
    check(result.steps)


def test_a_racked_trailer_frame():
    # Computed: 13'-11 11/16 and 13'-11 1/8 differ 9/16, out 48213/151936, move 9/32.
    result = square(
        m("148 3/8"), m("77 1/2"), first=m("13'-11 1/8"), second=m("13'-11 11/16"),
        opposite=Opposite(Length("148 3/8"), Length("77 1/2")),
    )  # fmt: skip
    assert values(result)["out of square"].inches == Fraction(48213, 151936)
    assert shown(result.values[2]) == mark("5/16")
    assert values(result)["pull in"] == Length("9/32")
    assert result.say[1] == "second"
    assert cautions.SIDES_FIRST not in result.cautions


def test_equal_diagonals_are_square():
    result = square(m("4"), m("3"), first=m("5"), second=m("5"))
    assert result.say[0].startswith("dead square")
    check(result.steps)


@given(sides, sides, st.fractions(-1, 1, max_denominator=64))
def test_the_slip_is_that_of_a_parallelogram(a, b, slip):
    """A frame with true sides, its long side slid along itself: the diagonals come back to the slip."""
    long, short = max(a, b), min(a, b)
    assume(abs(slip) < short.inches / 2)
    height = mpmath.sqrt(mpmath.mpf(str(near(short))) ** 2 - mpmath.mpf(float(slip)) ** 2)
    mpmath.mp.dps = 40
    # (d1² - d2²) / 4a for the corners (0,0), (a,0), (a+s,h), (s,h).
    a_, s_ = (
        mpmath.mpf(long.inches.numerator) / long.inches.denominator,
        mpmath.mpf(slip.numerator) / slip.denominator,
    )
    d1, d2 = mpmath.sqrt((a_ + s_) ** 2 + height**2), mpmath.sqrt((a_ - s_) ** 2 + height**2)
    first, second = (Length(Fraction(str(mpmath.nstr(d, 35)))) for d in (d1, d2))
    assume(min(first, second) > long and max(first, second) < long + short)
    result = square(m(str(long)), m(str(short)), first=m(str(first)), second=m(str(second)))
    assert abs(values(result)["out of square"].inches - abs(slip)) < Fraction(1, 10**12)
    assert cautions.MEASURE_AGAIN not in result.cautions


def test_a_misread_diagonal_is_doubted():
    result = square(m("163 3/4"), m("50 1/2"), first=m("14'-4 1/2"), second=m("14'-4 1/4"))
    assert cautions.MEASURE_AGAIN in result.cautions


# Triangles


def test_the_biggest_three_four_five():
    result = three_four_five(m("40"), m("49"))
    assert values(result) == {"up": Length(36), "over": Length(48), "across": Length(60)}
    assert values(three_four_five(m("5"), m("2")))["across"] == Length("2 1/2")
    check(result.steps)


@given(sides, sides)
def test_a_three_four_five_is_square_and_fits(a, b):
    assume(min(a, b) >= Length(3))
    up, over, across = (values(three_four_five(m(str(a)), m(str(b))))[n].inches for n in ("up", "over", "across"))
    assert up**2 + over**2 == across**2
    assert up <= min(a, b).inches
    assert over <= max(a, b).inches
    assert up + 3 > min(a, b).inches or over + 4 > max(a, b).inches


def test_a_corner():
    assert corner(m("36"), m("48"), m("60")).say == ("dead square",)
    out = corner(m("36"), m("48"), m("60 1/4"))
    assert values(out)["out"] == Length("1/4")
    assert "close the corner" in out.say[1]
    assert values(out)["angle"] > 90
    assert "open the corner" in corner(m("36"), m("48"), m("59 3/4")).say[1]


# Braces and bevels


def test_a_brace_in_half_a_gate():
    # Computed: 46 1/2 rise, 78 7/8 run.
    result = brace(rise=m("46 1/2"), run=m("78 7/8"))
    assert shown(result.values[0]) == mark("7'-7 9/16")
    assert result.values[1].amount == Length("7 47/631")
    assert shown(result.values[1]) == mark("7 1/16+")
    assert result.values[1].name == "in twelve off level"
    assert cautions.WORKING_LINE in result.cautions
    check(result.steps)


@pytest.mark.parametrize(("leg", "printed"), [("36", "50.91"), ("42", "59.40")])
def test_printed_braces(leg, printed):
    # Cyclopedia of Carpentry, "The Steel Square": braces of 36 by 36 and 42 by 42.
    assert brace(rise=m(leg), run=m(leg)).values[0].amount.rounded(2) == Fraction(printed)


def test_a_tongue_leg():
    # Computed: 35 1/4 in 90 3/8 is a bevel of 4 164/241 in twelve, 21.3 degrees.
    result = bevel(m("35 1/4"), m("90 3/8"))
    assert result.values[0].amount == Length("4 164/241")
    assert shown(result.values[0]) == mark("4 11/16")
    assert result.values[1].amount.rounded(1) == Fraction("21.3")
    assert shown(brace(rise=m("35 1/4"), run=m("90 3/8")).values[0]) == mark("8'-1")


def test_a_bevel_is_always_off_the_longer_line():
    # Common practice, no source: one cut is 2.15 in 12 off plumb and 67 in 12 off level.
    steep = bevel(m("67"), m("12"))
    assert steep.values[0].name == "in twelve off plumb"
    assert steep.values[0].amount == Length(Fraction(144, 67))
    assert shown(steep.values[0]) == mark("2 1/8+")
    assert steep.values[1].amount.rounded(0) == 10
    assert "off plumb" in steep.say[2]
    check(steep.steps)


def test_the_bevel_of_an_angle():
    # 22 1/2 degrees, tangent 0.41421: computed. Any table prints 4.97 in 12.
    assert bevel_of_angle(Fraction(45, 2)).values[0].amount.rounded(2) == Fraction("4.97")
    assert bevel_of_angle(Fraction(45)).values[0].amount == Length(12)
    assert bevel_of_angle(Fraction(60)).values[0].name == "in twelve off plumb"
    assert bevel_of_angle(Fraction(60)).values[1].amount.rounded(9) == 30


@given(sides, sides)
def test_any_two_of_rise_run_and_brace_give_the_third(rise, run):
    whole = brace(rise=m(str(rise)), run=m(str(run))).values[0].amount
    if isinstance(whole, Enclosure):
        low, high = whole.bounds()
        for bound in (low, high):
            got = brace(rise=m(str(rise)), length=m(str(Length(bound)))).values[0].amount
            assert abs(enclose(got) - run) < Length(Fraction(1, 10**9))
    else:
        assert brace(rise=m(str(rise)), length=m(str(whole))).values[0].amount == run
        assert brace(run=m(str(run)), length=m(str(whole))).values[0].amount == rise
        check(brace(run=m(str(run)), length=m(str(whole))).steps)


@given(sides, sides, st.integers(2, 9))
def test_scaling_keeps_the_bevel(rise, run, times):
    small, big = bevel(m(str(rise)), m(str(run))), bevel(m(str(rise * times)), m(str(run * times)))
    assert small.values[0] == big.values[0]


# Bolt circles


def test_eight_holes_straddling():
    # Computed: 9 5/8 circle, eight holes, none on the center line.
    result = bolt_circle(m("9 5/8"), 8, straddle=True)
    assert shown(result.values[0]) == mark("3 11/16")
    assert [shown(v) for v in result.values[2:]] == [mark("1 13/16+"), mark("4 7/16+")]
    assert result.marks[0].name == "hole 1, right"
    assert len(result.marks) == 16
    assert cautions.STEP_TO_CHECK in result.cautions
    check(result.steps)


@pytest.mark.parametrize(
    ("holes", "factor"),
    # Chord of a circle of diameter 1, shopswarf.orcon.net.nz/spacing.html, four places as printed.
    [(3, "0.8660"), (4, "0.7071"), (6, "0.5000"), (8, "0.3827"), (9, "0.3420"), (12, "0.2588"), (20, "0.1564")],
)
def test_printed_chord_factors(holes, factor):
    assert enclose(bolt_circle(m("1"), holes).values[0].amount).rounded(4) == Fraction(factor)


@given(sides, st.integers(2, 24), st.booleans())
def test_the_holes_lie_on_the_circle_and_close(diameter, holes, straddle):
    """Against shapely: the holes as points, their distances to the center and to one another."""
    result = bolt_circle(m(str(diameter)), holes, straddle=straddle)
    points = []
    for right, up in zip(result.marks[::2], result.marks[1::2], strict=True):
        x = near(right.amount) * (-1 if "left" in right.name else 1)
        y = near(up.amount) * (-1 if "below" in up.name else 1)
        points.append(Point(x, y))
    size, chord = near(diameter), near(result.values[0].amount)
    assert all(p.distance(Point(0, 0)) == pytest.approx(size / 2) for p in points)
    assert all(p.distance(q) == pytest.approx(chord) for p, q in zip(points, points[1:] + points[:1], strict=True))
    on_line = any(p.x == pytest.approx(0, abs=1e-9 * size) and p.y > 0 for p in points)
    assert on_line is not straddle
    if holes > 2:
        assert Polygon(points).is_valid


# Miters


def test_a_gate_rail():
    # Computed: 2 in tube, 45 both ends, 163 3/4 to long points. Stile 50 1/2 leaves 46 1/2.
    result = miter(m("2"), long=m("163 3/4"))
    assert values(result)["short point"] == Length("159 3/4")
    assert values(result)["saw off square"] == 45
    assert values(result)["cut-back"] == Length(2)
    assert values(miter(m("2"), long=m("50 1/2")))["short point"] == Length("46 1/2")
    assert values(miter(m("2"), short=m("46 1/2")))["long point"] == Length("50 1/2")
    assert {cautions.BOTH_HANDS, cautions.SAW_SCALE} <= set(result.cautions)
    check(result.steps)


@given(sides, st.fractions(20, 160, max_denominator=8), st.integers(1, 2))
def test_a_miter_fits_the_corner(width, corner, ends):
    """Against mpmath: the cut-back is width over the tangent of half the corner."""
    result = miter(m(str(width)), corner=corner, short=m("600"), ends=ends)
    mpmath.mp.dps = 40
    half = mpmath.radians(mpmath.mpf(corner.numerator) / corner.denominator / 2)
    theirs = near(width) / mpmath.tan(half)
    assert near(values(result)["cut-back"]) == pytest.approx(float(theirs))
    assert near(values(result)["long point"]) == pytest.approx(600 + ends * float(theirs))
    check(result.steps)


def test_a_bevel_on_a_depth():
    # Common practice, no source: depth times bevel by 12.
    result = bevel_cut(m("6"), m("2 1/4"), long=m("40"))
    assert values(result)["cut-back"] == Length("1 1/8")
    assert values(result)["short point"] == Length("38 7/8")
    check(result.steps)


# Other end, held inch, checking a cut


def test_the_other_end():
    assert other_end(m("58 7/16"), m("12 7/16")).values[0].amount == Length(46)
    laid = spaces(m("50"), start=m("3"), end=m("2"), count=4)
    back = turned(laid)
    assert [b.amount + f.amount for b, f in zip(back.marks, reversed(laid.marks), strict=True)] == [Length(50)] * 5
    assert back.datum == "the other end"
    assert turned(back).marks == laid.marks


def test_holding_on_the_inch():
    # Common practice, no source: hold on the one, read one more.
    result = held(m("53 3/8"), Length(1))
    assert result.values[0].amount == Length("54 3/8")
    assert cautions.GIVE_IT_BACK in result.cautions
    assert held(m("53 3/8"), Length(10)).values[0].amount == Length("63 3/8")


@given(measures(400), lengths(400))
def test_the_other_end_twice_is_the_mark(whole, place):
    assume(place <= whole.length)
    there = other_end(whole, m(str(place))).values[0].amount
    assert other_end(whole, m(str(there))).values[0].amount == place
    assert check(other_end(whole, m(str(place))).steps)


@pytest.mark.parametrize(
    ("cut", "wanted", "said"),
    [
        ("53 11/16", "53 5/8", "long"),
        ("53 9/16", "53 5/8", "short"),
        ("53 5/8", "53 5/8", "dead on"),
        ("53 5/8", "53 81/128", "dead on"),
        ("53 5/8", "53 82/128", "short"),
    ],
)
def test_checking_a_cut(cut, wanted, said):
    result = check_cut(m(cut), Length(wanted))
    assert result.values[0].name == said
    assert result.values[0].amount == abs(Length(cut) - Length(wanted))
    check(result.steps)


def test_checking_within_a_band():
    assert check_cut(m("53 11/16", band="1/16"), Length("53 5/8")).say[-1] == ", inside the band"
    assert check_cut(m("53 3/4", band="1/16"), Length("53 5/8")).say[-1] == ", outside the band"


UNLIKE = Opposite(Length("9 1/8"), Length(4))


@pytest.mark.parametrize(
    ("ask", "named"),
    [
        (lambda: square(m("9"), m("4"), first=m("9"), second=m("10")), "9 can't be shorter than a side of 9"),
        (lambda: square(m("9"), m("4"), first=m("13"), second=m("10")), "13 is longer than the two sides"),
        (lambda: square(m("9"), m("4"), first=m("10"), second=m("10"), opposite=UNLIKE),
         "9 and 9 1/8 differ"),
        (lambda: diagonal(m("0"), m("4")), "side can't be nothing"),
        (lambda: corner(m("3"), m("4"), m("7")), "3, 4 and 7 don't close"),
        (lambda: corner(m("3"), m("10"), m("7")), "don't close"),
        (lambda: three_four_five(m("1/2"), m("9")), "too small"),
        (lambda: brace(rise=m("9"), length=m("9")), "brace of 9 can't have a rise of 9"),
        (lambda: bevel_of_angle(Fraction(90)), "90 degrees"),
        (lambda: cope(m("3"), m("1/4"), m("1/4")), "leg of 1/4 can't be 1/4 thick"),
        (lambda: cope(m("3"), m("0"), m("1/4")), "leg can't be nothing"),
        (lambda: bolt_circle(m("9"), 1), "One hole"),
        (lambda: bolt_circle(m("0"), 4), "circle can't be nothing"),
        (lambda: miter(m("2"), long=m("4")), "4 is too short: the cuts take 4"),
        (lambda: miter(m("2"), corner=Fraction(180)), "180 degrees"),
        (lambda: other_end(m("5"), m("6")), "6 off 5"),
        (lambda: turned(diagonal(m("3"), m("4"))), "no marks"),
        (lambda: held(m("5"), Length(0)), "held inch can't be nothing"),
    ],
)  # fmt: skip
def test_what_cannot_be(ask, named):
    with pytest.raises(Slip) as slip:
        ask()
    assert named in str(slip.value)


@pytest.mark.parametrize(("flat", "standing", "thick"), [("3", "3", "1/4"), ("3", "2", "1/4"), ("2", "3", "3/16")])
def test_a_coped_corner_fits(flat, standing, thick):
    """The notch is the leg less the thickness (common practice). Two angles in boxes, roots sharp: the coped one
    touches the one that runs through, below and at its end, and they nowhere share steel."""
    found = values(cope(m(flat), m(standing), m(thick)))
    notch = found["notch"] if flat == standing else found[f"notch, {flat} leg flat"]
    wide, high, t, start = Length(flat), Length(standing), Length(thick), found["short of the outside"]
    zero, far = Length(0), Length(100)
    # Each box: from and to along the coped piece, along the through piece, and up.
    through_flat = ((zero, wide), (zero, far), (zero, t))
    through_standing = ((zero, t), (zero, far), (zero, high))
    coped = [
        ((start + notch, far), (zero, wide), (zero, t)),  # the flat leg, heel and all, past the notch
        ((start, far), (zero, t), (t, high)),  # the standing leg above it
    ]
    for piece in coped:
        for other in (through_flat, through_standing):
            assert any(min(a[1], b[1]) <= max(a[0], b[0]) for a, b in zip(piece, other, strict=True))
    assert coped[0][0][0] == through_flat[0][1]
    assert coped[1][0][0] == through_standing[0][1]
    assert coped[1][2][0] == through_flat[2][1]


def test_both_notches_are_told_where_the_legs_differ():
    # By hand: 3 less 1/4 and 2 less 1/4, the card's formula; common practice.
    assert list(values(cope(m("2"), m("3"), m("1/4"))).values())[:2] == [Length("2 3/4"), Length("1 3/4")]


def test_what_is_asked_two_ways_is_a_mistake_of_ours():
    for ask in (
        lambda: brace(rise=m("3")),
        lambda: miter(m("2"), long=m("9"), short=m("5")),
        lambda: miter(m("2"), ends=3),
        lambda: bevel_cut(m("2"), m("3"), ends=0),
    ):
        with pytest.raises(ValueError, match=r"give|ends|end or both"):
            ask()


def test_feet_are_answered_in_feet():
    assert diagonal(m("6'", Form.FEET), m("8'", Form.FEET)).form is Form.FEET
    assert miter(m("2"), long=m("6'", Form.FEET)).form is Form.FEET
