"""``tapehand print``."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["marks", "53 5/8 in seven parts"], "mark-sheet.pdf"),
        (["miter", "6.625", "--turn", "45"], "miter-template.pdf"),
        (["saddle", "4 1/2", "6 5/8", "--paper", "a4"], "saddle-template.pdf"),
    ],
)
def test_a_sheet_is_written(tapehand, words: list[str], name: str) -> None:
    done = tapehand("print", *words)
    assert (done.status, done.out, done.err) == (0, f"{name} is ready to print.\n", "")
    assert (tapehand.folder / name).read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("words", "status", "sentence"),
    [
        (["marks"], 2, "nothing on the bench"),
        (["marks", "wibble"], 2, "I don't know those words"),
        (["marks", "53 and five"], 3, "Five what?"),
        (["miter", "six"], 2, "six is no size"),
        (["miter", "6 5/8", "--turn", "far"], 2, "far is no angle"),
        (["saddle", "8", "6"], 2, "won't sit on"),
        (["marks", "53 5/8", "--out", "no/such/folder.pdf"], 1, "cannot be written"),
    ],
)
def test_what_cannot_be_printed_costs_a_sentence(tapehand, words: list[str], status: int, sentence: str) -> None:
    done = tapehand("print", *words)
    assert done.status == status
    assert sentence in done.out + done.err
    assert not list(tapehand.folder.glob("*.pdf"))
