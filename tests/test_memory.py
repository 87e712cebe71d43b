"""malloc_trim(3): the memory of what was let go of is no longer resident."""

from __future__ import annotations

import sys

import pytest

from assistant.memory import give_back
from assistant.prove import usage


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="resident memory is read from Linux's /proc")
def test_what_is_free_goes_back_to_the_system() -> None:
    # Small enough for the heap: mallopt(3), M_MMAP_THRESHOLD.
    pieces = [bytes([n % 255 + 1]) * 100_000 for n in range(1000)]
    kept = pieces[::50]
    full = usage.megabytes()
    del pieces
    give_back()
    assert usage.megabytes() < full - 80
    assert len(kept) == 20
