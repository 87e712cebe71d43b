"""What the server of the screen refuses, spoken to over real sockets."""

from __future__ import annotations

import asyncio
import base64
import contextlib
import hashlib
import json
import re
import socket
import threading
import time
import urllib.error
import urllib.request

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import ClientConnection, connect

from assistant.errors import ScreenUnavailable
from assistant.keypad.keys import Key
from assistant.screen.pairing import own_address
from assistant.screen.present import Present
from assistant.screen.server import LARGEST_MESSAGE, MOST_A_SECOND, MOST_SCREENS
from assistant.screen.web import WebView
from tests.screen.conftest import ShownBench

DEADLINE = 10.0


def live(bench: ShownBench, **more) -> ClientConnection:
    port = bench.view.port
    more = {"origin": f"http://127.0.0.1:{port}"} | more
    return connect(f"ws://127.0.0.1:{port}/live", open_timeout=DEADLINE, **more)


def answered(bench: ShownBench, path: str, **headers: str) -> tuple[int, str, dict[str, str]]:
    request = urllib.request.Request(f"http://127.0.0.1:{bench.view.port}{path}", headers=headers)
    try:
        with urllib.request.urlopen(request, timeout=DEADLINE) as reply:
            return reply.status, reply.read().decode("latin-1"), dict(reply.headers)
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode("latin-1"), dict(error.headers)


def closed_with(connection: ClientConnection) -> tuple[int, str]:
    with contextlib.suppress(ConnectionClosed):
        while True:
            connection.recv(timeout=DEADLINE)
    return connection.protocol.close_code or 0, connection.protocol.close_reason or ""


def still_answers(bench: ShownBench) -> None:
    with live(bench) as connection:
        before = len(bench.pressed)
        connection.send('{"press": "5"}')
        parts: dict = {}
        until = time.monotonic() + DEADLINE
        while not parts.get("entry") and time.monotonic() < until:
            parts |= json.loads(connection.recv(timeout=DEADLINE))
        assert bench.pressed[before:] == [Key.FIVE]
        assert parts["entry"].startswith("five")


def test_only_this_computer_is_listened_to(bench: ShownBench) -> None:
    name = own_address()
    if not name[:1].isdigit() or name.startswith("127."):
        pytest.skip("this computer has no other address to be reached by")
    with pytest.raises(OSError, match="refused"):
        socket.create_connection((name, bench.view.port), timeout=DEADLINE)


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example:{port}", "127.0.0.1", "localhost:1", ""])
def test_a_host_of_another_name_is_refused(bench: ShownBench, host: str) -> None:
    """A page elsewhere may point a name of its own at this computer (DNS rebinding)."""
    status, text, _ = answered(bench, "/", Host=host.format(port=bench.view.port))
    assert status in (400, 403)
    assert "<html" not in text


@pytest.mark.parametrize(
    "origin", [None, "null", "http://evil.example", "https://127.0.0.1:{port}", "http://127.0.0.1:1", "file://"]
)
def test_a_live_connection_from_another_page_is_refused(bench: ShownBench, origin: str | None) -> None:
    with pytest.raises(InvalidStatus) as refused:
        live(bench, origin=origin and origin.format(port=bench.view.port))
    assert refused.value.response.status_code == 403
    assert bench.pressed == []


def test_its_own_names_are_let_in(bench: ShownBench) -> None:
    for name in ("127.0.0.1", "localhost"):
        with live(bench, origin=f"http://{name}:{bench.view.port}") as connection:
            assert "state" in json.loads(connection.recv(timeout=DEADLINE))


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/%2e%2e/server.py",
        "/page/index.html",
        "/script.js",
        "/font.woff2",
        "/live",
        "/etc/passwd",
    ],
)
def test_there_is_nothing_but_the_page(bench: ShownBench, path: str) -> None:
    assert answered(bench, path)[0] == 404


@pytest.mark.parametrize(
    ("path", "host"), [("/", None), ("/script.js", None), ("/none", None), ("/style.css/", None), ("/", "evil.example")]
)
def test_every_answer_has_the_headers_and_none_sends_him_on(bench: ShownBench, path: str, host: str | None) -> None:
    status, text, headers = answered(bench, path, **({"Host": host} if host else {}))
    assert status in (200, 403, 404)
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cache-control"] == "no-store"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "default-src 'none'" in headers["content-security-policy"]
    assert not {"location", "server", "access-control-allow-origin"} & set(headers)
    assert status == 200 or "<" not in text


def test_nothing_of_the_page_may_come_from_elsewhere_or_stand_in_another(bench: ShownBench) -> None:
    """What stands in the page is let in by its hash: CSP Level 3, 2.3.1 and 8.3."""
    _, text, headers = answered(bench, "/")
    policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    assert policy["default-src"] == policy["frame-ancestors"] == "'none'"
    for kind, tag in (("script-src", "script"), ("style-src", "style")):
        (inside,) = re.findall(f"<{tag}>(.*?)</{tag}>", text, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(inside.encode("latin-1")).digest()).decode()
        assert policy[kind] == f"'sha256-{digest}'"
    assert "unsafe" not in headers["content-security-policy"]


@pytest.mark.parametrize(
    "message",
    [
        "",
        "5",
        "[]",
        "null",
        '{"press": "rm -rf"}',
        '{"press": 5}',
        '{"press": "5", "more": 1}',
        '{"talk": "yes"}',
        "[" * 200,
    ],
)
def test_what_is_no_key_ends_the_connection(bench: ShownBench, message: str) -> None:
    with live(bench) as connection:
        connection.send(message)
        assert closed_with(connection) == (1003, "That is not a key.")
    assert bench.pressed == []
    still_answers(bench)


def test_bytes_are_no_key(bench: ShownBench) -> None:
    with live(bench) as connection:
        connection.send(b'{"press": "5"}')
        assert closed_with(connection)[0] == 1003
    still_answers(bench)


def test_a_giant_message_ends_the_connection_and_nothing_else(bench: ShownBench) -> None:
    with live(bench) as connection, live(bench) as other:
        connection.send("x" * (LARGEST_MESSAGE + 1))
        assert closed_with(connection)[0] == 1009  # RFC 6455: message too big
        assert json.loads(other.recv(timeout=DEADLINE))
    still_answers(bench)


def test_a_flood_ends_the_connection_and_nothing_else(bench: ShownBench) -> None:
    with live(bench) as connection:
        try:
            for _ in range(MOST_A_SECOND * 10):
                connection.send('{"press": "."}')
        except ConnectionClosed:
            pass
        assert closed_with(connection) == (1008, "Too many keys at once.")
    assert len(bench.pressed) <= MOST_A_SECOND
    with live(bench) as connection:
        assert "answer" in json.loads(connection.recv(timeout=DEADLINE))


def test_there_is_an_end_to_the_number_of_screens(bench: ShownBench) -> None:
    with contextlib.ExitStack() as stack:
        for _ in range(MOST_SCREENS):
            stack.enter_context(live(bench)).recv(timeout=DEADLINE)
        with live(bench) as one_more:
            assert closed_with(one_more) == (1013, "There are enough screens on this bench.")
    until = time.monotonic() + DEADLINE
    while time.monotonic() < until:  # the server sees them go
        with live(bench) as again:
            try:
                again.recv(timeout=DEADLINE)
                return
            except ConnectionClosed:
                continue
    raise AssertionError("a place never came free")


def test_a_port_that_is_taken_is_told_in_a_sentence(bench: ShownBench) -> None:
    with pytest.raises(ScreenUnavailable, match=rf"^Port {bench.view.port} is taken\. .*--port"):
        WebView(lambda _: None, bench.view.port)
    still_answers(bench)


def test_a_screen_that_falls_behind_is_owed_the_newest_of_each_part_only() -> None:
    async def behind() -> tuple[dict, dict, int]:
        present = Present()
        present.put("words", "")
        watcher = present.watch()
        first = await watcher.next()
        for n in range(20_000):
            present.put("words", f"word {n}")
            present.put("level", n % 12)
        second = await watcher.next()
        present.leave(watcher)
        return first, second, present.screens

    first, second, screens = asyncio.run(behind())
    assert (first, second, screens) == ({"words": ""}, {"words": "word 19999", "level": 19999 % 12}, 0)


def test_what_is_heard_goes_through_in_a_hurry(bench: ShownBench) -> None:
    with live(bench) as connection:
        for n in range(20_000):
            bench.view.hearing(f"word {n}")
        parts: dict = {}
        until = time.monotonic() + DEADLINE
        while parts.get("words") != "word 19999" and time.monotonic() < until:
            parts |= json.loads(connection.recv(timeout=DEADLINE))
        assert parts["words"] == "word 19999"


def test_it_ends_with_screens_open(benches) -> None:
    bench = benches()
    with live(bench) as connection:
        connection.recv(timeout=DEADLINE)
        bench.view.close()
        assert closed_with(connection)[0] in (1001, 1012)
    assert not any(thread.name == "screen" for thread in threading.enumerate())
