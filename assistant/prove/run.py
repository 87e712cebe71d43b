"""``tapehand prove``: runs the benchmarks and prints one table."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from assistant import resources
from assistant.errors import ModelUnusable
from assistant.hearing import ears
from assistant.hearing.accept import judged
from assistant.hearing.choose import model_folders
from assistant.hearing.pocketsphinx_engine import Pocketsphinx
from assistant.hearing.recogniser import Hypothesis, Recogniser
from assistant.hearing.usage import usage_of
from assistant.hearing.vosk_engine import Vosk
from assistant.language.grammar import SEARCHED, Grammar, load_english
from assistant.language.understand import understand
from assistant.language.understanding import Outcome
from assistant.prove import delay, hearing, language, machine, screen, sets, speaking
from assistant.prove.table import Row, printed

__all__ = ["run"]

_NOISE_LEVELS = (20, 10, 5, 0)
_QUICK = 20
"""Clips a set when it is to be quick: enough to see that it works, not to quote."""
_OTHERS_FIRST = 60
"""Synthesized sentences where no recordings are at hand."""
WHISPER_FOLDER = "TAPEHAND_WHISPER"


def run(only: str | None = None, quick: bool = False, model: str | None = None) -> int:
    """Measure and print. Returns the exit status.

    Args:
        only: one part: language, hearing, speaking, screen or machine.
        quick: a few clips a set.
        model: the folder of a speech model to measure beside those under models/.
    """
    limit = _QUICK if quick else None
    grammar = load_english()
    rows: list[Row] = [Row("measured on", machine.described(), "")]
    parts = [only] if only else ["language", "hearing", "delay", "speaking", "screen", "machine"]
    if "language" in parts:
        rows += language.measure(grammar, _phones())
    if "hearing" in parts:
        for engine in _engines(grammar, model):
            rows += _hearing(engine, grammar, limit)
            engine.close()
    if "delay" in parts:
        chosen = ears.recogniser(grammar).recogniser
        rows += delay.measure(chosen)
        chosen.close()
    if "speaking" in parts:
        rows += speaking.measure()
    if "screen" in parts:
        rows += screen.measure()
    if "machine" in parts:
        rows += machine.measure()
    print(printed(rows), flush=True)
    return 0


def _phones() -> dict[str, list[str]]:
    """The recogniser's dictionary, for the confusable pairs; empty where it is not installed."""
    try:
        from pocketsphinx import get_model_path
    except ImportError:
        return {}
    words: dict[str, list[str]] = {w: p.split() for w, p in ears.pronunciations().items()}
    for line in Path(get_model_path("en-us"), "cmudict-en-us.dict").read_text(encoding="utf-8").splitlines():
        word, *phones = line.split()
        words.setdefault(word, phones)
    return words


def _engines(grammar: Grammar, model: str | None) -> Iterator[Recogniser]:
    folders = [*model_folders(resources.folder("models")), *([Path(model)] if model else [])]
    for folder in folders:
        try:
            vosk = Vosk(grammar, SEARCHED, folder)
        except ModelUnusable as error:
            print(error, flush=True)
            continue
        vosk.name = f"vosk, {folder.name}"
        yield vosk
    yield Pocketsphinx(grammar, SEARCHED, ears.pronunciations(), usage_of(grammar))
    if os.environ.get(WHISPER_FOLDER):
        from assistant.prove.whisper import Whisper

        yield Whisper(os.environ[WHISPER_FOLDER])


def _hearing(engine: Recogniser, grammar: Grammar, limit: int | None) -> Iterator[Row]:
    kind = engine.name.split(",")[0]

    def meant(words: str) -> Outcome:
        return understand(grammar, words)[1]

    def accept(heard: Hypothesis) -> bool:
        return not judged(heard, kind, lambda words: grammar.automaton("request").accepts(words.split())).reason

    folder = sets.dev_folder()
    if folder is None:
        clips = sets.synthesized(grammar, limit or _OTHERS_FIRST)
        trials = hearing.hear(engine, clips)
        yield from hearing.accuracy(engine.name, "synthesized speech (no recordings at hand)", trials, meant, accept)
        yield from hearing.speed(engine.name, trials)
        return
    numbers = sets.people(folder, ["spliced-numbers"], limit)
    noise = sets.noises(folder)
    clean = hearing.hear(engine, numbers)
    yield from hearing.accuracy(engine.name, "numbers, clean", clean, meant, accept)
    for level in _NOISE_LEVELS:
        noisy = hearing.hear(engine, hearing.in_noise(numbers, noise, level))
        yield from hearing.accuracy(engine.name, f"numbers, noise at {level} dB", noisy, meant, accept)
    for kind_of_set, what in (("spoken-digits", "digits"), ("speech-commands", "single words")):
        trials = hearing.hear(engine, sets.people(folder, [kind_of_set], limit))
        yield from hearing.accuracy(engine.name, what, trials, meant, accept)
    for name, what in (
        (("orders",), "orders for coffee"),
        (("wake-words",), "others' wake words"),
        (("read-speech", "librispeech-test-clean", "speechocean762-test"), "read sentences"),
    ):
        talk = hearing.hear(engine, sets.people(folder, name, limit))
        yield hearing.false_accepts(engine.name, what, talk, meant, accept)
    yield hearing.false_accepts(
        engine.name, "noise alone", hearing.hear(engine, sets.noises(folder, limit)), meant, accept
    )
    yield from hearing.speed(engine.name, clean)
