"""How long words last, by a table of our own and by the shipped model's."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.durations import FAR_OFF, FILE, Durations, Timed, Usual
from assistant.language.grammar import load_english

MODEL = Path(__file__).parents[2] / "models" / "en"
TABLE = Durations(
    {
        ("half", False): Usual(math.log(0.4), 0.3),
        ("of", False): Usual(math.log(0.15), 0.3),
        ("five", False): Usual(math.log(0.3), 0.3),
        ("five", True): Usual(math.log(0.5), 0.3),
    }
)
SAID = [Timed("half", 0.4), Timed("of", 0.15), Timed("five", 0.5)]


def test_words_said_as_usual_come_to_half_a_nat_each() -> None:
    """The most there is: on average, over all who speak, they come to none."""
    assert TABLE.likelihood(SAID) == pytest.approx(1.5)


def test_a_word_made_up_in_a_moment_counts_against_the_sentence() -> None:
    assert TABLE.likelihood([*SAID[:2], Timed("five", 0.3), Timed("five", 0.06)]) < TABLE.likelihood(SAID) - 2


def test_the_last_word_is_drawn_out() -> None:
    assert TABLE.likelihood([*SAID[:2], Timed("five", 0.3)]) < TABLE.likelihood(SAID)


def test_a_slow_speaker_is_no_worse_word_by_word() -> None:
    slow = [Timed(word, 1.5 * seconds) for word, seconds in SAID]
    uneven = [Timed(word, seconds * (1.5 if n % 2 else 1 / 1.5)) for n, (word, seconds) in enumerate(SAID)]
    assert TABLE.likelihood(slow) > TABLE.likelihood(uneven) + 1


@given(st.lists(st.sampled_from(["half", "of", "five"]).flatmap(lambda w: st.tuples(st.just(w), st.floats(0, 20)))))
def test_no_word_counts_more_than_it_may(said: list[tuple[str, float]]) -> None:
    found = TABLE.likelihood([Timed(*one) for one in said])
    assert len(said) * (1 - FAR_OFF**2) / 2 <= found <= len(said) / 2


def test_words_that_are_not_in_the_table_count_nothing() -> None:
    assert TABLE.likelihood([]) == TABLE.likelihood([Timed("gusset", 0.03)]) == 0
    assert TABLE.likelihood([Timed("gusset", 9.0), *SAID]) == TABLE.likelihood(SAID)


@pytest.mark.parametrize("text", ["five inside 0.1", "five inside a b", "five\n"])
def test_a_file_that_is_no_table_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"unpack|convert"):
        Durations.read(tmp_path)


def test_the_shipped_table_has_words_of_the_grammar_and_the_usual_order() -> None:
    """Common knowledge of speech, no source: "seventeen" is longer than "six", a last word than one inside."""
    lines = [line.split() for line in (MODEL / FILE).read_text(encoding="utf-8").splitlines()]
    assert {word for word, *_ in lines} <= load_english().words
    mean = {(word, where): float(value) for word, where, value, _ in lines}
    assert mean["seventeen", "inside"] > mean["six", "inside"] > mean["of", "inside"]
    numbers = ("one", "two", "three", "four", "five", "six", "seven", "nine", "ten", "half", "inches", "foot")
    assert all(mean[word, "last"] > mean[word, "inside"] for word in numbers)
