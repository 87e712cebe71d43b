"""What the tags in the grammar mean: each makes one value out of the values of the words it stands after.

A tag is a number (``{16}``, the word's value), a front or tail to be joined later (``{+mixed}``), the name
of a function below, or, in names.jsgf, the name itself. A function may give several values: honest readings
of the same words, to be asked about.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import pairwise
from math import gcd
from typing import Any

from assistant.errors import Slip
from assistant.language import task_meaning
from assistant.language.requests import (
    PIECE,
    Add,
    AskEngineer,
    Attend,
    Attention,
    Center,
    Choose,
    Confirm,
    Convert,
    Correct,
    Degrees,
    Denominator,
    Done,
    Explain,
    GageNumber,
    Help,
    Hold,
    Items,
    Keep,
    ListBoard,
    Manner,
    Measure,
    Named,
    NeverMind,
    Operand,
    Parts,
    Pick,
    Print,
    Recall,
    Request,
    Scratch,
    SetFeet,
    SetPlus,
    SetTape,
    Share,
    Sheet,
    StartOver,
    StartString,
    Step,
    TakeOff,
    Task,
    Times,
    Total,
    Turn,
    Walk,
)
from assistant.language.speak import fraction_names
from assistant.layout.limits import LONGEST, LONGEST_STRING
from assistant.length import INCHES_PER_FOOT, Length
from assistant.tape import EIGHTHS, MILLIMETERS, SIXTEENTHS, THIRTY_SECONDS, Feet, Form

__all__ = ["TOO_LONG", "NoSense", "Refused", "Tail", "apply", "collapsed"]

TOO_LONG = "That is over a thousand foot. Check it and say it again."
TENTHS = "Tenths are off a surveyor's tape. Say it in inches, or in decimal feet."
FEET_AND_TOO_MANY_INCHES = "Twelve inches or more after the feet can't be. Say it again."
DIVIDE_BY_NOTHING = "I can't divide by nothing. How many parts?"
NONE_OF_THEM = "None of them is nothing. How many?"
TOO_MANY = f"More than {LONGEST_STRING} at once is too many. Take them off a few at a time."
ADD_THEN_TAKE_OFF = "One thing at a time. Add first, then take off."
LONGEST_IN_INCHES_TO_ASK = 480
"""A bare "six hundred" may be millimeters; below 40 ft, twice a 20 ft stick, it is taken as inches.
Common practice, no source."""


@dataclass(frozen=True, slots=True)
class NoSense:
    """A reading that nobody means."""


@dataclass(frozen=True, slots=True)
class Refused:
    """A reading that cannot be; the sentence says why and what to do."""

    sentence: str


@dataclass(frozen=True, slots=True)
class Tail:
    """A front or tail waiting for the length beside it."""

    name: str
    values: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A fraction as it was said: unreduced."""

    top: int
    bottom: int
    one: bool = False
    """Whether the bottom was said as of one part: "quarter", not "quarters"."""

    @property
    def value(self) -> Fraction:
        return Fraction(self.top, self.bottom)

    @property
    def improper(self) -> bool:
        return self.top >= self.bottom

    @property
    def odd(self) -> bool:
        """Hardly how one is said: "two quarter" for a half, "six half" for three. More likely two of a quarter, or six
        and a half with the "and a" lost."""
        return self.one and self.top > 1 and (self.improper or gcd(self.top, self.bottom) > 1)


NO_SENSE = NoSense()
_Out = Any
_FUNCTIONS: dict[str, Callable[..., _Out]] = {}
_MIXED_SIGNS = {"plus_sign", "and_sign", "minus_sign"}


def apply(tag: str, items: tuple[Any, ...]) -> list[tuple[Any, ...]]:
    """The values ``tag`` makes of ``items``: usually one, several where the words have several readings."""
    constant = _constant(tag)
    if constant is not None:
        return [(*items, constant)] if not items else [(constant,)]
    for item in items:
        if isinstance(item, (NoSense, Refused)):
            return [(item,)]
    if tag.startswith("+"):
        return [(Tail(tag[1:], items),)]
    made = _FUNCTIONS[tag](*items) if tag in _FUNCTIONS else tag
    readings = made if isinstance(made, list) else [made]
    return [(reading,) for reading in readings]


@cache
def _constant(tag: str) -> int | None:
    return int(tag) if tag.lstrip("-").isdigit() else None


def _means(function: Callable[..., _Out]) -> Callable[..., _Out]:
    _FUNCTIONS[function.__name__.strip("_")] = function
    return function


@_means
def _apply(*items: Any) -> _Out:
    """Join a length with the front or tail beside it."""
    tails = [i for i in items if isinstance(i, Tail)]
    rest = [i for i in items if not isinstance(i, Tail)]
    if not tails:
        return _FUNCTIONS["hold" if isinstance(rest[0], (Measure, Named)) else "inches"](*rest)
    tail = tails[0]
    before = isinstance(items[0], Tail)
    return _FUNCTIONS[tail.name](*((*tail.values, *rest) if before else (*rest, *tail.values)))


# ---------------------------------------------------------------- numbers


@_means
def _sum(*numbers: int) -> int:
    return sum(numbers)


@_means
def _product(*numbers: int) -> int:
    out = 1
    for number in numbers:
        out *= number
    return out


@_means
def _hundredfold(number: int) -> int:
    return number * 100


@_means
def _tenfold(number: int) -> int:
    return number * 10


@_means
def _thousandths_sum(*numbers: int) -> Fraction:
    return Fraction(sum(numbers), 1000)


class _OnlyOne(int):
    """A bottom number said as of one part: "quarter", not "quarters"."""


@_means
def _only_one(bottom: int) -> int:
    return _OnlyOne(bottom)


@_means
def _over(top: int, bottom: int) -> Part:
    return Part(top, int(bottom), one=isinstance(bottom, _OnlyOne))


@_means
def _one_over(bottom: int) -> Part:
    return Part(1, bottom)


@_means
def _point() -> str:
    return "point"


@_means
def _decimal(*items: Any) -> Fraction:
    at = items.index("point")
    digits = items[at + 1 :]
    whole = items[0] if at else 0
    return whole + Fraction(int("".join(map(str, digits))), 10 ** len(digits))


def _value(number: int | Fraction | Part) -> Fraction:
    return number.value if isinstance(number, Part) else Fraction(number)


# ---------------------------------------------------------------- sizes


def _measure(inches: Fraction | int, form: Form = Form.INCHES, *, sure: bool = True) -> Measure | Refused:
    if inches > LONGEST.inches:
        return Refused(TOO_LONG)
    return Measure(Length(Fraction(inches)), form=form, sure=sure)


@_means
def _inches(number: int | Fraction | Part) -> _Out:
    """A number on its own is inches, unless something speaks for another reading."""
    if isinstance(number, Part):
        plain = _measure(number.value, sure=not (number.improper or number.odd))
        # "Two thirty-seconds" clipped short sounds like "two thirds", which is not on a tape.
        if number.bottom == 3 and number.top > 1:
            return [plain, _measure(Fraction(number.top, 32))]
        if number.odd:
            return [_measure(number.top + Fraction(1, number.bottom), sure=False), plain]
        return plain
    if isinstance(number, int) and number % 100 == 0 and number > LONGEST_IN_INCHES_TO_ASK:
        return [_mm(number), _measure(number)]
    return _measure(number)


@_means
def _mixed(whole: int, *rest: Any) -> _Out:
    """A whole and a fraction of an inch; a zero in between ("eleven ought and a half") adds nothing."""
    if not rest:
        return _measure(whole)
    part = rest[-1]
    return NO_SENSE if part.improper else _measure(whole + part.value)


@_means
def _counted_on(*numbers: Any) -> _Out:
    """ "Five sixteenths and a thirty-second": the last counts on from a coarser mark."""
    *_, first, second = numbers
    if second.bottom % first.bottom or second.bottom == first.bottom or first.improper:
        return NO_SENSE
    return _measure(sum(map(_value, numbers), Fraction(0)))


@_means
def _unfinished(whole: int, top: int) -> _Out:
    made = _measure(whole)
    return replace(made, missing=top) if isinstance(made, Measure) else made


@_means
def _unfinished_feet(feet: int, inches: int, top: int) -> _Out:
    made = _feet(feet, inches)
    return replace(made, missing=top) if isinstance(made, Measure) else made


@_means
def _pair(first: int, inches: int, part: Part | None = None) -> _Out:
    """ "Six four": feet and inches. "One six" may also be a hundred and six, or sixteen."""
    if first >= 100 or (first % 10 == 0 and first >= 20 and inches < 10) or (part and part.improper):
        return NO_SENSE
    more = inches + (part.value if part else Fraction(0))
    readings = [_measure(first * INCHES_PER_FOOT + more, Form.FEET)]
    if first == 1 and inches < 10:
        readings += [_measure(100 + more), _measure(10 + more)]
    return readings


@_means
def _loose_pair(first: int, inches: int, part: Part | None = None) -> _Out:
    """ "Six and eight": six foot eight, if it is not to be added."""
    if first >= 100:
        return NO_SENSE
    if part:
        return (
            NO_SENSE
            if part.improper
            else _measure(first * INCHES_PER_FOOT + inches + part.value, Form.FEET, sure=False)
        )
    return _measure(first * INCHES_PER_FOOT + inches, Form.FEET, sure=False)


@_means
def _bare_over(top: int, bottom: int) -> _Out:
    """ "Five eight", "seven sixteen". An even top is not how a tape is read."""
    return _measure(Fraction(top, bottom)) if top < bottom and top % 2 else NO_SENSE


@_means
def _ticks_on(whole: int, lines: int) -> _Out:
    """Little lines past the inch are sixteenths unless he says otherwise: to be confirmed."""
    return _measure(whole + Fraction(lines, 16), sure=False)


@_means
def _ticks_past(lines: int, way: int, part: Part) -> _Out:
    return _measure(part.value + way * Fraction(lines, 16), sure=False)


@_means
def _feet(feet: int, inches: int = 0, part: Part | None = None) -> _Out:
    if part and part.improper:
        return NO_SENSE
    if inches >= INCHES_PER_FOOT:
        return Refused(FEET_AND_TOO_MANY_INCHES)
    return _measure(feet * INCHES_PER_FOOT + inches + (part.value if part else 0), Form.FEET)


@_means
def _feet_part(feet: int, part: Part) -> _Out:
    return _feet(feet, 0, part)


@_means
def _feet_and_part(feet: int, part: Part) -> _Out:
    """ "Two foot and a half": half an inch, or half a foot? A fraction finer than a third of a foot is inches."""
    if part.improper:
        return NO_SENSE
    inches = _measure(feet * INCHES_PER_FOOT + part.value, Form.FEET)
    if part.bottom > 4:
        return inches
    return [inches, _measure((feet + part.value) * INCHES_PER_FOOT, Form.FEET)]


@_means
def _all_feet(whole: int, part: Part) -> _Out:
    return NO_SENSE if part.improper else _feet_of(whole + part.value)


@_means
def _feet_of(number: Part | Fraction) -> _Out:
    return _measure(_value(number) * INCHES_PER_FOOT, Form.FEET)


@_means
def _eighteen() -> _Out:
    return _measure(18, Form.FEET)


@_means
def _survey(whole: int, part: Part) -> Refused:
    return Refused(TENTHS)


@_means
def _thou(whole: int, part: Part | None = None) -> _Out:
    return _measure(Fraction(whole + (part.value if part else 0), 1000))


def _mm(millimeters: Fraction | int) -> Measure | Refused:
    return _measure(Length.from_mm(millimeters).inches, Form.MILLIMETERS)


@_means
def _metric(number: int | Fraction, *rest: Any) -> _Out:
    part, scale = (rest[0], rest[1]) if len(rest) == 2 else (None, rest[0])
    return _mm((number + (part.value if part else 0)) * scale)


@_means
def _meter_and(meters: int, tenths: int) -> _Out:
    """ "Meter two": 1200 mm."""
    return _mm(1000 * meters + 100 * tenths)


@_means
def _inch_in_mm() -> _Out:
    return _mm(Fraction(254, 10))


@_means
def _bottom_first(bottom: int, top: int) -> _Out:
    return Measure(Length(Fraction(top, bottom)), bottom_first=True) if top < bottom else NO_SENSE


@_means
def _quarter_to(part: Part, inch: int) -> _Out:
    return _measure(inch - part.value, sure=False) if not part.improper else NO_SENSE


@_means
def _quarter_past(part: Part, inch: int) -> _Out:
    return _measure(inch + part.value, sure=False) if not part.improper else NO_SENSE


@_means
def _midway(first: Part, second: Part) -> _Out:
    return _measure((first.value + second.value) / 2)


@_means
def _lean(*items: Any) -> _Out:
    """A size with what was said before and after it."""
    size = next(i for i in items if isinstance(i, Measure))
    for tail in (i for i in items if isinstance(i, Tail)):
        changed = _LEANS[tail.name](size, *tail.values)
        if not isinstance(changed, Measure):
            return changed
        size = changed
    return size


def _nearer(size: Measure, by: Fraction) -> _Out:
    inches = size.length.inches + by
    return (
        replace(size, length=Length(inches)) if inches >= 0 else Refused("That comes out under nothing. Say it again.")
    )


_LEANS: dict[str, Callable[..., _Out]] = {
    "plus": lambda size: replace(size, lean=size.lean + 1),
    "minus": lambda size: replace(size, lean=size.lean - 1),
    "exactly": lambda size: size,
    "more": lambda size, part: _nearer(size, part.value),
    "less": lambda size, part: _nearer(size, -part.value),
    "band": lambda size, part: replace(size, band=Length(part.value)),
}

# ---------------------------------------------------------------- requests


@_means
def _name(*words: Any) -> str:
    return " ".join(words)


@_means
def _named(name: str) -> Named:
    return Named(name)


@_means
def _piece() -> Operand:
    return PIECE


@_means
def _hold(what: Measure | Named) -> _Out:
    # A kept name on its own is <board>'s business.
    return Hold(what) if isinstance(what, Measure) else Recall(what.name)


@_means
def _center(of: Operand) -> _Out:
    return Center(of)


def _one_unit(of: Operand) -> bool:
    """An inch or a foot: "three quarters of an inch" and "half a foot" are sizes, not shares of a piece."""
    return isinstance(of, Measure) and of.length in (Length(1), Length(INCHES_PER_FOOT))


@_means
def _half(of: Operand) -> _Out:
    """ "Half six and a half" is a center."""
    return NO_SENSE if not isinstance(of, Measure) or _one_unit(of) or of.length < Length(1) else Center(of)


@_means
def _center_piece() -> _Out:
    return Center(PIECE)


@_means
def _parts(of: Operand, count: int) -> _Out:
    return Parts(of, count) if count else Refused(DIVIDE_BY_NOTHING)


@_means
def _parts_of(count: int, of: Operand) -> _Out:
    return _parts(of, count)


@_means
def _parts_piece(count: int) -> _Out:
    return _parts(PIECE, count)


@_means
def _share(part: Part, of: Operand) -> _Out:
    if part.value == Fraction(1, 2) or part.improper or _one_unit(of):
        return NO_SENSE
    return Share(of, part.top, part.bottom)


@_means
def _times(count: int, of: Operand) -> _Out:
    if not count:
        return Refused(NONE_OF_THEM)
    # "Forty-eight times three": of two bare wholes, the bigger is the size and the smaller the count.
    if isinstance(of, Measure) and _plain_whole(of) and of.length < Length(count):
        return NO_SENSE
    return Times(of, count)


@_means
def _times_after(of: Operand, count: int) -> _Out:
    if not count:
        return Refused(NONE_OF_THEM)
    if isinstance(of, Measure) and _plain_whole(of) and of.length <= Length(count):
        return NO_SENSE
    return Times(of, count)


@_means
def _in_twelve(rise: Operand) -> _Out:
    """ "Three and a half on twelve": a bevel. It is under twelve; more is more likely parts with a word lost."""
    if not isinstance(rise, Measure) or rise.length >= Length(INCHES_PER_FOOT):
        return NO_SENSE
    return Task("bevel", (("rise", rise), ("run", Measure(Length(INCHES_PER_FOOT)))))


@_means
def _times_piece(count: int) -> _Out:
    return Times(PIECE, count) if count else Refused(NONE_OF_THEM)


def _plain_whole(size: Measure) -> bool:
    """A bare whole number: inches, no fraction, no lean."""
    return size.form is Form.INCHES and size.length.inches.denominator == 1 and not size.lean and size.missing is None


@_means
def _fronted(request: Request, mark: str = "") -> _Out:
    """ "Five at eighteen", with a kerf to each where he says so."""
    if not mark:
        return request
    if not isinstance(request, Times):
        return NO_SENSE
    return Task("with kerf", (("length", request.of), ("count", request.count)))


@_means
def _both_ends() -> str:
    return "both_ends"


@dataclass(frozen=True, slots=True)
class _SoMany:
    """How many of the size after it."""

    count: int


@_means
def _so_many(count: int) -> _Out:
    return _SoMany(count) if count else Refused(NONE_OF_THEM)


def _one_by_one(items: Sequence[Any]) -> list[Any] | None:
    """ "Less two at three eighths" as "less three eighths and three eighths"; none where that is too many."""
    out: list[Any] = []
    for item in items:
        if out and isinstance(out[-1], _SoMany):
            count = out.pop().count
            if count > LONGEST_STRING:
                return None
            out += [item, *["and_sign", item] * (count - 1)]
        else:
            out.append(item)
    return out


@_means
def _joined(first: Operand, *rest: Any) -> _Out:
    """A length with others added to it or taken off it."""
    counted = any(isinstance(item, _SoMany) for item in rest)
    each = _one_by_one(rest)
    if each is None:
        return Refused(TOO_MANY)
    rest = tuple(each)
    ends = 2 if rest[-1] == "both_ends" else 1
    signs = set(rest) & _MIXED_SIGNS if all(isinstance(r, (str, Measure, Named)) for r in rest) else set()
    terms = [first, *(r for r in rest if not isinstance(r, str))]
    if "minus_sign" in signs and (rest[0] != "minus_sign" or "plus_sign" in signs):
        return Refused(ADD_THEN_TAKE_OFF)
    for before, sign, after in zip(terms, [r for r in rest if isinstance(r, str)], terms[1:], strict=False):
        if sign == "and_sign" and not counted and _one_size(before, after):
            return NO_SENSE
    if "minus_sign" in signs:  # "less A and B" takes off both
        return TakeOff(first, tuple(terms[1:]), ends)
    return NO_SENSE if ends == 2 else Add(tuple(terms))


def _tens_and_a_fine_fraction(inches: Fraction) -> bool:
    """Whether it may be one fraction taken apart: "twenty-one thirty-seconds" as twenty and one thirty-second."""
    tens, part = divmod(inches, 1)
    if tens % 10 or not 20 <= tens <= 90:
        return False
    tops = ((part * bottom, bottom) for bottom in fraction_names())
    return any(top.denominator == 1 and 1 <= top <= 9 and tens + top < bottom for top, bottom in tops)


def _one_size(before: Operand, after: Operand) -> bool:
    """Whether "and" between two sizes only joins the halves of one: "a hundred and six", "six and a half"."""
    if not isinstance(before, Measure):
        return False
    if before.missing is not None or not before.sure:
        return True
    if not isinstance(after, Measure):
        return False
    number = before.length.mm if before.form is Form.MILLIMETERS else before.length.inches
    if number.denominator == 1 and _tens_and_a_fine_fraction(after.length.inches):
        return True
    if after.form is Form.FEET:  # "two and a half foot"
        return number.denominator == 1 and after.length < Length(INCHES_PER_FOOT)
    if after.length < Length(1):
        last = after.length.inches
        counts_on = last.numerator == 1 and last.denominator % number.denominator == 0
        return number.denominator == 1 or (counts_on and last.denominator > number.denominator)
    if before.form is Form.FEET:
        return number % INCHES_PER_FOOT == 0 and after.length < Length(INCHES_PER_FOOT)
    return bool(number) and number % 100 == 0 and after.length < Length(100)


@_means
def _onto(sign: str, *rest: Any) -> _Out:
    """ "Add M", "take off M each end": to the piece in hand. "Add M and M" and "take M off M" stand alone."""
    counted = any(isinstance(item, _SoMany) for item in rest)
    sizes = sum(isinstance(item, (Measure, Named)) for item in rest)
    each = _one_by_one(rest)
    if each is None:
        return Refused(TOO_MANY)
    whole: Operand = PIECE
    if "from_sign" in each:
        at = each.index("from_sign")
        whole, *others = each[at + 1 :]
        if sign != "minus_sign" or others not in ([], ["both_ends"]):
            return NO_SENSE
        each[at:] = others
    rest = tuple(each)
    terms = tuple(r for r in rest if isinstance(r, (Measure, Named)))
    to_piece = PIECE in rest
    ends = 2 if "both_ends" in rest else 1
    if sign == "minus_sign":
        apart = not counted and any(_one_size(a, b) for a, b in pairwise(terms))
        return NO_SENSE if to_piece or apart else TakeOff(whole, terms, ends)
    if ends == 2:
        return Add((PIECE, *terms, *terms)) if len(terms) == 1 else NO_SENSE
    if not counted and any(_one_size(a, b) for a, b in pairwise(terms)):
        return NO_SENSE
    return Add((PIECE, *terms)) if to_piece or sizes == 1 else Add(terms)


@_means
def _difference(first: Measure, second: Measure) -> _Out:
    """How far two sizes are apart, whichever is said first."""
    if _one_size(first, second):
        return NO_SENSE
    bigger, smaller = (second, first) if first.length < second.length else (first, second)
    return TakeOff(bigger, (smaller,), 1)


@_means
def _correct(to: Operand) -> _Out:
    return Correct(to) if isinstance(to, Measure) else NO_SENSE


@_means
def _convert(of: Operand, form: Form) -> _Out:
    return Convert(of, form)


@_means
def _convert_from(form: Form, of: Operand) -> _Out:
    return Convert(of, form)


@_means
def _convert_piece(form: Form) -> _Out:
    return Convert(PIECE, form)


@_means
def _denominator(*numbers: Any) -> _Out:
    return Denominator(numbers[-1])


@_means
def _degrees(number: int, part: Part | None = None) -> _Out:
    return Degrees(number + (part.value if part else Fraction(0)))


@_means
def _pick(number: int) -> _Out:
    return Pick(number)


@_means
def _choose(word: str) -> _Out:
    return Choose(word)


@_means
def _twice(first: Measure, second: Measure) -> _Out:
    return Items((first, second))


@_means
def _plus_worth(bottom: int) -> _Out:
    return SetPlus(Length(Fraction(1, bottom) if bottom else 0))


@_means
def _set_tape(parts: int) -> _Out:
    return SetTape({8: EIGHTHS, 16: SIXTEENTHS, 32: THIRTY_SECONDS, 0: MILLIMETERS}[parts])


@_means
def _keep(*items: Any) -> _Out:
    (name,) = (item for item in items if isinstance(item, str))
    return Keep(name, *(item for item in items if isinstance(item, Measure)))


@_means
def _to_mark(number: int) -> _Out:
    return Walk(number)


@_means
def _recall(name: str) -> _Out:
    return Recall(name)


@_means
def _done(name: str) -> _Out:
    return Done(name)


def collapsed(items: tuple[Any, ...]) -> tuple[Any, ...]:
    """Items so far, or no sense where the last of them take one size apart: else its parts go on in every way."""
    match items:
        case (*_, NoSense()) | (NoSense(), *_):
            return (NO_SENSE,)
        case (*_, Measure() as first, Measure() as second):
            apart = first.missing is not None or not first.sure or _one_number(first, second)
        case (*_, Measure() as first, ".and" | "and_sign", Measure() as second):
            apart = _one_size(first, second)
        case _:
            apart = False
    return (NO_SENSE,) if apart else items


def _one_number(first: Measure, second: Measure) -> bool:
    """Whether two sizes with nothing between them are one taken apart: "one" and "seventy-one", "twenty" and "foot"."""
    if not _plain_whole(first):
        return False
    before, after = first.length.inches, second.length.inches
    if second == Measure(Length(INCHES_PER_FOOT), form=Form.FEET):
        return True
    return (before < 10 and after >= 10) or (before % 100 == 0 and 1 <= after < 100)


@_means
def _gage_number(number: int) -> _Out:
    return GageNumber(number)


@_means
def _task(*items: Any) -> _Out:
    try:
        return task_meaning.readings(items) or NO_SENSE
    except Slip as slip:
        return Refused(str(slip))


_PLAIN: dict[str, Request | Form | Named] = {
    "his_kerf": Named("kerf"),  # kept on the board like any other size
    "start_string": StartString(),
    "total": Total(),
    "turn": Turn(),
    "unburn": Task("burn", (("inch", Measure(Length(0))),)),
    "list_board": ListBoard(),
    **{f"print_{sheet.name.lower()}": Print(sheet) for sheet in Sheet},
    "explain": Explain(),
    "scratch": Scratch(),
    "never_mind": NeverMind(),
    "start_over": StartOver(),
    "help": Help(),
    "yes": Confirm(True),
    "no": Confirm(False),
    "engineer": AskEngineer(),
    "millimeters": Form.MILLIMETERS,
    "inches_form": Form.INCHES,
    "feet_form": Form.FEET,
    "decimal_form": Form.DECIMAL,
    **{step.value: Walk(step) for step in Step},
    **{manner.value: manner for manner in Manner},
    **{f"feet_{feet.value}": SetFeet(feet) for feet in Feet},
    **{f"attend_{by.value}": Attend(by) for by in Attention},
}
"""Tags that mean one thing whatever the words."""
_FUNCTIONS.update({tag: (lambda *_items, _value=value: _value) for tag, value in _PLAIN.items()})
