"""Fixtures for the tests that need a voice."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from assistant.speaking.voice import PyttsxVoice
from tests.speaking.ears import real_voice


@pytest.fixture
def voice() -> Iterator[PyttsxVoice]:
    with real_voice() as voice:
        yield voice
