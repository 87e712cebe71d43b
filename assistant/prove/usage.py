"""What a program and its children take of the machine, read from Linux's /proc; nothing is known elsewhere."""

from __future__ import annotations

import gc
import os
import queue
import threading
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Taken", "children", "cpu_seconds", "megabytes", "taken", "waiting"]

_TICKS = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 100


@dataclass(frozen=True, slots=True)
class Taken:
    """At one moment, the program and all its children together."""

    megabytes: float
    """Resident, what several of them have mapped of one file counted once; 0 where it cannot be told."""
    threads: int
    """Of this program."""
    children: int
    zombies: int
    waiting: int
    """Entries in the fullest queue."""


def taken(besides: int | None = None) -> Taken:
    """``besides``: a child that only measures, left out with its own children."""
    here = children()
    if besides is not None:
        here = [pid for pid in here if pid not in (besides, *children(besides))]
    dead = [pid for pid in here if _stat(pid)[:1] == ["Z"]]
    return Taken(_resident([os.getpid(), *here]), threading.active_count(), len(here) - len(dead), len(dead), waiting())


def children(of: int | None = None) -> list[int]:
    """The processes under this one, and under those."""
    parents: dict[int, list[int]] = {}
    for folder in Path("/proc").glob("[0-9]*"):
        stat = _stat(int(folder.name))
        if len(stat) > 1:
            parents.setdefault(int(stat[1]), []).append(int(folder.name))
    found = list(parents.get(os.getpid() if of is None else of, []))
    for pid in found:  # grows as it goes
        found += parents.get(pid, [])
    return found


def megabytes(of: int | None = None) -> float:
    """Resident memory of a process (by default this one) and its children."""
    top = os.getpid() if of is None else of
    return _resident([top, *children(top)])


def cpu_seconds() -> float:
    """Processor time of this program and its living children, so far."""
    return sum(sum(map(int, _stat(pid)[11:13])) for pid in [os.getpid(), *children()]) / _TICKS


def waiting() -> int:
    """How much the fullest of the program's queues holds."""
    kinds = (queue.SimpleQueue, queue.Queue)
    return max((q.qsize() for q in gc.get_objects() if isinstance(q, kinds)), default=0)


def _resident(pids: Iterable[int]) -> float:
    """Megabytes: what is each process's own, and of each file the most that one of them has of it.

    The proportional set size would do, but it changes with what other programs come and go.
    """
    own, of_files = 0, dict[str, int]()
    for pid in pids:
        mine = Counter[str]()
        for file, resident, anonymous in _mapped(pid):
            own += anonymous
            mine[file] += resident - anonymous
        of_files = {file: max(of_files.get(file, 0), mine[file]) for file in {*of_files, *mine}}
    return (own + sum(of_files.values())) / 1024


def _mapped(pid: int) -> Iterator[tuple[str, int, int]]:
    """Each mapping of a process (proc(5), smaps): its file, kilobytes resident, those of them that are no file's."""
    try:
        text = Path(f"/proc/{pid}/smaps").read_text(encoding="utf-8", errors="replace")
    except OSError:  # it has gone
        return
    file, resident = "", 0
    for line in text.splitlines():
        name, _, rest = line.partition(":")
        if name == "Rss":
            resident = int(rest.split()[0])
        elif name == "Anonymous":
            yield file, resident, int(rest.split()[0])
        elif "-" in name.split(" ", 1)[0]:
            file = "".join(line.split(None, 5)[5:])


def _stat(pid: int) -> list[str]:
    """The fields after the name in /proc/PID/stat (proc(5)): the state, the parent, … Empty for one that has gone."""
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    except OSError:
        return []
