"""What the fuzzers feed with bytes, each through the door that a stranger's bytes come in by.

A target returns for anything it was made for and raises for anything else: an error that is none of ours, a sentence
that is not plain, more time than a person waits. The corpus is replayed by ``test_corpus``; ``python -m tests.fuzz``
looks for more.
"""

from __future__ import annotations

import asyncio
import json
import re
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from assistant import settings
from assistant.board.exchange import exported, imported
from assistant.board.sqlite import SqliteBoard
from assistant.errors import BoardError, SettingsUnreadable, Slip, SoundFileUnreadable
from assistant.hearing import recording
from assistant.keypad.bridge import Keypad
from assistant.keypad.decode import Decoder
from assistant.keypad.keys import Talk, keyed
from assistant.language.grammar import ROOTS, load_english
from assistant.language.understand import understand
from assistant.screen.pairing import Pairing
from assistant.screen.present import Present
from assistant.screen.server import bench_app
from assistant.session.effects import Effect, Notice, Say, Show
from assistant.session.events import Heard, SpeechFinished
from assistant.session.manners import Manners
from assistant.session.session import Session

__all__ = ["SECONDS", "TARGETS"]

SECONDS = 5.0
"""Of processor time for one input: on a busy machine and with the fuzzer counting every branch, still no hang."""
ENGLISH = load_english()
_OUR_ENGLISH = re.compile(r"Traceback|Error\b|Exception|<[a-z]+ |\bNone\b|object at 0x|assistant[./]")
_PORT = 8000
_OURS = (f"127.0.0.1:{_PORT}", f"localhost:{_PORT}", f"[::1]:{_PORT}")


@contextmanager
def _in_time() -> Iterator[None]:
    start = time.process_time()
    yield
    took = time.process_time() - start
    assert took < SECONDS, f"{took:.1f} s"


def _plain(sentence: str) -> None:
    """Fit to be shown and spoken: nothing of the program shows through."""
    assert not _OUR_ENGLISH.search(sentence), sentence
    assert sentence == sentence.strip(), repr(sentence)


def _told(effects: list[Effect]) -> None:
    for effect in effects:
        match effect:
            case Say(text) | Notice(text):
                _plain(text)
            case Show(answer):
                _plain(answer.say)


def words(data: bytes) -> None:
    """Typed or heard: lines of words, one conversation."""
    session = Session(Manners(), examples=("center of ten",))
    with _in_time():
        for number, line in enumerate(data.decode("utf-8", "replace").splitlines()[:6]):
            root = session.expecting if number else ROOTS[len(line) % len(ROOTS)]
            heard, outcome = understand(ENGLISH, line, root)
            _told(session.handle(Heard(heard, outcome, typed=len(line) % 2 == 0)))
            _told(session.handle(SpeechFinished()))


def keys(data: bytes) -> None:
    """From a terminal: escape sequences, pasted text, keys held down."""
    session, pad = Session(Manners(), examples=("center of ten",)), Keypad()
    text = data.decode("utf-8", "replace")[:200]
    decoder = Decoder(" ")
    with _in_time():
        for press in [*decoder.feed(data[:200]), *decoder.give_up()]:
            if not isinstance(press, Talk):
                _told(pad.press(press, session))
                _plain(pad.line)
        try:
            keyed(text)
        except Slip as slip:
            _plain(str(slip).replace(repr(text), ""))


def wav(data: bytes) -> None:
    """A file that says it is sound."""
    with tempfile.TemporaryDirectory() as folder, _in_time():
        path = Path(folder, "said.wav")
        path.write_bytes(data)
        try:
            pcm = recording.read(path)
        except SoundFileUnreadable as error:
            _plain(str(error).replace(folder, ""))
        else:
            assert 0 < len(pcm) <= 2 * 16_000 * 60 * recording.LONGEST_MINUTES + 4


def settings_file(data: bytes) -> None:
    """A settings file that a person or a power cut has been at."""
    with tempfile.TemporaryDirectory() as folder, _in_time():
        path = Path(folder, "settings.toml")
        path.write_bytes(data)
        _, problems = settings.read(path)
        for problem in problems:
            _plain(problem.replace(folder, ""))
        try:
            now = settings.change(path, rate=120, tape="eighths")
        except SettingsUnreadable as error:
            _plain(str(error).replace(folder, ""))
            assert path.read_bytes() == data
        else:
            assert (now.rate, now.tape) == (120, "eighths")


def board(data: bytes) -> None:
    """A board to import. All of it or nothing, and what was taken can be read and exported again."""
    try:
        document = json.loads(data)
    except (ValueError, RecursionError):
        return
    with tempfile.TemporaryDirectory() as folder:
        at = SqliteBoard(Path(folder, "board.db"))
        try:
            with _in_time():
                try:
                    imported(at, document)
                except BoardError as error:
                    _plain(str(error))
                    assert not at.names()
                job, history = at.load()
                session = Session(Manners(), job=job, history=history)
                _told(session.handle(Heard("again", understand(ENGLISH, "what's on the board")[1])))
                again = exported(at)
                imported(at, again)
                assert exported(at) == again
        finally:
            at.close()


def live(data: bytes) -> None:
    """A browser, or what says it is one: the first line is a path, then Host, Origin, and messages."""
    path, host, origin, *messages = (data.decode("latin-1") + "\n\n\n").split("\n")
    pressed: list[Any] = []
    with _in_time():
        status = asyncio.run(_requested(path, host))
        ours = host in _OURS
        assert status in (200, 403, 404), status
        assert status != 200 or ours, host
        asyncio.run(_connected(host, origin, messages[:60], pressed.append))
        assert not pressed or (ours and origin.startswith("http://") and origin.removeprefix("http://") in _OURS), (
            host,
            origin,
        )


async def _requested(path: str, host: str) -> int:
    app = bench_app(Present(), _PORT, lambda _: None, None)
    status: list[int] = []

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            status.append(message["status"])
            names = {name.lower() for name, _ in message["headers"]}
            assert b"content-security-policy" in names

    await app(_scope("http", path, host, "") | {"method": "GET"}, receive, send)
    return status[0]


async def _connected(host: str, origin: str, messages: list[str], press: Callable[[Any], None]) -> None:
    app = bench_app(Present(), _PORT, press, Pairing(lambda _: None))
    waiting = [
        {"type": "websocket.connect"},
        *({"type": "websocket.receive", "text": text} for text in messages),
        {"type": "websocket.disconnect", "code": 1000},
    ]

    async def receive() -> dict[str, Any]:
        return waiting.pop(0) if len(waiting) > 1 else waiting[0]

    async def send(message: Any) -> None:
        if message["type"] == "websocket.send":
            json.loads(message["text"])

    await app(_scope("websocket", "/live", host, origin), receive, send)


def _scope(kind: str, path: str, host: str, origin: str) -> dict[str, Any]:
    headers = [(b"host", host.encode("latin-1"))]
    if origin:
        headers.append((b"origin", origin.encode("latin-1")))
    return {
        "type": kind,
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode("latin-1"),
        "query_string": b"",
        "headers": headers,
        "client": ("127.0.0.1", 5),
        "server": ("127.0.0.1", _PORT),
        "subprotocols": [],
    }


TARGETS: dict[str, Callable[[bytes], None]] = {
    "words": words,
    "keys": keys,
    "wav": wav,
    "settings": settings_file,
    "board": board,
    "live": live,
}
