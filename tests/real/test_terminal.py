"""The keypad in a real terminal: a pseudo-terminal of the system, and tmux, which is a terminal of its own.

NumLock both ways, as terminals send it (see assistant/keypad/decode.py for the sources): plain characters,
application sequences, and the moving keys.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

termios = pytest.importorskip("termios", reason="this system has no POSIX terminals")

from tests.real.window import DEADLINE, ROOT, Window  # noqa: E402 - not where there is no termios

pytestmark = pytest.mark.real

# What each key of 53.5/8 and Enter sends.
NUMLOCK_ON = [b"5", b"3", b".", b"5", b"/", b"8", b"\r"]
APPLICATION = [b"\x1bOu", b"\x1bOs", b"\x1bOn", b"\x1bOu", b"\x1bOo", b"\x1bOx", b"\x1bOM"]
NUMLOCK_OFF = [b"\x1b[E", b"\x1b[6~", b"\x1b[3~", b"\x1b[E", b"/", b"\x1b[A", b"\r"]
ECHOES = [
    "<five>",
    "<fifty-three>",
    "<fifty-three and>",
    "<fifty-three and five>",
    "<fifty-three and five over>",
    "<fifty-three and five eighths>",
    "<Hold(what=Measure(length=Length('53 5/8')",
]


@pytest.fixture
def window() -> Iterator[Window]:
    opened = Window()
    yield opened
    opened.close()


@pytest.mark.parametrize(
    "keys", [NUMLOCK_ON, APPLICATION, NUMLOCK_OFF], ids=["NumLock on", "application keypad", "NumLock off"]
)
def test_a_measurement_keyed_in_whichever_way_numlock_stands(window, keys):
    for key, echo in zip(keys, ECHOES, strict=True):
        window.types(key)
        window.sees(echo)


def test_the_same_key_at_once_is_a_bounce_and_other_keys_are_not(window):
    window.types(b"55")
    window.sees("<five>")
    window.types(b"3")
    window.sees("<fifty-three>")


def test_what_is_pasted_is_not_keyed_and_backspace_takes_back(window):
    window.types(b"\x1b[200~99/7\r\x1b[201~5")
    window.sees("<five>")
    window.types(b"3")
    window.sees("<fifty-three>")
    window.types(b"\x7f")
    window.sees("<Taken back. Five.>")


def test_the_space_bar_is_push_to_talk_and_other_keys_are_nothing(window):
    window.types(b"q")
    window.types(b"\x1a\x1c\x13")  # Ctrl-Z, Ctrl-\ and Ctrl-S, which would stop a program in other terminals
    window.types(b"\x1b")
    window.types(b" ")
    window.sees("<talk key down>")
    window.types(b"5")
    window.sees("<five>")


def test_the_talk_key_comes_up_when_it_no_longer_repeats(window):
    window.types(b" ")
    window.sees("<talk key down>")
    let_go = time.monotonic() + 1
    while time.monotonic() < let_go:  # the repeating of a key held down: nothing comes back for it
        window.types(b" ")
        time.sleep(0.03)
    window.sees("<talk key up>")


def test_keys_are_taken_one_by_one_and_unseen(window):
    now = termios.tcgetattr(window.slave)
    assert not now[3] & (termios.ECHO | termios.ICANON)
    assert now[3] & termios.ISIG  # Ctrl-C still works


@pytest.mark.parametrize("way", ["at its end", "crash", "Ctrl-C", "SIGTERM", "SIGHUP"])
def test_the_terminal_is_put_back_however_the_program_ends(way):
    window = Window(*(["crash"] if way == "crash" else []))
    try:
        assert termios.tcgetattr(window.slave) != window.before
        match way:
            case "at its end" | "crash":
                window.types(b"*")
            case "Ctrl-C":
                window.types(b"\x03")
            case _:
                window.process.send_signal(getattr(signal, way))
        code = window.ends()
        assert termios.tcgetattr(window.slave) == window.before
        window.sees("\x1b>")  # the keypad is in normal mode again
        if way.startswith("SIG"):
            assert code == -getattr(signal, way)
        else:
            assert code == (0 if way == "at its end" else 1)
        if way == "Ctrl-C":
            window.sees("left with Ctrl-C")
    finally:
        window.close()


def test_without_a_terminal_there_is_a_sentence():
    done = subprocess.run(
        [sys.executable, "-m", "tests.real.keys_program"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=DEADLINE,
    )
    assert done.returncode == 1
    assert done.stderr == (
        "no keys: There is no keyboard here. Start Tapehand in a terminal window, or use the keys on the screen.\n"
    )


def test_a_terminal_that_goes_away_is_noticed():
    master, slave = os.openpty()
    process = subprocess.Popen(  # no controlling terminal: no signal tells it, only the keys are gone
        [sys.executable, "-m", "tests.real.keys_program"],
        stdin=slave,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        start_new_session=True,
    )
    os.close(slave)
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    os.close(master)
    _, complaint = process.communicate(timeout=DEADLINE)
    assert complaint == "no keys: The keyboard has gone. Start Tapehand again in a terminal window.\n"


# -------------------------------------------------------------- tmux


class Tmux:
    """A tmux of its own, with the program in it."""

    def __init__(self, folder: Path) -> None:
        self._socket = str(folder / "tmux")
        self._tmux(
            "new-session",
            "-d",
            "-x",
            "100",
            "-y",
            "30",
            f"cd {ROOT} && {sys.executable} -m tests.real.keys_program",
        )
        self.sees("ready")

    def _tmux(self, *arguments: str) -> str:
        done = subprocess.run(
            ["tmux", "-S", self._socket, "-f", "/dev/null", *arguments],
            capture_output=True,
            text=True,
            timeout=DEADLINE,
            check=True,
        )
        return done.stdout

    def sees(self, text: str) -> None:
        """Wait until a text is on the screen."""
        deadline = time.monotonic() + DEADLINE
        while text not in (screen := self._tmux("capture-pane", "-p", "-J")):
            assert time.monotonic() < deadline, f"{text!r} did not come; the screen shows {screen}"

    def presses(self, *keys: str) -> None:
        self._tmux("send-keys", *keys)

    def close(self) -> None:
        self._tmux("kill-server")


@pytest.fixture
def tmux(tmp_path: Path) -> Iterator[Tmux]:
    if not shutil.which("tmux"):
        pytest.skip("tmux is not installed")
    opened = Tmux(tmp_path)
    yield opened
    opened.close()


@pytest.mark.parametrize(
    "keys",
    [
        ["5", "3", ".", "5", "/", "8", "Enter"],
        ["KP5", "KP3", "KP.", "KP5", "KP/", "KP8", "KPEnter"],
        ["\x1b[E", "NPage", "DC", "\x1b[E", "KP/", "Up", "KPEnter"],  # tmux has no name for the center key
    ],
    ids=["plain", "keypad", "NumLock off"],
)
def test_the_keypad_in_tmux(tmux, keys):
    for key, echo in zip(keys, ECHOES, strict=True):
        if key.startswith("\x1b"):
            tmux.presses("-l", key)
        else:
            tmux.presses(key)
        tmux.sees(echo)
