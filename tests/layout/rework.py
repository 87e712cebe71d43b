"""Works every step of a "how come" again, from its words alone, and says whether its numbers are true."""

from __future__ import annotations

import re
from fractions import Fraction

import mpmath

from assistant.language.requests import Measure
from assistant.layout.result import Exactly, Phrase, Rounded, Value
from assistant.length import Length
from assistant.tape import Form


def number(quantity) -> Fraction:
    if isinstance(quantity, Exactly):
        assert quantity.form is not Form.DECIMAL
        if quantity.bottom:
            assert (quantity.length.inches * quantity.bottom).denominator == 1, "not a whole number of parts"
        return quantity.length.mm if quantity.form is Form.MILLIMETERS else quantity.length.inches
    if isinstance(quantity, Rounded):
        assert (quantity.amount * 10**quantity.places).denominator == 1
        return quantity.amount
    if isinstance(quantity, Value):
        quantity = quantity.amount
    if isinstance(quantity, Measure):
        quantity = quantity.length
    return quantity.inches if isinstance(quantity, Length) else Fraction(quantity)


def skeleton(step: Phrase) -> tuple[str, list[Fraction]]:
    """The words with # for a number and ~ for a rounded one, and the numbers."""
    words = "".join(part if isinstance(part, str) else "~" if isinstance(part, Rounded) else "#" for part in step)
    return words, [number(part) for part in step if not isinstance(part, str)]


def _sum(n):
    return sum(n[:-1]) == n[-1]


def _near(got, shown: Fraction) -> bool:
    """To the ten-thousandth that a step shows."""
    return abs(got - shown) <= Fraction(1, 20000)


def _about(got, shown: Fraction) -> bool:
    """As near as numbers put together from rounded ones can be."""
    return abs(got - shown) <= max(1, abs(shown)) * Fraction(1, 50)


def _degrees(function, degrees: Fraction) -> Fraction:
    return Fraction(str(function(mpmath.radians(mpmath.mpf(degrees.numerator) / degrees.denominator))))


TRUE = [
    (r"Half of # is #", lambda n: n[0] == 2 * n[1]),
    (r"(Feet|Inches): half of # is #", lambda n: n[0] == 2 * n[1]),
    (r"The odd foot is # inches: half of it is #", lambda n: n[0] == 12 and n[1] == 6),
    (r"The odd inch leaves #", lambda n: 2 * n[0] == 1),
    (r"Half of #, double the bottom number: #", lambda n: n[0] == 2 * n[1]),
    (r"(Count on past the half: |Fractions: |Inches: |Feet: |)#( plus #)+ is #", _sum),
    (r"# is #", lambda n: n[0] == n[1]),
    (r"Together: #", lambda n: True),  # checked against the answer by the test itself
    (r"# in # is #", lambda n: n[0] == n[1] * n[2]),
    (r"(Feet|Inches): # in # is #, and # left over", lambda n: n[0] == n[1] * n[2] + n[3] and n[3] < n[1]),
    (r"# feet left over and # inches is # inches", lambda n: 12 * n[0] + n[1] == n[2]),
    (r"What is left, # in #, multiply the bottom number: #", lambda n: n[0] == n[1] * n[2]),
    (r"# times #, multiply the top number: #", lambda n: n[0] * n[1] == n[2]),
    (r"(Feet: |Inches: |)# times # is #", lambda n: n[0] * n[1] == n[2]),
    (r"# inches is #", lambda n: n[0] == n[1]),
    (r"(Fractions: |Inches: |Feet: |)# less # is #", lambda n: n[0] - n[1] == n[2] >= 0),
    (r"Borrow an inch: # becomes #", lambda n: n[0] + 1 == n[1]),
    (r"Borrow a foot: # inches becomes #", lambda n: n[0] + 12 == n[1]),
    (r"# times ~ is ~ millimeters", lambda n: _near(n[0] * n[1], n[2])),
    (r"# by [#~] is ~", lambda n: _near(n[0] / n[1], n[2])),
    (r"# goes into # # times, # left", lambda n: n[1] == n[0] * n[2] + n[3] and n[3] < n[0]),
    (r"# times # plus # is #", lambda n: n[0] * n[1] + n[2] == n[3]),
    (r"Each mark is worked from the one end\. .*", lambda n: not n),
    # Roots and squares: the last numbers are those the step before it ended in.
    (r"# times itself is ~", lambda n: abs(n[0] ** 2 - n[1]) <= Fraction(1, 200)),
    (r"Added: ~", lambda n, last: _about(last[-2] + last[-1], n[0])),
    (r"The difference is ~", lambda n, last: _about(last[-2] - last[-1], n[0])),
    (r"The root of that is ~", lambda n, last: abs(n[0] ** 2 - last[-1]) <= Fraction(1, 50) + n[0] / 500),
    (r"The difference, by four times #, is ~", lambda n, last: _about((last[-2] - last[-1]) / 4 / n[0], n[1])),
    # Spaces and pickets.
    (
        r"# by # is ~, up to #",
        lambda n: abs(n[0] / n[1] - n[2]) <= Fraction(1, 200) and 0 <= n[3] - n[0] / n[1] < 1,
    ),
    (r"One gap and one picket: # plus # is #", _sum),
    (r"The opening less one gap, by that: ~, so # pickets", lambda n: n[0] - Fraction(1, 99) <= n[1] <= n[0] + 1),
    (r"Level across the opening is ~", lambda n: n[0] > 0),
    (r"Left for the gaps: ~", lambda n: n[0] > 0),
    (r"# gaps of ~", lambda n, last: _about(last[-1], n[0] * n[1])),
    # Bevels, circles and miters.
    (r"The (rise by run|run by rise) is ~", lambda n: 0 < n[0] <= 1),
    (r"~ times # is ~", lambda n: _about(n[0] * n[1], n[2])),
    (r"180 degrees by # is ~", lambda n: _about(180 / n[0], n[1])),
    (r"The sine of that is ~", lambda n, last: _near(_degrees(mpmath.sin, last[-1]), n[0])),
    (r"# times that is the (chord|cut-back|take-off), about ~", lambda n, last: _about(n[0] * last[-1], n[1])),
    (r"180 less ~, halved, is ~", lambda n: _about((180 - n[0]) / 2, n[1])),
    (r"The tangent of that is ~", lambda n, last: _about(_degrees(mpmath.tan, last[-1]), n[0])),
    (r"The tangent of half the turn is ~", lambda n: 0 < n[0] < 1),
    (r"# times # by # is #", lambda n: n[0] * n[1] / n[2] == n[3]),
    (r"# less ~ for # cuts? is ~", lambda n: _about(n[0] - n[1], n[3])),
    (r"# plus ~ for # cuts? is ~", lambda n: _about(n[0] + n[1], n[3])),
    # Round things.
    (r"# times ~ is ~", lambda n: _about(n[0] * n[1], n[2])),
    (r"~ in # is ~", lambda n: _about(n[0] / n[1], n[2])),
    (r"~ degrees over # is ~", lambda n: _about(n[0] / n[1], n[2])),
    (r"Half the (header|branch), ~, squared, is ~", lambda n: _about(n[0] ** 2, n[1])),
    (r"The root of the difference is ~", lambda n, last: _about(n[0] ** 2, last[-2] - last[-1])),
    (r"The diameter at the (middle of the bar|center of gravity) is #", lambda n: n[0] > 0),
    (r"~ of 360 degrees is ~", lambda n, last: _about(last[-1] * n[0] / 360, n[1])),
    (r"(Half the chord|The rise|The radius), #, times itself is ~", lambda n: _about(n[0] ** 2, n[1])),
    (r"The two together, by twice the rise, #, is ~", lambda n, last: _about((last[-2] + last[-1]) / n[0], n[1])),
    (r"The radius less that is ~", lambda n: n[0] > 0),
    (r"Twice the radius less the rise, times the rise, is ~", lambda n: n[0] > 0),
    (r"Twice the root of that is ~", lambda n, last: _about(n[0] ** 2 / 4, last[-1])),
    (r"# is # times # over #", lambda n: n[0] == n[1] * n[2] / n[3]),
    # Bends.
    (r"K times the thickness is ~", lambda n: n[0] > 0),
    (r"Radius and (that|thickness) is ~", lambda n: n[0] > 0),
    (r"~ times the (radius|thickness) is ~", lambda n: n[0] > 0),
    (r"The two times ~ degrees is ~", lambda n, last: _about((last[-2] + last[-1]) * n[0], n[1])),
    (r"Around ~ degrees of that is ~", lambda n, last: _about(last[-1] * n[0] / 180 * Fraction("3.14159"), n[1])),
    (r"That times the tangent of half the bend is ~", lambda n: n[0] > 0),
    (r"Twice that less the allowance is ~", lambda n, last: _about(2 * last[-1] - last[-3], n[0])),
    (r"# less # times that is ~", lambda n, last: _about(n[0] - n[1] * last[-1], n[2])),
    # Heat.
    (r"The opening and half the groove come to ~", lambda n: n[0] >= 0),
    (r"Times the thickness is the weld's area, about ~", lambda n: n[0] >= 0),
    (r"A tenth of the area, by the thickness, is ~", lambda n, last: _about(last[-2] / 10, n[0])),
    (r"~ millionths times ~ degrees is ~", lambda n: _about(n[0] * n[1], n[2] * 10**6)),
    (r"# times that is ~", lambda n, last: _about(n[0] * last[-1], n[1])),
    # Offsets.
    (r"The sine of the fitting is ~", lambda n: 0 < n[0] < 1),
    (r"The offset, ~, by that is the travel, ~", lambda n, last: _about(n[0] / last[-1], n[1])),
    (r"Travel ~ less ~ is ~", lambda n: _about(n[0] - n[1], n[2])),
    # Stairs and weight.
    (r"# risers less one is # treads", lambda n: n[0] - 1 == n[1]),
    (r"Worked out at ~ pounds, rounded up to #", lambda n: n[0] - Fraction(1, 99) <= n[1] <= n[0] + 1),
    (
        r"Of steel it is ~ pounds; (stainless|aluminum|brass) is ~ of that",
        lambda n: n[0] > 0 and Fraction(1, 3) < n[1] < Fraction(6, 5),
    ),
    # Sticks.
    (r"# pieces come to #", lambda n: n[0] >= 1 <= n[1]),
    (r"# kerfs of # add #", lambda n: n[0] * n[1] == n[2]),
    (r"With its last kerf a stick gives #", lambda n: n[0] > 0),
    (r"# by that is # or more sticks", lambda n, last: n[1] - 1 < n[0] / last[-1] <= n[1]),
    (r"Longest first it would take # sticks", lambda n: n[0] > 1),
    (r"The sticks come to #, and no cutting takes less than #", lambda n: n[0] >= n[1]),
    (r"~ against ~", lambda n: n[0] >= 0 and n[1] >= 0),
]


def check(steps: tuple[Phrase, ...]) -> list[Fraction]:
    """Every number that a step ends in. AssertionError where a step is false or its words are not known."""
    ends = []
    for step in steps:
        words, numbers = skeleton(step)
        rules = [true for pattern, true in TRUE if re.fullmatch(pattern, words)]
        assert len(rules) == 1, f"{len(rules)} rules for {words!r}"
        wants_last = rules[0].__code__.co_argcount == 2
        true = rules[0](numbers, ends) if wants_last else rules[0](numbers)
        assert true, f"not true: {words!r} with {numbers} after {ends[-2:]}"
        ends += numbers[-1:]
    return ends
