"""Files that are there whole or not at all, whenever the power goes."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["write_whole"]


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside the one that is to be, and put it in its place. OSError where it cannot be written.

    A link is followed; what is no file, as /dev/stdout, is written to as it is.
    """
    path = path.resolve() if path.is_file() else path
    if path.exists() and not path.is_file():
        path.write_bytes(content)
        return
    beside = path.with_name(f".{path.name}.new")
    try:
        with beside.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)
    if os.name == "posix":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
