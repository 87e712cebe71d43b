"""``tapehand check``: what is attached and ready, what is not, and what to do about it.

Every part is really opened and tried, one after another, and let go again. What a missing part says is the
sentence the bench would say.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from assistant import settings
from assistant.errors import BoardError, ModelUnusable, TapehandError
from assistant.settings import BoardAddress, Settings

__all__ = ["Found", "look", "run"]

OWN_CHOICE = "the computer's own choice"


@dataclass(frozen=True, slots=True)
class Found:
    """One part."""

    name: str
    ready: bool
    words: str
    """What it is, or what to do about it."""
    needed: bool = False
    """Whether the main job cannot run without it: then ``check`` fails."""


def run(settings_option: str | None, board_option: str | None, out: TextIO) -> int:
    """Look at everything, print a line for each part. Returns the exit status: 1 if the main job cannot run."""
    status = 0
    for found in look(settings_option, board_option):
        print(f"{'ready ' if found.ready else 'NOT   '} {found.name}: {found.words}", file=out, flush=True)
        if found.needed and not found.ready:
            status = 1
    if status:
        print("Tapehand cannot do its job here until what is NOT ready above is put right.", file=out)
    return status


def look(settings_option: str | None = None, board_option: str | None = None) -> Iterator[Found]:
    """Every part, as it is found."""
    path = settings.settings_path(settings_option)
    chosen, problems = settings.read(path)
    yield _settings(path, problems)
    yield _tried("answers", _answers, needed=True)
    address = settings.board_address(board_option)
    yield _tried("board", lambda: _board(address), needed=True)
    if address.server:
        yield _tried("shared board", lambda: _shared_board(address))
    yield _keypad()
    yield _tried("microphone", lambda: _microphone(chosen))
    yield _tried("recogniser", lambda: _recogniser(chosen))
    yield _tried("voice", lambda: _voice(chosen))
    yield _tried("loudspeaker", lambda: _loudspeaker(chosen))


def _tried(name: str, attempt: Callable[[], str], needed: bool = False) -> Found:
    try:
        return Found(name, True, attempt(), needed)
    except TapehandError as error:
        return Found(name, False, str(error), needed)


def _settings(path: Path, problems: list[str]) -> Found:
    if problems:
        return Found("settings", False, " ".join(problems))
    return Found("settings", True, str(path) if path.exists() else f"the usual ones; {path} is made at the first start")


def _answers() -> str:
    """The main job itself, without sound: one request through grammar, session and tape."""
    from assistant.desk import Desk

    answer = Desk(Settings()).ask("center of 53 5/8")
    if answer.status != "answer" or answer.values[0].exact != "429/16":
        raise TapehandError("The arithmetic does not come out right. Get Tapehand anew.")
    return answer.say


def _board(address: BoardAddress) -> str:
    from assistant.board.opening import open_board

    board = open_board(address, jobs=False)
    try:
        if board.notice:
            raise BoardError(board.notice)
        count = len(board.names())
    finally:
        board.close()
    return f"{board.path}, {count} {'name' if count == 1 else 'names'} on it"


def _shared_board(address: BoardAddress) -> str:
    from assistant.board.opening import courier_of, open_board

    board = open_board(address, jobs=False)
    courier = courier_of(board, address)
    assert courier is not None
    try:
        trouble = courier.exchange()
    finally:
        courier.close()
        board.close()
    if trouble:
        raise BoardError(trouble)
    return "everything kept on this bench is on it"


def _keypad() -> Found:
    if sys.stdin is not None and sys.stdin.isatty():
        return Found("keypad", True, "a numeric keypad works in this terminal, NumLock on or off")
    return Found("keypad", False, "This is no terminal. Start Tapehand in a terminal window to use the keys.")


def _microphone(chosen: Settings) -> str:
    from assistant.hearing.microphone import Microphone

    microphone = Microphone(chosen.microphone)
    microphone.open()
    microphone.close()
    return chosen.microphone or OWN_CHOICE


def _recogniser(chosen: Settings) -> str:
    from assistant.hearing import ears
    from assistant.hearing.voice_activity import SileroVoice
    from assistant.language.grammar import load_english

    SileroVoice()
    found = ears.recogniser(load_english(), chosen.model)
    found.recogniser.close()
    if found.trouble:
        raise ModelUnusable(found.trouble)
    return found.because


def _voice(chosen: Settings) -> str:
    from assistant.attached import voice_settings
    from assistant.speaking.voice import PyttsxVoice

    voice = PyttsxVoice(voice_settings(chosen))
    try:
        voice.render("Dead on.")
    finally:
        voice.close()
    return f"{chosen.voice or 'the usual one'}, {chosen.rate} words a minute"


def _loudspeaker(chosen: Settings) -> str:
    from assistant.speaking.earcons import earcon
    from assistant.speaking.player import Loudspeaker

    loudspeaker = Loudspeaker(chosen.loudspeaker)
    try:
        loudspeaker.play(earcon("got-it").at_volume(chosen.volume / 100))
        loudspeaker.wait()
    finally:
        loudspeaker.close()
    return f"{chosen.loudspeaker or OWN_CHOICE}, a short sound was played on it"
