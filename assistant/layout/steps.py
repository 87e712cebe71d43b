"""How a person works it in the head: long arithmetic on feet, inches and the fraction, one step a phrase.

Every number in a step is exact. Words between the numbers say what is done with them, so that a test can
work each step again.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from assistant.enclosure import Enclosure, Number, Size
from assistant.layout.result import Exactly, Phrase, Quantity, Rounded
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import Form

__all__ = ["about", "divide", "halve", "multiply", "root_of_squares", "subtract", "sum_up"]

Steps = tuple[Phrase, ...]


def halve(size: Length, form: Form) -> Steps:
    """Whole feet and inches halved, an odd one leaving a half; the fraction's bottom doubled; counted on."""
    if form is Form.MILLIMETERS:
        return (("Half of ", Exactly(size, form), " is ", Exactly(size / 2, form)),)
    feet, inches, part = _columns(size, form)
    steps: list[Phrase] = []
    if feet > 1:
        steps.append(("Feet: half of ", feet - feet % 2, " is ", feet // 2))
    if feet % 2:
        steps.append(("The odd foot is ", INCHES_PER_FOOT, " inches: half of it is ", INCHES_PER_FOOT // 2))
    if inches > 1 or (inches and not inches % 2):
        steps.append(("Inches: half of ", inches - inches % 2, " is ", inches // 2))
    if feet % 2 and inches > 1:
        six = INCHES_PER_FOOT // 2
        steps.append(("Inches: ", six, " plus ", inches // 2, " is ", six + inches // 2))
    half = Fraction(inches % 2, 2)
    if half:
        steps.append(("The odd inch leaves ", _exactly(half)))
    if part:
        bottom = 2 * part.denominator
        steps.append(("Half of ", _exactly(part), ", double the bottom number: ", _exactly(part / 2, bottom)))
        if half:
            steps.append(
                _joined(
                    "Count on past the half: ",
                    [_exactly(half, bottom), _exactly(part / 2, bottom)],
                    _exactly(half + part / 2, bottom),
                )
            )
        steps += _brought_down(half + part / 2, bottom)
    return _together(steps, size / 2, form)


def divide(size: Length, count: int, form: Form) -> Steps:
    """Feet, then inches, then what is left over, each shared out; the left-over's bottom number multiplied."""
    if form is Form.MILLIMETERS:
        return ((Exactly(size, form), " in ", count, " is ", Exactly(size / count, form)),)
    feet, inches, part = _columns(size, form)
    steps: list[Phrase] = []
    if feet:
        steps.append(("Feet: ", *_shared(feet, count)))
    if feet % count:
        carried = feet % count
        steps.append(
            (carried, " feet left over and ", inches, " inches is ", INCHES_PER_FOOT * carried + inches, " inches")
        )
        inches += INCHES_PER_FOOT * carried
    if inches:
        steps.append(("Inches: ", *_shared(inches, count)))
    left = inches % count + part
    if left:
        bottom = left.denominator * count
        steps.append(
            (
                *("What is left, ", _exactly(left, left.denominator), " in ", count),
                *(", multiply the bottom number: ", _exactly(left / count, bottom)),
            )
        )
        steps += _brought_down(left / count, bottom)
    return _together(steps, size / count, form)


def sum_up(terms: Sequence[Length], form: Form) -> Steps:
    """The fractions over one bottom number, then the inches, then the feet, carrying as they fill up."""
    total = sum(terms, Length(0))
    if form is Form.MILLIMETERS:
        return (_joined("", [Exactly(t, form) for t in terms], Exactly(total, form)),)
    columns = [_columns(t, form) for t in terms]
    steps: list[Phrase] = []
    part = sum((c[2] for c in columns), Fraction(0))
    bottom = lcm(*(c[2].denominator for c in columns))
    _added(steps, "Fractions: ", [_exactly(c[2], bottom) for c in columns if c[2]], _exactly(part, bottom))
    steps += _brought_down(part, bottom)
    _added(steps, "Inches: ", [c[1] for c in columns if c[1]], sum(c[1] for c in columns))
    inches = sum(c[1] for c in columns) + part
    if form is Form.FEET and inches >= INCHES_PER_FOOT:
        steps.append((_exactly(inches), " inches is ", Exactly(Length(inches), Form.FEET)))
    _added(steps, "Feet: ", [c[0] for c in columns if c[0]], sum(c[0] for c in columns))
    return _together(steps, total, form)


def multiply(size: Length, count: int, form: Form) -> Steps:
    """Fraction, inches and feet each times the count, then carried."""
    if form is Form.MILLIMETERS:
        return ((count, " times ", Exactly(size, form), " is ", Exactly(size * count, form)),)
    feet, inches, part = _columns(size, form)
    steps: list[Phrase] = []
    if part:
        bottom = part.denominator
        steps.append((count, " times ", _exactly(part), ", multiply the top number: ", _exactly(part * count, bottom)))
        steps += _brought_down(part * count, bottom)
    if inches:
        steps.append(("Inches: ", count, " times ", inches, " is ", count * inches))
    whole = count * (inches + part)
    if form is Form.FEET and whole >= INCHES_PER_FOOT:
        steps.append((_exactly(whole), " inches is ", Exactly(Length(whole), Form.FEET)))
    if feet:
        steps.append(("Feet: ", count, " times ", feet, " is ", count * feet))
    return _together(steps, size * count, form)


def subtract(size: Length, off: Length, form: Form) -> Steps:
    """Fractions over one bottom number, an inch or a foot borrowed where the top is too small."""
    if form is Form.MILLIMETERS:
        return ((Exactly(size, form), " less ", Exactly(off, form), " is ", Exactly(size - off, form)),)
    feet, inches, part = _columns(size, form)
    less_feet, less_inches, less_part = _columns(off, form)
    steps: list[Phrase] = []
    bottom = lcm(part.denominator, less_part.denominator)
    if part < less_part:
        if not inches:
            feet, inches = feet - 1, INCHES_PER_FOOT
            steps.append(("Borrow a foot: ", 0, " inches becomes ", inches))
        inches, part = inches - 1, part + 1
        steps.append(("Borrow an inch: ", _exactly(part - 1, bottom), " becomes ", _exactly(part, bottom)))
    if less_part:
        steps.append(
            (
                *("Fractions: ", _exactly(part, bottom), " less ", _exactly(less_part, bottom)),
                *(" is ", _exactly(part - less_part, bottom)),
            )
        )
        steps += _brought_down(part - less_part, bottom)
    if inches < less_inches:
        feet, inches = feet - 1, inches + INCHES_PER_FOOT
        steps.append(("Borrow a foot: ", inches - INCHES_PER_FOOT, " inches becomes ", inches))
    if less_inches:
        steps.append(("Inches: ", inches, " less ", less_inches, " is ", inches - less_inches))
    if less_feet:
        steps.append(("Feet: ", feet, " less ", less_feet, " is ", feet - less_feet))
    return _together(steps, size - off, form)


def _shared(whole: int, count: int) -> Phrase:
    return (whole, " in ", count, " is ", whole // count, ", and ", whole % count, " left over")


def about(number: int | Number | Size, places: int = 2) -> Rounded:
    """A number in decimals, for what is not worked on a tape: squares, roots, degrees."""
    if isinstance(number, Length):
        number = number.inches
    if isinstance(number, Enclosure):
        return Rounded(number.rounded(places), places)
    return Rounded(Fraction((number * 10**places + Fraction(1, 2)).__floor__(), 10**places), places)


def root_of_squares(legs: Sequence[Length], root: Size) -> Steps:
    """Each leg times itself, added, and the root of that."""
    squares = [leg.inches**2 for leg in legs]
    return (
        *((Exactly(leg), " times itself is ", about(square)) for leg, square in zip(legs, squares, strict=True)),
        ("Added: ", about(sum(squares, Fraction(0)))),
        ("The root of that is ", about(root, 3)),
    )


def _columns(size: Length, form: Form) -> tuple[int, int, Fraction]:
    """Feet (none unless he speaks in feet), whole inches, and the part of an inch."""
    feet, inches = size.feet_and_inches() if form is Form.FEET else (0, size.inches)
    return feet, int(inches), inches % 1


def _exactly(inches: Fraction, bottom: int | None = None) -> Exactly:
    return Exactly(Length(inches), Form.INCHES, bottom)


def _brought_down(part: Fraction, bottom: int) -> list[Phrase]:
    """Where the fraction comes down, or holds whole inches: say what it comes to."""
    if part and (part.denominator != bottom or part > 1):
        return [(_exactly(part, bottom), " is ", _exactly(part))]
    return []


def _added(steps: list[Phrase], name: str, terms: Sequence[Quantity], total: Quantity) -> None:
    if len(terms) > 1:
        steps.append(_joined(name, terms, total))


def _joined(name: str, terms: Sequence[Quantity], total: Quantity) -> Phrase:
    said: list[str | Quantity] = [name] if name else []
    for term in terms:
        said += [term, " plus "]
    return (*said[:-1], " is ", total)


def _together(steps: list[Phrase], total: Length, form: Form) -> Steps:
    form = form if form is Form.FEET else Form.INCHES
    return (*steps, ("Together: ", Exactly(total, form)))
