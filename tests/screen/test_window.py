"""Finding a browser, and saying what to do where there is none."""

from __future__ import annotations

import stat
import sys
from pathlib import Path

import pytest

from assistant.errors import ScreenUnavailable
from assistant.screen.window import arguments, browser, open_window

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
    monkeypatch.setenv("DISPLAY", ":77")
    with pytest.raises(ScreenUnavailable, match=r"does not start\. "):
        open_window(ADDRESS, tmp_path / "profile")
