"""Everything a job holds while it runs. One frozen value, so that undo is keeping the one before."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from assistant.language.requests import Measure

if TYPE_CHECKING:
    from assistant.layout.result import Result

__all__ = ["Job"]


@dataclass(frozen=True, slots=True)
class Job:
    """The state of the bench. A new one is made by every request that changes anything."""

    piece: Measure | None = None
    """The measurement in hand."""
    result: Result | None = None
    """The last answer that "how come" explains and "next" walks."""
    at: int = 0
    """Which of its marks was said last; 0 before the first."""
    string: tuple[Measure, ...] | None = None
    """The running string, while one is open."""
    kept: tuple[tuple[str, Measure], ...] = field(default=())
    """Names on the board with what they stand for, oldest first."""
