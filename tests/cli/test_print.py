"""``tapehand print``."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["marks", "53 5/8 in seven parts"], "mark-sheet.pdf"),
        (["miter", "6.625", "--turn", "45"], "miter-template.pdf"),
        (["cuts", "kerf an eighth", "sticks twenty foot", "cut four at 95 7/8"], "cut-list.pdf"),
        (["template", "saddle four on six outside ninety degrees"], "template.pdf"),
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
        (["cuts"], 2, "no cut list"),
        (["cuts", "kerf an eighth", "sticks ten foot", "cut four at 20 foot"], 2, "longer than every stick"),
        (["template", "center of 10"], 2, "no template"),
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


def test_the_job_on_the_bench_is_printed(tapehand) -> None:
    from assistant.board.opening import open_board
    from assistant.desk import Desk
    from assistant.settings import BoardAddress, Settings

    board = open_board(BoardAddress(str(tapehand.board)))
    desk = Desk(Settings(), board)
    for words in ("kerf an eighth", "sticks twenty foot", "cut four at 95 7/8", "53 5/8 in seven parts"):
        desk.ask(words)
    board.close()
    for sheet, name in (("marks", "mark-sheet.pdf"), ("cuts", "cut-list.pdf")):
        assert tapehand("print", sheet).out == f"{name} is ready to print.\n"
        assert (tapehand.folder / name).exists()


def test_asked_for_in_words_it_goes_to_the_folder(tapehand) -> None:
    """The folder of programs has no print command."""
    done = tapehand("ask", "-", stdin="53 5/8 in seven parts\nprint the marks\n", PATH=str(tapehand.folder))
    assert "There is no printer here. Mark sheet one is in the folder sheets.\n" in done.out
    assert (tapehand.folder / "sheets" / "mark-sheet-1.pdf").exists()
