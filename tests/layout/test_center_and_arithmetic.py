"""Center, parts, share, add, take off, times, total: examples, properties, refusals."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout.arithmetic import add, pieces_out_of, take_off, times, times_with_kerf, total
from assistant.layout.center import center
from assistant.layout.limits import LONGEST
from assistant.layout.parts import parts, share
from assistant.length import Length
from assistant.tape import Form
from tests.layout.rework import check
from tests.layout.strategies import lengths, measures


def m(text: str, lean: int = 0, form: Form = Form.INCHES) -> Measure:
    return Measure(Length(text), Fraction(lean), form)


@pytest.mark.parametrize(
    ("piece", "middle"),
    [
        ("106 3/4", "53 3/8"),  # common practice, no source: the trade's own way of checking a half
        ("3/8", "3/16"),  # common practice, no source
        ("15/16", "15/32"),  # common practice, no source
        ("58 7/16", "29 7/32"),  # computed with exact fractions: long side of a guard frame
        ("34 5/8", "17 5/16"),  # computed: its short side
        ("163 3/4", "81 7/8"),  # computed: center stile of a gate
        ("223 3/8", "111 11/16"),  # computed: mid bay of a guard rail
        ("7'-0", "3'-6"),  # common practice, no source: half of seven foot is three foot six
    ],
)
def test_center(piece, middle):
    result = center(m(piece))
    assert result.values[0].amount == Length(middle)
    assert [mark.amount for mark in result.marks] == [Length(middle)]
    assert result.datum == "either end"


@pytest.mark.parametrize(
    ("piece", "count", "marks"),
    [
        ("58 1/2", 3, ["19 1/2", "39"]),  # computed with exact fractions
        # Dividing a line of 30 in into 12 by a slanted rule, a tick every 3 of 36: HFIAW, 2018 Pattern
        # Layout Methods. 30/12 is 2 1/2.
        ("30", 12, ["2 1/2", "5", "7 1/2", "10", "12 1/2", "15", "17 1/2", "20", "22 1/2", "25", "27 1/2"]),
        ("64", 3, ["21 1/3", "42 2/3"]),  # computed: thirds are kept exact
        ("10", 1, []),  # by definition
    ],
)
def test_parts(piece, count, marks):
    result = parts(m(piece), count)
    assert [mark.amount for mark in result.marks] == [Length(mark) for mark in marks]
    assert result.closing == Length(piece)


def test_a_share_of_the_parts():
    assert share(m("60"), 2, 5).values[0].amount == Length(24)  # by definition: 60 in five is 12
    assert share(m("60"), 5, 5).marks == ()  # all of it is the other end, not a mark


@pytest.mark.parametrize(
    ("span", "off", "ends", "left", "gone"),
    [
        ("96 1/4", ["3/8", "3/8", "1/8", "1/8"], 1, "95 1/4", "1"),  # computed: end plates and gaps
        ("96 1/4", ["3/8", "1/8"], 2, "95 1/4", "1"),  # computed: the same, said as each end
        ("166 1/4", ["1 1/2", "1"], 1, "163 3/4", "2 1/2"),  # computed: hinge and latch gap of a gate
        ("77 1/2", ["0.184", "0.184", "1/16"], 1, "77.0695", "0.4305"),  # computed: between two channel webs
        ("42", ["1 1/2", "3/8"], 1, "40 1/8", "1 7/8"),  # computed: post under a rail, on a plate
        ("6", ["1/16"], 2, "5 7/8", "1/8"),  # common practice: a sixteenth off each side is an eighth in all
        ("5", ["5"], 1, "0", "5"),  # by definition
    ],
)
def test_take_off(span, off, ends, left, gone):
    result = take_off(m(span), [m(t) for t in off], ends)
    assert [v.amount for v in result.values] == [Length(left), Length(gone)]
    if ends == 2:
        assert result.values[1] in result.say, "the total taken off at both ends must be said"


def test_adding_says_how_many():
    for result in (add([m("53 5/8"), m("3/16"), m("12"), m("4'-7 15/16")]), total([m("1")] * 4), times(m("1"), 4)):
        assert result.say[:2] == (4, " pieces")
        assert (result.values[1].amount, result.values[1].unit) == (4, "count")
    assert total([m("3 1/2")]).say[:2] == (1, " piece")
    assert add([m("5 3/16"), m("7/8")]).values[0].amount == Length("6 1/16")  # computed with exact fractions
    # 4'-0 x 5 and its kind are the multiplication tables.
    assert times(m("27 3/16"), 4).values[0].amount == Length("108 3/4")


@pytest.mark.parametrize(
    ("result", "lean"),
    [
        (center(m("53", lean=1)), Fraction(1, 2)),
        (center(m("53", lean=-1)), Fraction(-1, 2)),
        (add([m("1", lean=1), m("2", lean=1), m("3", lean=-1)]), 1),
        (take_off(m("9", lean=1), [m("1", lean=-1)]), 2),
        (take_off(m("9"), [m("1", lean=1)], 2), -2),
        (times(m("9", lean=1), 4), 4),
        (parts(m("9", lean=1), 4), Fraction(1, 4)),
        (share(m("9", lean=1), 3, 4), Fraction(3, 4)),
    ],
)
def test_a_lean_is_carried(result, lean):
    assert result.values[0].lean == lean
    assert result.values[0] in result.say, "it is said with its lean"


def test_the_marks_of_a_leaning_piece_lean_by_their_share():
    assert [mark.lean for mark in parts(m("9", lean=2), 4).marks] == [Fraction(1, 2), 1, Fraction(3, 2)]


@given(measures())
def test_center_twice_and_remainder_is_the_whole(piece):
    middle = center(piece).values[0].amount
    assert middle + (piece.length - middle) == piece.length
    assert middle * 2 == piece.length
    assert middle == piece.length - middle


@given(measures(), st.integers(1, 1000))
def test_marks_close_on_the_whole(piece, count):
    result = parts(piece, count)
    marks = [Length(0), *(mark.amount for mark in result.marks), result.closing]
    assert len(result.marks) == count - 1
    assert {b - a for a, b in pairwise(marks)} == {result.values[0].amount}
    assert result.values[0].amount * count == piece.length


@given(st.lists(measures(most=100), min_size=1, max_size=12))
def test_a_sum_is_the_sum_of_fractions(terms):
    assert add(terms).values[0].amount.inches == sum(t.length.inches for t in terms)
    assert total(terms).values[0] == add(terms).values[0]


@given(measures(most=100), st.lists(measures(most=100), min_size=1, max_size=4), st.integers(1, 2))
def test_take_off_undoes_add(rest, off, ends):
    whole = add([rest, *off * ends]).values[0]
    result = take_off(Measure(whole.amount, whole.lean), off, ends)
    assert (result.values[0].amount, result.values[0].lean) == (rest.length, rest.lean)


def ends_in(result) -> Fraction:
    """The number the steps come out at, in inches."""
    assert result.steps
    last = check(result.steps)[-1]
    return last / Fraction(254, 10) if result.form is Form.MILLIMETERS else last


@given(measures())
def test_the_steps_of_a_center_are_true(piece):
    result = center(piece)
    assert ends_in(result) == result.values[0].amount.inches


@given(measures(), st.integers(1, 40))
def test_the_steps_of_parts_are_true(piece, count):
    result = parts(piece, count)
    steps = result.steps[:-1] if count > 2 else result.steps
    assert check(result.steps)
    last = check(steps)[-1]
    assert (last / Fraction(254, 10) if piece.form is Form.MILLIMETERS else last) == result.values[0].amount.inches


@given(measures(), st.integers(1, 40), st.integers(1, 40))
def test_the_steps_of_a_share_are_true(piece, a, b):
    result = share(piece, min(a, b), max(a, b))
    assert ends_in(result) == result.values[0].amount.inches


@given(st.lists(measures(most=100), min_size=2, max_size=6))
def test_the_steps_of_adding_are_true(terms):
    result = add(terms)
    assert ends_in(result) == result.values[0].amount.inches


@given(measures(most=100), st.integers(1, 50))
def test_the_steps_of_times_are_true(piece, count):
    result = times(piece, count)
    assert ends_in(result) == result.values[0].amount.inches


@given(measures(), st.lists(measures(most=100), min_size=1, max_size=3), st.integers(1, 2))
def test_the_steps_of_taking_off_are_true(piece, off, ends):
    if sum(t.length.inches for t in off) * ends > piece.length.inches:
        with pytest.raises(Slip, match="can't take"):
            take_off(piece, off, ends)
        return
    result = take_off(piece, off, ends)
    assert ends_in(result) == result.values[0].amount.inches


def test_the_half_is_found_as_a_person_finds_it():
    """Whole inches halved, the odd inch a half, the bottom number doubled, counted on past the half."""
    words = ["".join(p if isinstance(p, str) else "#" for p in step) for step in center(m("53 5/8")).steps]
    assert words == [
        "Inches: half of # is #",
        "The odd inch leaves #",
        "Half of #, double the bottom number: #",
        "Count on past the half: # plus # is #",
        "Together: #",
    ]


@pytest.mark.parametrize(
    ("ask", "named"),
    [
        (lambda: parts(m("53"), 0), "0 parts"),
        (lambda: parts(m("53"), -2), "-2 parts"),
        (lambda: parts(m("53"), Fraction(5, 2)), "2 1/2 is not a whole number"),
        (lambda: parts(m("53"), 1001), "1001 parts"),
        (lambda: share(m("53"), 1, 0), "0 parts"),
        (lambda: share(m("53"), 4, 3), "only 3 parts"),
        (lambda: times(m("53"), 0), "0 pieces"),
        (lambda: take_off(m("3"), [m("2")], 2), "4 off 3"),
        (lambda: take_off(m("1' 2", form=Form.FEET), [m("15")]), "1'-3\" off 1'-2\""),
        (lambda: center(m("-3")), "3 below nothing"),
        (lambda: center(Measure(LONGEST + Length("1/16"))), "over a thousand feet"),
        (lambda: times(Measure(LONGEST), 2), "over a thousand feet"),
        (lambda: add([Measure(LONGEST), m("1")]), "over a thousand feet"),
        (lambda: add([m("5"), m("-1")]), "1 below nothing"),
        (lambda: total([]), "first measurement"),
        (lambda: take_off(m("3"), []), "how much"),
    ],
)
def test_what_cannot_be_gets_one_plain_sentence_naming_the_number(ask, named):
    with pytest.raises(Slip) as slip:
        ask()
    assert named in str(slip.value)
    assert str(slip.value).endswith((".", "?"))


@given(lengths())
def test_a_thousand_feet_is_not_refused(size):
    assert center(Measure(size)).values[0].amount * 2 == size


@given(lengths(100).filter(lambda size: size > Length(0)), st.integers(1, 40), lengths(1))
def test_pieces_cut_one_after_another_with_a_kerf_between(piece, count, kerf):
    result = times_with_kerf(Measure(piece), count, Measure(kerf))
    ends = [mark.amount for mark in result.marks]
    assert ends[0] == piece
    assert {b - a for a, b in pairwise(ends)} <= {piece + kerf}
    assert ends[-1] == result.values[0].amount == result.closing
    assert result.values[1].amount - ends[-1] == kerf
    check(result.steps)


@given(
    lengths(100).filter(lambda size: size > Length(2)), lengths(2).filter(lambda size: size > Length("1/4")), lengths(1)
)
def test_as_many_come_out_of_a_stick_as_can_be_cut_one_after_another(stick, piece, kerf):
    result = pieces_out_of(Measure(stick), Measure(piece), Measure(kerf))
    count, left = (value.amount for value in result.values)
    ends = [mark.amount for mark in result.marks]
    assert len(ends) == count
    assert ends == [mark.amount for mark in times_with_kerf(Measure(piece), count, Measure(kerf)).marks]
    assert ends[-1] <= stick < ends[-1] + kerf + piece  # one more would not fit
    assert left == max(Length(0), stick - ends[-1] - kerf)
    check(result.steps)


@pytest.mark.parametrize(
    ("stick", "piece", "kerf", "count", "left"),
    [
        # By hand: ten of 22 1/2 are 225, ten kerfs of an eighth 1 1/4; 240 less 226 1/4.
        ("240", "22 1/2", "1/8", 10, "13 3/4"),
        # Ten of 24 are the whole stick; with a kerf there is room for nine.
        ("240", "24", "0", 10, "0"),
        ("240", "24", "1/8", 9, "22 7/8"),
        # Two of 10 and one kerf are all of it: the second is what is left. A sixteenth more goes in the kerf.
        ("20 1/8", "10", "1/8", 2, "0"),
        ("20 3/16", "10", "1/8", 2, "0"),
        ("10", "10", "1/8", 1, "0"),
    ],
)
def test_how_many_out_of_a_stick(stick, piece, kerf, count, left):
    result = pieces_out_of(m(stick), m(piece), m(kerf))
    assert [value.amount for value in result.values] == [count, Length(left)]
    check(result.steps)


def test_a_piece_longer_than_the_stick_is_refused():
    with pytest.raises(Slip, match=r"^10 1/16 won't come out of 10\. Check both\.$"):
        pieces_out_of(m("10"), m("10 1/16"), m("0"))


def test_five_with_a_kerf():
    # By hand: five of 18 3/8 are 91 7/8, and four kerfs of an eighth a half.
    result = times_with_kerf(m("18 3/8"), 5, m("1/8"))
    assert [value.amount for value in result.values[:2]] == [Length("92 3/8"), Length("92 1/2")]
