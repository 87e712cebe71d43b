"""A PDF as ink on paper: rendered by poppler and measured."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

DPI = 300


def pages(pdf: bytes, folder: Path, dpi: int = DPI) -> list[np.ndarray]:
    """Each page as rows of pixels, true where there is ink."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed (Debian: apt-get install poppler-utils)")
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(
        ["pdftoppm", "-gray", "-r", str(dpi), "-aa", "no", "-aaVector", "no", "sheet.pdf", "page"],
        cwd=folder,
        check=True,
        timeout=60,
    )
    return [_ink(path.read_bytes()) for path in sorted(folder.glob("page-*.pgm"))]


def _ink(pgm: bytes) -> np.ndarray:
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", pgm)
    assert head
    wide, high = int(head[1]), int(head[2])
    return np.frombuffer(pgm, np.uint8, offset=head.end()).reshape(high, wide) < 128


def words(pdf: bytes, folder: Path) -> list[str]:
    """The text of each page."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed (Debian: apt-get install poppler-utils)")
    (folder / "words.pdf").write_bytes(pdf)
    done = subprocess.run(
        ["pdftotext", "-layout", "words.pdf", "-"], cwd=folder, check=True, capture_output=True, text=True, timeout=60
    )
    return done.stdout.split("\f")[:-1]


def runs(line: np.ndarray) -> list[tuple[int, int]]:
    """Where ink begins and ends along a line of pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], line.astype(np.int8), [0]))))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def longest_run(line: np.ndarray) -> tuple[int, int]:
    return max(runs(line), key=lambda run: run[1] - run[0], default=(0, 0))
