"""Clips in other voices: slower and faster without a step back, smoothed, each voice always the same."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.build.revoice import STRETCH, SWAY, TRACT, Voice, between, smoothed, warped_time

SEEDS = st.integers(0, 10_000)


@given(st.integers(2, 2000), SEEDS)
def test_time_goes_on_and_ends_where_the_clip_ends(frames: int, seed: int) -> None:
    at = warped_time(frames, np.random.RandomState(seed))
    assert (np.diff(at) >= 0).all()
    assert at[0] >= 0
    assert frames - 1 - 2 / STRETCH[0] / (1 - SWAY) <= at[-1] <= frames - 1
    assert STRETCH[0] * (1 - SWAY) * frames - 1 <= len(at) <= STRETCH[1] * (1 + SWAY) * frames


def test_rows_between_rows() -> None:
    rows = np.array([[0.0, 4.0], [2.0, 0.0], [10.0, 10.0]])
    places = np.array([0.0, 0.25, 1.0, 1.5, 2.0, 7.0])
    expected = [[0, 4], [0.5, 3], [2, 0], [6, 5], [10, 10], [10, 10]]
    assert between(rows, places) == pytest.approx(np.array(expected))


def test_a_smoothed_envelope_keeps_its_tilt_and_loses_its_ripple() -> None:
    bins = np.arange(513)
    tilt, ripple = -4 * np.cos(np.pi * bins / 512), np.cos(np.pi * 60 * bins / 512)
    assert smoothed(np.array([tilt + ripple]), 20)[0] == pytest.approx(tilt)


@given(SEEDS)
def test_a_voice_is_drawn_within_its_bounds(seed: int) -> None:
    voice = Voice.drawn(np.random.RandomState(seed))
    assert TRACT[0] <= voice.tract <= TRACT[1]
    assert voice.note is None or voice.note == 0 or 80 <= voice.note <= 240
    assert voice == Voice.drawn(np.random.RandomState(seed))
