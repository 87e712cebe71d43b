"""The wiring: the only module that knows every part. Opens what is attached, and goes on with what is left."""

from __future__ import annotations

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
from assistant.errors import BoardError, KeypadUnavailable, SettingsUnreadable, TapehandError
from assistant.keypad.reader import KeyReader
from assistant.keypad.terminal import terminal_keys
from assistant.language.grammar import load_english
from assistant.screen.terminal import TerminalView
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
_LOOK_UP = 0.2
"""Seconds between looks at whether the keypad is still wanted."""


def run(settings_option: str | None, board_option: str | None, voice: bool) -> int:
    """The bench with whatever is attached, in this terminal. Returns the exit status."""
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
        for sentence in [*problems, trouble, board.notice, _created(path)]:
            view.notice(sentence)
        keys = _start_keys(stack, bench.post)
        if not keys:
            raise KeypadUnavailable(
                "There is nothing to hear you with and no keypad. Start Tapehand in a terminal window."
            )
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
