"""No float gets near a length: a scan of the source of everything that works on lengths, and of what it answers."""

import ast
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

import assistant
from assistant.language.grammar import load_english
from assistant.session.carry_out import result_of
from assistant.tape import SIXTEENTHS
from tests.session.test_scenarios import CUT_LIST, SCENARIOS, Talk

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


def inexact(thing) -> list[str]:
    """Every number in an answer that is no whole number, fraction, length or enclosure. A slash between whole
    numbers makes a float that no scan of the source can see."""
    if isinstance(thing, float):
        return [repr(thing)]
    if isinstance(thing, (tuple, list)):
        return [found for part in thing for found in inexact(part)]
    if is_dataclass(thing):
        return [found for field in fields(thing) for found in inexact(getattr(thing, field.name))]
    return []


@pytest.mark.parametrize("turns", [*SCENARIOS.values(), [*((words,) for words in CUT_LIST), ("nest",)]])
def test_no_answer_of_a_whole_piece_of_work_has_one(turns):
    talk = Talk()
    for words, *_ in turns:
        talk.say(words)
        asked = talk.bench.session.job.asked
        assert inexact((asked, result_of(asked, SIXTEENTHS) if asked is not None else None)) == []


@pytest.mark.parametrize("sentence", sorted({e for rule in load_english().rules.values() for e in rule.examples}))
def test_no_answer_to_an_example_has_one(sentence):
    talk = Talk()
    for words in ("sixty", sentence, "one", "one"):
        talk.say(words)
        asked = talk.bench.session.job.asked
        assert inexact((asked, result_of(asked, SIXTEENTHS) if asked is not None else None)) == []


def test_a_float_in_an_answer_is_seen():
    assert inexact(((1, (0.5,)),)) == ["0.5"]
