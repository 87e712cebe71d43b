"""Speech put together from halves of phones: the order is the one asked for, what stood together stays together."""

from __future__ import annotations

from itertools import groupby, pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from models.build.lexicon import SILENCE
from models.build.unit_selection import EDGE, FADE, Selection, Speaker

LENGTH = 3200
"""Samples of each phone here. Its sound is its number, all through."""
CLIPS = ([SILENCE, 1, 2, 3, SILENCE], [SILENCE, 4, 2, 5, 1, SILENCE], [SILENCE, 3, 3, SILENCE])


def speaker() -> Speaker:
    phones = np.array([p for clip in CLIPS for p in clip])
    start = LENGTH * np.arange(len(phones) + 1)
    return Speaker(
        np.repeat(phones, LENGTH).astype(np.float32),
        phones,
        start,
        np.repeat(phones, 2)[:, None].astype(np.float32),
        start[:-1] + LENGTH // 2,
        np.array([n > 0 for clip in CLIPS for n in range(len(clip))]),
    )


def said(row: list[int]) -> tuple[np.ndarray, float]:
    made = Selection(speaker()).say([SILENCE, *row, SILENCE], np.random.RandomState(1))
    assert made is not None
    return made


def plateaus(sound: np.ndarray) -> list[tuple[int, int]]:
    """What sounds for longer than a join takes, and for how many samples. Two of one kind in a row are one."""
    sound = sound.round(3)
    found: list[tuple[int, int]] = []
    for a, b in pairwise([0, *(np.flatnonzero(np.diff(sound)) + 1), len(sound)]):
        if b - a > 2 * FADE:
            found.append((int(sound[a]), b - a))
    return merged(found)


def merged(rows: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return [(phone, sum(n for _, n in same)) for phone, same in groupby(rows, lambda row: row[0])]


def test_what_was_said_is_taken_whole() -> None:
    sound, cost = said([4, 2, 5, 1])
    first = len(CLIPS[0])
    begin, end = LENGTH * (first + 1) - EDGE - FADE, LENGTH * (first + 5) + EDGE + FADE
    np.testing.assert_array_equal(sound, speaker().sound[begin:end])
    assert cost < said([4, 3, 5, 2])[1]


def test_a_phone_that_is_never_said_cannot_be() -> None:
    assert Selection(speaker()).say([SILENCE, 1, 6, SILENCE], np.random.RandomState(1)) is None


@given(st.lists(st.integers(1, 5), min_size=1, max_size=12))
def test_every_row_is_said_in_its_order_between_silences(row: list[int]) -> None:
    heard = plateaus(said(row)[0])
    wanted = merged([(phone, LENGTH) for phone in [SILENCE, *row, SILENCE]])
    assert [phone for phone, _ in heard] == [phone for phone, _ in wanted]
    for (_, has), (_, length) in list(zip(heard, wanted, strict=True))[1:-1]:
        assert abs(has - length) <= 4 * FADE * length / LENGTH
