"""What the words of a trade task mean: every size goes to a slot, or it makes no sense.

The words come as the grammar gives them: a head ("#spaces"), a number before it, then sizes and the words
around them (".each_end"). A word belongs to the size after it or the one before it, or stands alone; every way
of sharing them out that uses every word and every size is a reading.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from assistant.language.requests import GageNumber, Given, Measure, Named, Operand, Piece, Task
from assistant.language.tasks import HEADS, TASKS, TaskKind, Wanted, missing, too_much
from assistant.layout.gauge import thickness
from assistant.length import INCHES_PER_FOOT
from assistant.tape import Form

__all__ = ["badness", "fit", "readings"]

_LEAD = ".lead"
_MOST_TOKENS = 40
"""More sizes and words than any task takes: not worth reading."""
_THIN = 3
"""A leg of angle is more than so many times as long as it is thick, and of two legs none is so much longer than the
other: of the sizes in the table of shapes 4 times at least, and 2 at most."""
_BY_GAUGE = {"weigh plate": "thickness", "bend": "thickness", "weigh tube": "wall", "weigh round tube": "wall"}
"""What may be said by the number of a gauge, by task."""
_SQUARE = 90
"""Degrees. No saw is set past it."""
_SHEETS: frozenset[tuple[Fraction | int, ...]] = frozenset(
    {(4, 8), (4, 10), (4, 12), (5, 10), (5, 12), (5, 20), (6, 12), (6, 20), (8, 20)}
)
"""Sheets and plates as they are sold, in feet. Common practice, no source."""


def readings(items: Sequence[Any]) -> list[Task]:
    """Every task that some items may be, without repeats; empty where they are none.

    Raises:
        Slip: where something is said to be of a gauge that there is not.
    """
    lead = _LEAD in items
    tokens = [item for item in items if item != _LEAD]
    at = next(n for n, token in enumerate(tokens) if isinstance(token, str) and token.startswith("#"))
    head, counts, rest = HEADS[tokens[at]], tokens[:at], tokens[at + 1 :]
    if len(rest) > _MOST_TOKENS:
        return []
    if not rest and not counts:
        return [Task(head.bare)] if head.bare else [Task(head.kinds[0])] if lead else []
    found: list[Task] = []
    for said in (rest, *_both_in_feet(rest)):
        for kind in head.kinds:
            found += _sorted(TASKS[kind], counts, [*head.words, *said])
    return list(dict.fromkeys(found))


def _both_in_feet(tokens: Sequence[Any]) -> Iterator[list[Any]]:
    """ "Four by eight foot" with both in feet, as most mean it; none where nothing is said so."""
    meant = list(tokens)
    for at, (first, by, second) in enumerate(zip(tokens, tokens[1:], tokens[2:], strict=False)):
        if by != ".by" or not isinstance(first, Measure) or not isinstance(second, Measure):
            continue
        if first == Measure(first.length) and _whole(first) and second.form is Form.FEET:
            meant[at] = Measure(first.length * INCHES_PER_FOOT, form=Form.FEET)
    if meant != list(tokens):
        yield meant


def _whole(size: Measure) -> bool:
    return size.length.inches.denominator == 1


def badness(task: Task) -> tuple[int, ...]:
    """How unlikely a reading is: what it leaves out, what was hardly said so, leans it takes words for."""
    measures = [value for _, value in task.given if isinstance(value, Measure)]
    unsure = sum(1 for m in measures if not m.sure or m.missing is not None or m.bottom_first)
    return len(missing(task)), unsure, sum(1 for m in measures if m.lean), len(measures)


def _sorted(row: TaskKind, counts: Sequence[int], tokens: Sequence[Any]) -> Iterator[Task]:
    words = {token for token in tokens if isinstance(token, str)}
    if not all(map(words.intersection, row.needed)) or (counts and not row.counted):
        return
    for shared in _shared_out(row, tokens, 0, None):
        given = _in_inches(row, _placed(row, shared, tokens))
        if given is None:
            continue
        if counts:
            given.append((row.counted, counts[0]))
        if row.kind == "weigh tube" and ".square" in words:
            given += _as_wide(given)
        task = _in_order(row, given if ".by" in words else _equal_legs(given))
        if task:
            yield task
            if row.kind == "weigh plate":
                yield from _as_a_sheet(task)
            if row.kind == "miter":
                yield from _as_the_saw(task)


_Way = tuple[tuple[int, int | None], ...]
"""Each word's place with the place of its size, or none where it stands alone or joins."""


def _shared_out(row: TaskKind, tokens: Sequence[Any], at: int, last: int | None) -> Iterator[_Way]:
    """Every way the words go with the sizes."""
    if at == len(tokens):
        yield ()
        return
    word = tokens[at]
    if not isinstance(word, str):
        yield from _shared_out(row, tokens, at + 1, at)
        return
    after = next((n for n in range(at + 1, len(tokens)) if not isinstance(tokens[n], str)), None)
    places: list[int | None] = []
    if word in row.before and after is not None:
        places.append(after)
    if word in row.after and last is not None:
        places.append(last)
    must = any(word in some for some in row.needed)
    if word in row.joining or ((word in row.alone or must) and not places):
        places.append(None)
    for place in places:
        for rest in _shared_out(row, tokens, at + 1, last):
            yield ((at, place), *rest)


def _placed(row: TaskKind, way: _Way, tokens: Sequence[Any]) -> list[Given] | None:
    """The slots filled by one way, or none where it does not fit."""
    given: list[Given] = []
    allowed: dict[int, set[str]] = {}
    alone = {at for at, place in way if place is None}
    for at, place in way:
        word = tokens[at]
        slots: set[str] = set()
        if place is not None:
            names = row.before[word] if place > at else row.after[word]
            slots = set(names.split("|"))
            allowed[place] = allowed.get(place, slots) & slots
        if word in row.alone and row.alone[word][0] not in slots:
            given.append(row.alone[word])
        given += [(name, "") for name in row.leaving.get(word, ())]
    plain = list(row.plain)
    taken: set[str] = set()
    for at, token in enumerate(tokens):
        if isinstance(token, str):
            continue
        if isinstance(token, GageNumber):
            thin = _BY_GAUGE.get(row.kind)
            free = [thin] if thin and thin not in taken and thin in allowed.get(at, {thin}) else []
        elif at in allowed:
            free = [s.name for s in row.slots if s.name in allowed[at] and (s.many or s.name not in taken)]
        else:
            close = row.close and not _its_unit(tokens[at - 1], token)
            joined = at == 0 or (at - 1) in alone or close or not taken.intersection(plain)
            free = [n for n in plain if row.slot(n).many or n not in taken] if joined else []
            if row.long in free and isinstance(token, Measure) and token.form is Form.FEET:
                free = [row.long]
        if not free:
            return None
        taken.add(free[0])
        given.append((free[0], token))
    return given


def _its_unit(before: Any, size: Any) -> bool:
    """Whether a size may be the unit of the number before it: "two inch" and "twenty foot" are not two sizes."""
    if not isinstance(before, Measure) or not isinstance(size, Measure) or not _whole(before):
        return False
    unit = {Form.INCHES: 1, Form.FEET: INCHES_PER_FOOT}.get(size.form)
    return unit is not None and unit <= size.length.inches < 2 * unit


def _in_inches(row: TaskKind, given: list[Given] | None) -> list[Given] | None:
    """With every thickness by gauge number in inches.

    Raises:
        Slip: where the table has no such gauge.
    """
    if given is None or not any(isinstance(value, GageNumber) for _, value in given):
        return given
    said = dict(given)
    metal = said.get("metal", said.get("material", "steel"))
    of = "tube wall" if _BY_GAUGE[row.kind] == "wall" else "steel" if metal == "navy" else str(metal)
    return [
        (name, Measure(thickness(value.number, of)) if isinstance(value, GageNumber) else value)
        for name, value in given
    ]


def _as_wide(given: Sequence[Given]) -> Iterator[Given]:
    """The other side of square tube."""
    sides = dict(given)
    if "side" in sides and "other side" not in sides:
        yield "other side", sides["side"]


def _equal_legs(given: list[Given]) -> list[Given]:
    """ "Two inch quarter angle": legs are alike where one is said, and what is too thin for a leg is the thickness.
    Not after "by": "three by three quarter angle" is more likely three by three."""
    sizes = dict(given)
    leg, other, thick = (sizes.get(name) for name in ("leg", "other leg", "thickness"))
    if not isinstance(leg, Measure):
        return given
    if thick is None and isinstance(other, Measure) and other.length * _THIN <= leg.length:
        return [(name, leg if name == "other leg" else value) for name, value in given] + [("thickness", other)]
    return [*given, ("other leg", leg)] if other is None and thick is not None else given


def _as_a_sheet(task: Task) -> Iterator[Task]:
    """ "Four by eight" of plate is a sheet in feet, or else a small piece in inches."""
    given = dict(task.given)
    sides = [given.get(name) for name in ("length", "width")]
    if not all(isinstance(side, Measure) and side == Measure(side.length) for side in sides):
        return
    inches = tuple(sorted(side.length.inches for side in sides if isinstance(side, Measure)))
    if inches in _SHEETS:
        feet = {
            name: Measure(value.length * INCHES_PER_FOOT, form=Form.FEET)
            for name, value in given.items()
            if name in ("length", "width") and isinstance(value, Measure)
        }
        yield Task(task.kind, tuple((name, feet.get(name, value)) for name, value in task.given))


def _as_the_saw(task: Task) -> Iterator[Task]:
    """ "Miter at forty-five degrees": the corner, or else what the saw is set to for a corner of ninety."""
    corner = dict(task.given).get("corner")
    if isinstance(corner, Fraction) and 0 < corner < _SQUARE:
        saw = tuple(("saw", value) if name == "corner" else (name, value) for name, value in task.given)
        yield Task(task.kind, saw)


def _in_order(row: TaskKind, given: list[Given]) -> Task | None:
    order = {slot.name: n for n, slot in enumerate(row.slots)}
    fitted: list[Given] = []
    for name, value in sorted(given, key=lambda one: order[one[0]]):
        slot = row.slot(name)
        fitting = fit(slot.wanted, value)
        if fitting is None or (not slot.many and fitted and fitted[-1][0] == name):
            return None
        fitted.append((name, fitting))
    task = Task(row.kind, tuple(fitted))
    return None if too_much(task) or _too_thick(row, task) else task


def _too_thick(row: TaskKind, task: Task) -> bool:
    """Whether a thickness is bigger than a size that has no word of its own: then it was meant for something else. A
    radius or an opening may well be smaller."""
    sizes = {name: value.length for name, value in task.given if isinstance(value, Measure)}
    across = [sizes[name] for name in row.plain if name in sizes]
    return row.thinnest in sizes and bool(across) and sizes[row.thinnest] > min(across)


def fit(wanted: Wanted, value: Operand | int | Fraction | str) -> Operand | int | Fraction | str | None:
    """The value as a slot takes it; none where it cannot be one. Nothing ("") declines any slot."""
    if value == "":
        return value
    if wanted in (Wanted.LENGTH, Wanted.PIPE):
        return value if isinstance(value, (Measure, Named, Piece)) else None
    if isinstance(value, (int, Fraction, str)):
        return value
    if not isinstance(value, Measure) or value.form is not Form.INCHES or value.lean or value.missing is not None:
        return None
    number = value.length.inches
    if wanted in (Wanted.ANGLE, Wanted.NUMBER):
        return number
    return int(number) if wanted is Wanted.COUNT and number.denominator == 1 else None
