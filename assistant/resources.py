"""Finds the data that ships with the program: in a checkout beside the package, in a wheel inside it."""

from __future__ import annotations

from pathlib import Path

__all__ = ["folder", "texts"]

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder ``name`` ("grammars/en", "models") where it stands."""
    inside = _PACKAGE / name
    return inside if inside.exists() else _PACKAGE.parent / name


def texts(name: str, suffix: str) -> list[str]:
    """The text of every file in a shipped folder with that ending, by file name."""
    return [path.read_text(encoding="utf-8") for path in sorted(folder(name).glob(f"*{suffix}"))]
