"""The page and its live connection, for this computer only unless the network is asked for.

The page is put together once, at the start, of its files: one answer has everything that the first paint needs, and
nothing that a browser sends reaches a file. Every request must
name this computer as its host, and a live connection must come from our own page, so that no other page open in
the same browser can read the bench or press its keys, not even by a name that it has made to mean this computer.
"""

from __future__ import annotations

import asyncio
import base64
import contextlib
import hashlib
import json
import time
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from assistant.keypad.keys import Key, Press, Talk
from assistant.screen.pairing import Pairing, is_address
from assistant.screen.present import Present, Watcher

__all__ = ["LARGEST_MESSAGE", "MOST_A_SECOND", "MOST_SCREENS", "bench_app", "pressed"]

LARGEST_MESSAGE = 256
"""Bytes. A key press takes about 15."""
MOST_A_SECOND = 40
"""Messages from one screen. Fast typing is about 15 keys a second."""
MOST_SCREENS = 8

_PAGE = Path(__file__).resolve().parent / "page"
_TEXTS = ("index.html", "style.css", "script.js")
_STYLE_HERE, _SCRIPT_HERE = "/* style.css */", "/* script.js */"
_HEADERS = {
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
_MAY = (
    "default-src 'none'; script-src {script}; style-src {style}; font-src data:; connect-src 'self'; "
    "img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""The Content-Security-Policy: of script and style in a page only our own, known by their hashes, and no files."""
_THIS_COMPUTER = ("127.0.0.1", "::1")
_WRONG_A_SCREEN = 3
"""Wrong codes after which a screen is sent away."""
# Close codes: RFC 6455, 7.4.1, and the IANA registry of them.
_NOT_A_PRESS, _POLICY, _TRY_LATER = 1003, 1008, 1013


def bench_app(present: Present, port: int, press: Callable[[Press], None], pairing: Pairing | None = None) -> Starlette:
    """The application that serves what is present and hands on key presses.

    Args:
        port: where it will be reached; 127.0.0.1, localhost and ::1 with this port are the only hosts answered.
        press: called in the server's loop; must not block.
        pairing: answers other computers too, by an address in figures. They only look on until they are paired.
    """
    hosts = {f"{name}:{port}" for name in ("127.0.0.1", "localhost", "[::1]")}
    origins = {f"http://{host}" for host in hosts}
    contents, policy = _page()
    headers = {**_HEADERS, "Content-Security-Policy": policy}
    present.put("version", hashlib.sha256(contents).hexdigest()[:12])

    def known(host: str | None) -> bool:
        return host in hosts or (pairing is not None and host is not None and is_address(host, port))

    async def page(request: Request) -> Response:
        if not known(request.headers.get("host")):
            return PlainTextResponse("This bench answers on this computer only.", 403, headers)
        return Response(contents, headers=headers, media_type="text/html")

    async def live(socket: WebSocket) -> None:
        host, origin = socket.headers.get("host"), socket.headers.get("origin")
        if not known(host) or not (origin in origins if host in hosts else origin == f"http://{host}"):
            await socket.close(_POLICY)  # before it is accepted: the browser is told 403
            return
        await socket.accept()
        if present.screens >= MOST_SCREENS:
            await socket.close(_TRY_LATER, "There are enough screens on this bench.")
            return
        at_bench = socket.client is not None and socket.client.host in _THIS_COMPUTER
        watcher = present.watch(may=True) if at_bench else present.watch(may=False, pairing="")
        sending = asyncio.create_task(_send(socket, watcher))
        try:
            if at_bench or (pairing is not None and await _paired(socket, watcher, pairing)):
                await _receive(socket, press)
        finally:
            present.leave(watcher)
            sending.cancel()

    async def nothing(request: Request, error: Exception) -> Response:
        return PlainTextResponse("There is nothing here.", 404, headers)

    routes = [Route("/", page), WebSocketRoute("/live", live)]
    app = Starlette(routes=routes, exception_handlers={404: nothing, 405: nothing})
    app.router.redirect_slashes = False  # it would send him on to whatever the request says is our name
    return app


def _page() -> tuple[bytes, str]:
    """The page with its style, font and script inside, and the policy that lets those in and nothing else."""
    html, style, script = ((_PAGE / name).read_text(encoding="utf-8") for name in _TEXTS)
    font = base64.b64encode((_PAGE / "font.woff2").read_bytes()).decode()
    style = style.replace("/font.woff2", f"data:font/woff2;base64,{font}")
    policy = _MAY.format(script=_hash(script), style=_hash(style))
    return html.replace(_STYLE_HERE, style).replace(_SCRIPT_HERE, script).encode(), policy


def _hash(text: str) -> str:
    """As a Content-Security-Policy names what may stand in a page (CSP Level 3, 2.3.1)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def pressed(message: str) -> Press | None:
    """The press a message from the page stands for.

    >>> pressed('{"press": "5"}'), pressed('{"talk": true}'), pressed('{"press": "rm"}')
    (<Key.FIVE: '5'>, <Talk.DOWN: 'talk key down'>, None)
    """
    try:
        match json.loads(message):
            case {"press": str(key), **rest} if not rest:
                return Key(key)
            case {"talk": bool(down), **rest} if not rest:
                return Talk.DOWN if down else Talk.UP
    except (ValueError, RecursionError):
        pass
    return None


async def _paired(socket: WebSocket, watcher: Watcher, pairing: Pairing) -> bool:
    """Wait until the screen has sent the code. False once it has gone, or is sent away."""
    for _ in range(_WRONG_A_SCREEN):
        message = await socket.receive()
        if message["type"] == "websocket.disconnect":
            return False
        if pairing.tried(_code(message.get("text") or "")):
            watcher.give("may", True)
            return True
    await socket.close(_POLICY, "That is not the code.")
    return False


def _code(message: str) -> str:
    try:
        match json.loads(message):
            case {"pair": str(code)}:
                return code
    except (ValueError, RecursionError):
        pass
    return ""


async def _send(socket: WebSocket, watcher: Watcher) -> None:
    with contextlib.suppress(WebSocketDisconnect, RuntimeError):  # it has gone: receiving sees that too
        while True:
            parts: dict[str, Any] = await watcher.next()
            await socket.send_text(json.dumps(parts))


async def _receive(socket: WebSocket, press: Callable[[Press], None]) -> None:
    times: deque[float] = deque(maxlen=MOST_A_SECOND)
    talking = False
    try:
        while True:
            message = await socket.receive()
            if message["type"] == "websocket.disconnect":
                return
            now = time.monotonic()
            if len(times) == MOST_A_SECOND and now - times[0] < 1:
                await socket.close(_POLICY, "Too many keys at once.")
                return
            times.append(now)
            key = pressed(message.get("text") or "")
            if key is None:
                await socket.close(_NOT_A_PRESS, "That is not a key.")
                return
            if isinstance(key, Talk):
                talking = key is Talk.DOWN
            press(key)
    finally:
        if talking:  # the screen went with the talk key down
            press(Talk.UP)
