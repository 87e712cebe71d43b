"""Screens on other computers: they look on, and press keys once they are paired at the bench."""

from __future__ import annotations

import contextlib
import json
import re
import time
import urllib.error
import urllib.request
from collections.abc import Callable

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import ClientConnection, connect

from assistant.keypad.keys import Key
from assistant.screen.pairing import REST_SECONDS, Pairing, own_address
from tests.screen.conftest import ShownBench

DEADLINE = 10.0


@pytest.fixture
def bench(benches: Callable[..., ShownBench]) -> ShownBench:
    if not own_address()[:1].isdigit() or own_address().startswith("127."):
        pytest.skip("this computer has no other address to be reached by")
    return benches(lan=True)


def there(bench: ShownBench, **more) -> ClientConnection:
    """A screen that reaches the bench by its address on the network, as another computer does."""
    host = f"{own_address()}:{bench.view.port}"
    more = {"origin": f"http://{host}"} | more
    return connect(f"ws://{host}/live", open_timeout=DEADLINE, **more)


def here(bench: ShownBench) -> ClientConnection:
    port = bench.view.port
    return connect(f"ws://127.0.0.1:{port}/live", origin=f"http://127.0.0.1:{port}", open_timeout=DEADLINE)


def part(connection: ClientConnection, name: str, value: object = None) -> object:
    """The next value of a part, or the wait for a certain one."""
    until = time.monotonic() + DEADLINE
    while time.monotonic() < until:
        parts = json.loads(connection.recv(timeout=DEADLINE))
        if name in parts and value in (None, parts[name]):
            return parts[name]
    raise AssertionError(f"no {name}")


def code_of(bench: ShownBench) -> str:
    with here(bench) as connection:
        found = re.search(r"code (\d{6})$", str(part(connection, "pairing")))
    assert found
    return found[1]


def sent_away(connection: ClientConnection) -> str:
    with contextlib.suppress(ConnectionClosed):
        while True:
            connection.recv(timeout=DEADLINE)
    return connection.protocol.close_reason or ""


def test_the_bench_shows_the_address_and_the_code_and_others_never_get_it(bench: ShownBench) -> None:
    code = code_of(bench)
    with here(bench) as connection:
        assert part(connection, "pairing") == f"{own_address()}:{bench.view.port}  code {code}"
    with there(bench) as connection:
        parts = json.loads(connection.recv(timeout=DEADLINE))
        assert (parts["may"], parts["pairing"]) == (False, "")
        assert code not in json.dumps(parts)
        assert "answer" in parts  # it looks on


def test_paired_it_presses_keys(bench: ShownBench) -> None:
    with there(bench) as connection:
        connection.send(json.dumps({"pair": code_of(bench)}))
        part(connection, "may", True)
        connection.send('{"press": "5"}')
        assert str(part(connection, "entry", "five")) == "five"
    assert bench.pressed == [Key.FIVE]


@pytest.mark.parametrize("message", ['{"press": "5"}', '{"pair": "12345"}', '{"pair": 5}', "x"])
def test_unpaired_nothing_it_sends_is_a_key(bench: ShownBench, message: str) -> None:
    with there(bench) as connection:
        for _ in range(3):
            connection.send(message)
        assert sent_away(connection) == "That is not the code."
    assert bench.pressed == []


@pytest.mark.parametrize("origin", [None, "http://evil.example", "http://10.9.8.7:{port}", "http://127.0.0.1:{port}"])
def test_a_page_of_another_computer_is_refused(bench: ShownBench, origin: str | None) -> None:
    with pytest.raises(InvalidStatus) as refused:
        there(bench, origin=origin and origin.format(port=bench.view.port))
    assert refused.value.response.status_code == 403


def test_a_name_that_was_made_to_mean_this_computer_is_refused(bench: ShownBench) -> None:
    request = urllib.request.Request(
        f"http://{own_address()}:{bench.view.port}/", headers={"Host": f"evil.example:{bench.view.port}"}
    )
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(request, timeout=DEADLINE)
    refused.value.close()
    assert refused.value.code == 403


def test_after_ten_wrong_tries_the_code_is_another() -> None:
    """And for a minute nobody gets in: else a machine could try a thousand codes a second."""
    shown: list[str] = []
    now = [100.0]
    pairing = Pairing(shown.append, lambda: now[0])
    assert pairing.tried(shown[-1])
    for _ in range(9):
        assert not pairing.tried("not the code")
    assert pairing.tried(shown[0])
    assert not pairing.tried("nor is this")
    assert len(shown) == 2
    assert not pairing.tried(shown[1])
    now[0] += REST_SECONDS
    assert pairing.tried(shown[1])


@pytest.mark.real
def test_in_a_browser_it_looks_on_until_the_code_is_typed(chromium, bench: ShownBench) -> None:
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"http://{own_address()}:{bench.view.port}/")
    page.wait_for_selector("#pair", state="visible")
    assert page.locator("#actions").is_hidden()
    page.keyboard.press("Numpad7")
    page.locator("#code").fill(code_of(bench))
    page.locator("#pair button").click()
    page.wait_for_selector("#actions", state="visible")
    page.keyboard.press("Numpad5")
    page.wait_for_function("() => document.querySelector('#heard').textContent === 'five'")
    assert bench.pressed == [Key.FIVE]
    context.close()
