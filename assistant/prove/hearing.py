"""How well a recogniser hears: sentences and words right, by set and by noise; false accepts; speed.

A sentence is right when it means the same: the same request and quantity after parsing, so "and", "inch" and
plurals do not count. Intervals are by resampling speakers (or clips, where a set has one speaker).
"""

from __future__ import annotations

import random
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from assistant.hearing.listener import HeardWords, Listener, Told, Woken
from assistant.hearing.recogniser import Hypothesis, Recogniser
from assistant.hearing.recording import Recording
from assistant.hearing.sound import RATE, SAMPLE_BYTES, Source, seconds_of
from assistant.language.understanding import NotUnderstood, Outcome
from assistant.prove.sets import Clip, mixed
from assistant.prove.table import Row, percentile

__all__ = ["Trial", "accuracy", "false_accepts", "hear", "in_noise", "speed", "through_the_gate"]

BLOCK = 960
"""30 ms at a time, as from the microphone."""
_RESAMPLES = 1000
_SEED = 5

ENOUGH_OF_ONE = 10
"""Clips of a speaker that make a share of his own."""
LATE = 2 * BLOCK
"""What may still be on its way when the endpoint is decided."""

Understand = Callable[[str], Outcome]
Accept = Callable[[Hypothesis], bool]
ListenerFor = Callable[[Source, Callable[[Told], None]], Listener]
SILENCE = bytes(RATE * SAMPLE_BYTES)


@dataclass(frozen=True, slots=True)
class Trial:
    """One clip heard."""

    clip: Clip
    heard: Hypothesis
    seconds: float
    """Of work, for the whole clip."""
    after: float
    """Seconds from the last sound to the words."""


def hear(recogniser: Recogniser, clips: Sequence[Clip], expecting: str = "request") -> list[Trial]:
    """Each clip as one utterance; ``expecting`` as the dialogue would."""
    trials = []
    for clip in clips:
        start = time.perf_counter()
        recogniser.start(expecting)
        early = max(0, len(clip.pcm) - LATE)
        for at in range(0, early, BLOCK):
            recogniser.accept(clip.pcm[at : min(at + BLOCK, early)])
        recogniser.partial()  # all of that is digested by then, as it is when it comes no faster than it is spoken
        last = time.perf_counter()
        recogniser.accept(clip.pcm[early:])
        heard = recogniser.finish()
        end = time.perf_counter()
        trials.append(Trial(clip, heard, end - start, end - last))
    return trials


def in_noise(clips: Sequence[Clip], noise: Sequence[Clip], decibels: float) -> list[Clip]:
    """Every clip with one of the noises under it, the same one on every run."""
    rng = random.Random(_SEED)
    return [mixed(clip, rng.choice(noise), decibels, rng) for clip in clips]


def accuracy(
    group: str, what: str, trials: Sequence[Trial], understand: Understand, accept: Accept, target: str = ""
) -> Iterator[Row]:
    """Rows: sentences right, also speaker by speaker, and of those accepted; words right."""
    right = [_right(t, understand) for t in trials]
    kept = [accept(t.heard) and not t.heard.rival for t in trials]
    wrong = sum(k and not r for k, r in zip(kept, right, strict=True))
    low, high = interval(trials, right)
    share = f"{_percent(sum(right), len(right))} ({low:.0f}-{high:.0f}) of {len(right)}"
    yield Row(group, f"{what}: sentences right", share, target)
    yield from _by_speaker(group, what, trials, right)
    answered = f"{_percent(sum(k and r for k, r in zip(kept, right, strict=True)), len(right))} right"
    yield Row(
        group, f"{what}: answered", f"{answered}, {_percent(wrong, len(right))} wrong, the rest asked again, or which"
    )
    spoken = sum(len(t.clip.words.split()) for t in trials)
    errors = sum(word_errors(t.clip.words.split(), t.heard.words.split()) for t in trials)
    yield Row(group, f"{what}: words right", _percent(max(0, spoken - errors), spoken))


def _by_speaker(group: str, what: str, trials: Sequence[Trial], right: Sequence[bool]) -> Iterator[Row]:
    """A row that names those of whom there is enough; the others are one group. None where all are one."""
    said: dict[str, list[bool]] = defaultdict(list)
    for trial, is_right in zip(trials, right, strict=True):
        said[trial.clip.speaker].append(is_right)
    few = [speaker for speaker, each in said.items() if len(each) < ENOUGH_OF_ONE]
    if len(said) < 2 or len(few) == len(said):
        return
    shares = [f"{name} {_percent(sum(each), len(each))}" for name, each in sorted(said.items()) if name not in few]
    others = [is_right for speaker in few for is_right in said[speaker]]
    if others:
        shares.append(f"{len(few)} others {_percent(sum(others), len(others))}")
    yield Row(group, f"{what}: by speaker", ", ".join(shares))


def false_accepts(group: str, what: str, trials: Sequence[Trial], understand: Understand, accept: Accept) -> Row:
    """The row for sound that is not for us: how much of it would have been acted on."""
    taken = [accept(t.heard) and not isinstance(understand(t.heard.words), NotUnderstood) for t in trials]
    return Row(group, f"{what}: taken for a request", f"{_percent(sum(taken), len(taken))} of {len(taken)}")


def through_the_gate(listener_for: ListenerFor, clips: Sequence[Clip]) -> tuple[int, int]:
    """How many clips were acted on, and how many were taken for the wake phrase: through the whole listening path,
    voice detector and endpoint included. ``listener_for`` makes a listener that is at rest with a rule."""
    acted = woken = 0
    for clip in clips:
        told: list[Told] = []
        listener_for(Recording(clip.pcm + SILENCE), told.append).run()
        acted += any(isinstance(t, HeardWords) for t in told)
        woken += any(isinstance(t, Woken) for t in told)
    return acted, woken


def speed(group: str, what: str, trials: Sequence[Trial]) -> Iterator[Row]:
    """Rows on how long it took."""
    work = sum(t.seconds for t in trials) / max(1e-9, sum(seconds_of(t.clip.pcm) for t in trials))
    yield Row(group, f"{what}: seconds of work a second of sound", f"{work:.3f}", "0.1")
    after = [t.after * 1000 for t in trials]
    figures = f"{percentile(after, 0.5):.0f} ms median, {percentile(after, 0.95):.0f} ms 95th percentile"
    yield Row(group, f"{what}: last sound to words, beyond the endpoint", figures, "60 ms")


def interval(trials: Sequence[Trial], right: Sequence[bool]) -> tuple[float, float]:
    """The 95 percent interval of the share right, in percent, by resampling speakers."""
    by_speaker: dict[str, list[bool]] = defaultdict(list)
    for trial, is_right in zip(trials, right, strict=True):
        by_speaker[trial.clip.speaker].append(is_right)
    groups = list(by_speaker.values())
    if len(groups) == 1:
        groups = [[r] for r in groups[0]]
    if not groups:
        return 0.0, 0.0
    rng = random.Random(_SEED)
    shares = []
    for _ in range(_RESAMPLES):
        drawn = [r for group in rng.choices(groups, k=len(groups)) for r in group]
        shares.append(100 * sum(drawn) / len(drawn))
    return percentile(shares, 0.025), percentile(shares, 0.975)


def _right(trial: Trial, understand: Understand) -> bool:
    meant = understand(trial.clip.words)
    return not isinstance(meant, NotUnderstood) and understand(trial.heard.words) == meant


def word_errors(said: Sequence[str], heard: Sequence[str]) -> int:
    """Words wrong, missing or added: the edit distance."""
    before = list(range(len(heard) + 1))
    for i, word in enumerate(said, 1):
        now = [i]
        for j, other in enumerate(heard, 1):
            now.append(min(before[j] + 1, now[j - 1] + 1, before[j - 1] + (word != other)))
        before = now
    return before[-1]


def _percent(part: int, whole: int) -> str:
    return f"{100 * part / whole:.0f} %" if whole else "none"
