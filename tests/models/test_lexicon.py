"""The phones that number words have for themselves: named alike by all who use them, and shared sounds for the rest."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.hearing.graph import Lexicon, owner, sounds, word_arcs
from models.build.lexicon import NAMES, PHONE, PHONES, SOUND, own_phones

MODEL = Path(__file__).parents[2] / "models" / "en"


@pytest.mark.parametrize(
    ("word", "way", "named"),
    [
        ("nine", "N AY N", "N.nine AY.nine N.nine2"),
        ("ninety", "N AY N T IY", "N.ninety AY.ninety N.ninety2 T.ninety IY.ninety"),
        ("eighths", "EY TH S", "EY.eighth TH.eighth S.eighth"),  # "eighth", and an "s" more
        ("brace", "B R EY S", "B R EY S"),
    ],
)
def test_number_words_have_phones_of_their_own(word: str, way: str, named: str) -> None:
    assert own_phones(word, way) == named


def test_each_sounds_like_a_phone_of_all_words() -> None:
    assert SOUND[PHONE["N.nine2"]] == SOUND[PHONE["N"]] == PHONE["N"]
    assert set(SOUND) == set(range(len(PHONES) + 1))


@pytest.mark.parametrize(("phone", "word"), [("N.nine2", "nine"), ("EY.eighth", "eighth"), ("S", ""), ("SIL", "")])
def test_whose_a_phone_is(phone: str, word: str) -> None:
    assert phone in NAMES
    assert owner(phone) == word


def test_the_shipped_model_numbers_them_alike() -> None:
    assert Lexicon.read(MODEL).phones == NAMES


def test_talk_that_is_not_for_us_is_made_of_shared_phones() -> None:
    lexicon = Lexicon.read(MODEL)
    loop, _ = word_arcs(lexicon, {}, 1)
    # A transition's phone is half its number; units are told apart by four places in a word (graph.py).
    said = {(label - 1) // 2 for _, _, label, _, _ in loop if label > 2}
    own = {unit for (_, phone, _), unit in lexicon.units.items() if sounds(lexicon.phones)[phone] != phone}
    assert said
    assert not {1 + (phone - 1) // 4 for phone in said} & own
