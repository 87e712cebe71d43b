"""A bench of its own process that keeps, renames, finishes and scratches as fast as it can, on a shared board.

    python -m tests.board.hammer FILE URL SEED ACTS FIRST

Sizes are FIRST, FIRST + 1, … sixteenths, so that no two benches ever keep the same. Prints a line of JSON for each
thing that was confirmed, then "drained" once nothing waits any more, and ends when its input does.
"""

from __future__ import annotations

import json
import queue
import random
import sys
import time
from fractions import Fraction
from pathlib import Path

from assistant.board.courier import Courier
from assistant.board.keeper import Keeper
from assistant.board.sqlite import SqliteBoard
from assistant.language.requests import Done, Hold, Keep, Measure, Recall, Request, Scratch
from assistant.length import Length
from assistant.session.effects import Show
from assistant.session.events import Asked
from assistant.session.manners import Attention, Manners
from assistant.session.session import Session

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
        shown = [e.answer for e in keeper.carried_out(session.handle(Asked(request, ""))) if isinstance(e, Show)]
        return shown[0].status in ("answer", "done")

    size = first
    for _ in range(acts):
        known = [name for name, _ in session.job.kept]
        do = rng.choice(["keep", "keep", "keep", "done", "rename", "scratch", "scratch"])
        if do == "keep":
            name = rng.choice(NAMES)
            asks(Hold(Measure(Length(Fraction(size, 16)))))
            if asks(Keep(name)):
                print(json.dumps({"kept": name, "exact": str(Fraction(size, 16))}), flush=True)
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


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], *map(int, sys.argv[3:]))
