"""The shipped English model: its files, its scores, its words, and requests spoken by a voice it never heard."""

from __future__ import annotations

import gc
import json
import random
import subprocess
import wave
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
import pytest

from assistant.hearing.arc_costs import measurement
from assistant.hearing.ears import listener
from assistant.hearing.graph import narrowed
from assistant.hearing.likeliest import WEAK, Sense
from assistant.hearing.listener import HeardWords, Rejected, Told
from assistant.hearing.prepared import prepare
from assistant.hearing.recogniser import Reason
from assistant.hearing.recording import Recording, read
from assistant.hearing.rejection import Rejector, mfcc
from assistant.hearing.vosk_engine import Vosk
from assistant.hearing.vosk_library import Recognizer
from assistant.hearing.vosk_process import Ear
from assistant.language.grammar import ROOTS, SEARCHED, load_english
from assistant.language.understand import understand, understand_words
from tests.cli.conftest import Tapehand
from tests.hearing.conftest import shared, speak

__all__ = ["shared", "speak"]

MODEL = Path(__file__).parents[2] / "models" / "en"
LARGEST = 15_000_000
"""Bytes a model may take in the repository."""
REQUESTS = 100
MOST_WRONG = 3
"""Of them: 1 was, as measured, and another processor may round two otherwise. The goal is none."""
JOBS = (
    "six holes in fifty five and a half an inch and a quarter from each end",
    "seven holes evenly spaced in sixty one and a half",
    "seven equal spaces in four foot two",
    "pickets in seventy eight and seven eighths three quarter bar no more than four inch gap",
    "eight holes on a nine and five eighths circle",
    "diagonal of fifty and a half by one hundred sixty three and three quarters",
    "brace thirty six by forty eight",
    "rolling offset twelve up eighteen over forty five degrees",
    "circumference of six inch pipe",
    "wrap for six inch pipe",
    "bend quarter plate three by two quarter radius",
    "ring twenty four and an eighth inside quarter bar",
    "camber three quarters in forty foot",
    "how many risers in nine foot four",
    "weigh two inch tube quarter wall twenty foot long",
    "weigh three by half flat ten foot long",
    "what does quarter plate four foot by eight foot weigh",
    "three sticks of twenty foot",
    "five pieces at eighteen and three eighths",
    "how did you get that",
)
"""As people ask for them."""
MOST_JOBS_WRONG = 3
FRAMES = ("{}", "{}", "{}", "half of {}", "center of {}", "{} plus {}", "{} minus {}", "{} divided in three")


def test_it_is_small_enough_for_the_repository() -> None:
    assert sum(file.stat().st_size for file in MODEL.rglob("*") if file.is_file()) < LARGEST


def test_every_word_of_the_grammar_is_in_it() -> None:
    listed = {line.split()[0] for line in (MODEL / "graph" / "words.txt").read_text().splitlines()}
    missing = load_english().words - listed
    assert not missing, "run: python -m models.build graph models/en"


def test_features_are_kaldis() -> None:
    """Against kaldi-native-fbank 1.22 on the samples in the fixture; its values are stored beside them."""
    stored = np.load(Path(__file__).parent / "scores.npz")
    np.testing.assert_allclose(mfcc(stored["samples"]), stored["features"], atol=1e-2)


def test_scores_are_the_trained_networks() -> None:
    """Against PyTorch 2.13 running the trained network, stored; matrices are kept in a byte an element."""
    stored = np.load(Path(__file__).parent / "scores.npz")
    ours = Rejector(MODEL).log_probabilities(stored["samples"])
    np.testing.assert_allclose(ours, stored["scores"], rtol=1e-3, atol=1e-3)


@pytest.fixture
def tapehand(tmp_path: Path) -> Tapehand:
    return Tapehand(tmp_path)


@pytest.fixture(scope="module")
def model() -> object:
    vosk = pytest.importorskip("vosk")
    vosk.SetLogLevel(-1)
    return vosk.Model(model_path=str(MODEL))


def hear(model: object, samples: np.ndarray) -> str:
    import vosk

    recognizer = vosk.KaldiRecognizer(model, 16000)
    recognizer.AcceptWaveform(samples.astype("<i2").tobytes())
    return str(json.loads(recognizer.FinalResult())["text"])


def test_silence_says_nothing(model: object) -> None:
    assert hear(model, np.zeros(48000)) == ""


@pytest.fixture(scope="module")
def engine() -> Iterator[Vosk]:
    pytest.importorskip("vosk", reason="the voice parts are not installed")
    grammar = load_english()
    prepare(grammar)
    vosk = Vosk(grammar, SEARCHED, MODEL)
    yield vosk
    vosk.close()


@pytest.mark.parametrize(
    ("words", "expecting"),
    [
        ("eighths", "denominator"),
        ("sixteenths", "denominator"),
        ("quarters", "denominator"),
        ("thirty seconds", "denominator"),
        ("fifty three and five eighths", "denominator"),  # he thinks better of it, and gives another size
        ("scratch that", "denominator"),
        ("twelve and a quarter", "next_in_string"),  # has no graph of its own
    ],
)
def test_the_reply_to_a_question_is_heard_with_its_own_graph(
    engine: Vosk, speak: Callable[..., bytes], words: str, expecting: str
) -> None:
    rest = bytes(12800)
    engine.start(expecting)
    engine.accept(rest + speak(words) + rest)
    heard = engine.finish().words
    grammar = load_english()
    assert understand(grammar, heard, expecting)[1] == understand(grammar, words, expecting)[1], heard


def test_other_talk_does_not_keep_the_search_from_ending(engine: Vosk, shared: Path) -> None:
    """A clip of speechocean762's test part that the library's last step was busy with for ten seconds."""
    clip = shared / "speech" / "dev" / "speechocean762-test" / "021120135.ogg"
    if not clip.is_file():
        pytest.skip(f"no clip {clip}")
    rest = bytes(12800)
    engine.start("request")
    engine.accept(rest + read(clip) + rest)
    assert engine.finish().reason == Reason.NOT_FOR_US


def test_no_recogniser_outlives_its_utterance(speak: Callable[..., bytes]) -> None:
    """It keeps what it composed of its graph, more with each sentence."""
    pytest.importorskip("vosk", reason="the voice parts are not installed")
    ear = Ear(str(MODEL))
    ear.grammar("spoken", None)
    for root in ("spoken", "denominator"):  # with the model's own graph, and with one that takes its place
        ear.start(root)
        ear.accept(speak("scratch that"))
        assert _recognizers() == 1
        assert ear.finish()["guesses"][0][0] == "scratch that"
        assert _recognizers() == 0


def test_guesses_come_likeliest_first_and_one_is_taken_by_what_it_asks_for(
    engine: Vosk, speak: Callable[..., bytes]
) -> None:
    sound = bytes(12800) + speak("center of fifty") + bytes(12800)
    ear = Ear(str(MODEL))
    ear.grammar("request", None)
    ear.start("request")
    ear.accept(sound)
    guesses = ear.finish()["guesses"]
    scores = [score for _, score, *_ in guesses]
    assert len(guesses) > 1
    assert scores == sorted(scores, reverse=True)
    assert meaning(guesses[0][0]) == meaning("center of fifty")
    other = next(words for words, *_ in guesses if meaning(words) != meaning(guesses[0][0]))

    def contrary(root: str, words: str) -> Sense:
        assert root == "request"
        return Sense(words, 0.0 if words == other else 99.0, answerable=False)

    against = Vosk(load_english(), SEARCHED, MODEL, sense=contrary)
    try:
        against.start("request")
        against.accept(sound)
        assert against.peek() == other
        assert against.finish().words == other
    finally:
        against.close()
    engine.start("request")
    engine.accept(sound)
    assert engine.finish().words == guesses[0][0]


def test_sentences_are_judged_together_as_each_alone(speak: Callable[..., bytes]) -> None:
    rejector = Rejector(MODEL)
    samples = np.frombuffer(bytes(9600) + speak("half of nineteen") + bytes(9600), np.int16)
    texts = ["half of nineteen", "half of ninety", "", "half of gizmo", "five", "half of nineteen " * 30]
    fits = rejector.fits(samples, texts)
    assert fits == [one for text in texts for one in rejector.fits(samples, [text])]
    said, other, *rest = fits
    assert said is not None
    assert other is not None
    five = rest[2]
    assert five is None or said.loss < five.loss
    # As a whole "half of ninety" fits about as well: "ninety" is the weak one.
    assert said.weakest > WEAK > other.weakest
    assert not said.numbers  # "half of"
    assert rest[:2] == [None, None]  # no words, and one that it does not know
    assert rest[3] is None  # too long for the sound
    assert rejector.fits(samples[:0], texts) == [None] * len(texts)
    (none,) = rejector.fits(samples, ["scratch that"])
    assert none is None or (none.weakest, none.numbers) == (0, False)  # its phones are shared with all words
    (alone,) = rejector.fits(samples, ["nineteen"])
    assert alone is None or alone.numbers


def _recognizers() -> int:
    return sum(isinstance(thing, Recognizer) for thing in gc.get_objects())


@pytest.mark.parametrize(
    ("parts", "heard", "least", "most"),
    [
        (["scratch that"], "scratch that", 0.25, 0.48),  # nothing can follow; the voice detector trails a little
        (["twelve and a quarter"], "twelve and a quarter", 0.5, 0.8),  # "... inches"
        (["fifty three and", "five eighths"], "fifty three and five eighths", 0.5, 0.8),  # he is reading the tape
    ],
)
def test_the_silence_that_ends_a_sentence(
    engine: Vosk, speak: Callable[..., bytes], parts: list[str], heard: str, least: float, most: float
) -> None:
    """In seconds of sound, whatever the computer's pace; ``utterance.Completeness`` has the silences."""
    thinking, rest = bytes(16000), bytes(64000)  # half a second
    sound = rest + thinking.join(_trimmed(speak(part)) for part in parts)
    source = Recording(sound + rest)
    ended: list[tuple[str, float]] = []

    def tell(told: Told) -> None:
        if isinstance(told, (HeardWords, Rejected)):
            ended.append((told.words, source.position - len(sound) / 32000))

    listener(load_english(), source, engine, tell, at_rest="request").run()
    assert [meaning(words) for words, _ in ended] == [meaning(heard)], ended
    assert least <= ended[0][1] <= most


def _trimmed(pcm: bytes) -> bytes:
    loud = np.flatnonzero(np.abs(np.frombuffer(pcm, np.int16).astype(int)) > 300)
    return pcm[2 * loud[0] : 2 * loud[-1] + 2]


def test_every_point_of_the_dialogue_with_a_graph_is_one_the_dialogue_names() -> None:
    assert set(narrowed(MODEL)) <= set(ROOTS)


def requests(seed: int) -> list[str]:
    rng = random.Random(seed)
    automaton = load_english().automaton("request")
    found: list[str] = []
    while len(found) < REQUESTS:
        frame = rng.choice(FRAMES)
        text = frame.format(*(measurement(rng) for _ in range(frame.count("{}"))))
        if automaton.accepts(text.split()) and text not in found:
            found.append(text)
    return found


def meaning(words: str) -> object:
    """What is asked: "center seven five eights" asks the same as "center of seven and five eighths"."""
    return understand_words(load_english(), words.split())


def spoken(sentences: Sequence[str], folder: Path) -> list[Path]:
    """Each sentence in a WAV file between two rests, by festival's ked_diphone; one run of festival for all."""
    files = [folder / f"{number:03}.wav" for number in range(len(sentences))]
    said = [
        f"(utt.save.wave (utt.synth (Utterance Text {json.dumps(text)})) {json.dumps(str(file))} 'riff)"
        for text, file in zip(sentences, files, strict=True)
    ]
    (folder / "say.scm").write_text("(voice_ked_diphone)\n" + "\n".join(said) + "\n")
    subprocess.run(["festival", "-b", str(folder / "say.scm")], check=True, timeout=110, capture_output=True)
    for file in files:
        rest = bytes(16000)
        pcm = read(file)
        with wave.open(str(file), "wb") as out:
            out.setnchannels(1)
            out.setsampwidth(2)
            out.setframerate(16000)
            out.writeframes(rest + pcm + rest)
    return files


NEEDS_KED = pytest.mark.skipif(
    not Path("/usr/share/festival/voices/english/ked_diphone").is_dir(),
    reason="needs festival with the voice ked_diphone (Debian: festival, festvox-kdlpc16k)",
)


@NEEDS_KED
def test_requests_by_a_voice_outside_training(tapehand: Tapehand, tmp_path: Path) -> None:
    """A hundred requests through ``tapehand hear``: voice detector, endpoint, recogniser, acceptance, session. Heard
    right were 96 of them by the networks of runs 21 to 23, and 99 where the sounds count for more (run 24).

    Festival's ked_diphone said no training sentence. Right is what means what was said, though he may be asked whether
    it was that or another; what was to be said again or was cut in two is wrong.
    """
    wrong = misheard(tapehand, requests(7), tmp_path)
    assert len(wrong) <= MOST_WRONG, wrong


@NEEDS_KED
def test_jobs_by_a_voice_outside_training(tapehand: Tapehand, tmp_path: Path) -> None:
    """19 were heard right, 18 before run 24. Before they were asked so among the usual requests a third was
    (models/LOG.md, run 20)."""
    wrong = misheard(tapehand, JOBS, tmp_path)
    assert len(wrong) <= MOST_JOBS_WRONG, wrong


def misheard(tapehand: Tapehand, sentences: Sequence[str], folder: Path) -> list[str]:
    """What was heard of sentences through ``tapehand hear``, where it asks for something else or was not taken."""
    files = spoken(sentences, folder)
    heard: dict[str, list[str]] = {str(file): [] for file in files}
    for found in tapehand("hear", "--json", *map(str, files), seconds=300).objects:
        heard[found["file"]].append(found["heard"] if "reason" not in found else f"({found['reason']})")
    return [
        f"{text} -> {', '.join(heard[str(file)])}"
        for text, file in zip(sentences, files, strict=True)
        if [meaning(words) for words in heard[str(file)]] != [meaning(text)]
    ]
