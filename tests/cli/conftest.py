"""The command line, run as people and scripts run it: its own process, in a folder that is not the project's."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

import assistant

REPOSITORY = Path(assistant.__file__).parents[1]


@dataclass(frozen=True)
class Ran:
    status: int
    out: str
    err: str

    @property
    def objects(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.out.splitlines()]

    @property
    def object(self) -> dict[str, Any]:
        (only,) = self.objects
        return only


@dataclass(frozen=True)
class Tapehand:
    """Runs the program with its settings and its board in a folder of the test."""

    folder: Path

    @property
    def board(self) -> Path:
        return self.folder / "board.db"

    @property
    def models(self) -> Path:
        return self.folder / "models"

    @property
    def settings(self) -> Path:
        return self.folder / "settings.toml"

    def environment(self, **more: str) -> dict[str, str]:
        return {
            **{name: value for name, value in os.environ.items() if name not in ("DATABASE_URL", "TAPEHAND_DEBUG")},
            "PYTHONPATH": str(REPOSITORY),
            "TAPEHAND_SETTINGS": str(self.settings),
            "TAPEHAND_BOARD": str(self.board),
            "TAPEHAND_MODELS": str(self.models),
            "TAPEHAND_SHEETS": str(self.folder / "sheets"),
            **more,
        }

    def __call__(self, *words: str, stdin: str | bytes = "", seconds: float = 120, **environment: str) -> Ran:
        done = subprocess.run(
            [sys.executable, "-m", "assistant.cli", *words],
            input=stdin.encode() if isinstance(stdin, str) else stdin,
            capture_output=True,
            cwd=self.folder,
            env=self.environment(**environment),
            timeout=seconds,
            check=False,
        )
        ran = Ran(done.returncode, done.stdout.decode(), done.stderr.decode())
        assert "Traceback" not in ran.err, ran.err
        return ran


@pytest.fixture
def tapehand(tmp_path: Path) -> Tapehand:
    return Tapehand(tmp_path)
