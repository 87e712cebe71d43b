"""A PostgreSQL server of our own: in a folder of its own, on a socket in it, gone when the test is."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

__all__ = ["Server", "ServerMissing"]

_DEADLINE = 30


class ServerMissing(Exception):
    """There can be no server here. ``str(error)`` is the reason, fit for ``pytest.skip``."""


def _program(name: str) -> str:
    installed = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"), key=lambda path: int(path.parts[4]))
    found = shutil.which(name) or (str(installed[-1]) if installed else None)
    if found is None:
        raise ServerMissing(f"no {name} here (Debian: postgresql)")
    return found


class Server:
    """Start it, stop it, kill it, start it again; what is in it stays until ``close``.

    The server refuses to run as root, so there it runs as the account its package made.
    """

    def __init__(self) -> None:
        if os.name != "posix":
            raise ServerMissing("the tests start a server on POSIX systems only")
        import pwd

        self._initdb, self._postgres = _program("initdb"), _program("postgres")
        self._as: dict[str, Any] = {}
        if os.geteuid() == 0:
            try:
                account = pwd.getpwnam("postgres")
            except KeyError:
                raise ServerMissing("root may not run a server, and there is no account postgres here") from None
            self._as = {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
        self.folder = Path(tempfile.mkdtemp(prefix="tapehand-server-", dir="/tmp"))  # a socket's path is short
        if self._as:
            shutil.chown(self.folder, "postgres")
        done = subprocess.run(
            [self._initdb, "-D", self._data, "-U", "postgres", "-A", "trust", "--no-sync", "-E", "UTF8"],
            capture_output=True,
            text=True,
            cwd="/",
            **self._as,
        )
        if done.returncode:
            shutil.rmtree(self.folder)
            raise ServerMissing(f"initdb: {done.stderr[-300:]}")
        self.url = f"postgresql://postgres@/postgres?host={self.folder}"
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def _data(self) -> str:
        return str(self.folder / "data")

    def start(self, wait: bool = True) -> None:
        """``wait``: until it lets somebody in."""
        command = [self._postgres, "-D", self._data, "-k", str(self.folder), "-c", "listen_addresses="]
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                command, cwd="/", stdin=subprocess.DEVNULL, stdout=log, stderr=log, **self._as
            )
        if wait:
            self.wait()

    def wait(self) -> None:
        import psycopg

        deadline = time.monotonic() + _DEADLINE
        while True:
            try:
                psycopg.connect(self.url, connect_timeout=2).close()
                return
            except psycopg.OperationalError:
                assert self._process is not None
                assert self._process.poll() is None, (self.folder / "log").read_text()[-500:]
                assert time.monotonic() < deadline, "the server did not come up"
                time.sleep(0.05)

    def signal(self, what: signal.Signals) -> None:
        """To all of it: SIGSTOP makes it as slow as can be, SIGKILL is a power cut."""
        assert self._process is not None
        pid = self._process.pid
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
        for one in (pid, *map(int, children)):
            with suppress(ProcessLookupError):
                os.kill(one, what)

    def kill(self) -> None:
        """Without any warning."""
        assert self._process is not None
        self.signal(signal.SIGKILL)
        self._process.wait()

    @property
    def running(self) -> bool:
        return self._process is not None and self._process.poll() is None

    def stop(self) -> None:
        if self._process is not None and self.running:
            self._process.send_signal(signal.SIGINT)  # its fast shutdown
            self._process.wait()

    def close(self) -> None:
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)
