"""Pickets in a clear opening, with no gap over a limit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.enclosure import Number, Size, hypotenuse
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length
from assistant.tape import Form

__all__ = ["Rake", "pickets"]


_BALL = Length(4)
"""What must not go through a guard, in inches: IBC 1015.4 (from memory) and the residential text of Camden County,
NC. Some codes say different."""


@dataclass(frozen=True, slots=True)
class Rake:
    """The slope of a rail with plumb pickets: so much rise, in inches, in so much run."""

    rise: Length
    run: Length


def pickets(
    clear: Measure,
    *,
    bar: Measure,
    most: Measure | None = None,
    count: int | None = None,
    strict: bool = False,
    centers: bool = False,
    rake: Rake | None = None,
) -> Result:
    """How many bars of a width go in a clear opening, the gap, and a mark for each, all lengths in inches.

    Give ``most``, the greatest clear gap (``strict``: the gap must stay under it, as where a ball must not
    pass), or ``count`` of pickets. Marks are near edges, or ``centers``. On a ``rake`` the opening and the
    marks run along the rail, and the gap is the level one between plumb bars, which a ball must pass.
    The limit is tested on the exact gap.

    Raises:
        Slip: where the bars do not fit, or a size or count cannot be. ValueError where not just one of
            ``most`` and ``count`` is given.
    """
    if (most is None) == (count is None):
        raise ValueError("give most or count")
    form = clear.form
    width = limits.positive(bar.length, "picket", bar.form)
    along = limits.positive(clear.length, "opening", form)
    stretch = _stretch(rake)
    level = along / stretch
    if most is not None:
        limit = limits.positive(most.length, "gap", most.form)
        number = _fewest(level, width, limit, strict)
        if number == 0:
            return _none_needed(clear, bar, most)
    else:
        number = limits.count(count or 0, "pickets")
    limits.count(number, "pickets")
    free = level - width * number
    if free <= Length(0):
        raise Slip(
            f"{number} of {limits.said(width, bar.form)} won't go in {limits.said(along, form)}. "
            "Check the opening and the bar."
        )
    gap = free / (number + 1)
    place = width / 2 if centers else Length(0)
    spots = [gap + (gap + width) * k + place for k in range(number)]
    marks = tuple(Value("", spot * stretch) for spot in spots)
    opening = Value("gap", gap)
    return Result(
        values=(
            opening,
            Value("pickets", number, "count"),
            Value("on center", (gap + width) * stretch),
        ),
        say=(
            number,
            " picket, gap " if number == 1 else " pickets, gap ",
            opening,
            ", first center " if centers else ", first edge ",
            marks[0],
        ),
        marks=marks,
        datum="the inside face",
        closing=along,
        steps=_steps(level, width, number, most, form),
        cautions=(
            *_ball_passes(gap),
            *(cautions.GUARD_BALL, cautions.PEOPLE_WALK, cautions.GUARD_ENGINEER, cautions.ONE_END),
        ),
        heard=(*_asked(count), clear, ", bar ", bar, *_limit(most, strict), *(_on(rake))),
        form=form,
    )


def _stretch(rake: Rake | None) -> Number:
    """Inches along the rail for each inch level."""
    if rake is None:
        return Fraction(1)
    limits.length(rake.rise)
    return hypotenuse(rake.rise, limits.positive(rake.run, "run")) / rake.run


def _fewest(clear: Size, width: Length, limit: Length, strict: bool) -> int:
    """The fewest pickets whose exact gap keeps the limit."""
    number = max(0, -((limit - clear) // (limit + width)))
    if strict and clear - width * number >= limit * (number + 1):
        number += 1
    return number


def _none_needed(clear: Measure, bar: Measure, most: Measure) -> Result:
    return Result(
        values=(Value("pickets", 0, "count"), Value("gap", clear.length)),
        say=("no picket needed, ", clear, " is within ", most),
        cautions=(*_ball_passes(clear.length), cautions.GUARD_BALL, cautions.PEOPLE_WALK),
        heard=("Pickets in ", clear, ", bar ", bar),
        form=clear.form,
    )


def _ball_passes(gap: Size) -> tuple[str, ...]:
    """Said of the exact gap, not of the one the tape shows."""
    return () if gap < _BALL else (f"A gap of {limits.said(gap)} lets a four-inch ball through.",)


def _asked(count: int | None) -> Phrase:
    if count is None:
        return ("Pickets in ",)
    return (count, " picket in " if count == 1 else " pickets in ")


def _limit(most: Measure | None, strict: bool) -> Phrase:
    if most is None:
        return ()
    return (", gap under " if strict else ", gap no more than ", most)


def _on(rake: Rake | None) -> Phrase:
    return (", rising ", Exactly(rake.rise), " in ", Exactly(rake.run)) if rake else ()


def _steps(clear: Size, width: Length, number: int, most: Measure | None, form: Form) -> tuple[Phrase, ...]:
    worked: list[Phrase] = []
    if not isinstance(clear, Length):
        worked.append(("Level across the opening is ", steps.about(clear, 3)))
    if most is not None:
        each = most.length + width
        worked.append(
            ("One gap and one picket: ", Exactly(most.length), " plus ", Exactly(width), " is ", Exactly(each))
        )
        worked.append(
            (
                "The opening less one gap, by that: ",
                steps.about((clear - most.length) / each),
                ", so ",
                number,
                " pickets",
            )
        )
    if isinstance(clear, Length):
        return (
            *worked,
            *steps.multiply(width, number, Form.INCHES),
            *steps.subtract(clear, width * number, form),
            *steps.divide(clear - width * number, number + 1, form),
        )
    free = clear - width * number
    return (
        *worked,
        *steps.multiply(width, number, Form.INCHES),
        ("Left for the gaps: ", steps.about(free, 3)),
        (number + 1, " gaps of ", steps.about(free / (number + 1), 3)),
    )
