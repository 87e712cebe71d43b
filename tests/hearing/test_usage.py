"""What is usual is read off the grammar: its number rules and its own examples."""

from __future__ import annotations

from random import Random

from assistant.hearing.recogniser import WAKE_PHRASE
from assistant.hearing.usage import UNUSUAL, USUAL, usage_of, usually_said
from assistant.language.grammar import load_english

ENGLISH = load_english()


def test_numbers_before_the_usual_before_the_rest() -> None:
    usage = usage_of(ENGLISH)
    assert {usage(w) for w in ("five", "fifty", "sixteenths", "half", "and", "hundred")} == {1.0}
    assert {usage(w) for w in ("center", "of", "next", "scratch")} == {USUAL}  # words of @example sentences
    assert {usage(w) for w in ("skosh", "proud")} == {UNUSUAL}
    assert 1.0 > USUAL > UNUSUAL > 0


def test_every_sentence_usually_said_is_a_sentence() -> None:
    automaton = ENGLISH.automaton("request")
    text = usually_said(ENGLISH, "request")
    assert text == usually_said(ENGLISH, "request")  # the same on every run
    assert [said for said in set(text) if not automaton.accepts(said.split())] == []


def test_most_of_what_is_said_is_a_size_and_the_examples_are_all_there() -> None:
    text = usually_said(ENGLISH, "request")
    usage = usage_of(ENGLISH)
    plain = sum(all(usage(w) == 1.0 for w in said.split()) for said in text)
    assert plain > len(text) / 2
    assert {said for _, sentences in ENGLISH.examples() for said in sentences} <= set(text)


def test_the_wake_phrase_comes_first_alone_and_with_a_request() -> None:
    text = usually_said(ENGLISH, "wake")
    assert all(said == WAKE_PHRASE or said.startswith(f"{WAKE_PHRASE} ") for said in text)
    assert 0 < text.count(WAKE_PHRASE) < len(text)


def test_a_grammar_without_plain_sizes_still_has_an_end() -> None:
    class Odd:
        def words_of(self, *roots: str) -> frozenset[str]:
            return frozenset()

        def examples(self) -> list[tuple[str, tuple[str, ...]]]:
            return []

        def sample(self, rng: Random, root: str) -> str:
            return "knock"

    assert set(usually_said(Odd(), "request")) == {"knock"}
