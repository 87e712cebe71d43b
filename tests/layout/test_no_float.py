"""No float gets near a length: a scan of the source of everything that works on lengths."""

import ast
from pathlib import Path

import pytest

import assistant

ROOT = Path(assistant.__file__).parent
EXACT = sorted(
    [
        *(ROOT / f"{name}.py" for name in ("length", "tape", "enclosure", "angles")),
        *(ROOT / "layout").glob("**/*.py"),
    ]
)
WHOLE = {"comb", "factorial", "gcd", "isqrt", "lcm", "perm", "prod"}
"""Functions of ``math`` that take whole numbers to whole numbers."""


def floats(source: str) -> list[str]:
    """Every float literal, ``float`` and floating function in the source, with its line."""
    found = []
    for node in ast.walk(ast.parse(source)):
        wrong = ""
        if isinstance(node, ast.Constant) and isinstance(node.value, (float, complex)):
            wrong = repr(node.value)
        elif isinstance(node, ast.Name) and node.id in ("float", "complex", "round"):
            wrong = node.id
        elif isinstance(node, ast.Import) and any(a.name in ("math", "cmath", "numpy") for a in node.names):
            wrong = "import " + ", ".join(a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module in (
            "math",
            "cmath",
            "numpy",
            "decimal",
            "statistics",
        ):
            names = {a.name for a in node.names} - (WHOLE if node.module == "math" else set())
            wrong = f"from {node.module} import {sorted(names)}" if names else ""
        if wrong:
            found.append(f"line {node.lineno}: {wrong}")
    return found


@pytest.mark.parametrize("path", EXACT, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_float(path):
    assert floats(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "source",
    ["x = 0.5", "x = float(3)", "import math", "from math import sin", "import numpy as np", "x = 1j", "round(x)"],
)
def test_the_scan_sees_one(source):
    assert floats(source)
    assert not floats("from math import isqrt\nx = 5 // 2")
