"""Nobody gets in: no shell is given anything, nothing read is run, and what is installed is what was checked."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
import tomlkit

import assistant

ROOT = Path(assistant.__file__).parent.parent
SOURCES = [*sorted((ROOT / "assistant").rglob("*.py")), *sorted((ROOT / "models").rglob("*.py"))]
RUNNING = [path for path in SOURCES if {"prove", "models"}.isdisjoint(path.relative_to(ROOT).parts)]
"""What runs at the bench: ``prove`` starts benches, not helpers, and models/ builds."""
NEVER = {
    "eval", "exec", "compile", "os.system", "os.popen", "os.startfile", "subprocess.getoutput",
    "subprocess.getstatusoutput", "pickle.load", "pickle.loads", "marshal.loads", "shelve.open",
}  # fmt: skip
STARTS = {"subprocess.run", "subprocess.Popen", "subprocess.call", "subprocess.check_output", "subprocess.check_call"}
LOCKS = ROOT / "locks"
here = pytest.mark.skipif(not LOCKS.is_dir(), reason="installed, not in a checkout")


def calls(path: Path) -> list[tuple[str, ast.Call]]:
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            found.append((ast.unparse(node.func), node))
    return found


def wrongs(path: Path) -> list[str]:
    """Calls that hand text to a shell or to Python, or might."""
    found = []
    for name, call in calls(path):
        if name in NEVER or name.startswith(("os.exec", "os.spawn")):
            found.append(f"{path.name}:{call.lineno} {name}")
        if any(keyword.arg == "shell" for keyword in call.keywords):
            found.append(f"{path.name}:{call.lineno} shell=")
        if name in STARTS and isinstance(call.args[0], (ast.Constant, ast.JoinedStr, ast.BinOp)):
            found.append(f"{path.name}:{call.lineno} {name} of one text")
    return found


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_no_shell_and_nothing_that_is_read_is_run(path: Path) -> None:
    assert wrongs(path) == []


@pytest.mark.parametrize("path", RUNNING, ids=lambda path: path.name)
def test_no_helper_learns_where_the_board_is(path: Path) -> None:
    for name, call in calls(path):
        if name in STARTS:
            around = next((ast.unparse(word.value) for word in call.keywords if word.arg == "env"), "os.environ")
            assert around.startswith("for_helpers("), f"{path.name}:{call.lineno}"


def test_the_check_itself_sees_a_shell(tmp_path: Path) -> None:
    lines = ["os.system(x)", "subprocess.run(f'say {x}', check=True)", "subprocess.Popen([x], shell=yes)", "eval(x)"]
    for line in lines:
        file = tmp_path / "wrong.py"
        file.write_text(f"import os, subprocess\n{line}\n")
        assert len(wrongs(file)) == 1, line
    file.write_text("import subprocess\nsubprocess.run(['espeak-ng', words])\n")
    assert wrongs(file) == []


def locked(name: str) -> dict[str, str]:
    """Each package of a lock with what stands under it. Several versions of one, for several systems, are joined."""
    found: dict[str, str] = {}
    for entry in re.split(r"\n(?=\S)", (LOCKS / f"{name}.txt").read_text(encoding="utf-8").strip()):
        package = re.match(r"[A-Za-z0-9._-]+", entry)
        assert package, entry
        found[package[0].lower()] = found.get(package[0].lower(), "") + entry + "\n"
    return found


@here
@pytest.mark.parametrize("name", ["base", "voice", "postgres", "dev"])
def test_every_package_of_a_lock_has_its_version_and_hashes(name: str) -> None:
    for package, entry in locked(name).items():
        assert re.match(rf"{re.escape(package)}==\S+", entry, re.IGNORECASE), entry[:80]
        assert "--hash=sha256:" in entry, package
        assert not re.search(r"https?:|--index|--find|--trusted| @ ", entry), entry[:200]


@here
def test_the_locks_hold_everything_that_pyproject_asks_for() -> None:
    """Run locks/make where this fails."""
    project = tomlkit.parse((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    wanted = {
        "base": project["dependencies"],
        "voice": project["dependencies"] + extras["voice"],
        "postgres": project["dependencies"] + extras["postgres"],
        "dev": project["dependencies"] + extras["voice"] + extras["dev"],
    }
    for name, requirements in wanted.items():
        names = {re.match(r"[A-Za-z0-9._-]+", requirement)[0].lower() for requirement in requirements}  # type: ignore[index]
        assert names - set(locked(name)) == set(), name


@here
def test_one_package_is_one_version_in_all_the_locks() -> None:
    base, voice, postgres, dev = map(locked, ("base", "voice", "postgres", "dev"))
    for small, large in ((base, voice), (voice, dev), (postgres, dev)):
        for package, entry in small.items():
            assert set(re.findall(r"==\S+", large[package])) == set(re.findall(r"==\S+", entry)), package
