"""The pocketsphinx recogniser with its real model. Synthetic speech shows that it works, not how well it hears."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import pytest

from assistant.hearing.accept import judged
from assistant.hearing.pocketsphinx_engine import Pocketsphinx, Stretch, confidence, worst_word
from assistant.hearing.recogniser import Reason
from tests.hearing.small_grammar import SmallGrammar

pytest.importorskip("pocketsphinx", reason="the voice parts are not installed")

GRAMMAR = SmallGrammar()
Speak = Callable[..., bytes]


@pytest.fixture(scope="module")
def engine() -> Iterator[Pocketsphinx]:
    one = Pocketsphinx(GRAMMAR, ("request", "wake"))
    yield one
    one.close()


def hear(engine: Pocketsphinx, pcm: bytes, root: str = "request", block: int = 1024) -> str:
    engine.start(root)
    for at in range(0, len(pcm), block):
        engine.accept(pcm[at : at + block])
    return engine.finish().words


@pytest.mark.parametrize("voice", ["slt", "rms"])
@pytest.mark.parametrize(
    "words",
    ["twenty seven and a half", "center of fifty three and five eighths", "ninety six and fifteen sixteenths", "next"],
)
def test_clear_speech_is_heard_and_trusted(engine: Pocketsphinx, speak: Speak, words: str, voice: str) -> None:
    engine.start("request")
    engine.accept(speak(words, voice))
    found = engine.finish()
    assert found.words == words
    assert judged(found, engine.name, GRAMMAR.parses).reason == Reason.TRUSTED


@pytest.mark.parametrize("block", [1, 2, 959, 961, 100_000])
def test_the_size_of_the_blocks_does_not_matter(engine: Pocketsphinx, speak: Speak, block: int) -> None:
    assert hear(engine, speak("back"), block=block) == "back"


@pytest.mark.parametrize(
    "words", ["where did you put my lunch", "call the office and tell them about the invoice", "good morning everybody"]
)
def test_other_talk_is_not_acted_on(engine: Pocketsphinx, speak: Speak, words: str) -> None:
    engine.start("request")
    engine.accept(speak(words))
    assert judged(engine.finish(), engine.name, GRAMMAR.parses).reason != Reason.TRUSTED


def test_the_wake_phrase_has_a_search_of_its_own(engine: Pocketsphinx, speak: Speak) -> None:
    assert hear(engine, speak("tape hand"), "wake") == "tape hand"
    assert hear(engine, speak("next")) == "next"


@pytest.mark.parametrize("pcm", [b"", b"\x01", bytes(64), bytes(960)])
def test_hardly_any_sound_is_nothing(engine: Pocketsphinx, pcm: bytes) -> None:
    assert hear(engine, pcm) == ""


def test_out_of_turn_is_no_error(engine: Pocketsphinx, speak: Speak) -> None:
    assert engine.finish().reason == Reason.NOTHING  # without a start
    engine.accept(bytes(2000))  # the same
    assert engine.partial() == ""
    engine.start("request")
    engine.accept(speak("next"))
    engine.start("request")  # throws the unfinished one away
    engine.accept(speak("back"))
    assert engine.finish().words == "back"
    assert engine.finish().reason == Reason.NOTHING  # twice


def test_the_words_so_far(engine: Pocketsphinx, speak: Speak) -> None:
    pcm = speak("center of twenty seven and a half")
    engine.start("request")
    assert engine.partial() == ""
    seen = []
    for at in range(0, len(pcm), 3200):
        engine.accept(pcm[at : at + 3200])
        seen.append(engine.partial())
    assert any(words.startswith("center of") for words in seen)
    engine.finish()


def test_words_without_a_pronunciation_are_reported_and_left_out(speak: Speak) -> None:
    engine = Pocketsphinx(SmallGrammar(extra=("skosh", "crossmember")), ("request",))
    assert engine.missing == {"skosh", "crossmember"}  # in no CMU dictionary
    assert hear(engine, speak("next")) == "next"


def test_a_pronunciation_given_is_used(speak: Speak) -> None:
    engine = Pocketsphinx(SmallGrammar(extra=("skosh",)), ("request",), {"skosh": "S K OW SH", "next": "N EH K S T"})
    assert engine.missing == frozenset()
    assert hear(engine, speak("skosh")) == "skosh"


def test_how_usual_a_word_is_decides_between_two_that_sound_alike(speak: Speak) -> None:
    grammar = SmallGrammar(extra=("too",))  # sounds like "two"
    for usual, unusual in (("two", "too"), ("too", "two")):
        engine = Pocketsphinx(grammar, ("request",), usage=lambda word, rare=unusual: 1e-10 if word == rare else 1.0)
        assert hear(engine, speak("two")) == usual


def test_nothing_is_printed(speak: Speak, capfd: pytest.CaptureFixture[str]) -> None:
    engine = Pocketsphinx(GRAMMAR, ("request",))
    hear(engine, bytes(32000))
    hear(engine, speak("good morning everybody"))
    engine.close()
    engine.close()
    assert capfd.readouterr() == ("", "")


def stretch(start: int, end: int, score_a_frame: float) -> Stretch:
    return Stretch("", start, end, score_a_frame * (end - start + 1))


@pytest.mark.parametrize(
    ("words", "phones", "ratio"),
    [
        ([stretch(0, 9, -5)], [stretch(0, 9, -5)], 0.0),
        ([stretch(0, 9, -15)], [stretch(0, 9, -5)], -10.0),
        ([stretch(0, 9, -6), stretch(10, 19, -15)], [stretch(0, 19, -5)], -10.0),  # the worst of two
        ([stretch(5, 14, -15)], [stretch(0, 9, -5), stretch(10, 19, -7)], -9.0),  # half of each phone
        ([stretch(0, 9, -5)], [], -5.0),
        ([], [stretch(0, 9, -5)], -math.inf),
    ],
)
def test_the_worst_word(words: list[Stretch], phones: list[Stretch], ratio: float) -> None:
    assert worst_word(words, phones) == pytest.approx(ratio)


def test_confidence_grows_with_the_ratio_and_stays_between_0_and_1() -> None:
    values = [confidence(ratio) for ratio in (-math.inf, -1e6, -60, -40, -26.5, -10, 0, 1e6)]
    assert values == sorted(values)
    assert 0 <= values[0] < 1e-9
    assert values[4] == pytest.approx(0.5)
    assert 1 - 1e-9 < values[-1] <= 1
