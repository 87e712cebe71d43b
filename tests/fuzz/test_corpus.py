"""Every input that was ever of interest, through its target again: what the fuzzers found stays found."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("soundfile", reason="the voice parts are not installed")

from tests.fuzz.targets import TARGETS

CORPUS = Path(__file__).parent / "corpus"
CASES = [path for path in sorted(CORPUS.glob("*/*")) if path.is_file()]


def test_every_target_has_a_corpus() -> None:
    assert {path.parent.name for path in CASES} == set(TARGETS)


@pytest.mark.parametrize("case", CASES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_nothing_in_the_corpus_upsets_it(case: Path) -> None:
    TARGETS[case.parent.name](case.read_bytes())
