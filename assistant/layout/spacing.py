"""Equal spaces along a piece: holes, slats, members, welds."""

from __future__ import annotations

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length

__all__ = ["spaces"]

_NOTHING = Measure(Length(0))


def spaces(
    whole: Measure,
    *,
    start: Measure = _NOTHING,
    end: Measure = _NOTHING,
    count: int | None = None,
    holes: int | None = None,
    most: Measure | None = None,
    spacing: Measure | None = None,
) -> Result:
    """Marks along a length in inches, between end distances in inches, all from the one end.

    Give just one of: ``count`` equal spaces; ``holes`` equally spaced; ``most``, the greatest equal spacing
    allowed; ``spacing``, a fixed spacing from the start with what is left over at the far end. The count
    for ``most`` is decided on the exact value.

    A mark that falls on the very end of the piece is left out, except where holes were asked for.

    Raises:
        Slip: where the end distances leave no room, or a count or spacing cannot be. ValueError where not
            just one of the four is given.
    """
    if [count, holes, most, spacing].count(None) != 3:
        raise ValueError("give just one of count, holes, most and spacing")
    form = whole.form
    limits.positive(whole.length, "piece", form)
    for distance in (start, end):
        limits.length(distance.length, distance.form)
    off = start.length + end.length
    if off >= whole.length:
        raise Slip(
            f"End distances of {limits.said(start.length, start.form)} and {limits.said(end.length, end.form)} "
            f"leave no room in {limits.said(whole.length, form)}. Check the numbers."
        )
    room = whole.length - off
    if spacing is not None:
        return _fixed(whole, start, end, room, spacing)
    between = _spaces_in(room, count, holes, most)
    space = Value("space", room / between)
    places = [start.length + room * k / between for k in range(between + 1)]
    marks = tuple(Value("", p) for p in places if holes or Length(0) < p < whole.length)
    return Result(
        values=(
            space,
            Value("spaces", between, "count"),
            Value("marks", len(marks), "count"),
            Value("first to last", room),
        ),
        say=_say(between, space, marks, "holes" if holes else "marks" if most else ""),
        marks=marks,
        closing=whole.length,
        steps=_steps(whole, start, end, room, between, most),
        cautions=(cautions.ONE_END,) if len(marks) > 1 else (),
        heard=(*_asked(count, holes, most), whole, *_ends(start, end)),
        form=form,
    )


def _spaces_in(room: Length, count: int | None, holes: int | None, most: Measure | None) -> int:
    if most is not None:
        limits.positive(most.length, "spacing", most.form)
        return limits.count(-(-room // most.length), "spaces")
    if holes is not None:
        if limits.count(holes, "holes") == 1:
            raise Slip("One hole has no spaces. Ask for the center, or say two holes or more.")
        return holes - 1
    assert count is not None
    return limits.count(count, "spaces")


def _fixed(whole: Measure, start: Measure, end: Measure, room: Length, spacing: Measure) -> Result:
    """Marks at a fixed spacing; the odd space is what is left at the far end."""
    each = limits.positive(spacing.length, "spacing", spacing.form)
    between = room // each
    if not between:
        raise Slip(
            f"A spacing of {limits.said(each, spacing.form)} won't go in the "
            f"{limits.said(room, whole.form)} there is. Check the numbers."
        )
    if between + 1 > limits.MOST:
        raise Slip(f"That is {between + 1} marks, more than I can count. Say a bigger spacing.")
    places = [start.length + each * k for k in range(between + 1)]
    marks = tuple(Value("", p) for p in places if Length(0) < p < whole.length)
    left = Value("left over", whole.length - places[-1])
    return Result(
        values=(left, Value("marks", len(marks), "count"), Value("spaces", between, "count")),
        say=(
            *(len(marks), " mark" if len(marks) == 1 else " marks"),
            *((", first at ", marks[0]) if marks else ()),
            *(", ", left, " left to the far end"),
        ),
        marks=marks,
        closing=whole.length,
        steps=(
            *(steps.subtract(whole.length, start.length + end.length, whole.form) if start.length + end.length else ()),
            (
                Exactly(each),
                " goes into ",
                Exactly(room),
                " ",
                between,
                " times, ",
                Exactly(room - each * between),
                " left",
            ),
        ),
        cautions=(cautions.ONE_END,) if len(marks) > 1 else (),
        heard=("Spaces of ", spacing, " in ", whole, *_ends(start, end)),
        form=whole.form,
    )


def _say(between: int, space: Value, marks: tuple[Value, ...], counted_as: str) -> Phrase:
    """Spaces, and how many marks that makes where he did not say how many spaces: they are not the same number."""
    counted: Phrase = (between, " space of ", space) if between == 1 else (between, " spaces of ", space)
    if counted_as and marks:
        counted = (len(marks), " mark, " if len(marks) == 1 else f" {counted_as}, ", *counted)
    return (*counted, ", first at ", marks[0]) if marks else counted


def _asked(count: int | None, holes: int | None, most: Measure | None) -> Phrase:
    if holes is not None:
        return (holes, " holes in ")
    if most is not None:
        return ("Spaces no more than ", most, " in ")
    return (count or 0, " equal spaces in ")


def _ends(start: Measure, end: Measure) -> Phrase:
    if not start.length and not end.length:
        return ()
    if start.length == end.length:
        return (", ", start, " from each end")
    return (", ", start, " from one end, ", end, " from the other")


def _steps(
    whole: Measure, start: Measure, end: Measure, room: Length, between: int, most: Measure | None
) -> tuple[Phrase, ...]:
    worked: tuple[Phrase, ...] = ()
    if start.length and end.length:
        worked += steps.sum_up([start.length, end.length], whole.form)
    if start.length or end.length:
        worked += steps.subtract(whole.length, start.length + end.length, whole.form)
    if most is not None:
        worked += (
            (
                Exactly(room),
                " by ",
                Exactly(most.length),
                " is ",
                steps.about(room / most.length),
                ", up to ",
                between,
            ),
        )
    return (
        *worked,
        *steps.divide(room, between, whole.form),
        ("Each mark is worked from the one end. Don't step them off: the rounding adds up",),
    )
