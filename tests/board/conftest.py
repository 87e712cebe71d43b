"""Small file systems that can be filled up or made read-only, and a database server."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.board.server import Server, ServerMissing


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


@pytest.fixture(scope="session")
def running_server() -> Iterator[Server]:
    pytest.importorskip("psycopg", reason="psycopg is not installed")
    try:
        server = Server()
    except ServerMissing as reason:
        pytest.skip(str(reason))
    server.start()
    yield server
    server.close()


@pytest.fixture
def server(running_server: Server) -> Iterator[Server]:
    """A real PostgreSQL server that lets us in, with nothing on it."""
    import psycopg

    with psycopg.connect(running_server.url, autocommit=True) as connection:
        connection.execute("DROP TABLE IF EXISTS tapehand_board, tapehand_events")
    yield running_server
    if not running_server.running:
        running_server.start()
