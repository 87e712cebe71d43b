"""The parser, the automaton and what is spoken, held against each other and against another library's parser."""

import random
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.grammar import ROOTS, load_english
from assistant.language.parse import Parser
from assistant.language.requests import Hold, Measure
from assistant.language.speak import speak, speak_exactly, speak_whole
from assistant.language.understand import understand
from assistant.language.understanding import Understood
from assistant.length import Length
from assistant.tape import EIGHTHS, MILLIMETERS, SIXTEENTHS, THIRTY_SECONDS, Form, Lean, read

ENGLISH = load_english()
PARSER = Parser(ENGLISH)
SENTENCES = 6000

lengths = st.fractions(min_value=0, max_value=12000, max_denominator=4096).map(Length)


@given(lengths, st.sampled_from([EIGHTHS, SIXTEENTHS, THIRTY_SECONDS]), st.sampled_from([Form.INCHES, Form.FEET]))
def test_every_mark_that_can_be_said_is_heard_as_itself(length, tape, form):
    reading = read(length, tape)
    lean = {Lean.ON: 0, Lean.PLUS: 1, Lean.MINUS: -1}[reading.lean]
    found = understand(ENGLISH, speak(length, tape, form))[1]
    if form is Form.INCHES and reading.mark.inches % 100 == 0 and reading.mark > Length(480):
        return  # a bare round number may be millimeters, and is asked about
    assert isinstance(found, Understood)
    said = found.request.what
    assert (said.length, said.lean) == (reading.mark, Fraction(lean))
    assert said.form is (form if reading.mark >= Length(12) else Form.INCHES)


@given(st.integers(0, 99_999))
def test_every_whole_millimeter_that_can_be_said_is_heard_as_itself(millimeters):
    # Up to a hundred meters: no shop lays out more in millimeters, and more words cost the recogniser.
    length = Length.from_mm(millimeters)
    found = understand(ENGLISH, speak(length, MILLIMETERS))[1]
    assert found == Understood(Hold(Measure(length, form=Form.MILLIMETERS)))


@given(st.integers(0, 12000), st.integers(0, 9999))
def test_every_decimal_that_can_be_said_is_heard_as_itself(whole, part):
    length = Length(whole if whole == 12000 else whole + Fraction(part, 10000))
    if length.inches.denominator == 1:
        return  # no point is said
    found = understand(ENGLISH, speak_exactly(length, Form.DECIMAL))[1]
    assert found == Understood(Hold(Measure(length)))


@settings(deadline=None)
@given(st.integers(0, 999_999))
def test_whole_numbers_use_only_words_of_the_grammar(number):
    assert set(speak_whole(number).replace("-", " ").split()) <= ENGLISH.words


def mutated(words: list[str], rng: random.Random, vocabulary: list[str]) -> list[str]:
    for _ in range(rng.randint(1, 2)):
        at = rng.randrange(len(words))
        match rng.randrange(4):
            case 0:
                words[at] = rng.choice(vocabulary)
            case 1 if len(words) > 1:
                del words[at]
            case 2:
                words.insert(at, rng.choice(vocabulary))
            case _:
                words[at : at + 2] = reversed(words[at : at + 2])
    return words


def sentences(root: str, count: int, seed: int) -> list[list[str]]:
    """Half of them straight from the grammar, half spoiled."""
    rng = random.Random(seed)
    vocabulary = sorted(ENGLISH.words_of(root))
    straight = [ENGLISH.sample(rng, root).split() for _ in range(count)]
    return [mutated(words, rng, vocabulary) if i % 2 else words for i, words in enumerate(straight)]


@pytest.mark.parametrize("root", ROOTS)
def test_a_random_sentence_from_the_grammar_always_parses(root):
    for words in sentences(root, 400, seed=11)[::2]:
        assert PARSER.parse(words, root), words


@pytest.mark.parametrize("root", ROOTS)
def test_the_automaton_agrees_with_the_parser(root):
    automaton = ENGLISH.automaton(root)
    for words in sentences(root, 600, seed=12):
        assert automaton.accepts(words) == bool(PARSER.parse(words, root)), words


def test_the_automaton_knows_what_may_go_on():
    automaton = ENGLISH.automaton()
    assert automaton.can_go_on(["fifty", "three", "and"])
    assert not automaton.accepts(["fifty", "three", "and"])
    assert automaton.accepts(["scratch", "that"])
    assert not automaton.can_go_on(["scratch", "that"])
    assert not automaton.can_go_on(["grinder"])


def test_another_librarys_grammar_agrees_with_the_parser():
    """The same JSGF compiled by pocketsphinx (its FsgModel.accept), on sentences half of them spoiled."""
    pocketsphinx = pytest.importorskip("pocketsphinx", reason="the voice extra is not installed")
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    for word in sorted(ENGLISH.words):
        if not decoder.lookup_word(word):
            decoder.add_word(word, "AH", True)  # acceptance does not look at the sound
    decoder.add_jsgf_string("request", ENGLISH.jsgf("request"))
    model = decoder.get_fsg("request")
    accepted = 0
    for words in sentences("request", SENTENCES, seed=13):
        ours = bool(PARSER.parse(words))
        assert model.accept(" ".join(words)) == ours, words
        accepted += ours
    assert SENTENCES // 2 <= accepted < SENTENCES * 3 // 4
