"""Adding, taking off, times, and the total of a running string."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Phrase, Quantity, Result, Value
from assistant.length import Length

__all__ = ["add", "pieces_out_of", "take_off", "times", "times_with_kerf", "total"]


def add(terms: Sequence[Measure]) -> Result:
    """Measurements added up, in the form of the first. Their leans add. The count is said.

    Raises:
        Slip: where there is nothing to add, or the total is over a thousand feet.
    """
    return _sum(terms, heard=_list(terms, " plus "))


def total(string: Sequence[Measure]) -> Result:
    """The total of a running string. The count is said.

    Raises:
        Slip: as ``add``.
    """
    return _sum(string, heard=("The string",))


def _sum(terms: Sequence[Measure], heard: Phrase) -> Result:
    if not terms:
        raise Slip("Nothing to add yet. Say the first measurement.")
    form = terms[0].form
    for term in terms:
        limits.length(term.length, term.form)
    whole = Value("total", limits.length(sum((t.length for t in terms), Length(0)), form), lean=_leans(terms))
    return Result(
        values=(whole, Value("count", len(terms), "count")),
        say=(len(terms), _pieces(len(terms)), ", total ", whole),
        steps=steps.sum_up([t.length for t in terms], form) if len(terms) > 1 else (),
        heard=heard,
        form=form,
    )


def take_off(m: Measure, off: Sequence[Measure], ends: int = 1) -> Result:
    """What is left of a length after taking something off it, at one end or (``ends`` = 2) at both.

    The lean of what comes off is taken off too.

    Raises:
        Slip: where nothing is named to come off, or more comes off than there is; ValueError for ends not 1 or 2.
    """
    if ends not in (1, 2):
        raise ValueError(f"a piece has one end or both, not {ends}")
    if not off:
        raise Slip("Take off how much?")
    for size in (m, *off):
        limits.length(size.length, size.form)
    once = sum((t.length for t in off), Length(0))
    gone = Value("taken off", once * ends, lean=_leans(off) * ends)
    limits.fits(once * ends, m.length, m.form)
    left = Value("left", m.length - once * ends, lean=m.lean - gone.lean)
    worked = steps.sum_up([t.length for t in off], m.form) if len(off) > 1 else ()
    if ends == 2:
        worked += steps.multiply(once, 2, m.form)
    each_end: Phrase = (" each end",) if ends == 2 else ()
    say: Phrase = (left,) if len(off) == ends == 1 else (gone, " off in all, ", left, " left")
    return Result(
        values=(left, gone),
        say=say,
        steps=(*worked, *steps.subtract(m.length, once * ends, m.form)),
        heard=(m, " less ", *_counted(off), *each_end),
        form=m.form,
    )


def times(m: Measure, count: int) -> Result:
    """So many of a length, end to end. The count is said.

    Raises:
        Slip: for a count that is not 1 or more, or a total over a thousand feet.
    """
    count = limits.count(count, "pieces")
    limits.length(m.length, m.form)
    whole = Value("total", limits.length(m.length * count, m.form), lean=m.lean * count)
    return Result(
        values=(whole, Value("count", count, "count")),
        say=(count, _pieces(count), ", total ", whole),
        steps=steps.multiply(m.length, count, m.form),
        heard=(count, " at ", m),
        form=m.form,
    )


def times_with_kerf(m: Measure, count: int, kerf: Measure) -> Result:
    """So many of a length cut one after another, a kerf between each two; all in inches, every cut marked.

    Cut off a longer stick, the last piece takes one kerf more: that is said too.

    Raises:
        Slip: for a count that is not 1 or more, or a length that cannot be.
    """
    count = limits.count(count, "pieces")
    each = limits.positive(m.length, "piece", m.form)
    slot = limits.length(kerf.length, kerf.form)
    between = count - 1
    whole = Value("total", limits.length(each * count + slot * between, m.form), lean=m.lean * count)
    last = Value("with the last cut", each * count + slot * count, lean=whole.lean)
    worked = steps.multiply(each, count, m.form)
    if between and slot:
        worked += (
            *steps.multiply(slot, between, kerf.form),
            *steps.sum_up([each * count, slot * between], m.form),
        )
    return Result(
        values=(whole, last, Value("count", count, "count")),
        say=(count, _pieces(count), ", total ", whole, ", ", last, " with the last cut"),
        marks=tuple(Value("", each * k + slot * (k - 1), lean=m.lean * k) for k in range(1, count + 1)),
        closing=whole.amount if isinstance(whole.amount, Length) else None,
        steps=worked,
        cautions=(cautions.KERF_IN_SCRAP,),
        heard=(count, " at ", m, ", kerf ", kerf),
        form=m.form,
    )


def pieces_out_of(stick: Measure, piece: Measure, kerf: Measure) -> Result:
    """How many of a length one stick gives, a kerf between each two, and what is left; every cut marked.

    The last piece needs no cut where it takes the whole stick, nor a whole kerf where less than one is left.

    Raises:
        Slip: where not one piece or more than can be counted come out of it, or a length cannot be.
    """
    each = limits.positive(piece.length, "piece", piece.form)
    whole = limits.positive(stick.length, "stick", stick.form)
    slot = limits.length(kerf.length, kerf.form)
    if each > whole:
        raise Slip(f"{limits.said(each, piece.form)} won't come out of {limits.said(whole, stick.form)}. Check both.")
    count = limits.count((whole.inches + slot.inches) // (each.inches + slot.inches), "pieces")
    cut = times_with_kerf(piece, count, kerf)
    over = whole - each * count - slot * (count - 1)
    drop = Value("left", max(Length(0), over - slot), lean=stick.lean - piece.lean * count)
    worked = steps.subtract(whole, whole - over, piece.form) if over else ()
    if slot and over > slot:
        worked += steps.subtract(over, slot, piece.form)
    left: Phrase = (drop, " left") if over > slot else ("nothing left",)
    return replace(
        cut,
        values=(Value("pieces", count, "count"), drop),
        say=(count, _pieces(count), ", ", *left),
        steps=(*cut.steps, *worked),
        heard=(piece, " out of ", stick, ", kerf ", kerf),
    )


def _leans(terms: Sequence[Measure]) -> Fraction:
    return sum((t.lean for t in terms), Fraction(0))


def _pieces(count: int) -> str:
    return " piece" if count == 1 else " pieces"


def _list(terms: Sequence[Measure], between: str) -> Phrase:
    said: list[str | Quantity] = []
    for term in terms:
        said += [term, between]
    return tuple(said[:-1])


def _counted(terms: Sequence[Measure]) -> Phrase:
    """The same size several times over is said once, with how many: "two at three eighths and an eighth"."""
    said: list[str | Quantity] = []
    for term, same in groupby(terms):
        count = len(list(same))
        said += [*((count, " at ") if count > 1 else ()), term, " and "]
    return tuple(said[:-1])
