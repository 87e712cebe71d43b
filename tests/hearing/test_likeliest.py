"""Which of several guesses is acted on, and when it is asked which."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.ears import UNLIKELY, senses
from assistant.hearing.likeliest import DOUBT, DOUBT_MORE, TOO_FAR, WEAK, Guess, Sense, likeliest, words_alone
from assistant.hearing.listener import WAKE
from assistant.hearing.recogniser import nothing
from assistant.language.grammar import load_english
from assistant.language.understanding import NotUnderstood, Unclear

SENSE = senses(load_english())


def request(words: str) -> Sense:
    return SENSE("request", words)


def guesses(*found: tuple[str, float]) -> list[Guess]:
    return [Guess(words, score, 1 / number) for number, (words, score) in enumerate(found, start=1)]


@pytest.mark.parametrize(
    ("found", "words", "rival"),
    [
        # One way to say it against one: the likelier, and the other where it is close.
        ([("half of nineteen", 9.0), ("half of ninety", 5.0)], "half of nineteen", ""),
        ([("half of nineteen", 9.0), ("half of ninety", 8.5)], "half of nineteen", "half of ninety"),
        # Three ways to say one thing outweigh a likelier other, in the likeliest of their words.
        (
            [
                ("seventy five eighths", 9.0),
                ("seventy five eighth", 5.0),
                ("seventy four five eighths", 8.9),
                ("seventy four and five eighths", 8.8),
                ("seventy four five eighth", 8.7),
            ],
            "seventy four five eighths",
            "",
        ),
        # What nobody would say gives way to what he would, but not whatever it costs.
        ([("nine divided by nothing", 9.0), ("nine divided by four", 7.0)], "nine divided by four", ""),
        ([("nine divided by nothing", 19.0), ("nine divided by four", 7.0)], "nine divided by nothing", ""),
        # A command is undone by a word: no question.
        ([("undo", 9.0), ("again", 8.9)], "undo", ""),
        ([("next", 9.0), ("sixteen", 8.9)], "next", ""),
        # Two ways to say the same are no doubt.
        ([("five and a half", 9.0), ("five and one half", 8.9)], "five and a half", ""),
    ],
)  # fmt: skip
def test_what_is_acted_on(found: list[tuple[str, float]], words: str, rival: str) -> None:
    heard = likeliest(guesses(*found), request)
    assert (heard.words, heard.rival) == (words, rival)


def test_what_could_change_nothing_is_not_asked_about() -> None:
    asked = []

    def noted(words: str) -> Sense:
        asked.append(words)
        return Sense(words, 5.0 if words == "nonsense" else 0.0, answerable=True)

    far = 20.0 - TOO_FAR
    heard = likeliest(guesses(("far off", far - 1), ("nonsense", 24.0), ("sense", 20.0), ("near", far + 1)), noted)
    assert heard.words == "sense"
    assert asked == ["nonsense", "sense", "near"]


def test_the_confidence_is_that_of_the_words_taken() -> None:
    found = guesses(("what's that half off", 9.0), ("half of eleven", 8.0))
    assert request(found[0].words).unlikely > 1
    assert likeliest(found, request).confidence == found[1].confidence


def test_no_guess_is_nothing() -> None:
    assert likeliest([], request) == nothing()


def test_with_the_wake_phrase_what_comes_after_it_counts() -> None:
    def wake(words: str) -> Sense:
        return SENSE(WAKE, words)

    both = guesses(("tape hand half of nineteen", 9.0), ("tape hand half of ninety", 8.5))
    assert likeliest(both, wake).rival == "tape hand half of ninety"
    alone = guesses(("tape hand", 9.0), ("half of ninety", 8.9))
    assert (likeliest(alone, wake).words, likeliest(alone, wake).rival) == ("tape hand", "")


def test_what_cannot_be_acted_on_is_less_likely_said() -> None:
    senses = [
        request(words) for words in ("five and a half", "forty three eighths", "seven divided by nothing", "five of")
    ]
    assert [sense.unlikely for sense in senses] == sorted(UNLIKELY.values())
    assert UNLIKELY[Unclear] < UNLIKELY[NotUnderstood]
    assert [sense.answerable for sense in senses] == [True, False, False, False]


@given(st.lists(st.tuples(st.sampled_from(["a", "b", "c", "d"]), st.floats(-50, 50)), min_size=1, max_size=12))
def test_words_without_a_meaning_are_taken_by_score_alone(found: list[tuple[str, float]]) -> None:
    """Guesses of the same words are one thing: their chances add up, but for those too far off to matter."""
    heard = likeliest([Guess(words, score, 0.5) for words, score in found], lambda words: words_alone("", words))
    least = max(score for _, score in found) - TOO_FAR
    near = [(words, score) for words, score in found if score >= least]
    chances = {w: math.log(sum(math.exp(s - 50) for x, s in near if x == w)) for w, _ in near}
    assert chances[heard.words] == pytest.approx(max(chances.values()))
    assert heard.rival == ""


@given(st.floats(0, 5), st.floats(-9, 0))
def test_he_is_asked_where_the_other_is_nearer_than_the_doubt(apart: float, weakest: float) -> None:
    found = [Guess("half of nineteen", 5.0 + apart, 0.9, weakest), Guess("half of ninety", 5.0, 0.9)]
    doubt = DOUBT_MORE if weakest < WEAK else DOUBT
    assert bool(likeliest(found, request).rival) == (5.0 + apart - 5.0 < doubt)


@given(st.floats(0, 5))
def test_more_is_doubted_where_nobody_would_say_such_a_thing(apart: float) -> None:
    odd, usual = "saddle four three", "saddle four on three"
    assert request(odd).unlikely > 0 == request(usual).unlikely
    found = [Guess(odd, 5.0 + request(odd).unlikely + apart, 0.9), Guess(usual, 5.0, 0.9)]
    assert bool(likeliest(found, request).rival) == (found[0].score - request(odd).unlikely - 5.0 < DOUBT_MORE)


@pytest.mark.parametrize(
    ("heard", "other", "doubt"),
    [
        ("five eighths", "five five eighths", DOUBT_MORE),
        ("three holes in three quarters", "three holes in three three quarters", DOUBT_MORE),
        ("nine nine sixteenths", "nine sixteenths", DOUBT),  # said once and heard twice is rarer
        ("five eighths", "five and three eighths", DOUBT),
        ("five eighths", "six five eighths", DOUBT),
    ],
)
@given(st.floats(0, 5))
def test_more_is_doubted_where_one_word_may_have_been_said_twice(
    heard: str, other: str, doubt: float, apart: float
) -> None:
    found = [Guess(heard, 5.0 + apart, 0.9), Guess(other, 5.0, 0.9)]
    assert bool(likeliest(found, request).rival) == (5.0 + apart - 5.0 < doubt)
