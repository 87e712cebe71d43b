"""Letting a screen on the network press the keys: only who has stood at the bench and read the code may."""

from __future__ import annotations

import ipaddress
import secrets
import socket
import time
from collections.abc import Callable

__all__ = ["REST_SECONDS", "Pairing", "is_address", "own_address"]

_DIGITS = 6
_WRONG_A_CODE = 10
"""Wrong tries after which there is a new code, and a rest: it is seen at the bench that somebody tries."""
REST_SECONDS = 60.0
"""With ten tries a minute of a million codes, guessing day and night takes a month and more to get half a chance."""


class Pairing:
    """The code of the day. ``show`` puts it on the bench screen."""

    def __init__(self, show: Callable[[str], None], clock: Callable[[], float] = time.monotonic) -> None:
        """``clock`` gives seconds."""
        self._show = show
        self._clock = clock
        self._rests_until = 0.0
        self._new()

    def tried(self, code: str) -> bool:
        """Whether it is the code. Nothing is while it rests from wrong ones."""
        if self._clock() < self._rests_until:
            return False
        if secrets.compare_digest(code.encode(), self._code.encode()):
            return True
        self._wrong += 1
        if self._wrong >= _WRONG_A_CODE:
            self._rests_until = self._clock() + REST_SECONDS
            self._new()
        return False

    def _new(self) -> None:
        self._wrong = 0
        self._code = f"{secrets.randbelow(10**_DIGITS):0{_DIGITS}d}"
        self._show(self._code)


def is_address(host: str, port: int) -> bool:
    """Whether a Host header names an address in figures, which no page elsewhere can make to mean this computer.

    >>> is_address("192.168.1.20:8000", 8000), is_address("bench.example:8000", 8000)
    (True, False)
    """
    name, _, tail = host.rpartition(":")
    try:
        ipaddress.ip_address(name.removeprefix("[").removesuffix("]"))
    except ValueError:
        return False
    return tail == str(port)


def own_address() -> str:
    """This computer's address on its network, for another to open; its name where it has none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))  # RFC 5737: nobody's address; nothing is sent
            return str(asked.getsockname()[0])
        except OSError:
            return socket.gethostname()
