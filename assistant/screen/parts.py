"""What the page shows of an answer, in parts that can be sent: plain values and SVG text. Pure."""

from __future__ import annotations

from dataclasses import asdict
from fractions import Fraction
from typing import Any

from assistant.language.speak import speak_whole
from assistant.length import Length
from assistant.screen.figures import Figures, figures
from assistant.screen.icons import icon
from assistant.screen.piece_picture import PieceMark, piece_picture
from assistant.screen.tape_picture import tape_picture
from assistant.session.answer import Answer, ShownMark, ShownValue
from assistant.tape import Form, Lean, Tape, form_of, read, written

__all__ = ["answer_part", "enter_word", "large", "picture_part"]

WIDE, NARROW = Fraction(6), Fraction(3)
"""Inches of tape on a wide and on a narrow screen."""
_STEP_WINDOW = Fraction(2)
_PIECE_WIDTHS = (1800, 800)
_BESIDE = 4
"""Further values shown beside the large one. More than can be read at a glance are left to the voice."""


def answer_part(answer: Answer) -> dict[str, Any]:
    """The words of an answer with their small pictures."""
    explained = bool(answer.step_sizes) and answer.say.startswith(answer.steps[0])
    sizes = answer.step_sizes if explained else ()
    return {
        "heard": answer.heard,
        "status": answer.status,
        "held": f'Holding {Length(answer.held)}"' if answer.held else "",
        "say": _beside_cautions(answer),
        "walked": _tells_a_mark(answer),
        "cautions": list(answer.cautions),
        "choices": [
            {
                "key": choice.key,
                "say": choice.say,
                "picture": _choice_picture(choice.say, choice.exact, answer.tape),
            }
            for choice in answer.choices
        ],
        "steps": [
            {"say": say, "picture": _small_tape(size, answer.tape) if size else ""}
            for say, size in zip(answer.steps, sizes, strict=False)
        ],
    }


def _beside_cautions(answer: Answer) -> str:
    """What is said, without the cautions: they stand beside it."""
    words = answer.say
    for caution in answer.cautions:
        words = words.replace(caution, "")
    return " ".join(words.split())


def _tells_a_mark(answer: Answer) -> bool:
    """Whether what is said is the mark that is shown large, and which it is, and nothing that stands nowhere else."""
    mark = large(answer)
    if not isinstance(mark, ShownMark):
        return False
    return f"{speak_whole(mark.index)} of {speak_whole(mark.count)}" in answer.say.casefold()


def picture_part(answer: Answer, studs: bool = False) -> dict[str, Any] | None:
    """The figures, tape and piece; ``studs`` as for the tape.

    Empty where the bench is clear, None where the picture stays as it is.
    """
    shown = large(answer)
    if shown is None:
        return {} if answer.piece is None and answer.status == "done" else None
    mark = shown if isinstance(shown, ShownMark) else None
    others = [value for value in answer.values if value is not shown and value.name != shown.name] if not mark else []
    inches = _inches(shown)
    on_tape = isinstance(shown, ShownMark) or shown.unit == "in"
    form = form_of(shown.tape)
    return {
        "figures": _figures(shown),
        "lean": shown.lean.value,
        "name": shown.name,
        "beside": shown.beside,
        "exact": "" if _on_the_nose(shown, inches) else f"exactly {_plain(shown.exact)}",
        "place": f"{mark.index} of {mark.count}" if mark and mark.count > 1 else "",
        "others": [_other(value) for value in others[:_BESIDE]],
        "tape": [tape_picture(inches, shown.lean, answer.tape, form, window, studs) for window in (WIDE, NARROW)]
        if on_tape
        else [],
        "piece": _piece(answer, shown, form),
    }


def large(answer: Answer) -> ShownMark | ShownValue | None:
    """What is shown large: the mark he is at, else the first value of the answer."""
    if answer.at is not None and 0 < answer.at <= len(answer.marks):
        return answer.marks[answer.at - 1]
    return next(iter(answer.values), None)


def enter_word(answer: Answer, keying: bool) -> str:
    """What the Enter key does now, in a word."""
    if keying or answer.choices or answer.status == "question":
        return "Enter"
    if answer.marks:
        return "Next"
    return "Center" if answer.piece else "Enter"


def _figures(shown: ShownMark | ShownValue) -> dict[str, str]:
    if isinstance(shown, ShownValue) and not shown.tape:
        return asdict(Figures(whole=shown.figure, unit=shown.unit_word))
    found = figures(shown.tape)
    return asdict(found or Figures(whole=shown.tape))


def _inches(shown: ShownMark | ShownValue) -> Fraction:
    return shown.inches if shown.inches is not None else Fraction(shown.exact)


def _on_the_nose(shown: ShownMark | ShownValue, inches: Fraction) -> bool:
    """Whether the figures are the exact value, so that there is nothing to add."""
    if isinstance(shown, ShownValue) and not shown.tape:
        return True
    return Length(shown.tape).inches == inches


def _plain(exact: str) -> str:
    """An exact value as it is read: whole and fraction, or the decimals that matter.

    >>> _plain("429/16"), _plain("12.5123456789012"), _plain("7")
    ('26 13/16', '12.5123', '7')
    """
    if "/" in exact:
        return str(Length(Fraction(exact)))
    whole, _, places = exact.partition(".")
    return f"{whole}.{places[:4]}" if places else whole


def _other(value: ShownValue) -> dict[str, str]:
    if value.tape:
        lean = "" if value.lean is Lean.ON else f" {value.lean.value}"
        return {"name": value.name, "is": value.tape + lean}
    return {"name": value.name, "is": value.amount}


def _piece(answer: Answer, shown: ShownMark | ShownValue, form: Form) -> list[str]:
    """What the marks are laid out on; where there are none the piece, when it is what is shown."""
    length = answer.marks_on
    if not answer.marks and answer.piece is not None and answer.piece.length.inches == shown.inches:
        length = shown.inches
    if length is None:
        return []
    name = written(read(Length(length), answer.tape).mark, form)
    marks = [PieceMark(_inches(mark), mark.tape) for mark in answer.marks]
    lit = 1 if len(marks) == 1 else answer.at if answer.at and answer.at <= len(marks) else None
    return [piece_picture(length, name, marks, lit, width) for width in _PIECE_WIDTHS]


def _choice_picture(say: str, exact: str, tape: Tape) -> str:
    return _small_tape(Fraction(exact), tape) if exact else icon(say)


def _small_tape(size: Fraction, tape: Tape) -> str:
    length = Length(size)
    return tape_picture(size, read(length, tape).lean, tape, window=_STEP_WINDOW) if size >= 0 else ""
