"""Spaces, pickets, gage lines and rows of holes."""

from fractions import Fraction
from itertools import pairwise

import mpmath
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.errors import Slip
from assistant.layout import cautions
from assistant.layout.guard import guard_opening
from assistant.layout.pattern import gage_lines, gage_of_angle, gage_of_shape, grid, row
from assistant.layout.pickets import Rake, pickets
from assistant.layout.spacing import spaces
from assistant.length import Length
from assistant.tape import THIRTY_SECONDS, Lean
from tests.layout.rework import check
from tests.layout.strategies import lengths
from tests.layout.tape_marks import m, marks, shown, values

# Spaces


def test_six_holes_along_a_guard_frame():
    # Computed with exact fractions: 58 7/16 long, 1 1/4 from each end, not over 12 apart.
    by_limit = spaces(m("58 7/16"), start=m("1 1/4"), end=m("1 1/4"), most=m("12"))
    by_holes = spaces(m("58 7/16"), start=m("1 1/4"), end=m("1 1/4"), holes=6)
    assert values(by_limit)["first to last"] == Length("55 15/16")
    assert values(by_limit)["space"] == Length("11 3/16")
    assert [shown(mark) for mark in by_limit.marks] == marks("1 1/4; 12 7/16; 23 5/8; 34 13/16; 3'-10; 4'-9 3/16")
    assert by_holes.marks == by_limit.marks
    assert by_holes.say[:3] == (6, " holes, ", 5)
    assert cautions.ONE_END in by_holes.cautions


def test_four_holes_along_its_short_side():
    # Computed: 34 5/8 long, 1 1/4 from each end, not over 12 apart.
    result = spaces(m("34 5/8"), start=m("1 1/4"), end=m("1 1/4"), most=m("12"))
    assert values(result)["first to last"] == Length("32 1/8")
    assert values(result)["space"] == Length("10 17/24")
    assert shown(result.values[0]) == (Length("10 11/16"), Lean.PLUS)
    assert shown(result.values[0], THIRTY_SECONDS) == (Length("10 23/32"), Lean.MINUS)
    assert [shown(mark) for mark in result.marks] == marks("1 1/4; 11 15/16+; 22 11/16-; 33 3/8")


def test_cross_members_not_over_24_on_backs():
    # Computed: 148 3/8 long, member 1 at the front end.
    result = spaces(m("148 3/8"), most=m("24"))
    assert values(result)["spaces"] == 7
    assert values(result)["space"] == Length("21 11/56")
    assert [shown(mark) for mark in result.marks] == marks(
        "21 3/16+; 3'-6 3/8+; 5'-3 9/16+; 7'-0 13/16-; 8'-10-; 10'-7 3/16-"
    )
    assert result.closing == Length("12'-4 3/8")


def test_posts_not_over_72_on_center():
    # Computed: 223 3/8 between column faces, end posts 2 3/4 off.
    result = spaces(m("223 3/8"), start=m("2 3/4"), end=m("2 3/4"), most=m("72"))
    assert values(result)["space"] == Length("54 15/32")
    assert [shown(mark) for mark in result.marks] == marks("2 3/4; 4'-9 3/16+; 9'-3 11/16; 13'-10 1/8+; 18'-4 5/8")
    assert result.closing - result.marks[-1].amount == Length("2 3/4")


def test_a_line_of_thirty_in_twelve():
    # HFIAW, 2018 Pattern Layout Methods: 30 in divided in 12 by a rule slanted to 36, a tick every 3.
    result = spaces(m("30"), count=12)
    assert [mark.amount / Length(30) for mark in result.marks] == [Fraction(3 * k, 36) for k in range(1, 12)]


def test_a_fixed_spacing_leaves_the_rest_at_the_far_end():
    # Computed: sixteen on center in 99 from 1 1/2.
    result = spaces(m("99"), start=m("1 1/2"), spacing=m("16"))
    assert [mark.amount for mark in result.marks] == [Length(Fraction(3, 2) + 16 * k) for k in range(7)]
    assert values(result)["left over"] == Length("1 1/2")


def test_the_count_is_decided_on_the_exact_value():
    assert values(spaces(m("48"), most=m("12")))["spaces"] == 4
    assert values(spaces(m("48 1/1000"), most=m("12")))["spaces"] == 5


@given(lengths(400), lengths(40), lengths(40), st.integers(1, 60))
def test_spaces_are_equal_and_close(whole, start, end, count):
    assume(start + end < whole)
    result = spaces(m(str(whole)), start=m(str(start)), end=m(str(end)), count=count)
    space = values(result)["space"]
    places = [start, *(mark.amount for mark in result.marks), whole - end]
    assert {b - a for a, b in pairwise(places)} - {Length(0)} <= {space}
    assert start + space * count + end == whole
    check(result.steps)


@given(lengths(400), lengths(40), lengths(100))
def test_the_fewest_spaces_within_the_limit(whole, ends, most):
    assume(ends * 2 < whole and Length(0) < most and (whole - ends * 2) // most < 200)
    result = spaces(m(str(whole)), start=m(str(ends)), end=m(str(ends)), most=m(str(most)))
    space, count = values(result)["space"], values(result)["spaces"]
    assert space <= most
    assert count == 1 or (whole - ends * 2) / (count - 1) > most
    check(result.steps)


# Pickets


def test_pickets_of_a_gate():
    # Computed: half a gate 78 7/8 clear, 1/2 bar, no gap over 4.
    result = pickets(m("78 7/8"), bar=m("1/2"), most=m("4"))
    assert values(result)["pickets"] == 17
    assert values(result)["gap"] == Length("3 131/144")
    assert shown(result.values[0]) == (Length("3 15/16"), Lean.MINUS)
    assert shown(result.values[0], THIRTY_SECONDS) == (Length("3 29/32"), Lean.ON)
    assert [shown(mark) for mark in result.marks] == marks(
        "3 15/16-; 8 5/16; 12 3/4-; 17 1/8+; 21 9/16-; 25 15/16+; 30 3/8; 34 3/4+; 3'-3 3/16; 3'-7 5/8-; 4'-0; "
        "4'-4 7/16-; 4'-8 13/16+; 5'-1 1/4-; 5'-5 5/8+; 5'-10 1/16; 6'-2 7/16+"
    )
    # Stepping the rounded gap off instead lands 17/36 in away: computed.
    stepped = (Length("3 15/16") + Length("1/2")) * 16 + Length("3 15/16")
    assert stepped - result.marks[-1].amount == Length("17/36")
    assert {cautions.GUARD_BALL, cautions.PEOPLE_WALK, cautions.GUARD_ENGINEER} <= set(result.cautions)


def test_pickets_of_a_guard_rail():
    # Computed: 52 31/32 between posts, 1/2 bar, 3 7/8 the largest gap.
    result = pickets(m("52 31/32"), bar=m("1/2"), most=m("3 7/8"))
    assert values(result)["pickets"] == 12
    assert values(result)["gap"] == Length("3 255/416")
    assert [shown(mark) for mark in result.marks] == marks(
        "3 5/8-; 7 3/4-; 11 13/16+; 15 15/16+; 20 1/16; 24 3/16-; 28 5/16-; 32 3/8+; 3'-0 1/2+; 3'-4 5/8; "
        "3'-8 3/4; 4'-0 7/8-"
    )
    assert result.say[:2] == (12, " pickets, gap ")


def test_a_gap_of_just_the_limit_passes_only_where_it_may():
    # 22 clear, four bars of 1/2: five gaps of 4. Computed.
    assert values(pickets(m("22"), bar=m("1/2"), most=m("4")))["pickets"] == 4
    assert values(pickets(m("22"), bar=m("1/2"), most=m("4"), strict=True))["pickets"] == 5
    assert values(pickets(m("22 1/1000"), bar=m("1/2"), most=m("4")))["pickets"] == 5


def test_no_picket_where_the_opening_is_within_the_limit():
    assert values(pickets(m("4"), bar=m("1/2"), most=m("4")))["pickets"] == 0
    assert values(pickets(m("4"), bar=m("1/2"), most=m("4"), strict=True))["pickets"] == 1


@given(lengths(300), st.sampled_from(["1/2", "5/8", "3/4", "1"]), st.sampled_from(["3 7/8", "4", "6"]), st.booleans())
def test_pickets_keep_the_limit_with_the_fewest(clear, bar, most, strict):
    assume(clear > Length(0))
    result = pickets(m(str(clear)), bar=m(bar), most=m(most), strict=strict)
    number, gap = values(result)["pickets"], values(result)["gap"]
    assert gap < Length(most) if strict else gap <= Length(most)
    if number:
        looser = (clear - Length(bar) * (number - 1)) / number
        assert looser >= Length(most) if strict else looser > Length(most)
        edges = [Length(0)] + [e for mark in result.marks for e in (mark.amount, mark.amount + Length(bar))] + [clear]
        assert {b - a for a, b in zip(edges[::2], edges[1::2], strict=True)} == {gap}
        middles = pickets(m(str(clear)), bar=m(bar), most=m(most), strict=strict, centers=True).marks
        assert [c.amount - e.amount for c, e in zip(middles, result.marks, strict=True)] == [Length(bar) / 2] * number
        check(result.steps)


@given(lengths(300), st.integers(1, 24), st.integers(1, 24))
def test_on_a_slope_the_level_gap_keeps_the_limit(clear, rise, run):
    """Against mpmath: the opening is drawn in to level by the cosine, the marks drawn out again by it."""
    assume(clear > Length(8))
    rake = Rake(Length(rise), Length(run))
    result = pickets(m(str(clear)), bar=m("1/2"), most=m("4"), rake=rake)
    number, gap = values(result)["pickets"], values(result)["gap"]
    mpmath.mp.dps = 50
    stretch = mpmath.sqrt(rise**2 + run**2) / run
    level = mpmath.mpf(clear.inches.numerator) / clear.inches.denominator / stretch
    if number:
        theirs = (level - number * mpmath.mpf("0.5")) / (number + 1)
        assert theirs <= 4
        assert number == 0 or (level - (number - 1) * mpmath.mpf("0.5")) / number > 4
        assert gap <= Length(4)
        assert (
            abs(mpmath.mpf(text(result.marks[-1])) - (number * theirs + (number - 1) / mpmath.mpf(2)) * stretch) < 1e-9
        )
        check(result.steps)


def text(value) -> str:
    amount = value.amount
    return (
        amount.decimal(20)
        if not isinstance(amount, Length)
        else str(mpmath.mpf(amount.inches.numerator) / amount.inches.denominator)
    )


def test_a_three_four_five_slope_is_exact():
    # Rise 3 in run 4: five along for four level, computed.
    result = pickets(m("110"), bar=m("1/2"), most=m("4"), rake=Rake(Length(3), Length(4)))
    level = pickets(m("88"), bar=m("1/2"), most=m("4"))
    assert values(result)["gap"] == values(level)["gap"]
    assert [mark.amount for mark in result.marks] == [mark.amount * Fraction(5, 4) for mark in level.marks]


def test_a_ball_that_goes_through_is_said_of_the_exact_gap():
    # IBC 1015.4 (from memory) and the residential text of Camden County, NC: a four-inch ball must not pass.
    def warned(result):
        return [caution for caution in result.cautions if "lets a four-inch ball through" in caution]

    assert warned(pickets(m("22"), bar=m("1/2"), most=m("4")))  # a gap of just four
    assert not warned(pickets(m("22"), bar=m("1/2"), most=m("4"), strict=True))
    assert not warned(pickets(m("21 999/1000"), bar=m("1/2"), most=m("4")))
    assert warned(pickets(m("60"), bar=m("1/2"), count=9))
    assert warned(pickets(m("5"), bar=m("1/2"), most=m("6")))  # no picket at all


@given(lengths(300).filter(lambda size: size > Length(12)), st.integers(1, 20))
def test_more_pickets_leave_smaller_gaps(clear, number):
    assume(Length("1/2") * (number + 1) < clear)
    gaps = [values(pickets(m(str(clear)), bar=m("1/2"), count=n))["gap"] for n in (number, number + 1)]
    assert gaps[1] < gaps[0]


@given(lengths(300), st.integers(2, 12), st.integers(2, 7))
def test_spaces_scale_with_the_piece(whole, count, times):
    assume(whole > Length(1))
    small = spaces(m(str(whole)), start=m("1/8"), end=m("1/8"), count=count)
    size = str(Length("1/8") * times)
    big = spaces(m(str(whole * times)), start=m(size), end=m(size), count=count)
    assert [mark.amount * times for mark in small.marks] == [mark.amount for mark in big.marks]
    assert [whole - mark.amount for mark in reversed(small.marks)] == [mark.amount for mark in small.marks]


# Gage lines and rows


@pytest.mark.parametrize(
    ("width", "gage", "near", "far"),
    [
        ("8", "5 1/2", "1 1/4", "6 3/4"),  # W8x31: flange 8.00, workable gage 5 1/2, AISC Shapes Database v16.0
        ("6.49", "3 1/2", "1.495", "4.995"),  # W12x26: flange 6.49, gage 3 1/2, the same
    ],
)
def test_gage_lines(width, gage, near, far):
    result = gage_lines(m(width), m(gage))
    assert [mark.amount for mark in result.marks] == [Length(near), Length(far)]
    assert cautions.USE_DRAWING in result.cautions
    check(result.steps)


@given(lengths(100), lengths(100), st.integers(1, 30))
def test_a_pattern_is_the_same_from_both_ends(beyond, pitch, holes):
    assume(Length(0) < pitch and Length(0) < beyond)
    whole = pitch * (holes - 1) + beyond
    places = [mark.amount for mark in row(m(str(whole)), holes=holes, pitch=m(str(pitch))).marks]
    assert places == [whole - place for place in reversed(places)]
    assert all(b - a == pitch for a, b in pairwise(places))
    check(row(m(str(whole)), holes=holes, pitch=m(str(pitch))).steps)


@pytest.mark.parametrize(
    ("name", "tapes"),
    [
        # Workable gages of AISC Shapes Database v16.0: a beam's about the center of its flange, a channel's off its
        # back.
        ("W8x31", ["1 1/4", "6 3/4"]),
        ("W12x26", ["1.495", "4.995"]),
        ("W6x15", ["1.245", "4.745"]),
        ("W14x90", ["4.5", "10"]),
        ("C10x15.3", ["1 1/2"]),
        ("C6x8.2", ["1 1/8"]),
        ("C12x20.7", ["1 3/4"]),
    ],
)
def test_the_usual_gage_of_a_shape(name, tapes):
    result = gage_of_shape(name)
    assert [mark.amount for mark in result.marks] == [Length(tape) for tape in tapes]
    check(result.steps)


@pytest.mark.parametrize(
    ("leg", "gage"), [("4", "2 1/2"), ("3 1/2", "2"), ("3", "1 3/4"), ("2 1/2", "1 3/8"), ("2", "1 1/8")]
)
def test_the_usual_gage_of_an_angle(leg, gage):
    # AISC Manual, usual gages for angles, one line (from memory).
    assert gage_of_angle(m(leg)).marks[0].amount == Length(gage)


def test_a_row_from_a_first_hole():
    # Computed: four holes at 3 from 1 1/2 in 12.
    result = row(m("12"), holes=4, pitch=m("3"), first=m("1 1/2"))
    assert [mark.amount for mark in result.marks] == [Length(s) for s in ("1 1/2", "4 1/2", "7 1/2", "10 1/2")]
    assert values(result)["left"] == Length("1 1/2")


def test_a_grid_of_holes():
    # Computed: twelve holes, four along at 3 and three across at 2, about the center of 12 by 10.
    result = grid(m("12"), m("10"), columns=4, rows=3, pitch=m("3"), gage=m("2"))
    assert values(result)["holes"] == 12
    along, across = result.marks[::2], result.marks[1::2]
    assert [v.amount for v in along[:4]] == [Length(s) for s in ("1 1/2", "4 1/2", "7 1/2", "10 1/2")]
    assert [v.amount for v in across[::4]] == [Length(s) for s in ("3", "5", "7")]
    assert along[5].name == "hole 6, along"
    edges = grid(m("12"), m("10"), columns=4, rows=3, pitch=m("3"), gage=m("2"), end=m("1"), edge=m("2 1/2"))
    assert (edges.marks[0].amount, edges.marks[1].amount) == (Length(1), Length("2 1/2"))
    assert cautions.SAME_EDGES in result.cautions
    check(result.steps)


@given(lengths(60), lengths(60), st.integers(1, 6), st.integers(1, 6))
def test_a_centered_grid_is_the_same_from_all_four_edges(long, wide, columns, rows):
    assume(long > Length(6) and wide > Length(6))
    result = grid(m(str(long)), m(str(wide)), columns=columns, rows=rows, pitch=m("1"), gage=m("3/4"))
    spots = {(x.amount, y.amount) for x, y in zip(result.marks[::2], result.marks[1::2], strict=True)}
    assert len(spots) == columns * rows
    assert spots == {(long - x, wide - y) for x, y in spots} == {(x, wide - y) for x, y in spots}
    check(result.steps)


@pytest.mark.parametrize(
    ("far", "opening"),
    # 29 CFR 1910.217 table O-10, by way of Hartford TIPS S 849.015.
    [("1/2", "1/4"), ("1 1/2", "1/4"), ("2", "3/8"), ("3", "1/2"), ("5", "5/8"), ("6", "3/4"), ("7", "7/8"),
     ("10", "1 1/4"), ("14", "1 1/2"), ("17", "1 7/8"), ("20", "2 1/8"), ("5 1/2", "5/8"), ("5 5001/10000", "3/4")],
)  # fmt: skip
def test_openings_in_a_machine_guard(far, opening):
    result = guard_opening(m(far))
    assert result.values[0].amount == Length(opening)
    assert result.cautions == (cautions.MACHINE_GUARD,)


@pytest.mark.parametrize(
    ("ask", "named"),
    [
        (lambda: gage_of_shape("C3x4.1"), "no usual gage in my table for C 3 by 4.1"),
        (lambda: gage_of_shape("W8x9"), "no W 8 by 9"),
        (lambda: gage_of_angle(m("5")), "leg of 5"),
        (lambda: spaces(m("0"), count=3), "piece can't be nothing"),
        (lambda: guard_opening(m("1/4")), "1/4 is not in it"),
        (lambda: guard_opening(m("32")), "32 is not in it"),
        (
            lambda: grid(m("12"), m("10"), columns=5, rows=3, pitch=m("3"), gage=m("2")),
            "5 holes at 3 take 12, and there is 12",
        ),
        (
            lambda: grid(m("12"), m("10"), columns=2, rows=3, pitch=m("3"), gage=m("2"), edge=m("6")),
            "lands at 10, off the end of 10",
        ),
        (lambda: spaces(m("5"), start=m("3"), end=m("2"), count=3), "3 and 2 leave no room in 5"),
        (lambda: spaces(m("5"), count=0), "0 spaces"),
        (lambda: spaces(m("5"), holes=1), "One hole"),
        (lambda: spaces(m("5"), most=m("0")), "spacing can't be nothing"),
        (lambda: spaces(m("900"), most=m("1/16")), "14400 spaces"),
        (lambda: spaces(m("900"), spacing=m("1/16")), "14401 marks"),
        (lambda: spaces(m("-5"), count=2), "5 below nothing"),
        (lambda: pickets(m("20"), bar=m("0"), most=m("4")), "picket can't be nothing"),
        (lambda: pickets(m("20"), bar=m("1/2"), most=m("0")), "gap can't be nothing"),
        (lambda: pickets(m("5"), bar=m("6"), most=m("4")), "1 of 6 won't go in 5"),
        (lambda: pickets(m("5"), bar=m("1"), count=5), "5 of 1 won't go in 5"),
        (lambda: gage_lines(m("3"), m("3")), "gage of 3 runs off a width of 3"),
        (lambda: row(m("12"), holes=5, pitch=m("3")), "take 12"),
        (lambda: row(m("12"), holes=4, pitch=m("3"), first=m("3")), "lands at 12, off the end of 12"),
        (lambda: row(m("12"), holes=0, pitch=m("3")), "0 holes"),
    ],
)
def test_what_cannot_be(ask, named):
    with pytest.raises(Slip) as slip:
        ask()
    assert named in str(slip.value)


def test_one_way_of_asking_at_a_time():
    with pytest.raises(ValueError, match="just one"):
        spaces(m("5"), count=3, holes=4)
    with pytest.raises(ValueError, match="most or count"):
        pickets(m("5"), bar=m("1"))
