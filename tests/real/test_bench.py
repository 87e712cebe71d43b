"""The bench in a real terminal with nothing but keys: the whole job, stopped, killed and started again."""

from __future__ import annotations

import signal
import socket
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

pytest.importorskip("termios", reason="this system has no POSIX terminals")

from assistant.keypad.reader import BOUNCE
from tests.real.window import DEADLINE, Window

pytestmark = pytest.mark.real

CENTER = "twenty-six and thirteen sixteenths"


@contextmanager
def bench(folder: Path, *words: str, **environment: str) -> Iterator[Window]:
    window = Window(
        "--no-voice",
        *(words or ("--no-screen",)),
        module="assistant.cli",
        ready="Ready",
        TAPEHAND_BOARD=str(folder / "board.db"),
        TAPEHAND_SETTINGS=str(folder / "settings.toml"),
        PYTHONIOENCODING="utf-8",
        **environment,
    )
    try:
        yield window
    finally:
        window.close()


def keyed(window: Window, keys: bytes, expected: str) -> None:
    """One key after another, each answered before the next, as fingers do it."""
    for key in keys[:-1]:
        window.types(bytes([key]))
        window.sees("\x1b[K")
    window.types(keys[-1:])
    window.sees(expected)


def test_a_measurement_its_center_and_the_way_out(tmp_path: Path) -> None:
    with bench(tmp_path) as window:
        keyed(window, b"53.5/8\r", "Fifty-three and five eighths.")
        time.sleep(2 * BOUNCE)  # the same key sooner would be a bounce
        window.types(b"\r")
        window.sees("26 13/16")
        window.sees(CENTER)
        window.types(b"\x03")
        assert window.ends() == 0


def goes_on(window: Window) -> None:
    """It still does what the keys ask, and ends well."""
    keyed(window, b"53.5/8\r", "Fifty-three and five eighths.")
    window.types(b"\x03")
    assert window.ends() == 0


def test_it_stands_where_it_stood(tmp_path: Path) -> None:
    with bench(tmp_path) as window:
        keyed(window, b"53.5/8\r", "Fifty-three and five eighths.")
        window.process.send_signal(signal.SIGKILL)
        window.process.wait(DEADLINE)
    with bench(tmp_path) as window:
        window.types(b"\r")
        window.sees(CENTER)
        window.types(b"\x7f")  # scratches the center, and then the piece that was keyed before the kill
        window.sees("Scratched")
        window.types(b"\x03")
        assert window.ends() == 0


def test_a_board_in_use_costs_a_sentence_and_not_the_job(tmp_path: Path) -> None:
    raw = sqlite3.connect(tmp_path / "board.db", isolation_level=None)
    raw.execute("PRAGMA journal_mode = WAL")
    raw.execute("BEGIN EXCLUSIVE")
    with bench(tmp_path) as window:
        window.sees("Another program is holding the board")
        goes_on(window)
    raw.close()


def test_a_port_that_is_taken_costs_a_sentence_and_the_bench_goes_on(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        with bench(tmp_path, "--port", port) as window:
            window.sees(f"Port {port} is taken.")
            goes_on(window)


def test_no_browser_and_no_display_cost_a_sentence_and_the_bench_goes_on(tmp_path: Path) -> None:
    (tmp_path / "firefox").write_text("never started")
    (tmp_path / "firefox").chmod(0o755)
    nothing = {"DISPLAY": "", "WAYLAND_DISPLAY": ""}
    for folder, sentence in ((tmp_path / "empty", "no browser"), (tmp_path, "no display")):
        with bench(tmp_path, "--port", "0", PATH=str(folder), **nothing) as window:
            window.sees(f"There is {sentence}")
            window.sees("Open this address in a browser: http://127.0.0.1:")
            goes_on(window)


def test_a_browser_that_does_not_stay_is_told(tmp_path: Path) -> None:
    (tmp_path / "firefox").write_text("#!/bin/sh\nexit 1\n")
    (tmp_path / "firefox").chmod(0o755)
    with bench(tmp_path, "--port", "0", PATH=str(tmp_path), DISPLAY=":77") as window:
        window.sees("The browser has ended. Open this address in another: http://127.0.0.1:")
        goes_on(window)


def test_a_broken_settings_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text("[speaking\n")
    with bench(tmp_path) as window:
        window.sees("is not a setting. Put it right.")
        window.types(b"\x03")
        assert window.ends() == 0
    assert (tmp_path / "settings.toml").read_text() == "[speaking\n"


def test_told_to_end_by_the_system(tmp_path: Path) -> None:
    with bench(tmp_path) as window:
        keyed(window, b"53.5/8\r", "Fifty-three and five eighths.")
        window.process.send_signal(signal.SIGTERM)
        assert window.ends() == -signal.SIGTERM
