"""What can go wrong with the file, as the sentences a person needs."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from assistant.errors import BoardError, BoardLocked, BoardReadOnly, DiskFull

__all__ = ["Corrupt", "sentences"]

_ROOM = 1_000_000
"""Bytes free below which an I/O error is taken for a full disk: SQLite's shared-memory file alone needs 32 KiB."""


class Corrupt(Exception):
    """The file is not a database, or is damaged. Never seen outside the board."""


@contextmanager
def sentences(path: Path) -> Iterator[None]:
    """Anything SQLite or the file system says, as a BoardError. Corrupt for a damaged file."""
    try:
        yield
    except DBAPIError as error:
        raise _from_sqlite(str(error.orig), path) from error
    except sqlite3.Error as error:  # while connecting, before SQLAlchemy wraps it
        raise _from_sqlite(str(error), path) from error
    except OSError as error:
        raise _from_system(error, path) from error


def _from_sqlite(message: str, path: Path) -> Exception:
    # SQLite's own words, unchanged since 3.0 (sqlite3ErrStr in main.c); error codes reach Python only from 3.11.
    if "locked" in message:
        return BoardLocked(
            f"Another program is holding the board {path}. Close it, then say that again; nothing is lost."
        )
    if "is full" in message or ("disk I/O" in message and _full(path)):
        return DiskFull("The disk is full. Make room, then say that again; nothing is lost.")
    if "readonly" in message or "unable to open" in message:
        return BoardReadOnly(f"The board {path} cannot be written. Check who may write there.")
    if "not a database" in message or "malformed" in message:
        return Corrupt(message)
    return BoardError(f"The board {path} cannot be used. Check the disk; nothing in hand is lost.")


def _from_system(error: OSError, path: Path) -> BoardError:
    if _full(path):
        return DiskFull("The disk is full. Make room, then say that again; nothing is lost.")
    return BoardReadOnly(f"The board cannot be put in {path}: {error.strerror}. Name another place.")


def _full(path: Path) -> bool:
    try:
        return shutil.disk_usage(path.parent).free < _ROOM
    except OSError:
        return False
