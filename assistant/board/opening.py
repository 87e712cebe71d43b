"""Opening a board by its address, and a board that is only opened when it is needed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.errors import BoardError
from assistant.session.job import Job, Names
from assistant.settings import BoardAddress

if TYPE_CHECKING:
    from assistant.board.courier import Courier
    from assistant.board.sqlite import SqliteBoard

__all__ = ["BoardLater", "NamesOnDemand", "board_path", "courier_of", "open_board"]


def board_path(file: str) -> Path:
    """The file a board is in. ``file``: its path, or the URL of an SQLite database.

    Raises:
        BoardError: for the URL of any other database.
    """
    scheme, separator, rest = file.partition("://")
    if not separator:
        return Path(file).expanduser()
    if scheme.partition("+")[0] == "sqlite" and rest.startswith("/") and len(rest) > 1:
        return Path(rest[1:])
    raise BoardError(f"A board cannot be kept in a {scheme} database. Name a file, or a PostgreSQL database.")


def open_board(address: BoardAddress, jobs: bool = True) -> SqliteBoard:
    """This bench's own file at an address; ``jobs`` as for SqliteBoard.

    Raises:
        BoardError: as SqliteBoard does.
    """
    from assistant.board.sqlite import SqliteBoard  # SQLAlchemy takes longer to load than a request to answer

    return SqliteBoard(board_path(address.file), jobs)


def courier_of(board: SqliteBoard, address: BoardAddress) -> Courier | None:
    """Who goes between it and the board it shares with other benches; None where it shares none."""
    from assistant.board.courier import Courier

    return Courier(board, address.server) if address.server else None


class BoardLater:
    """A bench's board that cannot be opened just now: it is tried again whenever something is to be kept.

    Until then keeping fails with the sentence that says why, so that nothing is confirmed that is not on disk. A job
    that stands in the file stays there; the one in hand is written beside it.
    """

    notice = ""

    def __init__(self, address: BoardAddress) -> None:
        self._address = address
        self.opened: Callable[[SqliteBoard], None] = lambda board: None
        """Called once with the board, when it is there."""
        self._board: SqliteBoard | None = None

    @property
    def moved(self) -> bool:
        return self._board is not None and self._board.moved

    def load(self) -> tuple[Job, tuple[Job, ...]]:
        return Job(), ()

    def save(self, job: Job, history: tuple[Job, ...] = ()) -> None:
        if self._board is not None:
            self._board.save(job, history)
            return
        board = open_board(self._address)
        try:
            board.save(job, history)
            board.look()  # for the names that stand there, which nobody at the bench knows yet
        except BaseException:
            board.close()
            raise
        self._board = board
        self.opened(board)

    def refreshed(self) -> tuple[Names, Names]:
        return self._board.refreshed() if self._board is not None else ((), ())

    def close(self) -> None:
        if self._board is not None:
            self._board.close()


class NamesOnDemand:
    """The names on a board, for a few requests at a desk: no file is made until there is a name to keep, or others
    to share names with.

    A board that cannot be opened or reached costs a ``notice``; keeping a name in a file that cannot be opened then
    fails as it should.
    """

    moved = False

    def __init__(self, address: BoardAddress) -> None:
        self.notice = ""
        self._address = address
        self._board: SqliteBoard | None = None
        self._courier: Courier | None = None
        self._known: Names = ()

    def load(self) -> tuple[Job, tuple[Job, ...]]:
        try:
            if self._address.server or board_path(self._address.file).exists():
                board = self._opened()
                away = self._courier.exchange() if self._courier else ""
                self._known = board.load()[0].kept
                self.notice = " ".join(filter(None, (board.notice, away)))
        except BoardError as error:
            self.notice = str(error)
        return Job(kept=self._known), ()

    def save(self, job: Job, history: tuple[Job, ...] = ()) -> None:
        if job.kept != self._known:
            self._opened().save(job, history)
            self._known = job.kept
            if self._courier:
                self._courier.exchange()

    def refreshed(self) -> tuple[Names, Names]:
        return (), ()

    def close(self) -> None:
        if self._courier is not None:
            self._courier.close()
        if self._board is not None:
            self._board.close()
            self._board = None

    def _opened(self) -> SqliteBoard:
        if self._board is None:
            self._board = open_board(self._address, jobs=False)
            self._courier = courier_of(self._board, self._address)
        return self._board
