from __future__ import annotations

import pytest

from assistant.keypad.keys import TALK, Key, keyed
from assistant.keypad.reader import Debounce, ScriptedKeys


@pytest.mark.parametrize(
    ("presses", "through"),
    [
        ([(0, "5"), (10, "5")], "5"),
        ([(0, "5"), (24, "5")], "5"),
        ([(0, "5"), (26, "5")], "55"),
        ([(0, "5"), (10, "3")], "53"),
        ([(0, "5"), (10, "3"), (20, "5")], "535"),
        ([(0, "1"), (10, "1"), (20, "1"), (30, "1")], "1"),
        ([(0, "1"), (10, "1"), (100, "1")], "11"),
    ],
)
def test_a_bounced_key_is_one_key(presses, through):
    """25 ms: product contract, "Keys"."""
    now = 0.0
    debounce = Debounce(lambda: now)
    got = ""
    for milliseconds, letter in presses:
        now = 1000 + milliseconds / 1000
        if debounce.accepts(Key(letter)):
            got += letter
    assert got == through


def test_the_stand_in_gives_its_keys_and_then_nothing():
    with ScriptedKeys([*keyed("5E"), TALK]) as reader:
        assert [reader.read() for _ in range(5)] == [Key.FIVE, Key.ENTER, TALK, None, None]
