"""The sequences are those of "XTerm Control Sequences" (invisible-island.net/xterm/ctlseqs), its tables for the
numeric keypad in normal and application mode and for the editing keypad, and of console_codes(4)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.keypad.decode import Decoder
from assistant.keypad.keys import Key, Talk, keyed
from assistant.keypad.windows import MARKS, from_console

ALL = "0123456789.+-*/E"
NUMLOCK_ON = [*(letter.encode() for letter in "0123456789.+-*/"), b"\r"]
APPLICATION = [b"\x1bO" + bytes([letter]) for letter in b"pqrstuvwxynkmjoM"]
VT_STYLE = {
    "0": b"\x1b[2~", "1": b"\x1b[4~", "2": b"\x1b[B", "3": b"\x1b[6~", "4": b"\x1b[D", "5": b"\x1b[E",
    "6": b"\x1b[C", "7": b"\x1b[1~", "8": b"\x1b[A", "9": b"\x1b[5~", ".": b"\x1b[3~",
}  # fmt: skip
PC_STYLE = {
    "1": b"\x1b[F", "7": b"\x1b[H", "2": b"\x1bOB", "4": b"\x1bOD", "5": b"\x1bOE", "6": b"\x1bOC", "8": b"\x1bOA",
}  # fmt: skip
LINUX_CONSOLE_OFF = {"5": b"\x1b[G", "7": b"\x1b[1~", "1": b"\x1b[4~"}


def typed(data: bytes, **options) -> str:
    return "".join(key.value for key in Decoder(**options).feed(data))


@pytest.mark.parametrize("sequences", [NUMLOCK_ON, APPLICATION], ids=["NumLock on", "application mode"])
def test_every_key_of_the_pad(sequences):
    assert [typed(sequence) for sequence in sequences] == list(ALL)
    assert typed(b"".join(sequences)) == ALL


@pytest.mark.parametrize("table", [VT_STYLE, PC_STYLE, LINUX_CONSOLE_OFF], ids=["VT", "PC", "Linux console"])
def test_numlock_off_is_the_same_keys(table):
    assert {name: typed(sequence) for name, sequence in table.items()} == {name: name for name in table}


def test_a_key_held_with_a_modifier_is_still_that_key():
    assert typed(b"\x1b[1;2A\x1b[3;5~\x1bO5p") == "8.0"


def test_the_linux_console_has_its_own_letters_in_application_mode():
    """drivers/tty/vt/keyboard.c: app_map[] = "pqrstuvwxylSRQMnnmPQS"; there P is NumLock itself."""
    assert typed(b"\x1bOl\x1bOS\x1bOR\x1bOQ\x1bOM\x1bOn\x1bOP", linux_console=True) == "+-*/E."
    assert typed(b"\x1bOP\x1bOQ\x1bOR\x1bOS") == ""  # elsewhere they are F1 to F4
    assert typed(b"\x1b[[A\x1b[[E5", linux_console=True) == "5"  # F1 and F5 of the Linux console


def test_backspace_comma_and_the_talk_key():
    assert Decoder().feed(b"\x7f\b, ") == [Key.BACKSPACE, Key.BACKSPACE, Key.DOT, Talk.DOWN]
    assert Decoder(talk="b").feed(b"b ") == [Talk.DOWN]


def test_letters_are_not_keys():
    assert typed("Ee<q~é½".encode()) == ""


def test_what_is_pasted_is_not_keyed():
    assert typed(b"1\x1b[200~53\r\x1b[A\x1b[201~2") == "12"


def test_a_sequence_may_come_in_pieces():
    decoder = Decoder()
    assert decoder.feed(b"\x1b") == []
    assert decoder.waiting
    assert decoder.feed(b"O") == []
    assert decoder.feed(b"u") == [Key.FIVE]
    assert not decoder.waiting


def test_escape_alone_is_let_go():
    decoder = Decoder()
    assert decoder.feed(b"\x1b") == []
    assert decoder.give_up() == []
    assert not decoder.waiting
    assert decoder.feed(b"5\x1b5") == [Key.FIVE, Key.FIVE]


SEQUENCES = [*NUMLOCK_ON, *APPLICATION, *VT_STYLE.values(), *PC_STYLE.values()]


@given(st.lists(st.sampled_from(SEQUENCES)), st.data())
def test_how_it_was_cut_up_makes_no_difference(sequences, data):
    whole = b"".join(sequences)
    decoder = Decoder()
    keys = []
    while whole:
        cut = data.draw(st.integers(1, len(whole)))
        keys += decoder.feed(whole[:cut])
        whole = whole[cut:]
    assert keys == Decoder().feed(b"".join(sequences))
    assert len(keys) == len(sequences)


@given(st.lists(st.binary(max_size=80)))
def test_noise_on_the_line_never_stops_the_keys(pieces):
    decoder = Decoder()
    for piece in pieces:
        decoder.feed(piece)
        while decoder.waiting:
            decoder.give_up()
    decoder.feed(b"\x1b[201~")  # the end of anything pasted
    assert decoder.feed(b"5\x1bOM") == list(keyed("5E"))


def test_the_windows_console_numlock_both_ways():
    """Microsoft, "Keyboard Scan Code Specification": hexadecimal 47 Home to 53 Delete, as characters."""
    assert "".join(from_console(letter).value for letter in "0123456789.+-*/\r") == ALL
    for mark in MARKS:
        assert "".join(from_console(mark, code).value for code in "ROPQKLMGHIS") == "0123456789."
    assert from_console(" ") is Talk.DOWN
    assert from_console("x") is None
    assert from_console("\xe0", ";") is None
    with pytest.raises(KeyboardInterrupt):
        from_console("\x03")
