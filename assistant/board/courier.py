"""Between this bench's own file and the board it shares with others, on a PostgreSQL server.

What is kept is always written to the file first, and never waits for the server. The courier brings what is in the
file's log to the server and takes in what the other benches brought, twice a second. The server gives every event
its place, one bench at a time, so that a place once seen has everything before it; an event is there once however
often it is brought. A server that is away costs nothing but a sentence: all that was kept waits in the file.
"""

from __future__ import annotations

import logging
import socket
import threading
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext, suppress
from typing import TYPE_CHECKING, Any

from assistant.board.log import Whereabouts
from assistant.errors import BoardError, BoardTooNew, SharedBoardAway

if TYPE_CHECKING:
    import psycopg

    from assistant.board.sqlite import SqliteBoard

__all__ = ["Courier"]

BETWEEN_SECONDS = 0.5
"""From one exchange to the next: another bench's mark is on the board before he has walked over."""
AWAY_SECONDS = 2.0
"""From one try to the next while the server is away."""
DEADLINE_SECONDS = 4.0
"""For one exchange. A server that takes longer is away."""
CONNECT_SECONDS = 3
MOST = 1000
"""Events in one exchange, each way."""
NAMED = 3
"""Of the names that wait, so many are told."""

VERSION = 1
"""Of the tables on the server."""
_LOCK = 7_235_401
"""Whoever writes holds this lock to the end of his transaction, so that places come in the order they are seen in."""
_TABLES = (
    "CREATE TABLE IF NOT EXISTS tapehand_board (id text NOT NULL, version integer NOT NULL)",
    "CREATE TABLE IF NOT EXISTS tapehand_events (place bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,"
    " key text NOT NULL UNIQUE, kind text NOT NULL, of text, name text NOT NULL, exact text, record text,"
    " moment text NOT NULL)",
)
_PUT = (
    "INSERT INTO tapehand_events (key, kind, of, name, exact, record, moment) VALUES"
    " (%(key)s, %(kind)s, %(of)s, %(name)s, %(exact)s, %(record)s, %(moment)s) ON CONFLICT (key) DO NOTHING"
)
_TAKE = (
    "SELECT place, key, kind, of, name, exact, record, moment FROM tapehand_events"
    " WHERE place > %s ORDER BY place LIMIT %s"
)

_MISSING = "To share a board, type: pip install 'psycopg[binary]'. Until then this bench keeps its own."
_REFUSED = "The shared board's server does not let this bench in. Put DATABASE_URL right."
_NOT_AN_ADDRESS = "DATABASE_URL is no address of a PostgreSQL database. Put it right."
_BACK = "The shared board is back. Nothing waits here any more."


class Courier:
    """One connection to the server. ``exchange`` is for one thread at a time; ``start`` has one do it."""

    def __init__(self, board: SqliteBoard, url: str) -> None:
        scheme, separator, rest = url.partition("://")
        # SQLAlchemy's form names the driver too.
        self._url = f"{scheme.partition('+')[0]}://{rest}" if separator else url
        self._board = board
        self._connection: psycopg.Connection[dict[str, Any]] | None = None
        self._there: Whereabouts | None = None
        self._brought = -1
        """Of all that was ever written to the file, so much is over there."""
        self._over = threading.Event()
        self._thread: threading.Thread | None = None
        self._told = ""

    def start(self, moved: Callable[[], None], tell: Callable[[str], None]) -> None:
        """Go to and fro until closed. ``moved`` when another bench was at the board, ``tell`` for a sentence; both
        are called on the courier's own thread."""
        self._thread = threading.Thread(target=self._to_and_fro, args=(moved, tell), name="courier", daemon=True)
        self._thread.start()

    def exchange(self) -> str:
        """Bring and take what there is. Returns a sentence where it could not be done, or the empty string."""
        try:
            seen = self._there
            while self._tried() and not self._over.is_set():
                pass
            if self._there != seen:
                self._board.look()
        except SharedBoardAway as error:
            return f"{error} {self._what_waits()}"
        except BoardError as error:  # our own file's
            return str(error)
        return ""

    def close(self) -> None:
        """Stop. What has not been brought yet waits in the file. Closing twice is no error."""
        self._over.set()
        if self._thread is not None:
            self._thread.join(DEADLINE_SECONDS)
        self._hang_up()

    def _to_and_fro(self, moved: Callable[[], None], tell: Callable[[str], None]) -> None:
        while not self._over.is_set():
            trouble = self.exchange()
            if self._board.moved:
                moved()
            if trouble != self._told and not self._over.is_set():
                tell(trouble or _BACK)
                self._told = trouble
            self._over.wait(AWAY_SECONDS if trouble else BETWEEN_SECONDS)

    def _what_waits(self) -> str:
        try:
            names = self._board.waiting()
        except BoardError:
            names = []
        if not names:
            return "This bench goes on by itself."
        more = len(names) - NAMED
        listed = ", ".join(names[:NAMED]) + (f" and {more} more" if more > 0 else "")
        return f"Kept on this bench and sent as soon as it can be: {listed}."

    # On the wire.

    def _tried(self) -> bool:
        """``_once``, and again where only the connection had ended: the server may have been started anew."""
        stale = self._connection is not None
        try:
            return self._once()
        except SharedBoardAway:
            if not stale:
                raise
            return self._once()

    def _once(self) -> bool:
        """One exchange. Returns whether there is more to be exchanged at once.

        Raises:
            SharedBoardAway, and BoardError for our own file.
        """
        with self._talking() as connection:
            there = self._same_board(connection)
            writes, bring = self._board.writes, []
            if writes != self._brought:
                bring = self._board.outgoing(MOST)[1]
                if not bring:
                    self._brought = writes
            with connection.transaction() if bring else nullcontext():
                if bring:
                    connection.execute("SELECT pg_advisory_xact_lock(%s)", (_LOCK,))
                    connection.cursor().executemany(_PUT, bring)
                taken = connection.execute(_TAKE, (there.seen, MOST)).fetchall()
        if taken:
            there = Whereabouts(there.board, taken[-1]["place"])
            self._board.incoming(there, taken)
            self._there = there
        return len(taken) == MOST or len(bring) == MOST

    def _same_board(self, connection: psycopg.Connection[dict[str, Any]]) -> Whereabouts:
        """How far we have read this board: nowhere, if it was begun anew or put back to what it was before."""
        there = self._there
        if there is None:
            row = connection.execute("SELECT id, (SELECT max(place) FROM tapehand_events) AS last FROM tapehand_board")
            found = row.fetchone()
            assert found is not None
            there, _ = self._board.outgoing(0)
            if there.board != found["id"] or there.seen > (found["last"] or 0):
                there = Whereabouts(found["id"], 0)
                self._board.incoming(there, [])
            self._brought = -1
            self._there = there
        return there

    @contextmanager
    def _talking(self) -> Iterator[psycopg.Connection[dict[str, Any]]]:
        """The connection, made where there is none. One that fails, or takes too long, is given up."""
        try:
            import psycopg
        except ImportError:
            raise SharedBoardAway(_MISSING) from None
        try:
            if self._connection is None:
                self._there = None
                self._connection = _connected(self._url)
            connection = self._connection
            hangs = threading.Timer(DEADLINE_SECONDS, _cut, (connection,))
            hangs.daemon = True
            hangs.start()
            try:
                if self._there is None:
                    _prepare(connection)
                yield connection
            finally:
                hangs.cancel()
        except psycopg.ProgrammingError as error:
            self._hang_up()
            if not error.sqlstate:  # what it says of an address may have the password in it
                raise SharedBoardAway(_NOT_AN_ADDRESS) from None
            raise SharedBoardAway(_REFUSED) from error
        except (psycopg.Error, OSError) as error:
            self._hang_up()
            raise SharedBoardAway(_sentence(str(error))) from error
        except BaseException:
            self._hang_up()
            raise

    def _hang_up(self) -> None:
        if self._connection is not None:
            connection, self._connection = self._connection, None
            with suppress(Exception):
                connection.close()


def _connected(url: str) -> psycopg.Connection[dict[str, Any]]:
    import psycopg
    from psycopg.rows import dict_row

    logging.getLogger("psycopg").addHandler(logging.NullHandler())  # what it says of a lost connection is not for him
    return psycopg.connect(
        url, autocommit=True, connect_timeout=CONNECT_SECONDS, application_name="tapehand", row_factory=dict_row
    )


def _prepare(connection: psycopg.Connection[dict[str, Any]]) -> None:
    """Our tables, made where there are none.

    A bench that loses its power in the middle must not keep the others waiting: the server ends what stands idle.
    """
    milliseconds = int(DEADLINE_SECONDS * 1000)
    connection.execute(f"SET statement_timeout = {milliseconds}")
    connection.execute(f"SET idle_in_transaction_session_timeout = {milliseconds}")
    with connection.transaction():
        connection.execute("SELECT pg_advisory_xact_lock(%s)", (_LOCK,))
        for table in _TABLES:
            connection.execute(table)
        found = connection.execute("SELECT version FROM tapehand_board").fetchone()
        if found is None:
            connection.execute("INSERT INTO tapehand_board VALUES (%s, %s)", (uuid.uuid4().hex, VERSION))
        elif found["version"] > VERSION:
            raise BoardTooNew("The shared board was begun by a newer Tapehand. Update this one.")


def _cut(connection: psycopg.Connection[dict[str, Any]]) -> None:
    """Free whoever waits for a server that does not answer: the connection is at its end."""
    with suppress(Exception):
        wire = socket.fromfd(connection.fileno(), socket.AF_INET, socket.SOCK_STREAM)
        wire.shutdown(socket.SHUT_RDWR)
        wire.close()


def _sentence(said: str) -> str:
    # The server's own words when it lets nobody in: errcodes 28000, 28P01 and 3D000, which are not told apart here.
    if any(words in said for words in ("authentication failed", "does not exist", "pg_hba.conf", "no password")):
        return _REFUSED
    return "The shared board is out of reach."
