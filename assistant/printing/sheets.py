"""A sheet as the session asks for it, drawn."""

from __future__ import annotations

from assistant.language.requests import Sheet
from assistant.printing.cut_list import cut_list
from assistant.printing.mark_sheet import mark_sheet
from assistant.printing.paper import LETTER, Paper
from assistant.printing.wrap import WrapTemplate, wrap_sheets
from assistant.session.on_paper import PutOnPaper

__all__ = ["drawn"]


def drawn(wanted: PutOnPaper, paper: Paper = LETTER) -> bytes:
    """The sheet as a PDF."""
    answer = wanted.answer
    if wanted.sheet is Sheet.CUTS:
        assert wanted.nest is not None
        return cut_list(wanted.nest, wanted.title, answer.cautions, answer.tape, wanted.form, paper)
    if wanted.sheet is Sheet.TEMPLATE:
        assert wanted.wrap is not None
        return wrap_sheets(WrapTemplate(wanted.title, wanted.wrap, answer.cautions), paper)
    return mark_sheet(answer, wanted.title, paper, wanted.datum)
