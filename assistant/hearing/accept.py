"""Act on it, or not? The last gate between sound and the job: a grinder never becomes a measurement."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from assistant.hearing.recogniser import Hypothesis, Reason

__all__ = ["LEAST_CONFIDENCE", "LEAST_FOR_STEP", "LEAST_FOR_WAKE", "judged"]

LEAST_CONFIDENCE: Mapping[str, float] = {"pocketsphinx": 0.5, "vosk": 0.5, "scripted": 0.5}
"""Below this an utterance is not acted on, by recogniser. Vosk's belongs to our own model, whose gate was set for it
(``rejection.MOST_LOSS``; models/en/README.md has what it keeps and what passes). Other people's models have a
confidence of the words alone, which strangers' talk passes (112 of 131): there the wake phrase must keep it out."""
LEAST_FOR_WAKE: Mapping[str, float] = {**LEAST_CONFIDENCE, "pocketsphinx": 0.65}
"""The same for the wake phrase, where all talk in the room is tried against two short words. At 0.5 pocketsphinx woke
at 11 of 120 clips of other talk, at 0.65 at 3; our own model at none."""
LEAST_FOR_STEP: Mapping[str, float] = {**LEAST_CONFIDENCE, "vosk": 0.35}
"""The same for "next" and its like between marks: said most of all and changing no number, they may be less sure. For
our own model that is a loss of 1.17, at which nothing of the kind came out of eight hours of the soak (models/LOG.md,
"What is asked again")."""


def judged(
    heard: Hypothesis, engine: str, parses: Callable[[str], bool], least: Mapping[str, float] = LEAST_CONFIDENCE
) -> Hypothesis:
    """The hypothesis as it came, or with the reason it must not be acted on.

    ``parses`` tells whether words are a sentence of the grammar.
    """
    if heard.reason:
        return heard
    if not heard.words:
        return replace(heard, reason=Reason.NOTHING)
    if not parses(heard.words):
        return replace(heard, reason=Reason.NOT_FOR_US)
    if heard.confidence < least.get(engine, 0.0):
        return replace(heard, reason=Reason.UNCLEAR)
    return heard
