"""The Vosk recogniser's own process: ``python -m assistant.hearing.vosk_process MODEL``.

It lives apart from the rest because bad input to the library's C side ends the whole process, and because a
decode must not hold up anything else. Messages are those of ``assistant.child``, by what they ask: in, ``grammar``
(root, sentences or null), ``words`` (which does the model lack?), ``start`` (root), ``sound``, ``partial`` (the words
so far?), ``peek`` (the guesses at the whole, if nothing more came?) and ``finish``; out, ``ready`` first (unenhanced?),
then an answer of the same name to each ``grammar``, ``words``, ``partial``, ``peek`` and ``finish``. A guess is [words,
score, confidence, weakest] as in ``likeliest.Guess``.
"""

from __future__ import annotations

import gzip
import json
import math
import shutil
import struct
import sys
import tempfile
from collections.abc import Callable, Sequence
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from assistant.child import read_message, take_over_stdout, write_message
from assistant.hearing.durations import Durations, Timed
from assistant.hearing.graph import OTHER, about, narrowed
from assistant.hearing.vosk_library import Model, Recognizer
from assistant.memory import give_back

if TYPE_CHECKING:
    from assistant.hearing.enhance import Enhancer
    from assistant.hearing.rejection import Fit
    from assistant.hearing.rescoring import Rescorer

RATE = 16_000

_REPLIES = ("answer", "denominator")
"""Roots that are listened to where a question was just asked."""
ALTERNATIVES = 150
"""Sentences that our own model's search gives. A long one is found in scores of ways that differ by an "and"."""
FAR = 16.0
"""Nats behind the best at which a guess is not looked at. What is weighed afterwards, whether it makes sense first of
all, moves a guess by ten and more: at 20 guesses and 8 nats the right one was lost before (models/LOG.md, after
run 25)."""
NEAR = 12.0
"""Nats behind the best, once words and lengths are weighed, at which a guess's phones are not asked: they would bring
it no nearer. Of 41 guesses in the mean four are left."""
PER_WORD = 2.5
"""Nats that a word more is worth. Without, words between words are lost: "four in inches" came out as "four inches"."""
PER_LOSS = 0.4
"""Of what the words' phones lose (``rejection.Fit``). In the search a phone counts by how long it lasts."""
PER_LENGTH = 0.8
"""Of what the words' lengths say. These three were fitted together on 4,735 sentences by voices outside training and by
people, a fifth of them in noise. A quarter less or more of any changes no more than five of them (models/LOG.md)."""

Judge = Callable[[bytes, Sequence[str]], "list[Fit | None]"]
"""How well each of some sentences fits a sound."""


class _Found(NamedTuple):
    """A way a stretch of sound may have been words."""

    said: tuple[Timed, ...]
    score: float
    confidence: float
    """Of its least sure word; 1 where the library does not say."""

    @property
    def words(self) -> str:
        return " ".join(word for word, _ in self.said)

    @property
    def other(self) -> bool:
        """Whether some of it is talk that is not for us."""
        return any(word == OTHER for word, _ in self.said)


class Ear:
    """The model, and what each root is searched with.

    Where that is a graph, each utterance has a recogniser to itself. It takes a millisecond to make and hears no
    slower, and one that stays keeps whatever it composed of its graph: 4 MB after 60 utterances.
    """

    def __init__(self, folder: str) -> None:
        self._folder = Path(folder)
        self._model = Model(self._folder)
        self._strict: set[str] = set()
        """Roots for which the model's own graph is searched."""
        self._sampled: dict[str, Recognizer] = {}
        """By root, a recogniser of sentences; it is only ever asked again after its result was taken."""
        self._ear: Recognizer | None = None
        self._heard: list[list[_Found]] = []
        """By stretch of the utterance between long pauses, the likeliest first."""
        self._sound = bytearray()
        """Of the utterance, as it is searched."""
        self._result: dict[str, Any] | None = None
        """Of the utterance as far as it has come, where it has been asked for."""
        self._graphs = narrowed(self._folder)
        self._loaded = ""
        """The root whose graph the model has; the folder's own where empty."""
        self._root = ""
        self._judge = _judge(self._folder)
        self._durations = _durations(self._folder)
        self._rescorer = _rescorer(self._folder)
        lowered = _noise_lowered(self._folder)
        self._enhancer = _enhancer(lowered) if lowered else None
        self.unenhanced = lowered > 0 and self._enhancer is None
        """Whether the model has learned from enhanced speech, and hears it as it comes."""

    def missing(self, words: list[str]) -> list[str]:
        return [word for word in words if not self._model.knows(word)]

    def grammar(self, root: str, sentences: list[str] | None) -> None:
        if sentences is None:
            Recognizer(self._model, RATE)  # a graph that cannot be searched is found out now
            self._strict.add(root)
        else:
            unsaid = set(self.missing(sorted({word for sentence in sentences for word in sentence.split()})))
            known = [s for s in sentences if unsaid.isdisjoint(s.split())]
            # An empty or ill-typed list would end the process.
            phrases = [*known, *([] if self.missing([OTHER]) else [OTHER])]
            if phrases:
                self._sampled[root] = Recognizer(self._model, RATE, json.dumps(phrases))

    def start(self, root: str) -> None:
        """A root of which the model knows no sentence at all is listened to in vain."""
        self.finish()  # unlike Reset, a final result leaves no sound of the last utterance behind
        graph = root if root in self._graphs else ""
        searched = bool(graph) or root in self._strict
        if searched and graph != self._loaded:
            self._load(graph)
        self._root = root
        if self._enhancer is not None:
            self._enhancer.start()
        self._ear = Recognizer(self._model, RATE, alternatives=ALTERNATIVES) if searched else self._sampled.get(root)

    def _load(self, root: str) -> None:
        """The model with another graph. One at a time, though loading takes a tenth of a second while he begins to
        speak: each holds a copy of the network, a fifth of all that Tapehand keeps in memory."""
        del self._model
        self._model = self._with_graph(self._graphs[root]) if root else Model(self._folder)
        self._loaded = root

    def _with_graph(self, graph: Path) -> Model:
        """The model with another graph. The library finds one only as the Gr.fst of a folder."""
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place:
            for file in self._folder.rglob("*"):
                at = Path(place) / file.relative_to(self._folder)
                if file.is_dir():
                    at.mkdir(exist_ok=True)
                elif file.parent.name != "graph" or not file.name.startswith("Gr."):
                    _link(file, at)
            (Path(place) / "graph" / "Gr.fst").write_bytes(gzip.decompress(graph.read_bytes()))
            return Model(Path(place))

    def accept(self, pcm: bytes) -> None:
        whole = pcm[: len(pcm) // 2 * 2]
        self._take(self._enhancer.feed(whole) if self._enhancer is not None else whole)

    def _take(self, pcm: bytes) -> None:
        if self._result is not None:  # more came: the library has ended the utterance, and must hear it again
            self._result = None
            self._heard = []
            self._decode(bytes(self._sound))
        self._sound += pcm
        self._decode(pcm)

    def _decode(self, pcm: bytes) -> None:
        # True: the library takes a pause for the end, and its next step would drop the words so far.
        if self._ear is not None and pcm and self._ear.accept(pcm):
            self._heard.append(_found(self._ear.result()))

    def partial(self) -> str:
        if self._ear is None:
            return ""
        words = [word for stretch in self._heard if stretch for word, _ in stretch[0].said]
        words += json.loads(self._ear.partial()).get("partial", "").split()
        return " ".join(w for w in words if w != OTHER)

    def peek(self) -> dict[str, Any]:
        """As ``finish``, if the sound ends here. The network hears 0.4 s ahead: ``partial`` lags behind by as much."""
        if self._result is None:
            self._result = self._concluded()
        return self._result

    def finish(self) -> dict[str, Any]:
        if self._ear is not None and self._result is None and self._enhancer is not None:
            self._take(self._enhancer.rest())
        result = self._result or self._concluded()
        self._ear = self._result = None
        self._heard = []
        self._sound.clear()
        return result

    def _concluded(self) -> dict[str, Any]:
        if self._ear is not None:
            self._heard.append(_found(self._ear.final()))
        guesses = _joined(self._heard)
        unknown, first = guesses[0].other, guesses[0].score
        talk = next((first - g.score for g in guesses if g.other or not g.said), math.inf)
        # No words at all are no guess: whether anything was said is told by its phones, silence among their rivals.
        guesses = [g for g in guesses if g.said and not g.other and g.score > first - FAR]
        scores = self._scored(guesses)
        best, reply = max(scores, default=0.0), self._root in _REPLIES
        near = [(g, score) for g, score in zip(guesses, scores, strict=True) if score > best - NEAR]
        if self._judge is None or not near:
            rows = [(g.words, score, g.confidence, 0.0) for g, score in near]
        else:
            as_searched, *fits = self._judge(bytes(self._sound), [g.words for g in (guesses[0], *(g for g, _ in near))])
            # Of 150 guesses at a noise one may fit; it is believed where what the search itself took it for does, too.
            most_sure = as_searched.confidence(reply, talk) if as_searched else 0.0
            most = max((fit.lost for fit in fits if fit), default=0.0)
            rows = []
            for (g, score), fit in zip(near, fits, strict=True):
                sure = (min(most_sure, fit.confidence(reply, talk)), fit.weakest) if fit else (0.0, 0.0)
                rows.append((g.words, score - PER_LOSS * (fit.lost if fit else most), *sure))
        return {"guesses": sorted(rows, key=lambda row: -row[1]), "unknown": unknown}

    def _scored(self, guesses: Sequence[_Found]) -> list[float]:
        scores = [guess.score + PER_WORD * len(guess.said) for guess in guesses]
        if self._durations:
            lasted = map(self._durations.likelihood, (guess.said for guess in guesses))
            scores = [score + PER_LENGTH * long for score, long in zip(scores, lasted, strict=True)]
        if self._rescorer:
            gains = self._rescorer.gains([guess.words for guess in guesses])
            scores = [score + gain for score, gain in zip(scores, gains, strict=True)]
        return scores


def _found(result: bytes) -> list[_Found]:
    """What the library found in a stretch of sound, the likeliest first."""
    read = json.loads(result)
    found = []
    for one in read.get("alternatives", [read]):
        words = one.get("result", [])
        said = tuple(Timed(w["word"], w["end"] - w["start"]) for w in words)
        sure = min((float(w["conf"]) for w in words if "conf" in w), default=1.0)
        found.append(_Found(said, float(one.get("confidence", 0.0)), sure))
    return found


def _joined(stretches: Sequence[Sequence[_Found]]) -> list[_Found]:
    """Ways the whole may have been words, the likeliest first; one of no words where there was no sound."""
    whole = [_Found((), 0.0, 1.0)]
    for stretch in filter(None, stretches):
        pairs = (
            _Found(a.said + b.said, a.score + b.score, min(a.confidence, b.confidence))
            for a, b in product(whole, stretch)
        )
        whole = sorted(pairs, key=lambda one: one.score, reverse=True)[:ALTERNATIVES]
    return whole


def _link(file: Path, at: Path) -> None:
    try:
        at.symlink_to(file.resolve())
    except OSError:  # on Windows links need a right
        shutil.copy(file, at)


def _judge(folder: Path) -> Judge | None:
    """For our own model; None for others, whose words' own confidence must do."""
    try:
        import numpy

        from assistant.hearing.rejection import Rejector

        rejector = Rejector(folder)
    except (ImportError, OSError, ValueError, KeyError, struct.error):
        return None

    def judged(sound: bytes, texts: Sequence[str]) -> list[Fit | None]:
        return rejector.fits(numpy.frombuffer(sound, numpy.int16), texts)

    return judged


def _noise_lowered(folder: Path) -> float:
    """By how many dB our own model wants noise lowered; 0 for others, which hear what the microphone does."""
    try:
        return float(about(folder)["noise_lowered"])
    except (OSError, ValueError, KeyError, TypeError):
        return 0.0


def _enhancer(lowered: float) -> Enhancer | None:
    """None where there is no wheel of its network. Whatever else is wrong with it, the model hears without, too."""
    try:
        from assistant.hearing.enhance import Enhancer

        return Enhancer(lowered)
    except Exception:
        return None


def _durations(folder: Path) -> Durations | None:
    try:
        return Durations.read(folder)
    except (OSError, ValueError):
        return None


def _rescorer(folder: Path) -> Rescorer | None:
    try:
        from assistant.hearing.rescoring import Rescorer

        return Rescorer(folder)
    except (ImportError, OSError, ValueError, KeyError, struct.error):
        return None


def main(folder: str) -> None:
    outgoing = take_over_stdout()
    try:
        ear = Ear(folder)
    except Exception:
        return  # what is wrong with the folder is for the parent to say
    write_message(outgoing, {"did": "ready", "unenhanced": ear.unenhanced})
    while (message := read_message(sys.stdin.buffer)) is not None:
        match message.fields:
            case {"do": "words", "words": words}:
                write_message(outgoing, {"did": "words", "missing": ear.missing(words)})
            case {"do": "grammar", "root": root, "sentences": sentences}:
                ear.grammar(root, sentences)
                write_message(outgoing, {"did": "grammar"})
            case {"do": "start", "root": root}:
                ear.start(root)
            case {"do": "sound"}:
                ear.accept(message.payload)
            case {"do": "partial"}:
                write_message(outgoing, {"did": "partial", "words": ear.partial()})
            case {"do": "peek"}:
                write_message(outgoing, {"did": "peek", **ear.peek()})
            case {"do": "finish"}:
                write_message(outgoing, {"did": "finish", **ear.finish()})
                give_back()


if __name__ == "__main__":
    main(sys.argv[1])
