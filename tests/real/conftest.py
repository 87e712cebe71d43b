"""Fixtures for the tests that need a sound card."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.real.sound_card import SoundCard, SoundCardMissing


@pytest.fixture(scope="session")
def sound_card() -> Iterator[SoundCard]:
    """The virtual sound card, for the whole run; the test is skipped with the reason where there can be none."""
    card = SoundCard()
    try:
        card.start()
    except SoundCardMissing as reason:
        pytest.skip(str(reason))
    yield card
    card.stop()
