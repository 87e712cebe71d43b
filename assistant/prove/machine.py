"""How long it takes to get going and how much memory it takes: measured on programs started for it."""

from __future__ import annotations

import platform
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from assistant.prove.table import Row, percentile

__all__ = ["described", "measure"]

_GROUP = "this machine"
_RUNS = 5

_ASK = "from assistant.cli import main; import sys; sys.exit(main(['ask', 'center of 53 5/8']))"
_LISTEN = """
from assistant.hearing import ears
from assistant.hearing.voice_activity import SileroVoice
from assistant.language.grammar import load_english
grammar = load_english()
chosen = ears.recogniser(grammar)
SileroVoice()
chosen.recogniser.start("spoken")
chosen.recogniser.accept(bytes(3200))
print("ready", flush=True)
chosen.recogniser.finish()  # by then the graph of the replies is loaded
from assistant import app
from assistant.prove.usage import megabytes
from assistant.screen.web import WebView
from assistant.speaking.voice import PyttsxVoice
voice, screen = PyttsxVoice(), WebView(lambda press: None, 0)
try:
    voice.render("Fifty-three and five eighths.")
except Exception:
    pass  # no voice on this computer
print(megabytes(), flush=True)
voice.close()
screen.close()
chosen.recogniser.close()
"""


def described() -> str:
    """The processor and system, as the table says it."""
    name = platform.processor() or platform.machine()
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
        name = next(line.split(":", 1)[1].strip() for line in lines if line.startswith("model name"))
    except (OSError, StopIteration):
        pass
    return f"{name}, Python {platform.python_version()}, {platform.system()}"


def measure() -> Iterator[Row]:
    """Rows on starting and on memory."""
    took = []
    for _ in range(_RUNS):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", _ASK], check=False, stdout=subprocess.DEVNULL)
        took.append(time.perf_counter() - start)
    yield Row(_GROUP, "one `ask`, start to end, median", f"{percentile(took, 0.5):.2f} s")
    took, sizes = [], []
    for _ in range(_RUNS):
        start = time.perf_counter()
        with subprocess.Popen([sys.executable, "-c", _LISTEN], stdout=subprocess.PIPE, text=True) as program:
            assert program.stdout is not None
            if program.stdout.readline().strip() != "ready":
                yield Row(_GROUP, "start to listening", "could not start: see `tapehand check`")
                return
            took.append(time.perf_counter() - start)
            sizes.append(float(program.stdout.read()))
    yield Row(_GROUP, "start to listening, median", f"{percentile(took, 0.5):.2f} s", "1.5 s")
    if max(sizes):
        yield Row(_GROUP, "memory in all, recogniser, voice and screen included", f"{max(sizes):.0f} MB", "250 MB")
