"""A bench of its own process that keeps, renames, finishes and scratches as fast as it can, on a shared board.

    python -m tests.board.hammer FILE URL SEED ACTS FIRST

Sizes are FIRST, FIRST + 1, … sixteenths, so that no two benches ever measure the same. Prints a line of JSON for each
name that was confirmed to stand for something else, then "drained" once nothing waits any more, and ends when its
input does. ``hammered`` runs several of them at once.
"""

from __future__ import annotations

import json
import queue
import random
import subprocess
import sys
import time
from collections import Counter
from contextlib import ExitStack
from fractions import Fraction
from pathlib import Path
from typing import Any

from assistant.board.courier import Courier
from assistant.board.keeper import Keeper
from assistant.board.sqlite import SqliteBoard
from assistant.language.requests import Done, Hold, Keep, Measure, Recall, Request, Scratch
from assistant.length import Length
from assistant.session.effects import Show
from assistant.session.events import Asked
from assistant.session.manners import Attention, Manners
from assistant.session.session import Session
from tests.board.server import Server

ROOT = Path(__file__).parents[2]
NAMES = ("leg", "rail", "cap", "post", "brace")


def main(file: str, url: str, seed: int, acts: int, first: int) -> None:
    rng = random.Random(seed)
    board = SqliteBoard(Path(file))
    job, history = board.load()
    session = Session(Manners(attention=Attention.PUSH, ask_plus=False), job=job, history=history)
    keeper = Keeper(board)
    moved: queue.SimpleQueue[None] = queue.SimpleQueue()
    courier = Courier(board, url)
    courier.start(lambda: moved.put(None), lambda sentence: None)

    def asks(request: Request) -> bool:
        """As the bench does it: what others did first, and saved before it is confirmed."""
        while not moved.empty():
            moved.get()
            changed = keeper.board_changed()
            if changed:
                keeper.carried_out(session.handle(changed))
        before = dict(session.job.kept)
        shown = [e.answer for e in keeper.carried_out(session.handle(Asked(request, ""))) if isinstance(e, Show)]
        if isinstance(request, Keep) and shown[0].status == "done":
            measure = dict(session.job.kept)[request.name]
            if measure != before.get(request.name):
                print(json.dumps([request.name, str(measure.length.inches)]), flush=True)
        return shown[0].status in ("answer", "done")

    size = first
    for _ in range(acts):
        known = [name for name, _ in session.job.kept]
        do = rng.choice(["keep", "keep", "keep", "done", "rename", "scratch", "scratch"])
        if do == "keep":
            name = rng.choice(NAMES)
            asks(Hold(Measure(Length(Fraction(size, 16)))))
            asks(Keep(name))
            size += 1
        elif do == "done" and known:
            asks(Done(rng.choice(known)))
        elif do == "rename" and known:
            old, new = rng.choice(known), rng.choice(NAMES)
            if asks(Recall(old)) and asks(Keep(new)) and new != old:
                asks(Done(old))
        elif do == "scratch":
            asks(Scratch())
        time.sleep(rng.uniform(0, 0.01))  # so that the others get a word in
    while board.waiting():
        time.sleep(0.05)
    print("drained", flush=True)
    sys.stdin.read()
    courier.close()
    board.close()


def hammered(server: Server, folder: Path, benches: int, acts: int, cuts: int) -> tuple[list[Path], Counter[Any]]:
    """Several at once, the server's power cut so often meanwhile. Returns their files, once each says that nothing
    waits there any more, and how often each name was confirmed to stand for each size."""
    files = [folder / f"bench-{n}.db" for n in range(benches)]
    confirmed: Counter[Any] = Counter()
    with ExitStack() as stack:
        running = []
        for n, file in enumerate(files):
            words = [str(file), server.url, str(n), str(acts), str(1 + n * 20_000)]
            command = [sys.executable, "-m", "tests.board.hammer", *words]
            running.append(
                stack.enter_context(
                    subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
                )
            )
        for _ in range(cuts):
            time.sleep(0.4)  # any instant will do
            server.kill()
            server.start()
        for bench in running:
            assert bench.stdout is not None
            for line in bench.stdout:
                if line == "drained\n":
                    break
                confirmed[tuple(json.loads(line))] += 1
            else:
                raise AssertionError("a bench ended before everything was over there")
        for bench in running:
            bench.communicate()
    return files, confirmed


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], *map(int, sys.argv[3:]))
