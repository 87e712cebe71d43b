"""The environment that other programs get from us."""

from __future__ import annotations

import os

PRIVATE = ("DATABASE_URL", "TAPEHAND_BOARD")
"""The board's address may hold a password, and none of our helpers has any business with the board."""


def for_helpers(**more: str) -> dict[str, str]:
    """Our environment variables and ``more``, without the private ones."""
    return {**{name: value for name, value in os.environ.items() if name not in PRIVATE}, **more}
