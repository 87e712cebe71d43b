"""Reads the tables of sizes that ship with the layout: the one place here that opens a file."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

__all__ = ["rows"]


@cache
def rows(table: str) -> tuple[dict[str, str], ...]:
    """Every line of a table under its column names. The header in ``#`` lines says where it is from."""
    text = files("assistant.layout.data").joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
