"""The wiring: the only module that knows every part. Opens what is attached, and goes on with what is left."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from assistant import settings
from assistant.bench import Bench, Happening, Quit, Trouble
from assistant.board.keeper import Keeper
from assistant.board.opening import open_board
from assistant.board.port import Board, MemoryBoard
from assistant.desk import examples_of, manners_of
from assistant.errors import BoardError, KeypadUnavailable, ScreenUnavailable, SettingsUnreadable, TapehandError
from assistant.keypad.reader import KeyReader
from assistant.keypad.terminal import terminal_keys
from assistant.language.grammar import load_english
from assistant.screen.terminal import TerminalView
from assistant.screen.web import DEFAULT_PORT, WebView
from assistant.screen.window import open_window
from assistant.session.manners import Attention
from assistant.session.session import Session
from assistant.settings import Settings

__all__ = ["run"]

_WAITING = {
    "wake": 'say "tape hand", or use the keys',
    "push": "hold the talk key, or use the keys",
    "open": "listening",
}
_KEYS_ONLY = "use the keys"
_SECONDS_TO_END = 5.0
"""For the browser to go by itself."""
_LOOK_UP = 0.2
"""Seconds between looks at whether the keypad is still wanted."""


def run(
    settings_option: str | None,
    board_option: str | None,
    voice: bool,
    screen: bool = True,
    window: bool = True,
    port: int | None = None,
) -> int:
    """The bench with whatever is attached, in this terminal and on the bench screen. Returns the exit status.

    Args:
        screen: whether the bench screen is served at all.
        window: whether a browser is opened on it.
        port: where it is served; None for the usual one.
    """
    path = settings.settings_path(settings_option)
    chosen, problems = settings.read(path)
    board, trouble = opened_board(settings.board_address(board_option))
    with ExitStack() as stack:
        stack.callback(board.close)
        view = TerminalView(sys.stdout)
        stack.callback(view.close)
        grammar = load_english()
        job, history = board.load()
        attention = None if voice else Attention.PUSH  # nothing is heard: nobody is listening after an answer
        manners = manners_of(chosen, attention)
        session = Session(manners, job=job, history=history, examples=examples_of(grammar))
        waiting = _WAITING[chosen.attention] if voice else _KEYS_ONLY
        bench = Bench(session, Keeper(board), [view], chosen, _keeping(path, view), waiting)
        shown = _start_screen(stack, bench, view, voice, port) if screen else None
        if shown and window:
            _open_window(stack, shown, view, path.parent / "browser")
        keys = _start_keys(stack, bench.post)
        if not keys and not shown:
            raise KeypadUnavailable(
                "There is nothing to hear you with and no keypad. Start Tapehand in a terminal window."
            )
        told = [sentence for sentence in [*problems, trouble, board.notice, _created(path)] if sentence]
        for sentence in told:
            view.notice(sentence)
        if shown:
            shown.notice(" ".join(told))
        try:
            bench.run()
        except KeyboardInterrupt:
            return 0
    return 0


def opened_board(address: str) -> tuple[Board, str]:
    """The board, and a sentence where there is none: then everything is kept for as long as the program runs."""
    try:
        return open_board(address), ""
    except BoardError as error:
        return MemoryBoard(), f"{error} Until then nothing is kept when Tapehand ends."


def _keeping(path: Path, view: TerminalView) -> Callable[[Settings], None]:
    def keep(now: Settings) -> None:
        try:
            settings.change(path, volume=now.volume, rate=now.rate)
        except SettingsUnreadable as error:
            view.notice(str(error))

    return keep


def _created(path: Path) -> str:
    try:
        settings.create(path)
    except SettingsUnreadable as error:
        return str(error)
    return ""


def _start_screen(
    stack: ExitStack, bench: Bench, view: TerminalView, voice: bool, port: int | None
) -> WebView | None:
    """Serve the bench screen. None, with a sentence why, where it cannot be."""
    try:
        screen = WebView(bench.post, DEFAULT_PORT if port is None else port, voice)
    except ScreenUnavailable as error:
        view.notice(str(error))
        return None
    stack.callback(screen.close)
    bench.add_view(screen)
    return screen


def _open_window(stack: ExitStack, screen: WebView, view: TerminalView, profile: Path) -> None:
    """Put a browser on the bench screen; where there is none, say what to open by hand."""
    try:
        browser = open_window(screen.address, profile)
    except ScreenUnavailable as error:
        view.notice(str(error))
        return
    stack.callback(_end, browser)


def _end(browser: subprocess.Popen[bytes]) -> None:
    browser.terminate()
    try:
        browser.wait(_SECONDS_TO_END)
    except subprocess.TimeoutExpired:
        browser.kill()


def _start_keys(stack: ExitStack, post: Callable[[Happening], None]) -> bool:
    """Read the keypad on a thread of its own. False where there is none."""
    try:
        keys = stack.enter_context(terminal_keys())
    except KeypadUnavailable:
        return False
    over = threading.Event()
    thread = threading.Thread(target=_read_keys, args=(keys, post, over), name="keypad", daemon=True)
    stack.callback(thread.join)
    stack.callback(over.set)
    thread.start()
    return True


def _read_keys(keys: KeyReader, post: Callable[[Happening], None], over: threading.Event) -> None:
    try:
        while not over.is_set():
            key = keys.read(timeout=_LOOK_UP)
            if key is not None:
                post(key)
    except TapehandError as error:
        post(Trouble(str(error)))
        post(Quit())
