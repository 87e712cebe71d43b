"""The plug is pulled at any instant: every time it stands where it stood, and what was confirmed is there."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from assistant.desk import manners_of
from assistant.language.grammar import load_english
from assistant.language.understand import understand
from assistant.session.events import Heard, SpeechFinished, Started
from assistant.session.job import Job
from assistant.session.manners import Attention
from assistant.session.session import Session
from assistant.settings import Settings
from tests.prove.driven import ROOT, SpokenBench, on_disk

__all__ = ["kill_and_replay", "kill_while_printing"]

_SIZES = ("fifty three and five eighths", "six foot four and a half", "forty and a half", "ninety six")
_NAMES = ("leg", "rail", "cap")
AT_ONCE = 12
"""Requests said in a row before the plug is pulled somewhere among them."""


def _said(during: str, rng: random.Random) -> list[str]:
    """What is being said when the plug is pulled."""
    match during:
        case "keep":
            name = rng.choice(_NAMES)
            return [rng.choice(_SIZES), f"keep that as {name}", *([f"done with {name}"] * rng.randint(0, 1))]
        case "undo":
            return [*rng.sample(_SIZES, 2), f"keep that as {rng.choice(_NAMES)}", *["scratch that"] * rng.randint(1, 4)]
        case _:
            return [f"{rng.choice(_SIZES)} in seven parts", *rng.choices(["next", "back", "last", "again"], k=5)]


class Replay:
    """The same words to a session of our own: what the disk must hold after each."""

    def __init__(self, states: tuple[Job, ...]) -> None:
        self._grammar = load_english()
        self._session = Session(manners_of(Settings(), Attention.PUSH), job=states[-1], history=states[:-1])
        self._session.handle(Started())
        self._session.handle(SpeechFinished())

    def after(self, words: str) -> tuple[Job, ...]:
        self._session.handle(Heard(*understand(self._grammar, words)))
        self._session.handle(SpeechFinished())
        return (*self._session.history, self._session.job)


def kill_and_replay(folder: Path, during: str, times: int, seed: int) -> Iterator[str]:
    """Pull the plug so often. Yields what was measured; AssertionError where anything was lost or was there twice."""
    rng = random.Random(f"{during} {seed}")
    took, confirmed = [], 0
    states: tuple[Job, ...] = (Job(),)
    for _ in range(times):
        bench = SpokenBench(folder)
        took.append(bench.seconds_to_ready)
        assert not bench.notices, bench.notices
        assert bench.ready["say"].startswith("Ready")
        replay, expected = Replay(states), [states]
        said: list[str] = []
        while len(said) < AT_ONCE:
            said += _said(during, rng)
        bench.says(*said)
        answers = rng.randint(0, AT_ONCE // 2)
        for _ in range(answers):
            bench.answered()
        time.sleep(rng.uniform(0, 0.02))  # any instant between two answers
        answers += bench.killed()
        expected += [replay.after(words) for words in said]
        found, names = on_disk(folder)
        # The last thing asked may be on disk though its answer was never shown; nothing else may differ.
        allowed = expected[answers : answers + 2]
        assert found in allowed, f"after {said[: answers + 1]} the disk holds another job"
        assert names == {name: str(measure.length) for name, measure in found[-1].kept}
        confirmed += answers
        states = found
        if len(states) > 60:
            (folder / "board.db").unlink()  # a new board, before the job is longer than any day's
            states = (Job(),)
    yield f"{times} of {times} where it stood, {confirmed} confirmed requests, none lost"
    yield f"{median(took):.1f} s, at most {max(took):.1f} s"


def kill_while_printing(folder: Path, times: int, seed: int) -> Iterator[str]:
    """Pull the plug while a mark sheet is written: there is the old one, whole, or the new one, whole."""
    rng = random.Random(seed)
    sheet = folder / "sheet.pdf"
    command = [sys.executable, "-m", "assistant.cli", "print", "marks", "53 5/8 in seven parts", "--out", str(sheet)]

    def printed() -> float:
        began = time.monotonic()
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        return time.monotonic() - began

    takes = min(printed() for _ in range(2))
    whole = len(sheet.read_bytes())
    new = 0
    for _ in range(times):
        if rng.random() < 0.5:
            sheet.unlink(missing_ok=True)
        before = sheet.stat().st_mtime_ns if sheet.exists() else None
        program = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL)
        time.sleep(rng.uniform(0.5, 1.2) * takes)
        program.kill()
        program.wait()
        if before is not None:
            assert sheet.exists(), "the old sheet is gone"
        if sheet.exists():
            content = sheet.read_bytes()
            assert content.startswith(b"%PDF"), "half a sheet"
            assert content.rstrip().endswith(b"%%EOF"), "half a sheet"
            assert abs(len(content) - whole) < 100, "half a sheet"
            new += sheet.stat().st_mtime_ns != before
    began = time.monotonic()
    printed()
    yield f"{times} of {times} the old sheet or the new one, whole ({new} new)"
    yield f"{time.monotonic() - began:.1f} s"
