"""The shipped English model: its files, its scores, its words, and requests spoken by a voice it never heard."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from assistant.hearing.arc_costs import measurement
from assistant.hearing.rejection import Rejector, mfcc
from assistant.language.grammar import load_english
from assistant.language.understand import understand_words

MODEL = Path(__file__).parents[2] / "models" / "en"
LARGEST = 15_000_000
"""Bytes a model may take in the repository (issue of the speech model)."""
REQUESTS = 100
MOST_WRONG = 10
"""Of them, as measured; the goal is none. The misses are "-teen" and "-ty" (models/en/README.md)."""
FRAMES = ("{}", "{}", "{}", "half of {}", "center of {}", "{} plus {}", "{} minus {}", "{} divided in three")


def test_it_is_small_enough_for_the_repository() -> None:
    assert sum(file.stat().st_size for file in MODEL.rglob("*") if file.is_file()) < LARGEST


def test_every_word_of_the_grammar_is_in_it() -> None:
    listed = {line.split()[0] for line in (MODEL / "graph" / "words.txt").read_text().splitlines()}
    missing = load_english().words - listed
    assert not missing, "run: python -m models.build graph models/en"


def test_features_are_kaldis() -> None:
    """Against kaldi-native-fbank 1.22 on the samples in the fixture; its values are stored beside them."""
    stored = np.load(Path(__file__).parent / "scores.npz")
    np.testing.assert_allclose(mfcc(stored["samples"]), stored["features"], atol=1e-2)


def test_scores_are_the_trained_networks() -> None:
    """Against PyTorch 2.13 running the trained network, stored; matrices are kept in 16 bits an element."""
    stored = np.load(Path(__file__).parent / "scores.npz")
    ours = Rejector(MODEL).log_probabilities(stored["samples"])
    np.testing.assert_allclose(ours, stored["scores"], rtol=1e-3, atol=1e-3)


@pytest.fixture(scope="module")
def model() -> object:
    vosk = pytest.importorskip("vosk")
    vosk.SetLogLevel(-1)
    return vosk.Model(model_path=str(MODEL))


def hear(model: object, samples: np.ndarray) -> str:
    import vosk

    recognizer = vosk.KaldiRecognizer(model, 16000)
    recognizer.AcceptWaveform(samples.astype("<i2").tobytes())
    return str(json.loads(recognizer.FinalResult())["text"])


def test_silence_says_nothing(model: object) -> None:
    assert hear(model, np.zeros(48000)) == ""


def requests(seed: int) -> list[str]:
    rng = random.Random(seed)
    automaton = load_english().automaton("request")
    found: list[str] = []
    while len(found) < REQUESTS:
        frame = rng.choice(FRAMES)
        text = frame.format(*(measurement(rng) for _ in range(frame.count("{}"))))
        states = {automaton.start}
        for word in text.split():
            states = {to for state in states for said, to in automaton.arcs[state] if said == word}
        if states & set(automaton.finals):
            found.append(text)
    return found


def meaning(words: str) -> object:
    """What is asked: "center seven five eights" asks the same as "center of seven and five eighths"."""
    return understand_words(load_english(), words.split())


@pytest.mark.skipif(shutil.which("text2wave") is None, reason="needs festival with the voice ked_diphone")
def test_requests_by_a_voice_outside_training(model: object, tmp_path: Path) -> None:
    """Festival's ked_diphone (Debian festvox-kdlpc16k), which no training sentence was made with."""
    import soundfile

    wrong = []
    for text in requests(7):
        wav = tmp_path / "a.wav"
        subprocess.run(
            ["text2wave", "-eval", "(voice_ked_diphone)", "-F", "16000", "-o", str(wav)],
            input=text,
            text=True,
            check=True,
            timeout=30,
            stderr=subprocess.DEVNULL,
        )
        sound, rate = soundfile.read(wav, dtype="int16")
        assert rate == 16000
        rest = np.zeros(4800, np.int16)
        words = hear(model, np.concatenate([rest, sound, rest]))
        if meaning(words) != meaning(text):
            wrong.append(f"{text} -> {words}")
    assert len(wrong) <= MOST_WRONG, wrong
