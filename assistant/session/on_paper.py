"""What is put on paper of the job on the bench, and that nothing is where there is nothing."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.errors import Slip
from assistant.language.requests import Sheet, Task
from assistant.layout.sticks import Nest
from assistant.layout.template import Wrap
from assistant.session.answer import Answer
from assistant.session.carry_out import cut_list_of, marks_in_hand, result_of
from assistant.session.deeds import Deed, Turned
from assistant.session.job import Job
from assistant.session.lay_out import nest_of, wrap_of
from assistant.session.present import answered, inches_of, marks_of, said
from assistant.session.reader import Reader
from assistant.tape import Form, Tape

__all__ = ["PutOnPaper", "sheet_of"]


@dataclass(frozen=True, slots=True)
class PutOnPaper:
    """Print this. Whoever does it says in the answer where it is now."""

    sheet: Sheet
    """Never FITTING."""
    title: str
    """What was asked, in words, as it was read back."""
    answer: Answer
    """The values, marks and cautions, for a mark sheet; the cautions of the others."""
    datum: str = ""
    """What the marks are measured from."""
    form: Form = Form.INCHES
    nest: Nest | None = None
    """The cut list."""
    wrap: Wrap | None = None
    """The template."""


def sheet_of(job: Job, sheet: Sheet, tape: Tape, reader: Reader) -> PutOnPaper:
    """The sheet that was asked for, of what is on the bench.

    Raises:
        Slip: where there is nothing of the kind.
    """
    asked = job.walked.of if isinstance(job.walked, Turned) else job.walked
    wrap = wrap_of(asked) if isinstance(asked, Task) else None
    if sheet is Sheet.FITTING:
        sheet = Sheet.CUTS if _is_nest(asked) else Sheet.TEMPLATE if wrap else Sheet.MARKS
    if sheet is Sheet.CUTS:
        return _cut_list(job, tape, reader)
    if sheet is Sheet.TEMPLATE and wrap is None:
        raise Slip("There is no template to print. Ask for a pipe miter or a saddle first.")
    if job.walked is None:
        raise Slip("There is nothing on the bench to print. Give me a measurement first.")
    result = result_of(job.walked, tape)
    marks = marks_in_hand(job, tape)
    answer = replace(
        answered("", result, reader),
        marks=marks_of(marks, reader),
        piece=job.piece,
        tape=tape,
        marks_on=inches_of(marks.closing) if marks.closing is not None else None,
    )
    if sheet is Sheet.TEMPLATE:
        return PutOnPaper(sheet, said(result, reader), answer, form=result.form, wrap=wrap)
    return PutOnPaper(sheet, said(result, reader), answer, marks.datum, result.form)


def _cut_list(job: Job, tape: Tape, reader: Reader) -> PutOnPaper:
    cuts = cut_list_of(job)
    result = result_of(cuts, tape)
    answer = replace(answered("", result, reader), tape=tape)
    return PutOnPaper(Sheet.CUTS, said(result, reader), answer, form=result.form, nest=nest_of(cuts))


def _is_nest(asked: Deed | None) -> bool:
    return isinstance(asked, Task) and asked.kind == "nest"
