"""What is written for Windows and macOS, where neither is at hand: their own modules are played by stand-ins.

From the documentation of msvcrt, pyttsx3's drivers and both systems' folders; never run on either.
"""

from __future__ import annotations

import importlib.util
import sys
import threading
from collections import deque
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

from assistant.app import _start_keys
from assistant.bench import Quit
from assistant.errors import KeypadUnavailable
from assistant.keypad import windows
from assistant.keypad.keys import Talk, keyed
from assistant.keypad.reader import KeyReader
from assistant.keypad.terminal import terminal_keys
from assistant.screen import window
from assistant.speaking.voice_process import ESPEAK_THROATS, english

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="the systems themselves test themselves")


class Console(ModuleType):
    """msvcrt with somebody typing: characters come as ``getwch`` gives them."""

    def __init__(self, typed: str) -> None:
        super().__init__("msvcrt")
        self._typed = deque(typed)

    def kbhit(self) -> bool:
        return bool(self._typed)

    def getwch(self) -> str:
        return self._typed.popleft()


@pytest.fixture
def on_windows(monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    """The module of the Windows keypad as Windows would load it."""
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setitem(sys.modules, "msvcrt", Console(""))
    spec = importlib.util.spec_from_file_location("assistant.keypad.windows", windows.__file__)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setitem(sys.modules, "assistant.keypad.windows", module)
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(isatty=lambda: True))
    return module


def read(module: ModuleType, typed: str, count: int) -> list[object]:
    module.msvcrt = Console(typed)
    keys: KeyReader = terminal_keys()
    with keys as reader:
        return [reader.read(timeout=0.0) for _ in range(count)]


def test_a_windows_console_gives_keys(on_windows: ModuleType) -> None:
    assert read(on_windows, "53.5/8\r", 8) == [*keyed("53.5/8E"), None]
    assert read(on_windows, "\xe0G\x00H\b,", 4) == list(keyed("78<."))  # NumLock off; a comma for the point
    assert read(on_windows, " ", 1) == [Talk.DOWN]
    with pytest.raises(KeyboardInterrupt):
        read(on_windows, "\x03", 1)


def test_ctrl_c_puts_the_bench_away_there_too(on_windows: ModuleType) -> None:
    on_windows.msvcrt = Console("5\x03")
    posted: list[object] = []
    with ExitStack() as stack:
        assert _start_keys(stack, posted.append, " ")
        for thread in threading.enumerate():
            if thread.name == "keypad":
                thread.join()
    assert posted == [*keyed("5"), Quit()]


def test_a_bounced_key_is_one_key_there_too(on_windows: ModuleType) -> None:
    assert read(on_windows, "55", 2) == [*keyed("5"), None]


def test_without_a_console_it_says_so(on_windows: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(KeypadUnavailable):
        read(on_windows, "", 1)


def test_a_browser_is_found_where_windows_keeps_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("ProgramFiles", str(tmp_path / "Program Files"))
    monkeypatch.delenv("ProgramFiles(x86)", raising=False)
    edge = tmp_path / "Program Files" / "Microsoft/Edge/Application" / "msedge.exe"
    edge.parent.mkdir(parents=True)
    edge.touch()
    assert window.browser() == edge
    assert list(window.arguments(edge, "http://127.0.0.1:1/", tmp_path))[1:3] == [
        "--kiosk",
        "--app=http://127.0.0.1:1/",
    ]


def test_and_where_macos_keeps_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    kept = list(window._installed())
    assert Path("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome") in kept
    assert Path("/Applications/Firefox.app/Contents/MacOS/firefox") in kept


def engine(driver: str, *voices: tuple[str, str, list[object]]) -> SimpleNamespace:
    """pyttsx3 with the voices of another system: identity, name, languages."""
    found = [SimpleNamespace(id=ident, name=name, languages=languages) for ident, name, languages in voices]
    inner = type(driver, (), {})()
    return SimpleNamespace(proxy=SimpleNamespace(_driver=inner), getProperty=lambda name: found)


def test_the_english_voices_of_each_system() -> None:
    sapi = engine(
        "SAPI5Driver",
        ("HKEY_LOCAL_MACHINE\\A", "Microsoft Zira Desktop - English (United States)", []),
        ("HKEY_LOCAL_MACHINE\\B", "Microsoft Hedda Desktop - German", []),
    )
    assert english(sapi) == ["Microsoft Zira Desktop - English (United States)"]
    mac = engine("NSSpeechDriver", ("a", "Samantha", ["en_US"]), ("b", "Thomas", ["fr_FR"]), ("c", "Daniel", ["en-GB"]))
    assert english(mac) == ["Samantha", "Daniel"]
    espeak = engine("EspeakDriver", ("gmw/en-us", "English (America)", ["en-us"]), ("gmw/de", "German", [b"\x05de"]))
    assert english(espeak) == list(ESPEAK_THROATS)  # the usual one is not another
