"""The wheel, installed into an environment of its own away from the checkout: everything it needs came with it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

import assistant

ROOT = Path(assistant.__file__).resolve().parent.parent

pytest.importorskip("hatchling", reason="hatchling builds the wheel; it is not installed")
pytestmark = pytest.mark.skipif(not (ROOT / "pyproject.toml").exists(), reason="installed, not in a checkout")

SHIPPED = {
    "assistant/grammars/en": ".jsgf",
    "assistant/models/en/am": ".mdl",
    "assistant/models/en/graph": ".fst",
    "assistant/screen/page": ".html",
    "assistant/layout/data": ".csv",
}


@dataclass(frozen=True)
class Installed:
    python: Path
    folder: Path

    def run(self, *command: str) -> subprocess.CompletedProcess[str]:
        """In a folder of its own, with nothing of the checkout to be found."""
        around = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "DATABASE_URL")}
        around |= {
            "TAPEHAND_SETTINGS": str(self.folder / "settings.toml"),
            "TAPEHAND_BOARD": str(self.folder / "board.db"),
        }
        done = subprocess.run(
            [str(self.python), *command],
            cwd=self.folder, env=around, capture_output=True, text=True, timeout=120, check=False,
        )  # fmt: skip
        assert "Traceback" not in done.stderr, done.stderr
        return done

    def tapehand(self, *words: str) -> subprocess.CompletedProcess[str]:
        return self.run("-m", "assistant.cli", *words)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The sdist, and the wheel built from what is in it."""
    folder = tmp_path_factory.mktemp("built")
    build(ROOT, folder, "sdist")
    (sdist,) = folder.glob("*.tar.gz")
    with tarfile.open(sdist) as packed:
        packed.extractall(folder, filter="data") if hasattr(tarfile, "data_filter") else packed.extractall(folder)
    build(folder / sdist.name.removesuffix(".tar.gz"), folder, "wheel")
    (wheel,) = folder.glob("*.whl")
    return sdist, wheel


def build(source: Path, into: Path, target: str) -> None:
    command = [sys.executable, "-m", "hatchling", "build", "--target", target, "--directory", str(into)]
    done = subprocess.run(command, cwd=source, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def installed(built: tuple[Path, Path], tmp_path_factory: pytest.TempPathFactory) -> Installed:
    """The wheel alone in a new environment; its dependencies are those that are here already."""
    folder = tmp_path_factory.mktemp("elsewhere")
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(folder / "venv")], check=True)
    python = folder / "venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    say = "import sysconfig; print(sysconfig.get_path('purelib'))"
    packages = Path(subprocess.run([python, "-c", say], capture_output=True, text=True, check=True).stdout.strip())
    with zipfile.ZipFile(built[1]) as wheel:  # a wheel of plain Python is installed by unpacking it (PEP 427)
        wheel.extractall(packages)
    # A folder named in a .pth file has its own .pth files left alone: the checkout is not found through it.
    (packages / "dependencies.pth").write_text(f"{sysconfig.get_path('purelib')}\n", encoding="utf-8")
    found = Installed(python, folder)
    where = found.run("-c", "import assistant; print(assistant.__file__)").stdout
    assert str(packages) in where, where
    return found


def test_the_wheel_has_all_that_is_read_and_no_tests(built: tuple[Path, Path]) -> None:
    names = zipfile.ZipFile(built[1]).namelist()
    for folder, ending in SHIPPED.items():
        assert any(name.startswith(f"{folder}/") and name.endswith(ending) for name in names), folder
    here = {path.relative_to(ROOT / "models/en") for path in (ROOT / "models/en").rglob("*") if path.is_file()}
    assert here == {
        Path(name).relative_to("assistant/models/en") for name in names if name.startswith("assistant/models/en/")
    }
    assert not [name for name in names if not name.startswith(("assistant/", "tapehand-"))]


def test_words_and_keys(installed: Installed) -> None:
    asked = json.loads(installed.tapehand("ask", "center of 53 5/8", "--json").stdout)
    assert asked["values"][0]["exact"] == "429/16"
    keyed = [json.loads(line) for line in installed.tapehand("keys", "53.5/8EE", "--json").stdout.splitlines()]
    assert keyed[-1]["values"][0]["exact"] == "429/16"


def test_a_table_that_ships(installed: Installed) -> None:
    done = installed.tapehand("ask", "around six inch pipe", "--json")
    assert json.loads(done.stdout)["status"] == "answer"


def test_said_and_heard(installed: Installed) -> None:
    """The voice, the recogniser and the model that ships."""
    pytest.importorskip("vosk", reason="the voice parts are not installed")
    said = installed.tapehand("say", "fifty three and five eighths", "--out", "said.wav")
    if said.returncode:
        pytest.skip(said.stderr.strip())
    heard = installed.tapehand("hear", "said.wav", "--json")
    answer = json.loads(heard.stdout.splitlines()[0])
    assert answer["engine"] == "vosk"
    assert "five" in answer["heard"]  # how well it hears is for tapehand prove


def test_a_sheet_and_the_board(installed: Installed) -> None:
    assert installed.tapehand("print", "marks", "53 5/8 in seven parts", "--out", "marks.pdf").returncode == 0
    assert (installed.folder / "marks.pdf").read_bytes().startswith(b"%PDF")
    assert json.loads(installed.tapehand("board", "export").stdout)["tapehand"] == "board"


def test_the_page(installed: Installed) -> None:
    script = (
        "import urllib.request\nfrom assistant.screen.web import WebView\n"
        "view = WebView(lambda press: None, 0)\n"
        "print(urllib.request.urlopen(view.address, timeout=20).read().decode().count('<script'))\nview.close()"
    )
    assert installed.run("-c", script).stdout.strip() != "0"
