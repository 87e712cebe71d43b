"""What a program and its children take of the machine, read from Linux's /proc; nothing is known elsewhere."""

from __future__ import annotations

import gc
import os
import queue
import threading
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Taken", "children", "cpu_seconds", "megabytes", "taken", "waiting"]

_TICKS = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 100


@dataclass(frozen=True, slots=True)
class Taken:
    """At one moment, the program and all its children together."""

    megabytes: float
    """Resident, a page shared by several processes shared out among them; 0 where it cannot be told."""
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
    size = sum(map(_resident, [os.getpid(), *here])) / 1024
    return Taken(size, threading.active_count(), len(here) - len(dead), len(dead), waiting())


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
    return sum(map(_resident, [top, *children(top)])) / 1024


def cpu_seconds() -> float:
    """Processor time of this program and its living children, so far."""
    return sum(sum(map(int, _stat(pid)[11:13])) for pid in [os.getpid(), *children()]) / _TICKS


def waiting() -> int:
    """How much the fullest of the program's queues holds."""
    kinds = (queue.SimpleQueue, queue.Queue)
    return max((q.qsize() for q in gc.get_objects() if isinstance(q, kinds)), default=0)


def _resident(pid: int) -> int:
    """Kilobytes: the proportional set size (proc(5), smaps_rollup, since Linux 4.14)."""
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="utf-8").splitlines()
    except OSError:  # it has gone
        return 0
    return next((int(line.split()[1]) for line in lines if line.startswith("Pss:")), 0)


def _stat(pid: int) -> list[str]:
    """The fields after the name in /proc/PID/stat (proc(5)): the state, the parent, … Empty for one that has gone."""
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    except OSError:
        return []
