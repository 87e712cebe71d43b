"""A bench whose words come in as lines on standard input, as its listener would hand them over, and whose answers go
out as lines of JSON. Everything between is the program as it is: ``python -m tests.prove.spoken_bench``."""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Callable
from contextlib import ExitStack
from typing import TextIO

from assistant import app
from assistant.bench import Happening, Quit, Words
from assistant.screen.view import RememberedView
from assistant.session.answer import Answer


class Lines(RememberedView):
    """A view that writes down what it shows the moment it shows it."""

    def __init__(self, out: TextIO) -> None:
        super().__init__()
        self._out = out

    def answer(self, answer: Answer) -> None:
        print(json.dumps({"status": answer.status, "say": answer.say}), file=self._out, flush=True)

    def notice(self, sentence: str) -> None:
        print(json.dumps({"notice": sentence}), file=self._out, flush=True)


def words_from_lines(stack: ExitStack, post: Callable[[Happening], None], _talk_key: str) -> bool:
    def read() -> None:
        for line in sys.stdin:
            post(Words(line.strip()))
        post(Quit())

    threading.Thread(target=read, daemon=True).start()
    return True


if __name__ == "__main__":
    app.TerminalView = Lines  # type: ignore[assignment,misc]
    app._start_keys = words_from_lines
    sys.exit(app.run(app.Wanted(voice=False, screen=False)))
