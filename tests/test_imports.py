"""Which way imports may point, read from the source: the core knows nothing of the edges, the edges nothing of
the program around them."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import assistant

PACKAGE = Path(assistant.__file__).parent
CORE = {"errors", "length", "enclosure", "angles", "tape", "layout", "language", "session", "resources"}
"""``resources`` finds the grammar files that ship; it is the one door of the core to the disk."""
EDGES = {
    "hearing", "speaking", "keypad", "screen", "printing", "board", "portaudio", "settings", "child", "environment",
    "memory", "whole",
}  # fmt: skip
RANKS = [
    {"errors", "length", "enclosure", "angles", "resources"},
    {"tape"},
    {"layout", "language"},
    {"session"},
    EDGES,
]
"""Inside the core, a room knows only the rooms below it and its neighbors."""
IMPURE = {
    "asyncio", "datetime", "glob", "io", "logging", "multiprocessing", "os", "pathlib", "platformdirs", "queue",
    "random", "shutil", "signal", "socket", "sounddevice", "sqlalchemy", "sqlite3", "subprocess", "sys",
    "tempfile", "threading", "time", "tomlkit",
}  # fmt: skip
MAY = {("resources", "pathlib"), ("language.grammar", "random"), ("layout.nesting.packing", "random")}
"""The sampler is handed its random numbers; the packing seeds its own, so that it always does the same."""


def modules() -> list[tuple[str, Path]]:
    return [
        (".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__"), path)
        for path in sorted(PACKAGE.rglob("*.py"))
    ]


def imported(path: Path) -> set[str]:
    """Every module that a file imports anywhere, also inside functions, in full."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full"
            assert node.module is not None
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def rooms(path: Path) -> set[str]:
    return {name.split(".")[1] for name in imported(path) if name.startswith("assistant.")}


def rank(room: str) -> int:
    return next((index for index, rooms in enumerate(RANKS) if room in rooms), len(RANKS))


@pytest.mark.parametrize(("name", "path"), modules())
def test_no_room_knows_one_above_it(name: str, path: Path) -> None:
    room = name.split(".")[0]
    if rank(room) < len(RANKS):
        assert {other for other in rooms(path) if rank(other) > rank(room)} == set()


@pytest.mark.parametrize(("name", "path"), [(n, p) for n, p in modules() if n.split(".")[0] in CORE])
def test_the_core_has_no_files_clocks_threads_or_sound(name: str, path: Path) -> None:
    tops = {module.split(".")[0] for module in imported(path)}
    assert {top for top in tops & IMPURE if (name, top) not in MAY} == set()


def test_the_core_stands_alone() -> None:
    """With nothing but the standard library: no site-packages at all."""
    script = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from assistant.length import Length\n"
        "import assistant.tape, assistant.layout.center, assistant.session.session, assistant.language.grammar\n"
        "print(Length('53 5/8') / 2)"
    )
    done = subprocess.run(
        [sys.executable, "-S", "-I", "-c", script, str(PACKAGE.parent)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout == "26 13/16\n", done.stderr
