"""Stairs: risers, treads, marks up the rise and along the stringer. The cautions come first."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.angles import atan, tan
from assistant.enclosure import Size, hypotenuse
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form

__all__ = ["HOUSE", "INDUSTRIAL", "PUBLIC", "Rule", "stairs", "stringer_marks"]


@dataclass(frozen=True, slots=True)
class Rule:
    """What a rule book allows. For the caution and the first count only: local code and inspector decide."""

    stair: str
    """The stairs it is for, as they are said back."""
    name: str
    most_riser: Length
    least_riser: Length
    least_tread: Length
    steepest: Fraction | None = None
    """Degrees."""
    flattest: Fraction | None = None


INDUSTRIAL = Rule(
    "industrial stairs",
    "OSHA",
    Length("9 1/2"),
    Length(0),
    Length("9 1/2"),
    steepest=Fraction(50),
    flattest=Fraction(30),
)
"""29 CFR 1910.25(c): 30 to 50 degrees, riser 9 1/2 at most, tread 9 1/2 at least."""
PUBLIC = Rule("public stairs", "the IBC", Length(7), Length(4), Length(11))
"""International Building Code 1011.5.2 (2015 text): riser 4 to 7, tread 11 at least."""
HOUSE = Rule("house stairs", "the IBC for dwellings", Length("7 3/4"), Length(0), Length(10))
"""The same section's exception for dwellings: riser 7 3/4 at most, tread 10 at least."""


def stairs(
    rise: Measure,
    *,
    tread: Measure,
    risers: int | None = None,
    rule: Rule | None = None,
    thickness: Measure | None = None,
) -> Result:
    """Equal risers in a rise from finished floor to finished floor. All lengths in inches.

    ``tread`` is the level run of one step, nosing to nosing, the nosing's overhang not counted. ``risers`` is
    counted from the rule's greatest riser where it is not given; the rule is the one for public stairs, the
    strictest, where none is. ``thickness`` of a tread comes off the bottom
    riser. Every limit is tested on the exact riser, never on the spoken one. The marks are tread tops up from
    the finished floor; the last is the upper floor.

    Raises:
        Slip: where a size or count cannot be, or a tread is as thick as the riser.
    """
    asked, rule = rule, rule or PUBLIC
    high = limits.positive(rise.length, "rise", rise.form)
    run = limits.positive(tread.length, "tread", tread.form)
    number = limits.count(-(-high // rule.most_riser) if risers is None else risers, "risers")
    if number < 2:
        raise Slip("One riser is a step, not stairs. Check the rise.")
    riser = high / number
    treads = number - 1
    step = hypotenuse(riser, run)
    slope = riser / run
    tilt, angle = ("off level", slope) if slope <= 1 else ("off plumb", 1 / slope)
    each = Value("riser", riser)
    values = [
        each,
        Value("risers", number, "count"),
        Value("treads", treads, "count"),
        Value("total run", run * treads),
        Value("step", step),
        Value("along stringer", step * treads),
        Value(f"in twelve {tilt}", Length(INCHES_PER_FOOT) * angle),
        Value("degrees off level", atan(slope), "deg"),
    ]
    if thickness is not None:
        thick = limits.positive(thickness.length, "tread thickness", thickness.form)
        if thick >= riser:
            raise Slip(f"A tread {limits.said(thick)} thick takes up a riser of {limits.said(riser)}. Check it.")
        values.append(Value("bottom drop", riser - thick))
    return Result(
        values=tuple(values),
        say=(number, " risers, ", each, ", ", treads, _treads(treads), ", total run ", values[3]),
        marks=tuple(Value("", riser * k) for k in range(1, number + 1)),
        datum="the finished floor",
        closing=high,
        steps=_steps(rise, riser, run, number, step, rule if risers is None else None),
        cautions=(cautions.PEOPLE_WALK, *_broken(riser, run, rule), cautions.RISERS_SAME, cautions.FINISHED_FLOOR),
        heard=(f"{asked.stair.capitalize() if asked else 'Stairs'}, rise ", rise, ", tread ", tread),
        form=rise.form,
    )


def stringer_marks(rise: Measure, *, tread: Measure, risers: int) -> Result:
    """The nosings along a stringer, each from the first nosing. All lengths in inches.

    Raises:
        Slip: where a size or count cannot be.
    """
    high = limits.positive(rise.length, "rise", rise.form)
    run = limits.positive(tread.length, "tread", tread.form)
    if limits.count(risers, "risers") < 2:
        raise Slip("One riser is a step, not stairs. Check the rise.")
    step = hypotenuse(high / risers, run)
    each = Value("step", step)
    return Result(
        values=(each, Value("along stringer", step * (risers - 1))),
        say=(risers - 1, " steps of ", each, " along the stringer"),
        marks=tuple(Value("", step * k) for k in range(1, risers)),
        datum="the first nosing",
        closing=step * (risers - 1),
        steps=steps.root_of_squares([high / risers, run], step),
        cautions=(cautions.PEOPLE_WALK, cautions.RISERS_SAME, cautions.ONE_END),
        heard=("Stringer, rise ", rise, ", tread ", tread, ", ", risers, " risers"),
        form=rise.form,
    )


def _treads(count: int) -> str:
    return " tread" if count == 1 else " treads"


def _broken(riser: Length, run: Length, rule: Rule) -> tuple[str, ...]:
    """What the rule does not allow, each with the exact number."""
    found = []
    if riser > rule.most_riser:
        found.append(f"A riser of {limits.said(riser)} is over the {rule.most_riser} of {rule.name}.")
    if riser < rule.least_riser:
        found.append(f"A riser of {limits.said(riser)} is under the {rule.least_riser} of {rule.name}.")
    if run < rule.least_tread:
        found.append(f"A tread of {limits.said(run)} is under the {rule.least_tread} of {rule.name}.")
    slope = riser / run
    if rule.steepest is not None and tan(rule.steepest) < slope:
        found.append(f"That is steeper than the {rule.steepest} degrees of {rule.name}.")
    if rule.flattest is not None and tan(rule.flattest) > slope:
        found.append(f"That is flatter than the {rule.flattest} degrees of {rule.name}.")
    return tuple(found)


def _steps(rise: Measure, riser: Length, run: Length, number: int, step: Size, rule: Rule | None) -> tuple[Phrase, ...]:
    counted: tuple[Phrase, ...] = ()
    if rule is not None:
        counted = (
            (
                *(Exactly(rise.length), " by ", Exactly(rule.most_riser), " is "),
                *(steps.about(rise.length / rule.most_riser), ", up to ", number),
            ),
        )
    return (
        *counted,
        *steps.divide(rise.length, number, Form.INCHES),
        (number, " risers less one is ", number - 1, " treads"),
        *steps.multiply(run, number - 1, Form.INCHES),
        *steps.root_of_squares([riser, run], step),
    )
