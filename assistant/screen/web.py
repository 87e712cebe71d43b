"""The bench screen as a view: a page in a browser on this computer."""

from __future__ import annotations

import asyncio
import socket
import sys
import threading
from collections.abc import Callable
from dataclasses import asdict
from typing import Any

import uvicorn

from assistant.errors import ScreenUnavailable
from assistant.keypad.keys import Press
from assistant.screen.pairing import Pairing, own_address
from assistant.screen.parts import answer_part, enter_word, picture_part
from assistant.screen.present import Present
from assistant.screen.server import LARGEST_MESSAGE, bench_app
from assistant.screen.signs import sign
from assistant.session.answer import Answer

__all__ = ["DEFAULT_PORT", "WebView"]

DEFAULT_PORT = 61358
"""Among those nobody may register (RFC 6335, 6: from 49152), above those that Linux gives out by itself (to 60999).
Always the same, so that the browser remembers what it was taught."""
_LEVELS = 12
"""Steps of the level meter: finer is not seen, and would be sent for nothing."""
_SECONDS_TO_END = 5.0


class WebView:
    """Everything he sees, on as many screens as open the page. Call it from any one thread."""

    def __init__(
        self,
        press: Callable[[Press], None],
        port: int = DEFAULT_PORT,
        voice: bool = True,
        lan: bool = False,
        talk_key: str = " ",
        studs: bool = False,
    ) -> None:
        """Starts serving at once.

        Args:
            press: is called with each key press, in a thread of the screen's own; must not block.
            port: 0 for any that is free.
            voice: whether anything can be heard here at all.
            lan: other computers may look on, and press keys once they are paired at the bench.
            talk_key: what the key that is held to talk types, until a screen is taught another.
            studs: whether the tape has its marks every 16 inches.

        Raises:
            ScreenUnavailable: where the port is taken.
        """
        listening = _listening(port, "0.0.0.0" if lan else "127.0.0.1")
        self.port: int = listening.getsockname()[1]
        self._present = Present()
        self._answer = Answer("", "done", "")
        self._keying = False
        self._studs = studs
        for name, part in {
            "voice": voice,
            "talk_key": talk_key,
            "entry": "",
            "notice": "",
            "words": "",
            "level": 0,
        }.items():
            self._present.put(name, part)
        self._present.put("state", asdict(sign("")))
        self._present.put("enter", "Enter")
        there = f"{own_address()}:{self.port}" if lan else ""
        pairing = Pairing(lambda code: self._present.put("pairing", f"{there}  code {code}")) if lan else None
        config = uvicorn.Config(
            bench_app(self._present, self.port, press, pairing),
            ws="websockets-sansio",
            ws_max_size=LARGEST_MESSAGE,
            ws_per_message_deflate=False,
            lifespan="off",
            log_config=None,
            access_log=False,
            server_header=False,
            proxy_headers=False,
            limit_concurrency=64,
            timeout_graceful_shutdown=1,
        )
        self._server = uvicorn.Server(config)
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._serve, args=(listening,), name="screen", daemon=True)
        self._thread.start()

    @property
    def address(self) -> str:
        """What to open in a browser."""
        return f"http://127.0.0.1:{self.port}/"

    @property
    def screens(self) -> int:
        """How many are looking on."""
        return self._present.screens

    def answer(self, answer: Answer) -> None:
        self._answer = answer
        picture = picture_part(answer, self._studs)
        if picture is not None:
            self._put("picture", picture)
        self._put("answer", answer_part(answer))
        self._put("words", "")
        self._put_enter()

    def entry(self, words: str) -> None:
        self._keying = bool(words)
        self._put("entry", words)
        self._put_enter()

    def state(self, words: str) -> None:
        self._put("state", asdict(sign(words)))

    def notice(self, sentence: str) -> None:
        self._put("notice", sentence)

    def hearing(self, words: str) -> None:
        """What is being heard, while it is."""
        self._put("words", words)

    def level(self, loudness: float) -> None:
        """How loud it is now, from 0 to 1."""
        self._put("level", round(min(max(loudness, 0.0), 1.0) * _LEVELS))

    def close(self) -> None:
        self._server.should_exit = True
        self._thread.join(_SECONDS_TO_END)

    def _put_enter(self) -> None:
        self._put("enter", enter_word(self._answer, self._keying))

    def _put(self, name: str, part: Any) -> None:
        if not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._present.put, name, part)

    def _serve(self, listening: socket.socket) -> None:
        try:
            self._loop.run_until_complete(self._server.serve(sockets=[listening]))
        finally:
            listening.close()
            self._loop.close()


def _listening(port: int, address: str) -> socket.socket:
    """A socket on an address; no other computer can reach 127.0.0.1."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":  # there, it would let a second program take the port over
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
        listening.listen()
    except (OSError, OverflowError):
        listening.close()
        raise ScreenUnavailable(
            f"Port {port} is taken. Close the other Tapehand, or start this one with --port and another number."
        ) from None
    return listening
