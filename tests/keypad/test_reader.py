from __future__ import annotations

import pytest

from assistant.keypad.keys import Key, Talk, keyed
from assistant.keypad.reader import Debounce, ScriptedKeys, TalkSwitch


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
    with ScriptedKeys([*keyed("5E"), Talk.DOWN]) as reader:
        assert [reader.read() for _ in range(5)] == [Key.FIVE, Key.ENTER, Talk.DOWN, None, None]


HELD = [0, *range(500, 1500, 33)]
"""Held for a second and a half, with the delay and rate of repeating that many systems come with (from memory).
Its last repeat comes at 1490 ms."""


@pytest.mark.parametrize(
    ("presses", "seen"),
    [
        (HELD, [(0, Talk.DOWN), (1740, Talk.UP)]),  # a quarter of a second after its last repeat
        ([0, 10, *HELD[1:]], [(0, Talk.DOWN), (1740, Talk.UP)]),  # bounced as it went down
        ([0, 3000], [(0, Talk.DOWN), (3000, Talk.UP)]),  # tapped to begin and tapped to end
        ([0, 10, 3000], [(0, Talk.DOWN), (3000, Talk.UP)]),
        ([*HELD, 4000, 9000], [(0, Talk.DOWN), (1740, Talk.UP), (4000, Talk.DOWN), (9000, Talk.UP)]),
    ],
)
def test_the_talk_key_held_or_tapped(presses, seen):
    now = 0.0
    switch = TalkSwitch(lambda: now)
    got = []
    for milliseconds in range(10_000):
        now = milliseconds / 1000
        for talk in (switch.rested(), switch.pressed() if milliseconds in presses else None):
            if talk:
                got.append((milliseconds, talk))
    assert got == seen
