"""The Vosk recogniser in its own process, with a real model and people's voices."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.errors import ModelUnusable
from assistant.hearing.recogniser import Reason
from assistant.hearing.recording import read
from assistant.hearing.vosk_engine import RESTARTS, Vosk, check_folder
from tests.hearing.small_grammar import SmallGrammar

GRAMMAR = SmallGrammar()
SENTENCE = "twenty seven eleven sixteenth"


@pytest.fixture
def vosk(first_model: Path) -> Iterator[Vosk]:
    engine = Vosk(GRAMMAR, ("request", "wake"), first_model)
    yield engine
    engine.close()


@pytest.fixture(scope="module")
def said(shared: Path) -> bytes:
    """SENTENCE, spoken by a person (dev/manifest.tsv)."""
    for line in (shared / "speech/dev/manifest.tsv").read_text(encoding="utf-8").splitlines():
        path, words, *_ = line.split("\t")
        if words == SENTENCE:
            return read(shared / "speech/dev" / path)
    pytest.skip(f"nobody says {SENTENCE!r} in the recordings")


def hear(engine: Vosk, pcm: bytes, root: str = "request", block: int = 1024) -> tuple[str, str]:
    engine.start(root)
    for at in range(0, len(pcm), block):
        engine.accept(pcm[at : at + block])
    found = engine.finish()
    return found.words, found.reason


def test_a_person_is_heard(vosk: Vosk, said: bytes) -> None:
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)


def test_one_utterance_leaves_nothing_behind_for_the_next(vosk: Vosk, said: bytes) -> None:
    vosk.start("request")
    vosk.accept(said[: len(said) // 2])
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)  # the unfinished one was thrown away
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)


def test_a_pause_inside_a_sentence_does_not_lose_the_words_before_it(vosk: Vosk, said: bytes) -> None:
    words, _ = hear(vosk, said + bytes(3 * 32000) + said)
    assert words.split()[: len(SENTENCE.split())] == SENTENCE.split()
    assert words.split()[-len(SENTENCE.split()) :] == SENTENCE.split()


def test_nothing_said_is_nothing_heard(vosk: Vosk) -> None:
    assert vosk.finish().reason == Reason.NOTHING  # without a start
    assert hear(vosk, b"") == ("", Reason.NOTHING)
    words, reason = hear(vosk, bytes(64000))
    assert (words, bool(reason)) == ("", True)


def test_an_odd_byte_is_no_trouble(vosk: Vosk, said: bytes) -> None:
    assert hear(vosk, said + b"\x01", block=1600) == (SENTENCE, Reason.TRUSTED)


def test_the_words_so_far_grow(vosk: Vosk, said: bytes) -> None:
    vosk.start("request")
    seen = []
    for at in range(0, len(said), 3200):
        vosk.accept(said[at : at + 3200])
        seen.append(vosk.partial())
    assert seen[0] == ""
    assert seen[-1].startswith("twenty")
    assert vosk.finish().words == SENTENCE


def test_a_look_at_how_it_would_end_changes_nothing(vosk: Vosk, said: bytes) -> None:
    vosk.start("request")
    half = len(said) // 4 * 2
    vosk.accept(said[:half])
    assert vosk.peek() == vosk.peek() != ""
    vosk.accept(said[half:])
    assert vosk.peek() == SENTENCE
    assert vosk.finish().words == SENTENCE
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)


def test_words_the_model_lacks_are_reported_and_the_rest_is_heard(first_model: Path, said: bytes) -> None:
    engine = Vosk(SmallGrammar(extra=("skosh", "gusset")), ("request",), first_model)
    try:
        assert {"skosh", "gusset", "tape", "hand"} == engine.missing  # by the model's own graph/words.txt
        assert hear(engine, said) == (SENTENCE, Reason.TRUSTED)
    finally:
        engine.close()


def test_a_rule_without_one_known_sentence_is_listened_to_in_vain(vosk: Vosk, said: bytes) -> None:
    words, reason = hear(vosk, said, root="wake")  # the model knows neither "tape" nor "hand"
    assert (words, bool(reason)) == ("", True)


def test_a_process_that_dies_is_started_again(vosk: Vosk, said: bytes) -> None:
    vosk.start("request")
    vosk.accept(said)
    assert vosk.pid is not None
    os.kill(vosk.pid, signal.SIGKILL)
    assert vosk.finish().reason == Reason.RESTARTED
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)


def test_a_process_that_dies_between_two_utterances_costs_none(vosk: Vosk, said: bytes) -> None:
    assert vosk.pid is not None
    os.kill(vosk.pid, signal.SIGKILL)
    os.waitid(os.P_PID, vosk.pid, os.WEXITED | os.WNOWAIT)
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no SIGSTOP on this system")
def test_a_process_that_hangs_is_given_up(vosk: Vosk, said: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("assistant.hearing.vosk_engine.ANSWER_SECONDS", 0.3)
    vosk.start("request")
    assert vosk.pid is not None
    os.kill(vosk.pid, signal.SIGSTOP)
    for _ in range(5):  # more than the pipe holds
        vosk.accept(said)
    assert vosk.finish().reason == Reason.RESTARTED
    monkeypatch.undo()
    assert hear(vosk, said) == (SENTENCE, Reason.TRUSTED)


def test_one_that_keeps_dying_is_past_help(vosk: Vosk) -> None:
    for _ in range(1 + RESTARTS):
        vosk.start("request")
        assert vosk.pid is not None
        os.kill(vosk.pid, signal.SIGKILL)
        assert vosk.finish().reason == Reason.RESTARTED
    with pytest.raises(ModelUnusable, match="keeps failing"):
        vosk.start("request")


def test_closing_twice_is_no_error(vosk: Vosk) -> None:
    vosk.close()
    vosk.close()
    assert vosk.pid is None


@pytest.mark.parametrize(
    ("gone", "sentence"),
    [
        ("am/final.mdl", "has no am/final.mdl"),
        ("conf/model.conf", "has no conf/model.conf"),
        ("graph/HCLr.fst", "takes no grammar"),
    ],
)
def test_a_model_with_a_file_missing(first_model: Path, tmp_path: Path, gone: str, sentence: str) -> None:
    copy = tmp_path / "model"
    shutil.copytree(first_model, copy, copy_function=shutil.copyfile)
    copy.chmod(0o755)
    for folder in copy.rglob("*"):
        folder.chmod(0o755 if folder.is_dir() else 0o644)
    (copy / gone).unlink()
    with pytest.raises(ModelUnusable, match=sentence):
        check_folder(copy)


@pytest.mark.parametrize("cut", ["am/final.mdl", "graph/HCLr.fst"])
def test_a_model_cut_short(first_model: Path, tmp_path: Path, cut: str) -> None:
    copy = tmp_path / "model"
    shutil.copytree(first_model, copy, copy_function=shutil.copyfile)
    for folder in copy.rglob("*"):
        folder.chmod(0o755 if folder.is_dir() else 0o644)
    copy.chmod(0o755)
    data = (copy / cut).read_bytes()
    (copy / cut).write_bytes(data[: len(data) // 2])
    with pytest.raises(ModelUnusable, match=r"Copy the whole model folder again|Use a small Vosk model"):
        Vosk(GRAMMAR, ("request",), copy)


def test_no_folder_at_all(tmp_path: Path) -> None:
    with pytest.raises(ModelUnusable, match="There is no speech model in"):
        check_folder(tmp_path / "nowhere")
