"""A helper process of our own, and the messages to and from it.

Recognisers, speech engines and sound drivers are foreign code that may hang, crash, or print where they like.
Each runs in a process of its own: when it stops answering it is killed and a new one is started, and nothing else
notices. A new process is also the only reliable way to make PortAudio see a loudspeaker that was plugged in again.

A message is one line of JSON, followed by as many bytes as its ``bytes`` says.
"""

from __future__ import annotations

import contextlib
import json
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import IO, Any, NamedTuple

from assistant.environment import for_helpers

__all__ = ["Child", "ChildGone", "Message", "read_message", "take_over_stdout", "write_message"]

WRITE_DEADLINE_S = 3.0
"""A child that does not take its message in this time hangs."""
END_S = 1.0
"""How long a child gets to end by itself once there is nothing more to read."""


class Message(NamedTuple):
    fields: dict[str, Any]
    payload: bytes = b""


class ChildGone(Exception):
    """The child has ended, or did not answer in time. It is no longer running."""


def write_message(stream: IO[bytes], fields: dict[str, Any], payload: bytes = b"") -> None:
    """OSError when nobody reads the other end any more."""
    stream.write(json.dumps({**fields, "bytes": len(payload)}).encode() + b"\n" + payload)
    stream.flush()


def read_message(stream: IO[bytes]) -> Message | None:
    """The next message, or None when the other end is closed."""
    line = stream.readline()
    if not line.endswith(b"\n"):
        return None
    fields = json.loads(line)
    payload = stream.read(fields["bytes"])
    return Message(fields, payload) if len(payload) == fields["bytes"] else None


def take_over_stdout() -> IO[bytes]:
    """Called first in a child: the stream for its messages. What anything else prints goes nowhere.

    Also leaves Ctrl-C to the parent, which ends its children in order.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    messages = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.close(nowhere)
    return messages


class Child:
    """One running helper process. Used by one thread at a time, but for ``end``, which any thread may call."""

    def __init__(self, module: str, *arguments: str, environment: Mapping[str, str] = MappingProxyType({})) -> None:
        """Start ``python -m module``. ChildGone when there is no room for another process.

        ``environment``: variables it gets besides those of `environment.for_helpers`.
        """
        package_parent = str(Path(__file__).resolve().parents[1])
        path = os.pathsep.join(filter(None, (os.environ.get("PYTHONPATH"), package_parent)))
        try:
            self._process = subprocess.Popen(
                [sys.executable, "-m", module, *arguments],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=for_helpers(PYTHONPATH=path, **environment),
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),  # Windows: no black box popping up
            )
        except OSError:
            raise ChildGone from None
        # Not a SimpleQueue: with the time just run out, that of Python 3.10 may wait for ever.
        self._inbox: queue.Queue[Message | None] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True, name=f"{module} messages")
        self._reader.start()
        self._outbox: queue.SimpleQueue[Message | None] = queue.SimpleQueue()
        self._writer: threading.Thread | None = None

    @property
    def pid(self) -> int:
        return self._process.pid

    @property
    def alive(self) -> bool:
        return self._process.poll() is None

    def send(self, fields: dict[str, Any], payload: bytes = b"") -> None:
        """ChildGone when it does not take the message."""
        assert self._process.stdin is not None
        # A stopped process leaves us stuck in write(); killing it is what frees us.
        hangs = threading.Timer(WRITE_DEADLINE_S, self._process.kill) if payload else None
        if hangs:
            hangs.start()
        try:
            write_message(self._process.stdin, fields, payload)
        except (OSError, ValueError):  # ValueError: the pipe was closed by end() meanwhile
            self.end()
            raise ChildGone from None
        finally:
            if hangs:
                hangs.cancel()

    def post(self, fields: dict[str, Any], payload: bytes = b"") -> None:
        """Send it without ever waiting, as sound must be: a child that hangs is found out by ``receive``.

        What is posted goes out in order, on a thread of its own; do not ``send`` to the same child.
        """
        if self._writer is None:
            self._writer = threading.Thread(target=self._write, daemon=True, name="messages out")
            self._writer.start()
        self._outbox.put(Message(fields, payload))

    def receive(self, seconds: float) -> Message:
        """The next message. ChildGone when none comes in that time; a child that hangs is killed."""
        try:
            message = self._inbox.get(timeout=seconds)
        except queue.Empty:
            message = None
        if message is None:
            self.end(at_once=True)
            raise ChildGone
        return message

    def end(self, *, at_once: bool = False) -> None:
        """Let it finish, or kill it; either way it is gone, and no zombie, when this returns."""
        assert self._process.stdin is not None
        if at_once:
            self._process.kill()
        else:
            with contextlib.suppress(OSError, ValueError):
                self._process.stdin.close()
            with contextlib.suppress(subprocess.TimeoutExpired):
                self._process.wait(END_S)
            self._process.kill()
        self._process.wait()
        if self._writer is not None:
            self._outbox.put(None)
            self._writer.join()
        with contextlib.suppress(OSError, ValueError):
            self._process.stdin.close()
        if threading.current_thread() is not self._reader:
            self._reader.join()

    def _read(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as stdout:
            while True:
                try:
                    message = read_message(stdout)
                except (OSError, ValueError, KeyError):
                    message = None
                self._inbox.put(message)
                if message is None:
                    return

    def _write(self) -> None:
        assert self._process.stdin is not None
        with contextlib.suppress(OSError, ValueError):  # the child is gone: the reader finds out too
            while (message := self._outbox.get()) is not None:
                write_message(self._process.stdin, message.fields, message.payload)
