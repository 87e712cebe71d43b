"""The wiring: the only module that knows every part. Opens what is attached, and goes on with what is left."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
from _thread import start_new_thread
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from types import FrameType
from typing import Any

from assistant import settings
from assistant.bench import Bench, BoardMoved, Happening, Quit, Trouble
from assistant.board.keeper import Keeper
from assistant.board.opening import BoardLater, courier_of, open_board
from assistant.board.sqlite import SqliteBoard
from assistant.desk import examples_of, manners_of, taken_up
from assistant.errors import (
    BoardError,
    KeypadUnavailable,
    ModelUnusable,
    ScreenUnavailable,
    SettingsUnreadable,
    TapehandError,
)
from assistant.keypad.reader import KeyReader
from assistant.keypad.terminal import terminal_keys
from assistant.language.grammar import Grammar, load_english
from assistant.language.requests import Attention
from assistant.printing.printer import ToFolder
from assistant.screen.terminal import TerminalView
from assistant.screen.web import DEFAULT_PORT, WebView
from assistant.screen.window import open_window
from assistant.session.events import MicrophoneLost
from assistant.session.session import Session
from assistant.settings import BoardAddress, Settings

__all__ = ["Wanted", "run"]

_WAITING = {
    Attention.WAKE: 'say "tape hand", or use the keys',
    Attention.PUSH: "hold the talk key, or use the keys",
    Attention.OPEN: "listening",
}
_KEYS_ONLY = "use the keys"
_SECONDS_TO_END = 5.0
"""For the browser to go by itself."""
_NOTHING_ATTACHED = "There is nothing to hear you with and no keypad. Start Tapehand in a terminal window."
_LOOK_UP = 0.2
"""Seconds between looks at whether the keypad is still wanted."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the command line says of the bench."""

    settings: str | None = None
    board: str | None = None
    voice: bool = True
    """Microphone and loudspeaker."""
    screen: bool = True
    """Whether the bench screen is served at all."""
    window: bool = True
    """Whether a browser is opened on it."""
    port: int | None = None
    """Where it is served; None for the usual one."""
    lan: bool = False
    """Whether other computers on the network may look on, and press keys once paired."""


def run(wanted: Wanted) -> int:
    """The bench with whatever is attached, in this terminal and on the bench screen. Returns the exit status."""
    path = settings.settings_path(wanted.settings)
    chosen, problems = settings.read(path)
    address = settings.board_address(wanted.board)
    with ExitStack() as stack:
        board, trouble = opened_board(address)
        stack.callback(board.close)
        grammar = load_english()
        job, history = board.load()
        attention = None if wanted.voice else Attention.PUSH  # nothing is heard: nobody listens after an answer
        manners = manners_of(chosen, attention)
        session = Session(manners, job=taken_up(job, manners), history=history, examples=examples_of(grammar))
        view = TerminalView(sys.stdout)
        stack.callback(view.close)
        waiting = _WAITING if wanted.voice else dict.fromkeys(Attention, _KEYS_ONLY)
        printer = ToFolder(settings.sheets_folder(chosen), chosen.paper)
        bench = Bench(session, Keeper(board), grammar, chosen, _keeping(path, view), waiting, printer)
        bench.views.append(view)
        reached = _start_keys(stack, bench.post, chosen.talk_key)
        if wanted.screen:
            reached = _start_screen(stack, bench, wanted, chosen, path.parent / "browser") or reached
        told = [sentence for sentence in [*problems, trouble, board.notice, _created(path)] if sentence]
        if told:
            bench.post(Trouble(" ".join(told)))
        if isinstance(board, BoardLater):
            board.opened = partial(_start_courier, stack, bench, address)
        else:
            _start_courier(stack, bench, address, board)
        if wanted.voice:
            _start_voice(stack, bench, chosen)
            reached = _start_ears(stack, bench, chosen, grammar) or reached
        if not reached:
            raise KeypadUnavailable(_NOTHING_ATTACHED)
        with _put_away_on_interrupt(bench.post):
            bench.run()
    return 0


@contextmanager
def _put_away_on_interrupt(post: Callable[[Happening], None]) -> Iterator[None]:
    """Ctrl-C puts the bench away once what it is at is done; a second one breaks that off.

    Raised as KeyboardInterrupt, it would break off anything: a write, or the queue between its locks.
    """
    before = signal.getsignal(signal.SIGINT)
    if before in (None, signal.SIG_IGN):  # started in the background, where nobody's Ctrl-C is for it
        yield
        return

    def ask(_number: int, _frame: FrameType | None) -> None:
        signal.signal(signal.SIGINT, before)
        # The queue's lock may be held right here, and those that ``threading`` starts a thread with.
        start_new_thread(post, (Quit(),))

    signal.signal(signal.SIGINT, ask)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def opened_board(address: BoardAddress) -> tuple[SqliteBoard | BoardLater, str]:
    """The board, and a sentence where it cannot be opened just now."""
    try:
        return open_board(address), ""
    except BoardError as error:
        return BoardLater(address), f"{error} Until then nothing can be kept."


def _keeping(path: Path, view: TerminalView) -> Callable[[Mapping[str, Any]], None]:
    def keep(changes: Mapping[str, Any]) -> None:
        try:
            settings.change(path, **changes)
        except SettingsUnreadable as error:
            view.notice(str(error))

    return keep


def _created(path: Path) -> str:
    try:
        settings.create(path)
    except SettingsUnreadable as error:
        return str(error)
    return ""


def _start_screen(stack: ExitStack, bench: Bench, wanted: Wanted, chosen: Settings, profile: Path) -> bool:
    """Serve the bench screen, and put a browser on it. False, with a sentence why, where it cannot be served."""
    try:
        port = DEFAULT_PORT if wanted.port is None else wanted.port
        screen = WebView(bench.post, port, wanted.voice, wanted.lan, chosen.talk_key, chosen.stud_marks)
        stack.callback(screen.close)
        bench.views.append(screen)
        if wanted.window:
            _watch(stack, open_window(screen.address, profile), screen.address, bench.post)
    except ScreenUnavailable as error:
        bench.post(Trouble(str(error)))
        return len(bench.views) > 1
    return True


def _watch(stack: ExitStack, browser: subprocess.Popen[bytes], address: str, post: Callable[[Happening], None]) -> None:
    """Close the browser in the end; where it closes or breaks off before, say how the screen is seen again."""
    over = threading.Event()
    stack.callback(_end, browser)
    stack.callback(over.set)

    def watch() -> None:
        failed = browser.wait() > 0
        if over.is_set():
            return
        if failed:
            post(Trouble(f"The browser has ended. Open this address in another: {address}"))
        else:
            post(Trouble(f"The window of the screen was closed. To see it again, open {address} in a browser."))

    threading.Thread(target=watch, name="browser", daemon=True).start()


def _end(browser: subprocess.Popen[bytes]) -> None:
    browser.terminate()
    try:
        browser.wait(_SECONDS_TO_END)
    except subprocess.TimeoutExpired:
        browser.kill()


def _start_courier(stack: ExitStack, bench: Bench, address: BoardAddress, board: SqliteBoard) -> None:
    """Share the board with other benches, where an address says so."""
    courier = courier_of(board, address)
    if courier is not None:
        stack.callback(courier.close)
        courier.start(lambda: bench.post(BoardMoved()), lambda sentence: bench.post(Trouble(sentence)))


def _start_voice(stack: ExitStack, bench: Bench, chosen: Settings) -> None:
    from assistant.attached import SpokenVoice

    bench.voice = SpokenVoice(chosen, bench.post)
    stack.callback(bench.voice.close)


def _start_ears(stack: ExitStack, bench: Bench, chosen: Settings, grammar: Grammar) -> bool:
    """Start listening. False, with the reason told, where nothing can be heard."""
    from assistant.attached import HearingEars

    try:
        ears = HearingEars(chosen, grammar, bench.post)
    except ModelUnusable as error:
        bench.post(MicrophoneLost(str(error)))
        return False
    bench.ears = ears
    stack.callback(ears.close)
    if ears.trouble:
        bench.post(Trouble(ears.trouble, aloud=True))
    return True


def _start_keys(stack: ExitStack, post: Callable[[Happening], None], talk: str) -> bool:
    """Read the keypad on a thread of its own. False where there is none."""
    try:
        keys = stack.enter_context(terminal_keys(talk))
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
    except KeyboardInterrupt:  # where Ctrl-C is a key like others, as in a Windows console
        post(Quit())
    except TapehandError as error:
        post(Trouble(str(error)))
        post(Quit())
