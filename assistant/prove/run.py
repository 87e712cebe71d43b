"""``tapehand prove``: runs the benchmarks and prints one table."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from assistant import resources
from assistant.errors import ModelUnusable
from assistant.hearing import ears
from assistant.hearing.accept import judged
from assistant.hearing.choose import model_folders
from assistant.hearing.listener import WAKE
from assistant.hearing.pocketsphinx_engine import Pocketsphinx
from assistant.hearing.recogniser import Hypothesis, Recogniser
from assistant.hearing.usage import usage_of, usually_said
from assistant.hearing.vosk_engine import Vosk
from assistant.language.grammar import SEARCHED, Grammar, load_english
from assistant.language.understand import understand
from assistant.language.understanding import Outcome
from assistant.prove import PARTS, delay, hearing, language, machine, screen, sets, speaking, speed
from assistant.prove.table import Row, printed

__all__ = ["run"]

_NOISE_LEVELS = (20, 10, 5, 0)
_QUICK = 20
"""Clips a set when it is to be quick: enough to see that it works, not to quote."""
_OTHERS_FIRST = 60
"""Synthesized sentences where no recordings are at hand."""
WHISPER_FOLDER = "TAPEHAND_WHISPER"


def run(only: str | None = None, quick: bool = False, model: str | None = None, soak: float = 0.0) -> int:
    """Measure and print. Returns the exit status.

    Args:
        only: one of PARTS.
        quick: a few clips a set.
        model: the folder of a speech model to measure beside those under models/.
        soak: hours of sound for a day in the shop, in place of everything else; 0 for none.
    """
    if soak:
        from assistant.prove import soak as day

        print(printed([Row("measured on", machine.described(), ""), *day.measure(soak)]), flush=True)
        return 0
    limit = _QUICK if quick else None
    grammar = load_english()
    rows: list[Row] = [Row("measured on", machine.described(), "")]
    parts = [only] if only else PARTS
    if "language" in parts:
        rows += language.measure(grammar, _phones())
    if "hearing" in parts:
        for label, engine in _engines(grammar, model):
            rows += _hearing(label, engine, grammar, limit)
            engine.close()
    if "delay" in parts:
        chosen = ears.recogniser(grammar).recogniser
        rows += delay.measure(chosen)
        chosen.close()
    if "speaking" in parts:
        rows += speaking.measure()
    if "speed" in parts:
        rows += speed.measure(quick)
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


def _engines(grammar: Grammar, model: str | None) -> Iterator[tuple[str, Recogniser]]:
    """What there is to measure, each with the name it has in the table."""
    folders = [*model_folders(resources.folder("models")), *([Path(model)] if model else [])]
    for folder in folders:
        try:
            vosk = Vosk(grammar, SEARCHED, folder, partial(usually_said, grammar))
        except ModelUnusable as error:
            print(error, flush=True)
            continue
        yield f"vosk, {folder.name}", vosk
    yield "pocketsphinx", Pocketsphinx(grammar, SEARCHED, ears.pronunciations(), usage_of(grammar))
    if os.environ.get(WHISPER_FOLDER):
        from assistant.prove.whisper import Whisper

        yield "whisper", Whisper(os.environ[WHISPER_FOLDER])


def _hearing(label: str, engine: Recogniser, grammar: Grammar, limit: int | None) -> Iterator[Row]:
    def meant(words: str) -> Outcome:
        return understand(grammar, words)[1]

    def accept(heard: Hypothesis) -> bool:
        return not judged(heard, engine.name, lambda words: grammar.automaton("request").accepts(words.split())).reason

    folder = sets.dev_folder()
    if folder is None:
        clips = sets.synthesized(grammar, limit or _OTHERS_FIRST)
        trials = hearing.hear(engine, clips)
        yield from hearing.accuracy(label, "synthesized speech (no recordings at hand)", trials, meant, accept)
        yield from hearing.speed(label, trials)
        return
    numbers = sets.people(folder, ["spliced-numbers"], limit)
    noise = sets.noises(folder)
    clean = hearing.hear(engine, numbers)
    yield from hearing.accuracy(label, "numbers, clean", clean, meant, accept)
    for level in _NOISE_LEVELS:
        noisy = hearing.hear(engine, hearing.in_noise(numbers, noise, level))
        yield from hearing.accuracy(label, f"numbers, noise at {level} dB", noisy, meant, accept)
    for kind_of_set, what in (("spoken-digits", "digits"), ("speech-commands", "single words")):
        trials = hearing.hear(engine, sets.people(folder, [kind_of_set], limit))
        yield from hearing.accuracy(label, what, trials, meant, accept)
    talk = [
        ("orders for coffee", sets.people(folder, ["orders"], limit)),
        ("others' wake words", sets.people(folder, ["wake-words"], limit)),
        (
            "read sentences",
            sets.people(folder, ["read-speech", "librispeech-test-clean", "speechocean762-test"], limit),
        ),
        ("noise alone", sets.noises(folder, limit)),
    ]
    for what, clips in talk:
        yield hearing.false_accepts(label, what, hearing.hear(engine, clips), meant, accept)
    yield from _attention(label, engine, grammar, talk)
    yield from hearing.speed(label, clean)


def _attention(
    label: str, engine: Recogniser, grammar: Grammar, talk: Sequence[tuple[str, Sequence[sets.Clip]]]
) -> Iterator[Row]:
    """What is not for us, through the whole listening path: always open, and with the wake phrase."""

    def at_rest(rule: str) -> hearing.ListenerFor:
        return lambda source, tell: ears.listener(grammar, source, engine, tell, rule)

    for what, clips in talk:
        acted, _ = hearing.through_the_gate(at_rest("request"), clips)
        again, woken = hearing.through_the_gate(at_rest(WAKE), clips)
        share = f"always open {acted}, with the wake phrase {again} ({woken} woken), of {len(clips)}"
        yield Row(label, f"{what}: acted on, whole path", share)
