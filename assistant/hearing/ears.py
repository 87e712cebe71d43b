"""Hearing put together for a grammar: the recogniser that is there, and what its words are judged by."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from functools import cache, lru_cache, partial
from pathlib import Path

from assistant import resources
from assistant.hearing.asked import usual_ways
from assistant.hearing.choose import Chosen, choose
from assistant.hearing.likeliest import Sense, words_alone
from assistant.hearing.listener import WAKE, Listener, Told
from assistant.hearing.prepared import prepare
from assistant.hearing.recogniser import Recogniser, after_wake_phrase
from assistant.hearing.sound import Source
from assistant.hearing.usage import usage_of, usually_said
from assistant.hearing.utterance import Completeness
from assistant.hearing.voice_activity import SileroVoice
from assistant.language.grammar import ROOTS, SEARCHED, Grammar
from assistant.language.understand import about_sizes, understand_words
from assistant.language.understanding import Impossible, NotUnderstood, Outcome, Unclear, Understood

__all__ = ["completeness", "listener", "pronunciations", "recogniser", "senses"]


UNLIKELY: Mapping[type[Outcome], float] = {Understood: 0.0, Unclear: 2.0, Impossible: 3.0, NotUnderstood: 6.0}
"""Nats by which a thing with such an outcome is said less than one that is understood: a man means what he says. Chosen
on the development sets, where half or twice as much changes nothing."""
UNUSUAL = 4.0
"""And by how many more where a number is said in no usual way, but in a reply or a command. Chosen on the development
sets, where two to six do about as well (models/LOG.md, run 22)."""
STEPS = "walk"
"""The rule of what is said between marks."""
SENSES = 128
"""Kept. Of an utterance the guesses that matter are asked about twice: to tell whether it is over, and what it was."""


def pronunciations() -> dict[str, str]:
    """How the words sound that an English dictionary may lack: word to phones."""
    lines = (line for text in resources.texts("grammars/en", ".dict") for line in text.splitlines())
    return {word: phones for word, _, phones in (line.partition(" ") for line in lines) if phones}


def recogniser(grammar: Grammar, model: str = "") -> Chosen:
    """The recogniser to use; ``model`` names a folder from the settings.

    Raises:
        ModelUnusable: where there is none at all.
    """
    named = Path(model).expanduser() if model else None
    prepare(grammar)
    sense = senses(grammar)

    def work_out() -> None:
        for root in (*ROOTS, STEPS):
            grammar.automaton(root)
        sense("request", "")

    # What may be said at each point of the dialogue, and what is usual, is worked out now, not in the middle of the
    # first such answer. The recogniser's process is being waited for meanwhile.
    rest = threading.Thread(target=work_out)
    rest.start()
    try:
        return choose(
            grammar,
            SEARCHED,
            resources.folder("models"),
            named,
            pronunciations(),
            usage_of(grammar),
            partial(usually_said, grammar),
            sense,
        )
    finally:
        rest.join()


def completeness(grammar: Grammar) -> Callable[[str, str], Completeness]:
    """How finished words sound, by what the grammar knows could follow."""

    def of(root: str, words: str) -> Completeness:
        automaton = grammar.automaton(root)
        said = words.split()
        states = automaton.after(said)
        if not said or not states:
            return Completeness.MAY_END
        if automaton.finals.isdisjoint(states):
            return Completeness.MUST_GO_ON
        return Completeness.MAY_END if automaton.can_go_on(said) else Completeness.CANNOT_GO_ON

    return of


def senses(grammar: Grammar) -> Callable[[str, str], Sense]:
    """What words would ask for, said to a rule: by root and words."""
    usual = cache(lambda: usual_ways(grammar))  # takes a twentieth of a second

    @lru_cache(SENSES)
    def of(root: str, words: str) -> Sense:
        if root == WAKE:
            asked = after_wake_phrase(words)
            return of("request", asked) if asked else words_alone(root, words)
        outcome = understand_words(grammar, words.split(), root)
        sizes = about_sizes(outcome)
        unlikely = UNLIKELY[type(outcome)]
        if (sizes or not isinstance(outcome, Understood)) and not usual()(words):
            unlikely += UNUSUAL
        return Sense(repr(outcome), unlikely, sizes)

    return of


def listener(
    grammar: Grammar,
    source: Source,
    heard_by: Recogniser,
    tell: Callable[[Told], None],
    at_rest: str | None = WAKE,
    spare: Callable[[], Recogniser] | None = None,
) -> Listener:
    """A listener for a grammar. Not started. ``spare`` makes the recogniser to go on with should this one fail.

    Raises:
        ModelUnusable: where the voice detector is not installed.
    """
    return Listener(
        source,
        SileroVoice(),
        heard_by,
        tell,
        parses=lambda root, words: grammar.automaton(root).accepts(words.split()),
        step=lambda words: grammar.automaton(STEPS).accepts(words.split()),
        completeness=completeness(grammar),
        at_rest=at_rest,
        spare=spare,
    )
