"""Several benches at one board, as hard as they can, while the server's power is cut.

``python -m tests.prove.benches``, as a table. Its last output is in ``benches.txt``.

--quick     a few requests, and two cuts
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from statistics import median

from assistant.board.courier import Courier
from assistant.board.sqlite import SqliteBoard
from assistant.language.requests import Measure
from assistant.length import Length
from assistant.prove.machine import described
from assistant.prove.table import Row, lines
from assistant.session.job import Job
from tests.board.hammer import ROOT, hammered
from tests.board.server import Server, ServerMissing

BENCHES = 4


def main() -> int:
    options = argparse.ArgumentParser()
    options.add_argument("--quick", action="store_true")
    quick = options.parse_args().quick
    try:
        server = Server()
    except ServerMissing as reason:
        print(f"Several benches cannot be tried here: {reason}.", file=sys.stderr)
        return 1
    acts, cuts = (30, 2) if quick else (250, 12)
    load = "load {:.1f}, {:.1f}, {:.1f}".format(*os.getloadavg())
    rows = [Row("measured on", f"{described()}, {os.cpu_count()} cores, {load}", "")]
    with tempfile.TemporaryDirectory(prefix="tapehand-benches-") as folder:
        try:
            server.start()
            began = time.monotonic()
            files, confirmed = hammered(server, Path(folder), BENCHES, acts, cuts)
            took = time.monotonic() - began
            alike, there = _ends(files, server.url)
            lost, doubled = confirmed - there, there - confirmed
            group = f"{BENCHES} benches, {cuts} cuts of the server's power"
            rows += [
                Row(group, "requests made, names confirmed", f"{BENCHES * acts}, {confirmed.total()} in {took:.0f} s"),
                Row(group, "confirmed and not on the shared board", str(lost.total()), "0"),
                Row(group, "on it and never confirmed, or twice", str(doubled.total()), "0"),
                Row(group, "benches that see the same board in the end", f"{alike} of {BENCHES}", f"{BENCHES}"),
                _slow(server, Path(folder), 20 if quick else 200),
            ]
        finally:
            server.close()
    print("\n".join(lines(rows)))
    return 0 if not lost and not doubled and alike == BENCHES else 1


def _ends(files: list[Path], url: str) -> tuple[int, Counter[tuple[str, str]]]:
    """How many benches see the same, and every keep that is on the shared board."""
    import psycopg

    boards = [SqliteBoard(file, jobs=False) for file in files]
    for board in boards:
        courier = Courier(board, url)
        assert courier.exchange() == ""
        courier.close()
    seen = [board.names() for board in boards]
    for board in boards:
        board.close()
    with psycopg.connect(url) as connection:
        kept = connection.execute("SELECT name, exact FROM tapehand_events WHERE kind = 'keep'").fetchall()
    return sum(names == seen[0] for names in seen), Counter((name, exact) for name, exact in kept)


def _slow(server: Server, folder: Path, times: int) -> Row:
    """How long keeping takes while the server does not answer at all."""
    import signal

    board = SqliteBoard(folder / "slow.db")
    courier = Courier(board, server.url)
    courier.start(lambda: None, lambda sentence: None)
    names, took = ("leg", "rail"), []
    server.signal(signal.SIGSTOP)
    try:
        for n in range(1, times + 1):
            began = time.monotonic()
            board.save(Job(kept=((names[n % 2], Measure(Length(n))),)), (Job(),))
            took.append((time.monotonic() - began) * 1000)
    finally:
        server.signal(signal.SIGCONT)
    courier.close()
    board.close()
    kept = f"{median(took):.0f} ms, {max(took):.0f} ms"
    return Row("a server that hangs", "a keep is on this bench's disk: median, at most", kept)


if __name__ == "__main__":
    os.chdir(ROOT)
    sys.exit(main())
