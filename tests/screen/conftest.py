"""A bench with its screen, and a real browser to look at it."""

from __future__ import annotations

import contextlib
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.bench import Bench, Quit, Words
from assistant.board.keeper import Keeper
from assistant.board.port import MemoryBoard
from assistant.desk import examples_of
from assistant.keypad.keys import Press, keyed
from assistant.language.grammar import Grammar, load_english
from assistant.language.requests import Attention
from assistant.printing.printer import Printer
from assistant.screen.web import WebView
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.settings import Settings

ARTIFACTS = Path(os.environ.get("TAPEHAND_ARTIFACTS") or Path(__file__).parents[2] / "artifacts") / "screens"
"""Where the pictures of the screen are kept."""

KEYS_ONLY = dict.fromkeys(Attention, "use the keys")


PICTURES = Path(__file__).parent / "pictures"
"""Those that README.md shows."""


class ShownBench:
    """A whole bench with keys and screen, without sound."""

    def __init__(
        self,
        grammar: Grammar,
        port: int = 0,
        voice: bool = False,
        lan: bool = False,
        talk_key: str = " ",
        printer: Printer | None = None,
    ) -> None:
        self.pressed: list[Press] = []
        manners = Manners(attention=Attention.PUSH, ask_plus=False)
        self.session = Session(manners, examples=examples_of(grammar))
        self._bench = Bench(
            self.session, Keeper(MemoryBoard()), grammar, Settings(), waiting=KEYS_ONLY, printer=printer
        )
        self.view = WebView(self._press, port, voice, lan, talk_key)
        self._bench.views.append(self.view)
        self._thread = threading.Thread(target=self._bench.run)
        self._thread.start()

    def _press(self, press: Press) -> None:
        self.pressed.append(press)
        self._bench.post(press)

    def keys(self, text: str) -> None:
        for key in keyed(text):
            self._bench.post(key)

    def hears(self, words: str) -> None:
        self._bench.post(Words(words))

    def close(self) -> None:
        self._bench.post(Quit())
        self._thread.join()
        self.view.close()


@pytest.fixture(scope="session")
def grammar() -> Grammar:
    return load_english()


@pytest.fixture
def benches(grammar: Grammar) -> Iterator[Callable[..., ShownBench]]:
    with contextlib.ExitStack() as stack:

        def opened(**more: object) -> ShownBench:
            bench = ShownBench(grammar, **more)
            stack.callback(bench.close)
            return bench

        yield opened


@pytest.fixture
def bench(benches: Callable[..., ShownBench]) -> ShownBench:
    return benches()


@pytest.fixture(scope="module")
def chromium():
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if program is None:
        pytest.skip("no chromium on this computer (Debian: apt-get install chromium)")
    quiet = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
    try:
        running = playwright.sync_playwright().start()
    except Exception as error:  # raised bare by playwright, when its own node does not run
        pytest.skip(f"playwright does not start here: {error} (Debian: apt-get install libatomic1)")
    browser = running.chromium.launch(
        executable_path=program, args=[*quiet, "--disable-component-update", "--disable-sync"]
    )
    yield browser
    browser.close()
    running.stop()


@pytest.fixture
def pages(chromium, bench: ShownBench):
    """Opens a screen on the bench; whatever the page complains of fails the test."""
    complaints: list[str] = []
    contexts = []

    def opened(width: int = 1280, height: int = 800, at: ShownBench = bench, **more: object):
        context = chromium.new_context(viewport={"width": width, "height": height}, **more)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.goto(at.view.address)
        page.wait_for_selector("#label:not(:empty)")
        page.wait_for_selector("#alarm", state="hidden")
        return page

    opened.complaints = complaints  # type: ignore[attr-defined]
    yield opened
    for context in contexts:
        context.close()
    assert complaints == []
