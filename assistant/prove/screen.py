"""The screen, measured in a real browser: how soon it is there, and how soon a heard word is on it."""

from __future__ import annotations

import shutil
import statistics
import time
from typing import Any

from assistant.prove.table import Row
from assistant.screen.web import WebView

__all__ = ["measure"]

_LOADS, _WORDS = 10, 100
_BETWEEN_MS = 40
"""Between two words: faster than anybody speaks."""
_WATCH = """() => {
  window.painted = [];
  new MutationObserver(() => {
    const words = document.getElementById("heard").textContent;
    requestAnimationFrame(() => setTimeout(() => painted.push([words, performance.timeOrigin + performance.now()])));
  }).observe(document.getElementById("heard"), {childList: true, characterData: true, subtree: true});
}"""


def measure() -> list[Row]:
    """First paint and heard word to paint; a row that says why where there is no browser to measure with."""
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        return [Row("screen", "in a browser", "not measured: playwright is not installed")]
    if program is None:
        return [Row("screen", "in a browser", "not measured: no chromium on this computer")]
    view = WebView(lambda _: None, 0)
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox", "--disable-gpu"])
            paints = sorted(_first_paint(browser, view) for _ in range(_LOADS))
            words = sorted(_heard_words(browser, view))
            browser.close()
    finally:
        view.close()
    return [
        Row("screen", "first paint, half and all within", _within(paints), "300 ms"),
        Row("screen", "heard word on the screen, half and all within", _within(words), "50 ms"),
    ]


def _within(times: list[float]) -> str:
    return f"{statistics.median(times):.0f} ms, {times[-1]:.0f} ms"


def _first_paint(browser: Any, view: WebView) -> float:
    page = browser.new_page(viewport={"width": 1920, "height": 1080})
    page.goto(view.address)
    page.wait_for_function("() => performance.getEntriesByName('first-contentful-paint').length")
    found: float = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
    page.close()
    return found


def _heard_words(browser: Any, view: WebView) -> list[float]:
    page = browser.new_page(viewport={"width": 1920, "height": 1080})
    page.goto(view.address)
    page.wait_for_selector("#label:not(:empty)")
    page.evaluate(_WATCH)
    told = {}
    for n in range(_WORDS):
        words = f"center of fifty {n}"
        told[words] = time.time() * 1000
        view.hearing(words)
        page.wait_for_timeout(_BETWEEN_MS)
    return [at - told[words] for words, at in page.evaluate("painted") if words in told]
