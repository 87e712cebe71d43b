"""Weight for handling: plate, bar, pipe, tube and the rolled shapes, each and together, rounded up. Steel, unless
another metal is named: what is bought by these names in a steel shop is steel, and the answer says so."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import PI
from assistant.enclosure import Enclosure, Number, sqrt
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, shapes, steps
from assistant.layout.result import Phrase, Result, Value
from assistant.length import INCHES_PER_FOOT, Length

__all__ = ["METALS", "flat", "hex_bar", "pipe_weight", "plate", "round_bar", "shape", "tube"]

POUNDS_PER_CUBIC_INCH = Fraction(17, 60)
"""Steel: 489.6 lb a cubic foot, so 3.4 lb a foot for a square inch and 40.8 lb a square foot for an inch of
plate. Craftsman Cribsheet 106 (productionmachining.com)."""
METALS = {
    "steel": Fraction(1),
    "stainless": Fraction("0.29") / POUNDS_PER_CUBIC_INCH,
    "aluminum": Fraction("0.346"),
    "brass": Fraction("1.08"),
}
"""What each weighs, as a part of the same size of steel. Aluminum and brass: Craftsman Cribsheet 106. Stainless of
the 300 series: 0.29 lb a cubic inch (from memory, as mills print it)."""
PIPE = Fraction("10.69")
"""Pounds a foot for each square inch of (outside - wall) x wall. ASME B36.10M (from memory)."""
HEAVY = 50
"""Pounds from which to send for a hoist: the NIOSH figure of 51 is for a perfect lift."""


def plate(length: Measure, width: Measure, thickness: Measure, *, count: int = 1, metal: str = "steel") -> Result:
    """The weight of plate, its sizes in inches.

    Raises:
        Slip: where a size or count cannot be.
    """
    sides = _sizes(("length", length), ("width", width), ("thickness", thickness))
    return _weigh(_volume(*sides), count, (length, " by ", width, " by ", thickness, f" {metal} plate"), metal)


def flat(width: Measure, thickness: Measure, length: Measure, *, count: int = 1, metal: str = "steel") -> Result:
    """The weight of flat or square bar, its sizes in inches.

    Raises:
        Slip: where a size or count cannot be.
    """
    sides = _sizes(("width", width), ("thickness", thickness), ("length", length))
    return _weigh(_volume(*sides), count, (width, " by ", thickness, f" {metal} bar, ", length, " long"), metal)


def round_bar(diameter: Measure, length: Measure, *, count: int = 1, metal: str = "steel") -> Result:
    """The weight of round bar, its sizes in inches.

    Raises:
        Slip: where a size or count cannot be.
    """
    across, long = _sizes(("diameter", diameter), ("length", length))
    heard: Phrase = (diameter, f" {metal} round, ", length, " long")
    return _weigh(_volume(across, across, long) * PI / 4, count, heard, metal)


def hex_bar(flats: Measure, length: Measure, *, count: int = 1, metal: str = "steel") -> Result:
    """The weight of hexagon bar by its size across the flats, in inches.

    Raises:
        Slip: where a size or count cannot be.
    """
    across, long = _sizes(("size", flats), ("length", length))
    heard: Phrase = (flats, f" {metal} hex, ", length, " long")
    return _weigh(_volume(across, across, long) * sqrt(3) / 2, count, heard, metal)


def tube(
    side: Measure, other: Measure, wall: Measure, length: Measure, *, count: int = 1, metal: str = "steel"
) -> Result:
    """The weight of square or rectangular tube by its outside sizes and wall in inches, corners taken square.

    Raises:
        Slip: where the wall fills the tube, or a size or count cannot be.
    """
    a, b, thick, long = _sizes(("side", side), ("side", other), ("wall", wall), ("length", length))
    _hollow(thick, min(a, b), wall, "tube")
    around = (a + b) * 2 - thick * 4
    heard: Phrase = (side, " by ", other, " by ", wall, f" {metal} tube, ", length, " long")
    return _weigh(_volume(around, thick, long), count, heard, metal)


def pipe_weight(
    outside: Measure,
    wall: Measure,
    length: Measure,
    *,
    count: int = 1,
    metal: str = "steel",
    called: str = "pipe",
) -> Result:
    """The weight of pipe, or of what else is ``called`` so and is round, by its outside diameter and wall in inches.

    Raises:
        Slip: where the wall fills the pipe, or a size or count cannot be.
    """
    across, thick, long = _sizes(("diameter", outside), ("wall", wall), ("length", length))
    _hollow(thick, across, wall, called)
    pounds = PIPE * (across - thick).inches * thick.inches * _feet(long)
    return _weigh(pounds, count, (outside, f" {metal} {called}, wall ", wall, ", ", length, " long"), metal)


def shape(name: str, length: Measure, *, count: int = 1, metal: str = "steel") -> Result:
    """The weight of a rolled shape by its designation ("W8x31", "C4x5.4", "L2x2x1/4", "HSS4x4x1/4"). Of another
    metal it weighs its part of the steel one.

    Raises:
        Slip: where the table has no such shape, or the length or count cannot be.
    """
    line = shapes.find(name)
    (long,) = _sizes(("length", length))
    heard: Phrase = (*shapes.called(line), ", " if metal == "steel" else f" of {metal}, ", length, " long")
    return _weigh(Fraction(line["weight"]) * _feet(long), count, heard, metal)


def _sizes(*named: tuple[str, Measure]) -> tuple[Length, ...]:
    return tuple(limits.positive(m.length, name, m.form) for name, m in named)


def _volume(*sides: Length) -> Fraction:
    """Pounds of a block."""
    cubic = Fraction(1)
    for side in sides:
        cubic *= side.inches
    return cubic * POUNDS_PER_CUBIC_INCH


def _feet(long: Length) -> Fraction:
    return long.inches / INCHES_PER_FOOT


def _hollow(wall: Length, across: Length, said: Measure, what: str) -> None:
    if wall * 2 >= across:
        raise Slip(f"A wall of {limits.said(wall, said.form)} fills the {what}. Check the sizes.")


def _weigh(steel: Number, count: int, heard: Phrase, metal: str) -> Result:
    """Every weight is said rounded up to the pound, and decided on the exact one. ``steel``: what it would weigh
    of steel, in pounds."""
    count = limits.count(count, "pieces")
    pounds = steel * METALS[metal]
    total = pounds * count
    up = _up(pounds)
    each = Value("each", pounds, "lb")
    whole = Value("total", total, "lb")
    said: Phrase = ("about ", up, " pound" if up == 1 else " pounds")
    if count > 1:
        said += (" each, ", _up(total), " pounds for ", count)
    heavy = (cautions.HEAVY, cautions.LIFTING) if total >= HEAVY else ()
    return Result(
        values=(each, whole) if count > 1 else (each,),
        say=said,
        steps=(
            *_of_metal(steel, metal),
            ("Worked out at ", steps.about(pounds), " pounds, rounded up to ", up),
        ),
        cautions=(*heavy, cautions.WEIGHT_IS_A_GUIDE),
        heard=heard if count == 1 else (count, " of ", *heard),
    )


def _of_metal(steel: Number, metal: str) -> tuple[Phrase, ...]:
    if metal == "steel":
        return ()
    return (
        ("Of steel it is ", steps.about(steel), " pounds; ", metal, " is ", steps.about(METALS[metal], 3), " of that"),
    )


def _up(pounds: Number) -> int:
    if isinstance(pounds, Enclosure):
        return -(-pounds // 1)
    return -(-pounds.numerator // pounds.denominator)
