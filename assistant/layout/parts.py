"""A length in equal parts, and some of those parts."""

from __future__ import annotations

from fractions import Fraction

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import limits, steps
from assistant.layout.result import Phrase, Result, Value

__all__ = ["parts", "share"]

_FROM_ONE_END: Phrase = ("Each mark is worked from the one end. Don't step them off: the rounding adds up",)


def parts(m: Measure, count: int) -> Result:
    """A length in ``count`` equal parts: the size of one, and every mark between them from one end.

    >>> from assistant.length import Length
    >>> [str(mark.amount) for mark in parts(Measure(Length("58 1/2")), 3).marks]
    ['19 1/2', '39']

    Raises:
        Slip: for a count that is not 1 or more, or a length that cannot be.
    """
    count = limits.count(count)
    limits.length(m.length, m.form)
    one = Value("part", m.length / count, lean=m.lean / count)
    return Result(
        values=(one,),
        say=(count, " equal parts of ", one) if count > 1 else ("one part of ", one),
        marks=tuple(Value("", m.length * k / count, lean=m.lean * k / count) for k in range(1, count)),
        closing=m.length,
        steps=(*steps.divide(m.length, count, m.form), *([_FROM_ONE_END] if count > 2 else [])),
        heard=(m, " in ", count, " parts" if count > 1 else " part"),
        form=m.form,
    )


def share(m: Measure, taken: int, count: int) -> Result:
    """So many of the equal parts: two fifths of a length.

    >>> from assistant.length import Length
    >>> share(Measure(Length(60)), 2, 5).values[0].amount
    Length('24')

    Raises:
        Slip: for counts that are not 1 or more, more parts taken than there are, or a length that cannot be.
    """
    count, taken = limits.count(count), limits.count(taken)
    limits.length(m.length, m.form)
    if taken > count:
        raise Slip(f"There are only {count} parts, you can't take {taken}. Say it again.")
    some = Value("share", m.length * taken / count, lean=m.lean * Fraction(taken, count))
    one = m.length / count
    return Result(
        values=(some,),
        say=(some,),
        marks=(some,) if taken < count else (),
        closing=m.length,
        steps=(
            *steps.divide(m.length, count, m.form),
            *(steps.multiply(one, taken, m.form) if taken > 1 else ()),
        ),
        heard=(taken, " of ", count, " parts of ", m),
        form=m.form,
    )
