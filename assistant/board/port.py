"""The port to whatever keeps the jobs, and the stand-in that keeps them in memory."""

from __future__ import annotations

from typing import Protocol

from assistant.session.job import Job, Names

__all__ = ["Board", "MemoryBoard"]


class Board(Protocol):
    """Keeps the job in hand with its undo history, and the names on the board."""

    notice: str
    """A sentence about the board that should be told once; mostly empty."""

    @property
    def moved(self) -> bool:
        """Whether something else stands on the board than the job in hand says: time for ``refreshed``."""

    def load(self) -> tuple[Job, tuple[Job, ...]]:
        """The job as it was last saved and the jobs before it, oldest first. A new board: an empty job."""

    def save(self, job: Job, history: tuple[Job, ...] = ()) -> None:
        """Keep it; what ``job.kept`` says of the names is done to the board. On disk when this returns.

        Raises:
            BoardError: when it is not. The board on disk is as it was before.
        """

    def refreshed(self) -> tuple[Names, Names]:
        """Have the job in hand go by what stands on the board now. Returns which names it knew went, which came.

        Raises:
            BoardError: when it cannot be read. Nothing has changed.
        """

    def close(self) -> None:
        """Let go of everything. Closing twice is no error."""


class MemoryBoard:
    """The official stand-in: a board for as long as the program runs."""

    notice = ""
    moved = False

    def __init__(self, names: Names = ()) -> None:
        self._now: tuple[Job, tuple[Job, ...]] = (Job(kept=names), ())

    def load(self) -> tuple[Job, tuple[Job, ...]]:
        return self._now

    def save(self, job: Job, history: tuple[Job, ...] = ()) -> None:
        self._now = (job, history)

    def refreshed(self) -> tuple[Names, Names]:
        return (), ()

    def close(self) -> None:
        pass
