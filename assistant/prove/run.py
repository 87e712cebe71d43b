"""``tapehand prove``: runs the benchmarks and prints one table."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path

from assistant import resources
from assistant.errors import ModelUnusable
from assistant.hearing import ears
from assistant.hearing.accept import judged
from assistant.hearing.choose import model_folders
from assistant.hearing.listener import WAKE
from assistant.hearing.pocketsphinx_engine import Pocketsphinx
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.usage import usage_of, usually_said
from assistant.hearing.vosk_engine import Vosk
from assistant.language.grammar import SEARCHED, Grammar, load_english
from assistant.language.understand import understand
from assistant.language.understanding import Outcome
from assistant.prove import PARTS, delay, hearing, language, machine, screen, sets, speaking, speed, sticks
from assistant.prove.table import Row, lines

__all__ = ["run"]

_NOISE_LEVELS = {20: "", 10: "92 %", 5: "85 %", 0: "70 %"}
"""In decibels, with what is aimed at."""
_CHOICES = ("one", "two", "three", "four")
_TOGETHER = 20
"""Sizes of each speaker."""
_QUICK = 20
"""Clips a set when it is to be quick: enough to see that it works, not to quote."""
_OTHERS_FIRST = 60
"""Synthesized sentences where no recordings are at hand."""
WHISPER_FOLDER = "TAPEHAND_WHISPER"


def run(only: str | None = None, quick: bool = False, model: str | None = None) -> int:
    """Measure and print, each row as it comes. Returns the exit status.

    Args:
        only: one of PARTS.
        quick: a few clips a set.
        model: the folder of a speech model to measure beside those under models/.
    """
    for line in lines(_rows([only] if only else PARTS, quick, model)):
        print(line, flush=True)
    return 0


def _rows(parts: Sequence[str], quick: bool, model: str | None) -> Iterator[Row]:
    limit = _QUICK if quick else None
    grammar = load_english()
    yield Row("measured on", machine.described(), "")
    if "language" in parts:
        yield from language.measure(grammar, _phones())
    if "sticks" in parts:
        yield from sticks.measure()
    if "hearing" in parts:
        engines = dict(_engines(grammar, model))
        yield from _hearing(engines, grammar, limit)
        for engine in engines.values():
            engine.close()
    if "delay" in parts:
        chosen = ears.recogniser(grammar).recogniser
        yield from delay.measure(chosen)
        chosen.close()
    if "speaking" in parts:
        yield from speaking.measure()
    if "speed" in parts:
        yield from speed.measure(quick)
    if "screen" in parts:
        yield from screen.measure()
    if "machine" in parts:
        yield from machine.measure()


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


def _hearing(engines: Mapping[str, Recogniser], grammar: Grammar, limit: int | None) -> Iterator[Row]:
    """Set by set and level by level, every recogniser on the same clips."""
    ours = next(iter(engines))

    def meant(words: str, expecting: str = "request") -> Outcome:
        return understand(grammar, words, expecting)[1]

    def accept(engine: Recogniser) -> hearing.Accept:
        def parses(words: str) -> bool:
            return grammar.automaton("request").accepts(words.split())

        return lambda heard: not judged(heard, engine.name, parses).reason

    def compared(
        what: str, clips: Sequence[sets.Clip], target: str = "", pace: bool = False, expecting: str = "request"
    ) -> Iterator[Row]:
        for label, engine in engines.items():
            trials = hearing.hear(engine, clips, expecting)
            goal = target if label == ours else ""
            meaning = partial(meant, expecting=expecting)
            yield from hearing.accuracy(what, label, trials, meaning, accept(engine), goal)
            if pace:
                yield from hearing.speed(what, label, trials)

    folder = sets.dev_folder()
    if folder is None:
        clips = sets.synthesized(grammar, limit or _OTHERS_FIRST)
        yield from compared("synthesized speech (no recordings at hand)", clips, pace=True)
        return
    numbers = sets.people(folder, ["spliced-numbers"], limit)
    noise = sets.noises(folder)
    yield from compared("numbers, clean", numbers, "97 %", pace=True)
    for level, target in _NOISE_LEVELS.items():
        yield from compared(f"numbers, noise at {level} dB", hearing.in_noise(numbers, noise, level), target)
    digits = sets.people(folder, ["spoken-digits"], limit)
    yield from compared("digits", digits, "95 %")
    choices = hearing.in_noise([clip for clip in digits if clip.words in _CHOICES], noise, 5)
    yield from compared("one to four, noise at 5 dB", choices)
    yield from compared("the same, replying to a question", choices, expecting="answer")
    yield from compared("single words", sets.people(folder, ["speech-commands"], limit))
    together = sets.sizes_of_digits(folder, _TOGETHER if limit is None else _TOGETHER // 4)
    yield from compared("sizes of digits put together, clean", together)
    yield from compared("the same, noise at 5 dB", hearing.in_noise(together, noise, 5))
    read = ["read-speech", "librispeech-test-clean", "speechocean762-test"]
    talk = {
        "orders for coffee": sets.people(folder, ["orders"], limit),
        "others' wake words": sets.people(folder, ["wake-words"], limit),
        "read sentences": sets.people(folder, read, limit),
        "noise alone": sets.noises(folder, limit),
    }
    for what, clips in talk.items():
        for label, engine in engines.items():
            yield hearing.false_accepts(what, label, hearing.hear(engine, clips), meant, accept(engine))
            yield _attention(what, label, engine, grammar, clips)


def _attention(what: str, label: str, engine: Recogniser, grammar: Grammar, clips: Sequence[sets.Clip]) -> Row:
    """What is not for us, through the whole listening path: always open, and with the wake phrase."""

    def at_rest(rule: str) -> hearing.ListenerFor:
        return lambda source, tell: ears.listener(grammar, source, engine, tell, rule)

    acted, _ = hearing.through_the_gate(at_rest("request"), clips)
    again, woken = hearing.through_the_gate(at_rest(WAKE), clips)
    share = f"always open {acted}, with the wake phrase {again} ({woken} woken), of {len(clips)}"
    return Row(what, f"{label}: acted on, whole path", share)
