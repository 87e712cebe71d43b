"""Small file systems that can be filled up or made read-only."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of one megabyte, empty."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("only root may mount a small disk")
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=1m", "tapehand-test", str(disk)], capture_output=True, text=True
    )
    if mounted.returncode:
        pytest.skip(f"a small disk cannot be mounted here: {mounted.stderr.strip()}")
    yield disk
    subprocess.run(["umount", "--lazy", str(disk)], check=True)
