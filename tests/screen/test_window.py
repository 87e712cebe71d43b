"""Finding a browser, and saying what to do where there is none."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.errors import ScreenUnavailable
from assistant.screen.window import arguments, browser, open_window
from tests.screen.conftest import ShownBench

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="browsers are found by the path elsewhere")
ADDRESS = "http://127.0.0.1:61358/"


def program(folder: Path, name: str, text: str = '#!/bin/sh\necho "$@" > "$0.said"\n') -> Path:
    path = folder / name
    path.write_text(text)
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return path


def test_without_a_browser_the_address_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    if browser() is not None:
        pytest.skip("a browser is installed here outside the path")
    with pytest.raises(ScreenUnavailable, match=rf"no browser .* Open this address in a browser: {ADDRESS}$"):
        open_window(ADDRESS, tmp_path / "profile")


def test_without_a_display_the_address_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if sys.platform != "linux":
        pytest.skip("only there can a display be missing")
    program(tmp_path, "chromium")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with pytest.raises(ScreenUnavailable, match=rf"no display here\. .*{ADDRESS}$"):
        open_window(ADDRESS, tmp_path / "profile")


def test_for_root_the_address_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Chromium itself says: "Running as root without --no-sandbox is not supported." """
    program(tmp_path, "chromium")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("DISPLAY", ":77")
    monkeypatch.setattr("os.geteuid", lambda: 0)
    with pytest.raises(ScreenUnavailable, match=rf"for root\. Start Tapehand as yourself\. .*{ADDRESS}$"):
        open_window(ADDRESS, tmp_path / "profile")


def test_a_browser_is_started_on_the_page_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started = program(tmp_path, "firefox")
    monkeypatch.setenv("PATH", f"{tmp_path}:/bin:/usr/bin")
    monkeypatch.setattr("assistant.screen.window._CHROMIUM", ())
    monkeypatch.setenv("DISPLAY", ":77")
    assert open_window(ADDRESS, tmp_path / "profile").wait(10) == 0
    assert Path(f"{started}.said").read_text().split()[-2:] == ["--kiosk", ADDRESS]


def test_a_chromium_gets_a_profile_of_its_own(tmp_path: Path) -> None:
    words = arguments(Path("/usr/bin/chromium"), ADDRESS, tmp_path)
    assert "--kiosk" in words
    assert f"--app={ADDRESS}" in words
    assert f"--user-data-dir={tmp_path}" in words


def test_a_browser_that_does_not_start_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program(tmp_path, "chromium", text="not a program")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("os.geteuid", lambda: 1000)
    monkeypatch.setenv("DISPLAY", ":77")
    with pytest.raises(ScreenUnavailable, match=r"does not start\. "):
        open_window(ADDRESS, tmp_path / "profile")


@pytest.mark.real
def test_a_real_browser_fills_a_real_display(
    bench: ShownBench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Xvfb is an X server that draws into memory. Where the tests run as root, so does this one browser."""
    chromium = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if not chromium or not shutil.which("Xvfb"):
        pytest.skip("no chromium or no Xvfb on this computer (Debian: apt-get install chromium xvfb)")
    program(tmp_path, "chromium", f'#!/bin/sh\nexec {chromium} --no-sandbox --disable-gpu "$@"\n')
    display = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "800x600x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert display.stdout
    monkeypatch.setenv("DISPLAY", f":{display.stdout.readline().strip()}")
    monkeypatch.setenv("PATH", f"{tmp_path}:{os.environ['PATH']}")
    monkeypatch.setattr("os.geteuid", lambda: 1000)
    try:
        window = open_window(bench.view.address, tmp_path / "profile")
        until = time.monotonic() + 60
        while not bench.view.screens and window.poll() is None and time.monotonic() < until:
            time.sleep(0.05)
        assert bench.view.screens == 1
        window.terminate()
        assert window.wait(30) is not None
        while bench.view.screens and time.monotonic() < until:
            time.sleep(0.05)
        assert bench.view.screens == 0
    finally:
        display.terminate()
        display.wait(10)
        display.stdout.close()
