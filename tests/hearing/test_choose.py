"""Which recogniser is taken, and what is said where the one that was wanted cannot be had."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from assistant.hearing.choose import choose, model_folders
from assistant.hearing.pocketsphinx_engine import Pocketsphinx
from assistant.hearing.vosk_engine import Vosk
from tests.hearing.small_grammar import SmallGrammar

pytest.importorskip("pocketsphinx", reason="the voice parts are not installed")

GRAMMAR = SmallGrammar()
ROOTS = ("request", "wake")


def test_without_a_model_pocketsphinx_and_no_complaint(tmp_path: Path) -> None:
    chosen = choose(GRAMMAR, ROOTS, tmp_path / "models")
    assert isinstance(chosen.recogniser, Pocketsphinx)
    assert chosen.trouble == ""
    assert chosen.spare is None
    assert "pocketsphinx" in chosen.because


def test_a_model_that_is_there_is_taken_and_pocketsphinx_kept_in_reserve(first_model: Path, tmp_path: Path) -> None:
    (tmp_path / "en").symlink_to(first_model, target_is_directory=True)
    chosen = choose(GRAMMAR, ROOTS, tmp_path)
    try:
        assert isinstance(chosen.recogniser, Vosk)
        assert str(tmp_path / "en") in chosen.because
        assert chosen.trouble == ""
        assert chosen.spare is not None
        assert isinstance(chosen.spare(), Pocketsphinx)
    finally:
        chosen.recogniser.close()


def test_the_one_named_goes_before_those_that_stand_there(first_model: Path, tmp_path: Path) -> None:
    chosen = choose(GRAMMAR, ROOTS, tmp_path, named=first_model)
    try:
        assert isinstance(chosen.recogniser, Vosk)
    finally:
        chosen.recogniser.close()


@pytest.mark.parametrize("named", [True, False])
def test_a_broken_model_is_said_and_pocketsphinx_takes_over(tmp_path: Path, named: bool) -> None:
    broken = tmp_path / "models" / "en"
    (broken / "am").mkdir(parents=True)
    (broken / "am" / "final.mdl").write_bytes(b"not a model")
    chosen = choose(GRAMMAR, ROOTS, tmp_path / "models", broken if named else None)
    assert isinstance(chosen.recogniser, Pocketsphinx)
    assert "Copy the whole model folder again." in chosen.trouble
    assert str(broken) in chosen.trouble


def test_ours_stands_in_for_a_broken_one_that_was_named(first_model: Path, tmp_path: Path) -> None:
    (tmp_path / "en").symlink_to(first_model, target_is_directory=True)
    broken = tmp_path / "elsewhere" / "broken"
    shutil.copytree(first_model, broken)
    network = broken / "am" / "final.mdl"
    network.write_bytes(network.read_bytes()[:100_000])
    chosen = choose(GRAMMAR, ROOTS, tmp_path, broken)
    try:
        assert isinstance(chosen.recogniser, Vosk)
        assert "the model in" in chosen.because
        assert str(broken) not in chosen.because
        assert "can't be loaded. Copy the whole model folder again. Until then I hear with en." in chosen.trouble
    finally:
        chosen.recogniser.close()


def test_a_named_model_that_is_not_there_is_said(tmp_path: Path) -> None:
    chosen = choose(GRAMMAR, ROOTS, tmp_path, tmp_path / "gone")
    assert isinstance(chosen.recogniser, Pocketsphinx)
    assert f"There is no speech model in {tmp_path / 'gone'}" in chosen.trouble


def test_the_models_that_stand_there_by_name(tmp_path: Path) -> None:
    for name in ("b", "a", "c"):
        (tmp_path / name / "am").mkdir(parents=True)
    for name in ("b", "a"):
        (tmp_path / name / "am" / "final.mdl").write_bytes(b"")
    assert [folder.name for folder in model_folders(tmp_path)] == ["a", "b"]
    assert model_folders(tmp_path / "nowhere") == []
