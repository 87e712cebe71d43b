"""The faults that take little time, and a few of the pulled plugs, as ``tests.prove.faults`` brings them about.

Those with sound that ``tests/real`` brings about already are left to it.
"""

from __future__ import annotations

import pytest

pytest.importorskip("termios", reason="this system has no POSIX terminals")

from functools import partial
from pathlib import Path

from tests.prove.faults import FAULTS, CannotRun, killed

pytestmark = pytest.mark.real

IN_TESTS_REAL = {"microphone pulled and plugged", "loudspeaker gone and back", "recogniser killed", "voice killed"}
PLUGS = {
    f"plug pulled during {during}": partial(killed, during, times)
    for during, times in {"keep": 3, "undo": 3, "walk": 2, "print": 2}.items()
}


@pytest.mark.parametrize("name", [*PLUGS, *(name for name in FAULTS if name not in IN_TESTS_REAL)])
def test_it_goes_on_where_it_stood(name: str, tmp_path: Path) -> None:
    try:
        went_on, told = ({**PLUGS, **FAULTS})[name](tmp_path)
    except CannotRun as reason:
        pytest.skip(str(reason))
    assert went_on
    assert told.endswith(".") or name.startswith("plug") or told.startswith("nothing to tell")
