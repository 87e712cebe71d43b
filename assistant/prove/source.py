"""The tables that need what only the tests have: sound cards, servers and terminals made for the purpose."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from assistant.errors import TapehandError

__all__ = ["in_source"]


class NoSource(TapehandError):
    """This Tapehand was installed without its tests."""


def in_source(table: str, quick: bool) -> int:
    """Print a table of ``tests/prove``, in a process of its own. Returns its exit status.

    Raises:
        NoSource: where there are no tests beside the program.
    """
    root = Path(__file__).resolve().parents[2]
    if not (root / "tests" / "prove" / f"{table}.py").is_file():
        raise NoSource(f"This needs Tapehand's source: there, type ./tapehand prove --{table}.")
    path = os.pathsep.join(filter(None, (str(root), os.environ.get("PYTHONPATH"))))
    command = [sys.executable, "-m", f"tests.prove.{table}", *(["--quick"] if quick else [])]
    return subprocess.run(command, cwd=root, env={**os.environ, "PYTHONPATH": path}, check=False).returncode
