"""``tapehand check``: every part tried, a sentence for each that is not ready, and never a traceback."""

from __future__ import annotations

import sqlite3

from tests.cli.conftest import Ran, Tapehand


def lines(ran: Ran) -> dict[str, tuple[bool, str]]:
    """Name of the part to whether it is ready and what is said of it."""
    found = {}
    for line in ran.out.splitlines():
        sign, name, words = line[:7].strip(), *line[7:].split(": ", 1)
        found[name] = (sign == "ready", words)
    return found


def test_everything_is_looked_at(tapehand: Tapehand) -> None:
    ran = tapehand("check")
    found = lines(ran)
    assert list(found)[:5] == ["settings", "answers", "board", "keypad", "microphone"]
    assert ran.status == 0
    assert found["answers"] == (
        True,
        "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths.",
    )
    assert found["board"] == (True, f"{tapehand.board}, 0 names on it")
    assert not found["keypad"][0]  # this is no terminal
    for ready, words in found.values():
        assert words
        assert ready or words.endswith(".")


def test_a_broken_settings_file_does_not_stop_the_job(tapehand: Tapehand) -> None:
    tapehand.settings.write_text("[speaking]\nrate = 'fast'\n")
    ran = tapehand("check")
    assert ran.status == 0
    ready, words = lines(ran)["settings"]
    assert not ready
    assert words.startswith(f"Put rate right in {tapehand.settings}: ")


def test_a_board_in_use_is_told_and_the_check_fails(tapehand: Tapehand) -> None:
    raw = sqlite3.connect(tapehand.board, isolation_level=None)
    raw.execute("BEGIN EXCLUSIVE")
    ran = tapehand("check")
    raw.close()
    assert ran.status == 1
    ready, words = lines(Ran(0, "\n".join(ran.out.splitlines()[:-1]), ""))["board"]
    assert not ready
    assert words.startswith("Another program is holding the board")


def test_a_damaged_board_is_told_once(tapehand: Tapehand) -> None:
    tapehand.board.write_bytes(b"not a database at all, " * 300)
    first, second = tapehand("check"), tapehand("check")
    assert (first.status, second.status) == (1, 0)
    assert "The board was damaged. A new one is begun; the old one is kept as" in first.out


def test_a_microphone_that_is_not_there(tapehand: Tapehand) -> None:
    tapehand.settings.write_text('[hearing]\nmicrophone = "the one in the other shop"\n')
    ready, words = lines(tapehand("check"))["microphone"]
    assert not ready
    assert words.endswith(".")
