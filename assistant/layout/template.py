"""Wrap-around templates: a pipe miter of any number of pieces, and a branch saddled on a header.

A template is a strip once around the pipe, with a line across it at each of sixteen equal spaces and an
ordinate marked on each.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.angles import PI, cos, sin_squared, tan
from assistant.enclosure import Number, Size, length_of, sqrt
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length

__all__ = [
    "POINTS",
    "Wrap",
    "pipe_miter",
    "pipe_miter_curve",
    "pipe_miter_wrap",
    "saddle",
    "saddle_curve",
    "saddle_wrap",
]

POINTS = 16
"""Ordinates around a template, the shop's usual number. Common practice, no source."""
_DRAWN_POINTS = 12 * POINTS
"""Around a template: a fifth of an inch apart on a twelve-inch pipe, where a straight line is the curve to the eye."""
_DRAWN_PLACES = 6
"""Decimals of an inch: a hundredth of the width of a line."""


@dataclass(frozen=True, slots=True)
class Wrap:
    """A template to be drawn at full size, in inches."""

    around: Size
    """Once around the pipe."""
    heights: tuple[Size, ...]
    """Of its edge above the square line, at equal spaces once around from point 1."""
    spaces: int = POINTS
    """How many are marked. Divides the number of heights."""


def pipe_miter(outside: Measure, *, turn: Fraction = Fraction(90), pieces: int = 2) -> Result:
    """The template of one miter of a turn made of so many pieces; ``outside`` diameter in inches.

    ``turn`` is how many degrees the center line turns from straight. Each cut is at turn / 2(pieces - 1)
    degrees off square. The ordinates stand on a line square around the pipe at the short point.

    Raises:
        Slip: for fewer than two pieces, a turn that is not under 180 degrees, or a size that cannot be.
    """
    across = limits.positive(outside.length, "pipe", outside.form)
    if limits.count(pieces, "pieces") < 2:
        raise Slip("A turn takes two pieces or more. How many?")
    limits.angle(turn, 180, "turn")
    cut = turn / (2 * (pieces - 1))
    slope = tan(cut)
    back = across * slope
    heights = tuple(
        Value(f"point {k}", height) for k, height in enumerate(pipe_miter_curve(across, cut, POINTS), start=1)
    )
    cut_back, half = Value("cut-back", back), Value("half the cut-back", back / 2)
    return Result(
        values=(cut_back, half, Value("cut off square", cut, "deg"), *_wrap(across)),
        say=("cut-back ", cut_back, ", half each side of your line, ", half),
        marks=heights,
        datum="the short point line",
        steps=(
            (steps.about(turn, 2), " degrees over ", 2 * (pieces - 1), " is ", steps.about(cut)),
            ("The tangent of that is ", steps.about(slope, 4)),
            (Exactly(across), " times that is the cut-back, about ", steps.about(back, 3)),
        ),
        cautions=(cautions.PIPE_SIZE, cautions.CODE_WELDER),
        heard=("Miter on ", outside, " outside, ", pieces, " pieces, ", steps.about(turn, 1), " degrees"),
        form=outside.form,
    )


def saddle(
    branch: Measure, header: Measure, *, degrees: Fraction = Fraction(90), bore: Measure | None = None
) -> Result:
    """The end of a branch cut to sit on a header; diameters in inches, the branch at ``degrees`` to it.

    ``branch`` is its outside diameter. For a fit at its inside, ``bore`` gives the inside diameter. The ordinates
    are cut back from a line square around the branch at its longest point. Center lines meet.

    Raises:
        Slip: where the branch is bigger than the header, or a size or angle cannot be.
    """
    small = limits.positive(branch.length, "branch", branch.form)
    big = limits.positive(header.length, "header", header.form)
    if small > big:
        raise Slip(
            f"A branch of {limits.said(small, branch.form)} won't sit on a header of "
            f"{limits.said(big, header.form)}. Check the sizes."
        )
    limits.angle(degrees, 180, "branch")
    lean = min(degrees, 180 - degrees)
    fitted = small if bore is None else limits.positive(bore.length, "bore", bore.form)
    r, big_r = fitted.inches / 2, big.inches / 2
    marks = tuple(Value(f"point {k}", drop) for k, drop in enumerate(saddle_curve(fitted, big, lean, POINTS), start=1))
    quarter = Value("quarter point", marks[POINTS // 4].amount)
    opposite = Value("far side", marks[POINTS // 2].amount)
    values = (quarter, *_wrap(small)) if lean == 90 else (quarter, opposite, *_wrap(small))
    said: Phrase = ("quarter point drop ", quarter)
    return Result(
        values=values,
        say=said if lean == 90 else (*said, ", far side ", opposite),
        marks=marks,
        datum="the line around the branch",
        steps=(
            ("Half the header, ", steps.about(big_r, 3), ", squared, is ", steps.about(big_r**2, 3)),
            ("Half the branch, ", steps.about(r, 3), ", squared, is ", steps.about(r**2, 3)),
            ("The root of the difference is ", steps.about(sqrt(big_r**2 - r**2), 3)),
        ),
        cautions=(cautions.BRANCH_FIT, cautions.CODE_WELDER),
        heard=(
            "Saddle ",
            *((branch, " outside") if bore is None else (bore, " inside")),
            " on ",
            header,
            *(() if lean == 90 else (" at ", steps.about(degrees, 1), " degrees")),
        ),
        form=branch.form,
    )


def pipe_miter_wrap(outside: Measure, *, turn: Fraction, pieces: int) -> Wrap:
    """The drawing of a miter that ``pipe_miter`` answers."""
    cut = turn / (2 * (pieces - 1))
    return Wrap(outside.length * PI, pipe_miter_curve(outside.length, cut, _DRAWN_POINTS))


def saddle_wrap(branch: Measure, header: Measure, *, degrees: Fraction, bore: Measure | None = None) -> Wrap:
    """The drawing of a saddle that ``saddle`` answers. Its square line is at the deepest cut."""
    curve = saddle_curve((bore or branch).length, header.length, min(degrees, 180 - degrees), _DRAWN_POINTS)
    drops = [drop.inches if isinstance(drop, Length) else drop.rounded(_DRAWN_PLACES) for drop in curve]
    return Wrap(branch.length * PI, tuple(Length(max(drops) - drop) for drop in drops))


def pipe_miter_curve(across: Length, cut: Fraction, points: int) -> tuple[Size, ...]:
    """The heights of a miter's cut at equal spaces around a pipe, in inches, from its short point.

    ``cut`` is in degrees off square, ``across`` the outside diameter in inches.
    """
    slope = tan(cut)
    return tuple(across / 2 * (slope * (1 - cos(Fraction(360 * k, points)))) for k in range(points))


def saddle_curve(branch: Length, header: Length, lean: Fraction, points: int) -> tuple[Size, ...]:
    """How far a branch's end is cut back at equal spaces around it, in inches, from its longest point.

    Diameters in inches, the branch no bigger than the header; ``lean`` is over 0 and up to 90 degrees.
    """
    r, big_r = branch.inches / 2, header.inches / 2
    reaches = [_reach(r, big_r, lean, Fraction(360 * k, points)) for k in range(points)]
    # From the header's center to the branch's end, along the branch: the most at its near side. Its own
    # difference is nothing, exactly.
    return tuple(length_of(reaches[0] - reach if k else Fraction(0)) for k, reach in enumerate(reaches))


def _reach(r: Fraction, big_r: Fraction, lean: Fraction, around: Fraction) -> Number:
    """From the crossing of the center lines to the branch's end, along the branch, at an angle around it.

    r·cos θ / tan β + √(R² - r²·sin² θ) / sin β. The sine of β goes under the root, where it is often exact.
    """
    root = sqrt((big_r**2 - r**2 * sin_squared(around)) / sin_squared(lean))
    return root if lean == 90 else root + r * cos(around) / tan(lean)


def _wrap(across: Length) -> tuple[Value, Value]:
    return Value("around", across * PI), Value("wrap space", across * PI / POINTS)
