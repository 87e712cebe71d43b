"""Opening a board by its address, and a board that is only opened when it is needed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from assistant.board.port import Names
from assistant.errors import BoardError
from assistant.session.job import Job

if TYPE_CHECKING:
    from assistant.board.sqlite import SqliteBoard

__all__ = ["NamesOnDemand", "board_path", "open_board"]


def board_path(address: str) -> Path:
    """The file a board is in. ``address``: its path, or the URL of an SQLite database.

    Raises:
        BoardError: for the URL of any other database.
    """
    scheme, separator, rest = address.partition("://")
    if not separator:
        return Path(address).expanduser()
    if scheme.partition("+")[0] == "sqlite" and rest.startswith("/") and len(rest) > 1:
        return Path(rest[1:])
    raise BoardError(f"A board cannot be kept in a {scheme} database yet. Name a file with TAPEHAND_BOARD.")


def open_board(address: str, jobs: bool = True) -> SqliteBoard:
    """The board at an address; ``jobs`` as for SqliteBoard.

    Raises:
        BoardError: as SqliteBoard does.
    """
    from assistant.board.sqlite import SqliteBoard  # SQLAlchemy takes longer to load than a request to answer

    return SqliteBoard(board_path(address), jobs)


class NamesOnDemand:
    """The names on a board, for a few requests at a desk: no file is made until there is a name to keep.

    A board that cannot be opened costs a ``notice``; keeping a name then fails as it should.
    """

    def __init__(self, address: str) -> None:
        self.notice = ""
        self._address = address
        self._board: SqliteBoard | None = None
        self._known: Names = ()

    def load(self) -> tuple[Job, tuple[Job, ...]]:
        try:
            if board_path(self._address).exists():
                self._known = self._opened().load()[0].kept
                self.notice = self._opened().notice
        except BoardError as error:
            self.notice = str(error)
        return Job(kept=self._known), ()

    def save(self, job: Job, history: tuple[Job, ...] = ()) -> None:
        if job.kept != self._known:
            self._opened().save(job, history)
            self._known = job.kept

    def close(self) -> None:
        if self._board is not None:
            self._board.close()
            self._board = None

    def _opened(self) -> SqliteBoard:
        if self._board is None:
            self._board = open_board(self._address, jobs=False)
        return self._board
