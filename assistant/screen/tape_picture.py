"""The few inches of tape around a mark, as SVG text. Pure: the same mark always gives the same text.

True aspect: an inch is ``INCH`` units along the blade in every picture, and nothing is stretched. Every position
is worked out exactly and written in hundredths of a unit, a thousandth of a sixteenth at most.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from assistant.length import INCHES_PER_FOOT, Length
from assistant.screen.svg import BLADE, INK, LIT, PAPER, SLIVER, STEEL, decimal, element, text
from assistant.tape import MILLIMETERS, SIXTEENTHS, Form, Lean, Tape, read, written

__all__ = ["INCH", "tape_picture"]

INCH = 300
"""Units to the inch."""
_HEIGHT = 350
_BLADE_TOP = 140
_NUMBERS = 262
"""Below this the blade has its numbers; the mark is pointed out above them."""
_BEFORE_ZERO = Fraction(1)
"""Inches of nothing shown before the end of the tape, so that the name of a neighbor has room."""
_FEWEST_UNITS = 12
"""A sliver thinner than this is not seen from ten feet; it is drawn this thick, on its true side."""
_EDGE = 62
"""Units from the edge of the picture within which a number would be cut."""
_FOOT_EDGE = 210
"""The same for the box of a foot mark, which stands beside its number."""
_NEIGHBOR_REACH = 215
"""Units from the mark to the middle of a neighbor's name: clear of the mark's own."""

_INCH_MARKS = ((1, 118), (2, 92), (4, 72), (8, 54), (16, 36), (32, 22))
"""How many to the inch, and how far the graduation comes down: the coarser the longer, as on any tape."""
_STUDS = 16
"""Inches between wall studs, on center (common practice, no source)."""
_MM_MARKS = ((10, 100), (5, 70), (1, 42))
"""Every how many millimeters, and how far."""


def tape_picture(
    exact: Fraction,
    lean: Lean = Lean.ON,
    tape: Tape = SIXTEENTHS,
    form: Form = Form.INCHES,
    window: Fraction = Fraction(6),
    studs: bool = False,
) -> str:
    """The tape around a length of ``exact`` inches.

    Args:
        exact: not negative. The mark pointed out is the graduation it is read at.
        lean: as it is said; it may be carried from the measuring, with ``exact`` on the mark.
        tape: the graduations drawn are this tape's; sixteenths are drawn on a tape of eighths too coarse for it.
        form: feet and inches number the inches within the foot; millimeters number every ten.
        window: inches shown.
        studs: the number at every 16 inches stands in a box, as on tapes for wall studs.
    """
    if form is Form.MILLIMETERS:
        tape = MILLIMETERS
    mark = read(Length(exact), tape).mark.inches
    start = max(mark - window / 2, -_BEFORE_ZERO)
    across = window * INCH

    def x(inches: Fraction) -> Fraction:
        return (inches - start) * INCH

    blade = max(x(Fraction(0)), Fraction(0))
    high = _HEIGHT - _BLADE_TOP
    parts = [element("rect", x=blade, y=_BLADE_TOP, width=across - blade, height=high, fill=BLADE)]
    if start < 0:
        parts.append(element("rect", x=blade - 18, y=_BLADE_TOP, width=18, height=high, fill=STEEL))
    first, last = max(start, Fraction(0)), start + window
    graduations = _millimeters(first, last) if tape is MILLIMETERS else _sixteenths(first, last, tape, form)
    for at, length, number, foot in graduations:
        whole = _EDGE <= x(at) <= across - _EDGE
        foot = foot if _EDGE <= x(at) <= across - _FOOT_EDGE else ""
        boxed = studs and at % _STUDS == 0
        parts += _graduation(x(at), length, number if whole else "", foot, tape, boxed)
    parts += _sliver(x(mark), x(exact), lean)
    parts += _neighbors(mark, tape, form, x)
    parts += _pointed_out(x(mark), _name(mark, tape, form))
    spoken = f"{written(Length(mark), form)}{'' if lean is Lean.ON else ' ' + lean.value}"
    return element(
        "svg",
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {decimal(across)} {_HEIGHT}",
        role="img",
        aria_label=f"Tape at {spoken}",
    )


_Graduation = tuple[Fraction, int, str, str]
"""Where in inches, how long in units, the number beside it and the foot it is, where there is one."""


def _sixteenths(first: Fraction, last: Fraction, tape: Tape, form: Form) -> Iterator[_Graduation]:
    finest = int(1 / tape.step.inches)
    for n in range(-(-first * finest // 1), last * finest // 1 + 1):
        at = Fraction(n, finest)
        per = at.denominator
        length = next(length for bottom, length in _INCH_MARKS if per <= bottom)
        if per > 1:
            yield at, length, "", ""
            continue
        feet, inches = divmod(int(at), INCHES_PER_FOOT)
        foot = f"{feet} FT" if feet and not inches else ""
        number = int(at) if form is not Form.FEET else inches
        yield at, length, "" if not at or (foot and form is Form.FEET) else str(number), foot


def _millimeters(first: Fraction, last: Fraction) -> Iterator[_Graduation]:
    step = MILLIMETERS.step.inches
    for n in range(-(-first // step), last // step + 1):
        length = next(length for every, length in _MM_MARKS if n % every == 0)
        yield n * step, length, str(n) if n and n % 10 == 0 else "", ""


def _graduation(x: Fraction, length: int, number: str, foot: str, tape: Tape, boxed: bool) -> Iterator[str]:
    thick = 5 if length > 60 else 4
    if tape.step.inches < Fraction(1, 16):
        thick = 3
    yield element("line", x1=x, y1=_BLADE_TOP, x2=x, y2=_BLADE_TOP + length, stroke=INK, stroke_width=thick)
    small = tape is MILLIMETERS
    boxed = boxed and bool(number) and not small
    if boxed:
        wide = 60 * len(number) + 10
        yield element("rect", x=x - Fraction(wide, 2), y=_HEIGHT - 86, width=wide, height=82, rx=6, fill=LIT)
    if number:
        yield text(number, x, _HEIGHT - (40 if small else 18), 46 if small else 84, PAPER if boxed else INK)
    if foot:
        beside = x + (72 if number else -66)
        yield element("rect", x=beside, y=_HEIGHT - 74, width=132, height=58, rx=6, fill=INK)
        yield text(foot, beside + 66, _HEIGHT - 30, 42, BLADE)


def _sliver(mark: Fraction, exact: Fraction, lean: Lean) -> Iterator[str]:
    """From the mark to where the length truly is."""
    if lean is Lean.ON:
        return
    over = lean is Lean.PLUS
    thick = max(abs(exact - mark), Fraction(_FEWEST_UNITS))
    yield element(
        "rect",
        x=mark if over else mark - thick,
        y=_BLADE_TOP,
        width=thick,
        height=_NUMBERS - _BLADE_TOP,
        fill=SLIVER,
    )


def _neighbors(mark: Fraction, tape: Tape, form: Form, x: Callable[[Fraction], Fraction]) -> Iterator[str]:
    for side in (-1, 1):
        at = mark + side * tape.step.inches
        if at < 0:
            continue
        label = x(mark) + side * _NEIGHBOR_REACH
        away, bend = decimal(label - side * 84), decimal(x(at) + side * 22)
        points = f"{away},98 {bend},98 {decimal(x(at))},{_BLADE_TOP}"
        yield element("polyline", points=points, fill="none", stroke=PAPER, stroke_width=3)
        yield text(_name(at, tape, form), label, 114, 46, PAPER)


def _pointed_out(x: Fraction, name: str) -> Iterator[str]:
    yield element("line", x1=x, y1=_BLADE_TOP, x2=x, y2=_NUMBERS, stroke=LIT, stroke_width=6)
    tip = f"{decimal(x)},{_BLADE_TOP + 4} {decimal(x - 30)},{_BLADE_TOP - 52} {decimal(x + 30)},{_BLADE_TOP - 52}"
    yield element("polygon", points=tip, fill=LIT, stroke=PAPER, stroke_width=4)
    yield text(name, x, 76, 80, PAPER)


def _name(at: Fraction, tape: Tape, form: Form) -> str:
    """A graduation as it is called beside the next: the fraction alone, the whole inch, foot or millimeter.

    >>> _name(Fraction(429, 16), SIXTEENTHS, Form.INCHES), _name(Fraction(144), SIXTEENTHS, Form.INCHES)
    ('13/16', '144')
    >>> _name(Fraction(144), SIXTEENTHS, Form.FEET), _name(Fraction(56), SIXTEENTHS, Form.FEET)
    ("12'", '8')
    >>> _name(Fraction(3000, 127), MILLIMETERS, Form.MILLIMETERS)
    '600'
    """
    if tape is MILLIMETERS:
        return str(at / tape.step.inches)
    if form is Form.FEET and at and at.denominator == 1:
        feet, inches = divmod(int(at), INCHES_PER_FOOT)
        return str(inches) if inches else f"{feet}'"
    return str(at % 1 or at)
