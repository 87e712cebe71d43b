"""A cutting list from sticks: which pieces from which stick, in order, with every mark and drop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import lcm

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits
from assistant.layout.nesting.packing import longest_first
from assistant.layout.nesting.problem import Effort, Problem, Stick, Stock
from assistant.layout.nesting.search import Solution, solve
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import Length
from assistant.tape import Form

__all__ = ["MOST_STEPS", "CutStick", "Nest", "Pieces", "Rack", "cut_list", "nest"]

_NOTHING = Measure(Length(0))
MOST_STEPS = 100_000
"""Work spent before settling for what is found: under two seconds on one core of a bench computer, with the
hardest lists."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """So many pieces of one length, in inches."""

    length: Measure
    count: int = 1


@dataclass(frozen=True, slots=True)
class Rack:
    """Sticks of one length, in inches, on the rack: so many, or as many as it takes. An offcut is a stick."""

    length: Measure
    count: int | None = None


@dataclass(frozen=True, slots=True)
class CutStick:
    """One stick, cut in this order from its squared end. All in inches."""

    stock: Length
    """Its whole length."""
    pieces: tuple[Length, ...]
    """Longest first."""
    marks: tuple[Length, ...]
    """Where each piece ends, from the squared end, the kerfs before it counted in."""
    drop: Length
    """What is left, the last kerf off."""


@dataclass(frozen=True, slots=True)
class Nest:
    """The whole cutting."""

    sticks: tuple[CutStick, ...]
    steel: Length
    """The sticks' whole lengths together."""
    least: Length
    """No cutting of this list can use less."""
    kerf: Length
    trim: Length
    longest_first: int
    """How many sticks it would take longest first, as most cut."""
    useful: Length
    """The shortest drop worth keeping; nothing where none was said."""

    @property
    def proven(self) -> bool:
        """Whether it cannot be bettered."""
        return self.steel == self.least

    def left_of(self, stick: CutStick) -> str:
        """What the drop of a stick is: an "offcut" to keep, "scrap", or only a "drop" where none was said to be."""
        if not self.useful:
            return "drop"
        return "scrap" if stick.drop < self.useful else "offcut"


def nest(
    pieces: Sequence[Pieces],
    rack: Sequence[Rack],
    *,
    kerf: Measure = _NOTHING,
    trim: Measure = _NOTHING,
    useful: Measure = _NOTHING,
    enough: Callable[[], bool] = lambda: False,
    most_steps: int = MOST_STEPS,
) -> Nest:
    """Cut the pieces from the sticks with the least steel; all lengths in inches.

    ``kerf`` goes between two pieces and after the last; ``trim`` comes off each stick to square it. A drop shorter
    than ``useful`` is scrap; which cutting is best does not turn on it. The search ends when the cutting is proven
    the best, after so many steps, or as soon as ``enough()`` says so; what it has then stands, with the bound it
    has proven. It is never worse than cutting the longest piece first.

    Raises:
        Slip: where a piece is longer than every stick, there are too few sticks, or a size or count cannot be.
    """
    if not pieces:
        raise Slip("Nothing on the cutting list yet. Say a piece, as: four at so long.")
    if not rack:
        raise Slip("What length are the sticks?")
    limits.length(useful.length, useful.form)
    problem, unit = _whole_numbers(pieces, rack, kerf, trim)
    solution = solve(problem, Effort(most_steps, enough))
    if solution.cutting.left_over:
        missed = Length(max(solution.cutting.left_over)) / unit - kerf.length
        raise Slip(
            f"I can't get them all from those sticks: {len(solution.cutting.left_over)} left over, the longest "
            f"{limits.said(missed, pieces[0].length.form)}. Add stock."
        )
    simple = len(longest_first(problem).sticks)
    sticks = _measured(solution, unit, rack, kerf.length, trim.length)
    steel, least = Length(solution.cost) / unit, Length(solution.bound) / unit
    return Nest(sticks, steel, least, kerf.length, trim.length, simple, useful.length)


def _whole_numbers(pieces: Sequence[Pieces], rack: Sequence[Rack], kerf: Measure, trim: Measure) -> tuple[Problem, int]:
    """The list in whole numbers of the finest unit in it, and how many of that go in an inch."""
    form = pieces[0].length.form
    limits.length(kerf.length, kerf.form)
    limits.length(trim.length, trim.form)
    for line in pieces:
        limits.positive(line.length.length, "piece", line.length.form)
        limits.count(line.count, "pieces")
    limits.count(sum(line.count for line in pieces), "pieces")
    for kind in rack:
        limits.positive(kind.length.length, "stick", kind.length.form)
        if kind.count is not None:
            limits.count(kind.count, "sticks")
    longest = max(kind.length.length for kind in rack) - trim.length
    for line in pieces:
        if line.length.length > longest:
            raise Slip(
                f"A piece of {limits.said(line.length.length, form)} is longer than every stick: the longest gives "
                f"{limits.said(max(longest, Length(0)), form)}."
            )
    lengths = [kerf, trim, *(line.length for line in pieces), *(kind.length for kind in rack)]
    unit = lcm(*(m.length.inches.denominator for m in lengths))
    sizes = [int((line.length.length + kerf.length).inches * unit) for line in pieces for _ in range(line.count)]
    stocks = tuple(
        Stock(
            int((kind.length.length - trim.length + kerf.length).inches * unit),
            int(kind.length.length.inches * unit),
            kind.count,
        )
        for kind in rack
    )
    return Problem(tuple(sorted(sizes, reverse=True)), stocks), unit


def _measured(solution: Solution, unit: int, rack: Sequence[Rack], kerf: Length, trim: Length) -> tuple[CutStick, ...]:
    def cut(stick: Stick) -> CutStick:
        whole = rack[stick.stock].length.length
        lengths = tuple(Length(size) / unit - kerf for size in sorted(stick.pieces, reverse=True))
        ends = tuple(accumulate(lengths, lambda before, length: before + kerf + length))
        return CutStick(whole, lengths, ends, max(Length(0), whole - trim - ends[-1] - kerf))

    return tuple(sorted(map(cut, solution.cutting.sticks), key=lambda s: (s.stock, s.pieces), reverse=True))


def cut_list(
    pieces: Sequence[Pieces],
    rack: Sequence[Rack],
    *,
    kerf: Measure = _NOTHING,
    trim: Measure = _NOTHING,
    useful: Measure = _NOTHING,
    enough: Callable[[], bool] = lambda: False,
) -> Result:
    """The cutting of ``nest``, to be walked cut by cut. All lengths in inches.

    Raises:
        Slip: as ``nest``.
    """
    plan = nest(pieces, rack, kerf=kerf, trim=trim, useful=useful, enough=enough)
    in_feet = any(line.length.form is Form.FEET for line in pieces)
    form = Form.FEET if in_feet else pieces[0].length.form
    count = sum(line.count for line in pieces)
    net = sum((line.length.length * line.count for line in pieces), Length(0))
    marks = tuple(
        Value(f"{_which(i, stick, rack)}, cut {k}, {limits.said(piece, form)}", mark)
        for i, stick in enumerate(plan.sticks, 1)
        for k, (piece, mark) in enumerate(zip(stick.pieces, stick.marks, strict=True), 1)
    )
    return Result(
        values=(
            Value("sticks", len(plan.sticks), "count"),
            *_bound(plan, rack),
            Value("longest first", plan.longest_first, "count"),
            Value("steel", plan.steel),
            Value("pieces together", net),
            *(Value(f"{plan.left_of(stick)} of stick {i}", stick.drop) for i, stick in enumerate(plan.sticks, 1)),
        ),
        say=_say(plan, rack, marks[0]),
        marks=marks,
        datum="the squared end of each stick",
        steps=(
            (count, " pieces come to ", Exactly(net, form)),
            (count, " kerfs of ", Exactly(kerf.length), " add ", Exactly(kerf.length * count)),
            *_by_length(plan, rack, net + kerf.length * count, form),
            (
                *("The sticks come to ", Exactly(plan.steel, form)),
                *(", and no cutting takes less than ", Exactly(plan.least, form)),
            ),
            *((("A drop shorter than ", Exactly(useful.length, useful.form), " is scrap"),) if useful.length else ()),
        ),
        cautions=(cautions.KERF_IN_SCRAP, cautions.STICK_TIGHT, cautions.TRY_ONE),
        heard=(count, " piece from " if count == 1 else " pieces from ", *_sticks(rack), *_with(kerf, trim)),
        form=form,
    )


def _by_length(plan: Nest, rack: Sequence[Rack], taken: Length, form: Form) -> tuple[Phrase, ...]:
    """How few sticks of one length there could be by what the pieces take, and how many it is longest first."""
    if len(rack) > 1:
        return ()
    gives = rack[0].length.length - plan.trim + plan.kerf
    least = -(-taken // gives)
    steps: list[Phrase] = [
        ("With its last kerf a stick gives ", Exactly(gives, form)),
        (Exactly(taken, form), " by that is ", least, " or more sticks"),
    ]
    if plan.longest_first > len(plan.sticks):
        steps.append(("Longest first it would take ", plan.longest_first, " sticks"))
    return tuple(steps)


def _which(number: int, stick: CutStick, rack: Sequence[Rack]) -> str:
    """Which stick it is; of what length, where there are several."""
    if len(rack) == 1:
        return f"stick {number}"
    form = next(kind.length.form for kind in rack if kind.length.length == stick.stock)
    return f"stick {number} of {limits.said(stick.stock, form)}"


def _fewest(plan: Nest, rack: Sequence[Rack]) -> int:
    """How few sticks of one length the bound comes to."""
    return -(-plan.least // rack[0].length.length)


def _bound(plan: Nest, rack: Sequence[Rack]) -> tuple[Value, ...]:
    if len(rack) == 1:
        return (Value("cannot be fewer than", _fewest(plan, rack), "count"),)
    return (Value("cannot take less than", plan.least),)


def _say(plan: Nest, rack: Sequence[Rack], first: Value) -> Phrase:
    number = len(plan.sticks)
    sticks: Phrase = (number, " stick" if number == 1 else " sticks")
    if len(rack) == 1:
        proof: Phrase = (", cannot be fewer",) if plan.proven else (", cannot be fewer than ", _fewest(plan, rack))
    else:
        sticks += (", ", plan.steel, " of steel")
        proof = (", cannot be less",) if plan.proven else (", cannot be less than ", plan.least)
    of: Phrase = (" of ", plan.sticks[0].stock) if len(rack) > 1 else ()
    return (*sticks, *proof, *_kept(plan), ", stick one", *of, ", first mark ", first)


def _kept(plan: Nest) -> Phrase:
    """How many drops go back on the rack, where he said which do."""
    if not plan.useful:
        return ()
    offcuts = sum(plan.left_of(stick) == "offcut" for stick in plan.sticks)
    if not offcuts:
        return (", every drop is scrap",)
    return (", ", offcuts, " offcut to keep" if offcuts == 1 else " offcuts to keep")


def _sticks(rack: Sequence[Rack]) -> Phrase:
    said: Phrase = ()
    for kind in rack:
        if kind.count is None:
            said += ("sticks of ", kind.length, " and ")
        else:
            said += (kind.count, " stick of " if kind.count == 1 else " sticks of ", kind.length, " and ")
    return said[:-1]


def _with(kerf: Measure, trim: Measure) -> Phrase:
    said: Phrase = (", kerf ", kerf) if kerf.length else ()
    return (*said, ", trim ", trim) if trim.length else said
