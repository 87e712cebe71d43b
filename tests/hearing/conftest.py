"""Sound for the tests of hearing: synthesized here, or people's recordings where they stand beside the project."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.hearing.recording import read

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def shared() -> Path:
    """The folder with recordings and models beside the project."""
    folder = Path(os.environ.get("TAPEHAND_SHARED") or ROOT.parent / "shared")
    if not (folder / "speech").is_dir():
        pytest.skip(f"no speech folder in {folder}")
    return folder


@pytest.fixture(scope="session")
def first_model(shared: Path) -> Path:
    """A small Vosk model that takes grammars."""
    folder = shared / "speech" / "first-model"
    if not folder.is_dir():
        pytest.skip(f"no speech model in {folder}")
    pytest.importorskip("vosk", reason="the voice parts are not installed")
    return folder


@pytest.fixture(scope="session")
def speak(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., bytes]:
    """``speak(words, voice="slt")``: 16 kHz mono int16, by flite."""
    if shutil.which("flite") is None:
        pytest.skip("no flite here (Debian: flite)")
    folder = tmp_path_factory.mktemp("spoken")

    def say(words: str, voice: str = "slt") -> bytes:
        path = folder / f"{voice}-{words.replace(' ', '-')}.wav"
        if not path.exists():
            subprocess.run(["flite", "-voice", voice, "-t", words, "-o", str(path)], check=True, timeout=60)
        return read(path)

    return say
