"""Miters and bevelled ends: saw setting, cut-back, long point and short point."""

from __future__ import annotations

from fractions import Fraction

from assistant.angles import tan
from assistant.enclosure import Size
from assistant.errors import Slip
from assistant.language.requests import Measure
from assistant.layout import cautions, limits, steps
from assistant.layout.result import Exactly, Phrase, Result, Value
from assistant.length import INCHES_PER_FOOT, Length

__all__ = ["bevel_cut", "miter"]

_SQUARE = Fraction(90)


def miter(
    width: Measure,
    *,
    corner: Fraction = _SQUARE,
    long: Measure | None = None,
    short: Measure | None = None,
    ends: int = 2,
) -> Result:
    """The miter between two members of one width, in inches, that meet at ``corner`` degrees.

    ``long`` or ``short`` is the length of the piece in inches to its long or short points; the other comes
    out, for ``ends`` mitered ends (1 or 2). Without either, only the cut-back and the saw setting.

    Raises:
        Slip: where the cuts would meet, or a size or angle cannot be. ValueError where both lengths are given.
    """
    if long is not None and short is not None:
        raise ValueError("give long or short, not both")
    if ends not in (1, 2):
        raise ValueError(f"a piece has one end or both, not {ends}")
    across = limits.positive(width.length, "width", width.form)
    limits.angle(corner, 180, "corner")
    cut = (180 - corner) / 2
    back: Size = across * tan(cut)
    worked: tuple[Phrase, ...] = (
        ("180 less ", steps.about(corner), ", halved, is ", steps.about(cut)),
        ("The tangent of that is ", steps.about(tan(cut), 4)),
        (Exactly(across), " times that is the cut-back, about ", steps.about(back, 3)),
    )
    return _cut(width, back, cut, long, short, ends, worked, ("Miter ", width, *_at(corner)))


def bevel_cut(depth: Measure, in_twelve: Measure, *, long: Measure | None = None, ends: int = 1) -> Result:
    """A bevel of so much in twelve across a depth, all in inches; with ``long``, the length to the long point.

    Raises:
        Slip: where the cuts would meet, or a size cannot be. ValueError for ends not 1 or 2.
    """
    if ends not in (1, 2):
        raise ValueError(f"a piece has one end or both, not {ends}")
    across = limits.positive(depth.length, "depth", depth.form)
    tilt = limits.positive(in_twelve.length, "bevel", in_twelve.form)
    back = across * (tilt.inches / INCHES_PER_FOOT)
    worked: tuple[Phrase, ...] = (
        (Exactly(across), " times ", Exactly(tilt), " by ", INCHES_PER_FOOT, " is ", Exactly(back)),
    )
    return _cut(depth, back, None, long, None, ends, worked, ("Bevel ", in_twelve, " in twelve across ", depth))


def _cut(
    width: Measure,
    back: Size,
    cut: Fraction | None,
    long: Measure | None,
    short: Measure | None,
    ends: int,
    worked: tuple[Phrase, ...],
    heard: Phrase,
) -> Result:
    cut_back = Value("cut-back", back)
    saw = () if cut is None else (Value("saw off square", cut, "deg"),)
    setting: Phrase = () if cut is None else (", saw ", steps.about(cut, 1), " degrees off square")
    piece = long or short
    if piece is None:
        return Result(
            (cut_back, *saw),
            ("cut-back ", cut_back, *setting),
            steps=worked,
            cautions=_owed(),
            heard=heard,
            form=width.form,
        )
    whole = limits.positive(piece.length, "piece", piece.form)
    if long is not None:
        if back * ends >= whole:
            raise Slip(
                f"{limits.said(whole, piece.form)} is too short: the cuts take "
                f"{limits.said(back * ends, piece.form)}. Check the numbers."
            )
        to_long, to_short = Value("long point", whole), Value("short point", whole - back * ends)
    else:
        to_long, to_short = Value("long point", whole + back * ends), Value("short point", whole)
    answer = to_short if long is not None else to_long
    return Result(
        values=(to_long, to_short, cut_back, *saw),
        say=(
            "long point ",
            to_long,
            ", short point ",
            to_short,
            *setting,
            *((" both ends",) if ends == 2 else ()),
        ),
        steps=(*worked, *_ends(whole, back, ends, answer)),
        cautions=_owed(),
        heard=(*heard, *((", long point ",) if long is not None else (", short point ",)), piece),
        form=piece.form,
    )


def _ends(whole: Length, back: Size, ends: int, answer: Value) -> tuple[Phrase, ...]:
    sign = " less " if answer.name == "short point" else " plus "
    cuts = " cut" if ends == 1 else " cuts"
    taken, left = steps.about(back * ends, 3), steps.about(answer.amount, 3)
    return ((Exactly(whole), sign, taken, " for ", ends, cuts, " is ", left),)


def _at(corner: Fraction) -> Phrase:
    return (" at a corner of ", steps.about(corner), " degrees")


def _owed() -> tuple[str, ...]:
    return (cautions.BOTH_HANDS, cautions.SAW_SCALE, cautions.TRY_ONE)
