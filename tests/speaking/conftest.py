"""Fixtures for the tests that need a voice."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from assistant.errors import VoiceUnavailable
from assistant.speaking.voice import PyttsxVoice


@pytest.fixture
def voice() -> Iterator[PyttsxVoice]:
    """The real voice; the test is skipped with the reason where there is none."""
    real = PyttsxVoice()
    try:
        real.render("ready")
    except VoiceUnavailable as reason:
        pytest.skip(str(reason))
    yield real
    real.close()
