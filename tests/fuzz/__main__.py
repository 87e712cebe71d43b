"""``python -m tests.fuzz [SECONDS] [TARGET ...]``: look for inputs that upset a target, and print a table.

Each target runs in a process of its own under atheris (coverage-guided), from the corpus. What upset it is put into
the corpus, to be fixed and replayed from then on. Exit status 1 where anything was found.
"""

from __future__ import annotations

import re
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

CORPUS = Path(__file__).parent / "corpus"
USUAL_SECONDS = 20
LONGEST = {"words": 400, "keys": 120, "wav": 4096, "settings": 2000, "board": 3000, "live": 400}
"""Bytes of one input."""
MEMORY_MB = 1500


def main() -> int:
    if sys.argv[1:2] == ["--one"]:
        one(sys.argv[2], sys.argv[3:])
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else USUAL_SECONDS
    print("| target | inputs tried | branches reached | found |\n|---|---|---|---|", flush=True)
    found_any = False
    for target in sys.argv[2:] or LONGEST:
        row, found = fuzzed(target, seconds)
        print(row, flush=True)
        found_any |= bool(found)
    return int(found_any)


def fuzzed(target: str, seconds: int) -> tuple[str, list[str]]:
    """The row for a target, and the names of what upset it."""
    before = set((CORPUS / target).iterdir())
    with tempfile.TemporaryDirectory() as work:
        words = Path(work, "words.dict")
        words.write_text(dictionary(target), encoding="utf-8")
        Path(work, "new").mkdir()
        command = [
            sys.executable, "-m", "tests.fuzz", "--one", target,
            f"-max_total_time={seconds}", f"-max_len={LONGEST[target]}", f"-rss_limit_mb={MEMORY_MB}", "-timeout=120",
            f"-dict={words}", f"-artifact_prefix={CORPUS / target}/found-", f"{work}/new", str(CORPUS / target),
        ]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, errors="replace", check=False)
    tried = [int(number) for number in re.findall(r"#(\d+)", done.stderr)]
    reached = re.findall(r"cov: (\d+)", done.stderr)
    found = sorted(path.name for path in set((CORPUS / target).iterdir()) - before)
    if found or done.returncode:
        print(done.stderr[-3000:], file=sys.stderr)
    told = ", ".join(found) or ("nothing" if not done.returncode else f"ended with {done.returncode}")
    return f"| {target} | {max(tried, default=0)} | {reached[-1] if reached else '?'} | {told} |", found


def dictionary(target: str) -> str:
    """Pieces that a target's inputs are made of, so that the fuzzer need not find every word by itself."""
    from assistant.language.grammar import load_english

    pieces = {
        "words": [*sorted(load_english().words), "\n", "53 5/8", "'", '"', ", ", "/", "."],
        "keys": [*"0123456789./*-+\r\x7f", "\x1bOM", "\x1bOp", "\x1b[200~", "\x1b[201~", "\x1b["],
        "wav": ["RIFF", "WAVE", "fmt ", "data", "fLaC", "OggS", "LIST", "fact", "\xfe\xff", "\x03\x00"],
        "settings": ["[speaking]\n", "[measuring]\n", "[hearing]\n", "rate = ", "plus = ", "tape = ", '"""', "'''"],
        "board": ['"record"', '"is"', '"Measure"', '"length"', '"fraction"', '"Task"', '"Job"', '"states"', '"1/2"',
                  '"Center"', '"tape"', '"form"', "null", "[]", "{}", '"version"'],
        "live": ["127.0.0.1:8000", "http://", "localhost:8000", '{"press": "', '{"talk": true}', '{"pair": "', "\n"],
    }[target]  # fmt: skip
    return "".join(f'"{escaped(piece)}"\n' for piece in pieces)


def escaped(piece: str) -> str:
    return "".join(c if c.isascii() and (c.isalnum() or c in " []=._") else f"\\x{ord(c):02x}" for c in piece)


def one(target: str, arguments: list[str]) -> None:
    """Fuzz in this process; does not come back."""
    import atheris

    with atheris.instrument_imports(include=["assistant", "tomlkit"]):
        from tests.fuzz.targets import TARGETS
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    atheris.Setup(["fuzz", *arguments], TARGETS[target])
    atheris.Fuzz()


if __name__ == "__main__":
    sys.exit(main())
