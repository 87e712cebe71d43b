"""From a request to the job after it, and from what a job asked to its answer.

Which measurement is in hand afterwards:

    hold, recall                      that measurement
    center, parts                     the one they were asked of: it is the steel on the bench
    add, take off, times, share,      the answer, so that "add four and a half" twice runs on
    total
    a trade task                      the length it was laid out on, where it has one
    convert                           the same length, from now on in that form; decimals only this once, since
                                      no tape shows them

While a running string is open, a bare measurement, a recalled one and whatever is added are its next items.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from assistant.enclosure import Enclosure
from assistant.errors import Slip
from assistant.language.requests import (
    Add,
    Center,
    Convert,
    Done,
    Hold,
    Items,
    Keep,
    Measure,
    Operand,
    Parts,
    Piece,
    Recall,
    SetFeet,
    SetPlus,
    SetTape,
    Share,
    StartString,
    TakeOff,
    Task,
    Times,
    Total,
    Turn,
)
from assistant.language.speak import speak_exactly
from assistant.language.tasks import TASKS, filled_in
from assistant.layout import arithmetic, bend, center, convert, limits, parts
from assistant.layout.check_cut import check_cut
from assistant.layout.other_end import turned
from assistant.layout.result import Result, Value
from assistant.length import Length
from assistant.session.deeds import Checked, Deed, Totaled, Turned, exchange_last, exchanged, operands
from assistant.session.job import Job, alone
from assistant.session.lay_out import lay_out
from assistant.tape import Form, Tape

__all__ = [
    "KERF",
    "Unknown",
    "begun",
    "carry_out",
    "correct",
    "cut_list_of",
    "do_all",
    "filled",
    "in_hand",
    "kept_as",
    "known_sizes",
    "marks_in_hand",
    "put_right",
    "racks_of",
    "result_of",
    "workable",
]

_NO_PIECE = "Give me a measurement first."
KERF = "kerf"
"""What his kerf is called on the board, where it stays until he gives another."""


class Unknown(Exception):
    """A name that is not on the board: to be asked for."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


@lru_cache(maxsize=64)  # walking the marks and repeating ask for the same answer again and again
def result_of(asked: Deed, tape: Tape) -> Result:
    """The answer to a request whose measurements are all filled in.

    Raises:
        Slip: where it cannot be.
    """
    match asked:
        case Hold(Measure() as m):
            limits.length(m.length, m.form)
            return Result(values=(Value("piece", m.length, lean=m.lean),), say=(m,), form=m.form)
        case Center(Measure() as m):
            return center.center(m)
        case Parts(Measure() as m, count):
            return parts.parts(m, count)
        case Share(Measure() as m, taken, count):
            return parts.share(m, taken, count)
        case Add(terms):
            return arithmetic.add(_measures(terms))
        case TakeOff(Measure() as m, off, ends):
            return arithmetic.take_off(m, _measures(off), ends)
        case Times(Measure() as m, count):
            return arithmetic.times(m, count)
        case Totaled(items):
            return arithmetic.total(items)
        case Convert(Measure() as m, form):
            return convert.convert(m, form, tape)
        case Task():
            return lay_out(asked)
        case Turned(of):
            return turned(result_of(of, tape))
        case Checked(cut, of, at, held):
            result = result_of(of, tape)
            wanted = result.marks[at - 1] if at else result.values[0]
            assert isinstance(wanted.amount, (Length, Enclosure))
            return check_cut(cut, wanted.amount + held, lean=wanted.lean)
    raise TypeError(f"{asked!r} has no answer worked out")


def carry_out(job: Job, deed: Deed, tape: Tape) -> Job:
    """The job after a request that changes it.

    Raises:
        Slip: where it cannot be done; the job is as it was.
        Unknown: for a name that is not on the board.
    """
    after = _done(job, deed, tape)
    if any(not isinstance(operand, Piece) for operand in operands(deed)):
        return replace(after, base=alone(job), trail=(deed,))
    return replace(after, base=job.base, trail=(*job.trail, deed) if job.trail else ())


def correct(job: Job, to: Measure, tape: Tape) -> tuple[Job, Measure]:
    """The job as it would be had the last measurement been this one, and that measurement.

    A fraction alone replaces only the fraction: the inches and feet stay. Everything asked since is done again.

    Raises:
        Slip: where there is nothing to put right, or what was asked cannot be done with it.
    """
    if not job.trail or job.base is None:
        raise Slip(_NO_PIECE)
    first, *rest = job.trail
    last = [operand for operand in operands(first) if not isinstance(operand, Piece)][-1]
    mended = put_right(filled(last, job.base), to)
    trail = (exchange_last(first, mended), *rest)
    return do_all(job.base, trail, tape), mended


def do_all(base: Job, trail: tuple[Deed, ...], tape: Tape) -> Job:
    """The job after several requests that stand or fall together, the first with the measurement in it.

    Raises:
        Slip, Unknown: as ``carry_out``.
    """
    job = base
    for deed in trail:
        job = _done(job, deed, tape)
    return replace(job, base=alone(base), trail=trail)


def workable(job: Job, tape: Tape) -> Job:
    """A job from disk, without the answer in hand if this Tapehand cannot work it out: an older one wrote it."""
    try:
        marks = [len(result_of(deed, tape).marks) for deed in (job.asked, job.walked) if deed is not None]
    except (Slip, TypeError, KeyError, ValueError):
        return replace(job, asked=None, marked=None, at=0)
    return job if job.at <= (marks[-1] if marks else 0) else replace(job, at=0)


def begun(job: Job, task: Task) -> None:
    """Raise a Slip where a task need not even begin to ask: there is nothing to do it on."""
    if task.kind != "nest":
        return
    listed = _in_cut_list(job)
    if "cut" not in listed:
        raise Slip("There are no cuts to nest. Say how many, and at what length.")
    if "stock" not in listed:
        raise Slip("There are no sticks to cut from. Say sticks, and how long they are.")


def known_sizes(job: Job) -> frozenset[str]:
    """What no task need ask for: it was said before, and stays until something else is said."""
    kerf = {KERF} if kept_as(job, KERF) is not None else set()
    return frozenset(kerf | ({"k", "material"} if job.k is not None else set()))


def in_hand(job: Job, tape: Tape) -> Measure:
    """What "that" is: the mark being walked, or else the last answer, or else the piece.

    Raises:
        Slip: where there is nothing yet, or it is no exact length.
    """
    if job.asked is None:
        if job.string:
            return job.string[-1]
        return _piece(job)
    if isinstance(job.asked, Hold):
        return _piece(job)
    source = job.walked if job.at and job.walked else job.asked
    result = result_of(source, tape)
    value = result.marks[job.at - 1] if job.at else result.values[0]
    if value.unit != "in" or not isinstance(value.amount, Length):
        raise Slip("I can't keep that one exactly. Say the mark, then keep that.")
    return Measure(value.amount, value.lean, result.form)


def kept_as(job: Job, name: str) -> Measure | None:
    """What stands on the board under a name."""
    return next((measure for known, measure in job.kept if known.casefold() == name.casefold()), None)


def _done(job: Job, deed: Deed, tape: Tape) -> Job:
    if isinstance(deed, Task):
        begun(job, deed)
        job, deed = _with_known(job, deed)
    match deed:
        case Keep(name, Measure() as measure):
            limits.length(measure.length, measure.form)
            return _keep(job, name, measure)
        case Keep(name):
            return _keep(job, name, in_hand(job, tape))
        case Done(name):
            if kept_as(job, name) is None:
                raise Slip(f"There is no {name} on the board.")
            return replace(job, kept=_without(job, name))
        case SetTape(new):
            return replace(job, tape=new)
        case SetPlus(size):
            return replace(job, plus=size)
        case SetFeet(feet):
            return replace(job, feet=feet)
        case Turn():
            return _turned(job, tape)
        case Task("burn"):
            return _holding(job, deed)
        case Task("kerf" | "k"):
            return job
        case Task("sticks" | "offcuts" | "cut" | "useful drop"):
            return replace(job, cutting=_listed(job, deed))
        case Task("nest"):
            assert job.cutting is not None
            kerf = next(value for name, value in deed.given if name == KERF)
            return _answered(job, _with_slot(job.cutting, KERF, kerf), tape)
        case Task("check"):
            return _checked(job, deed, tape)
        case StartString():
            return replace(job, string=(), asked=None, marked=None, at=0)
        case Total():
            if job.string is None:
                raise Slip("There is no string to add up. Say start a string.")
            return _answered(replace(job, string=None), Totaled(job.string), tape)
    if job.string is not None and isinstance(deed, (Hold, Recall, Items, Add)):
        items = _measures([filled(o, job) for o in operands(deed) if not isinstance(o, Piece)])
        if not items:
            raise Slip(_NO_PIECE)
        for item in items:
            limits.length(item.length, item.form)
        if len(job.string) + len(items) > limits.LONGEST_STRING:
            raise Slip(f"There are {len(job.string)} in the string. Say total, then start another.")
        return replace(job, string=job.string + items, asked=None, marked=None, at=0)
    if isinstance(deed, Items):
        raise Slip("There is no string to add them to. Say start a string.")
    return _answered(job, exchanged(deed, lambda operand: filled(operand, job)), tape)


def _turned(job: Job, tape: Tape) -> Job:
    """The same mark, read from the other end; the first, where none was said yet."""
    walked = job.walked
    count = len(result_of(walked, tape).marks) if walked is not None else 0
    if walked is None or not count:
        raise Slip("There are no marks to turn round. Ask for a layout first.")
    if isinstance(walked, Turned):
        asked: Deed = walked.of
    else:
        assert not isinstance(walked, Checked)  # it has no marks of its own
        asked = Turned(walked)
    return replace(job, asked=asked, marked=None, at=count + 1 - job.at if job.at else 1)


def _with_known(job: Job, task: Task) -> tuple[Job, Task]:
    """A kerf, and the K of his brake, stay until he says another: what he says now is kept, what he leaves out is
    what was kept."""
    slots = {slot.name for slot in TASKS[task.kind].slots}
    given = dict(task.given)
    if KERF in slots and KERF in given:
        said = given[KERF]
        kerf = filled(said, job) if isinstance(said, Operand) else Measure(Length(0))
        limits.length(kerf.length, kerf.form)
        job, task = _keep(job, KERF, kerf), _with_slot(task, KERF, kerf)
    elif KERF in slots and (known := kept_as(job, KERF)) is not None:
        task = filled_in(task, KERF, known)
    if "k" in slots and isinstance(k := given.get("k"), Fraction):
        job = replace(job, k=bend.checked_k(k))
    elif "k" in slots and job.k is not None and not given.get("material"):
        task = filled_in(task, "k", job.k)
    return job, task


def _without_slot(task: Task, name: str) -> Task:
    return replace(task, given=tuple(pair for pair in task.given if pair[0] != name))


def _with_slot(task: Task, name: str, value: Operand | int | Fraction | str) -> Task:
    """The task with this in the place of what it was given for a slot."""
    return filled_in(_without_slot(task, name), name, value)


def _listed(job: Job, task: Task) -> Task:
    """The cut list with one more line. Sticks of a length said before, and a trim, take the place of those."""
    listed = job.cutting or Task("nest")
    given = {name: filled(value, job) if isinstance(value, Operand) else value for name, value in task.given}
    for name, value in given.items():
        if isinstance(value, Measure) and name != KERF:
            limits.positive(
                value.length, {"stock": "stick", "cut": "piece", "useful": "drop"}.get(name, name), value.form
            )
        elif isinstance(value, int):
            limits.count(value, {"count": "pieces"}.get(name, name))
    if task.kind == "cut":
        return filled_in(filled_in(listed, "count", given["count"]), "cut", given["cut"])
    if task.kind == "useful drop":
        return _with_slot(listed, "useful", given["useful"])
    stock = given["stock"]
    assert isinstance(stock, Measure)
    racks = [pair for pair in racks_of(listed) if pair[0].length != stock.length]
    listed = _without_slot(_without_slot(listed, "stock"), "sticks")
    for length, number in [*racks, (stock, given.get("sticks") or 0)]:
        listed = filled_in(filled_in(listed, "stock", length), "sticks", number)
    return _with_slot(listed, "trim", given["trim"]) if given.get("trim") else listed


def racks_of(listed: Task) -> list[tuple[Measure, int]]:
    """The sticks of a cut list: each length, and how many there are of it; 0 for as many as it takes."""
    stocks = [value for name, value in listed.given if name == "stock" and isinstance(value, Measure)]
    numbers = [value for name, value in listed.given if name == "sticks" and isinstance(value, int)]
    return list(zip(stocks, numbers, strict=True))


def cut_list_of(job: Job) -> Task:
    """The cut list as far as it is given, with his kerf.

    Raises:
        Slip: where there is none, or no kerf: a list without it would be cut short.
    """
    if job.cutting is None or not {"stock", "cut"} <= _in_cut_list(job):
        raise Slip("There is no cut list to print. Say how long the sticks are, and what to cut.")
    kerf = kept_as(job, KERF)
    if kerf is None:
        raise Slip("How wide is the kerf of your saw? Say kerf and its size, then print.")
    return _with_slot(job.cutting, KERF, kerf)


def _in_cut_list(job: Job) -> set[str]:
    """What the cut list has of stock, cuts and the rest."""
    return {name for name, _ in job.cutting.given} if job.cutting else set()


def _holding(job: Job, task: Task) -> Job:
    inch = next(value for _, value in task.given)
    assert isinstance(inch, Operand)
    held = limits.length(filled(inch, job).length)
    return replace(job, held=held or None)


def _checked(job: Job, task: Task, tape: Tape) -> Job:
    """The cut piece against the mark said last, or else the answer. The marks stay to be walked."""
    walked = job.walked
    if walked is None:
        raise Slip("There is nothing to check against. Give me the measurement first.")
    cut = filled(next(value for _, value in task.given if isinstance(value, Operand)), job)
    result = result_of(walked, tape)
    at = job.at or (1 if len(result.marks) == 1 else 0)
    wanted = result.marks[at - 1] if at else result.values[0]
    if not isinstance(wanted.amount, (Length, Enclosure)) or isinstance(walked, Checked):
        raise Slip("That is no length to check against. Walk to the mark first.")
    return replace(job, asked=Checked(cut, walked, at, job.held or Length(0)), marked=walked)


def marks_in_hand(job: Job, tape: Tape) -> Result:
    """What is walked, every mark as his tape reads it: further on by the inch he holds.

    Call it only where something is walked.
    """
    assert job.walked is not None
    result = result_of(job.walked, tape)
    if not job.held or not result.marks:
        return result
    name, datum = f"holding on {speak_exactly(job.held)}", result.datum
    if len(result.marks) == 1:
        datum = f"{datum}, {name}"  # the name of an only mark is not said
    marks = tuple(
        replace(mark, name=f"{mark.name}, {name}" if mark.name else name, amount=mark.amount + job.held)
        for mark in result.marks
        if isinstance(mark.amount, (Length, Enclosure))
    )
    closing = result.closing + job.held if result.closing is not None else None
    return replace(result, marks=marks, datum=datum, closing=closing)


def _answered(job: Job, asked: Deed, tape: Tape) -> Job:
    result = result_of(asked, tape)
    piece = _piece_after(asked, result, job.piece)
    marked = job.walked
    if isinstance(asked, Convert) and isinstance(marked, (Center, Parts)) and asked.of == marked.of == job.piece:
        assert piece is not None
        return replace(job, piece=piece, asked=asked, marked=replace(marked, of=piece))
    return replace(
        job,
        piece=piece,
        asked=asked,
        marked=None,
        at=0,
        held=job.held if piece == job.piece else None,
        cautioned=_still_cautioned(job, asked, piece),
    )


def _still_cautioned(job: Job, asked: Deed, piece: Measure | None) -> tuple[str, ...]:
    """The cautions that need not be said again: those of the same piece. A task on no piece is one of its own."""
    apart = isinstance(asked, Task) and not TASKS[asked.kind].piece and asked != job.asked
    return () if apart or piece != job.piece else job.cautioned


def _piece_after(asked: Deed, result: Result, before: Measure | None) -> Measure | None:
    match asked:
        case Hold(Measure() as m) | Center(Measure() as m) | Parts(Measure() as m, _):
            return m
        case Convert(Measure() as m, form):
            return m if form is Form.DECIMAL else replace(m, form=form)
        case Task(kind, given):
            on = next((value for name, value in given if name == TASKS[kind].piece), before)
            return on if isinstance(on, Measure) else before
    value = result.values[0]
    return Measure(value.amount, value.lean, result.form) if isinstance(value.amount, Length) else before


def _keep(job: Job, name: str, measure: Measure) -> Job:
    return replace(job, kept=(*_without(job, name), (name, measure)))


def _without(job: Job, name: str) -> tuple[tuple[str, Measure], ...]:
    return tuple((known, measure) for known, measure in job.kept if known.casefold() != name.casefold())


def filled(operand: Operand, job: Job) -> Measure:
    """The measurement an operand stands for on this job."""
    if isinstance(operand, Measure):
        return operand
    if isinstance(operand, Piece):
        return _piece(job)
    found = kept_as(job, operand.name)
    if found is None:
        raise Unknown(operand.name)
    return found


def _piece(job: Job) -> Measure:
    if job.piece is None:
        raise Slip(_NO_PIECE)
    return job.piece


def _measures(terms: tuple[Operand, ...] | list[Measure]) -> tuple[Measure, ...]:
    return tuple(term for term in terms if isinstance(term, Measure))


def put_right(was: Measure, to: Measure) -> Measure:
    """What a measurement is once it has been put right. A fraction alone leaves the inches and feet."""
    fraction_alone = to.length < Length(1) and Form.MILLIMETERS not in (to.form, was.form)
    if not fraction_alone:
        return to
    whole = Length(was.length.inches // 1)
    return replace(was, length=whole + to.length, lean=to.lean, band=to.band or was.band)
