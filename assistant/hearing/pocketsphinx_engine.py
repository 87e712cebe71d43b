"""pocketsphinx as a recogniser: works with nothing to download, since its wheel carries an English model.

Two decoders hear the same sound. One searches our grammar, and would map any noise onto some sentence of it. The
other searches free phones: where the words explain the sound much worse than free phones do, they were not said.
(The free phones are a grammar of their own, searched like the words: against the library's ``allphone`` search the
area under the curve for talk that is not for us rose from 0.81 to 0.89, for misheard sentences from 0.76 to 0.80.)
Its own probability tells nothing here (it is 1.0 for everything with ``bestpath`` off, and with it on the result
may be no sentence of the grammar at all).

The wrapper keeps the library's many ways to fail out of reach: blocks are cut to 30 ms, because a decode holds the
interpreter's lock for as long as the block takes; nothing empty or odd is passed in; an utterance is never started
or ended twice; a search is only changed between utterances.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from assistant.errors import ModelUnusable
from assistant.hearing.recogniser import GrammarSource, Hypothesis, nothing
from assistant.hearing.usage import Usage, anything

__all__ = ["Pocketsphinx", "Stretch", "worst_word"]

BLOCK_BYTES = 960
"""30 ms of 16 kHz int16."""
SEARCH: Mapping[str, float] = {
    # With the default beams valid speech often ends in no result at all.
    "beam": 1e-60,
    "pbeam": 1e-60,
    "wbeam": 1e-40,
    # At the default weight of 6.5 a word's price and the silence between words cost too much beside the sound.
    "lw": 1.0,
    "wip": 1e-8,
    "silprob": 0.3,
}
"""How the grammar is searched. Chosen by measurement on people's recordings, together with ``usage``."""

FREE: Mapping[str, float] = {"beam": 1e-20, "pbeam": 1e-20, "wbeam": 1e-10, "lw": 1.0, "wip": 1.0, "pip": 1.0}
"""How the free phones are searched: no phone costs anything."""
PHONES = "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
"""The phones of the CMU dictionary, which the wheel's model was trained with."""
EVEN = -26.5
"""The worst word's score a frame against free phones at which right and wrong are as likely; SPREAD is the step that
changes the odds by e. Fitted on people's recordings: 132 sentences heard right against 283 that were misheard or not
for us."""
SPREAD = 8.0

_LOG_BASE = math.log(1.0001)  # pocketsphinx's logbase: scores are integers in this base


class Stretch(NamedTuple):
    """A word or a phone over some frames of sound."""

    name: str
    start: int
    """First frame, of 10 ms."""
    end: int
    """Last frame."""
    score: float
    """Log likelihood over all its frames."""


class Pocketsphinx:
    name = "pocketsphinx"

    def __init__(
        self,
        grammar: GrammarSource,
        roots: Sequence[str],
        pronunciations: Mapping[str, str] | None = None,
        usage: Usage = anything,
    ) -> None:
        """``roots`` are searched; any other rule is heard as the first of them.

        ``pronunciations``: words the English dictionary may lack, spelled in its phones ("G AH S AH T").

        ``usage``: how usual each word is.

        ModelUnusable when pocketsphinx is not installed, or its model is gone.
        """
        try:
            # Not the package's live helpers: those want PortAudio.
            from pocketsphinx import Decoder, get_model_path, set_loglevel
        except ImportError:
            raise ModelUnusable("Hearing needs the voice parts: run ./tapehand to install them.") from None
        set_loglevel("FATAL")
        model = Path(get_model_path("en-us"))
        files = {"loglevel": "FATAL", "hmm": str(model / "en-us"), "dict": str(model / "cmudict-en-us.dict")}
        try:
            self._words = Decoder(**files, lm=None, bestpath=False, **SEARCH)
            self._phones = Decoder(**files | {"dict": None}, lm=None, bestpath=False, **FREE)
        except RuntimeError:
            raise ModelUnusable("pocketsphinx has lost its English model: run ./tapehand to install it.") from None
        for word, phones in (pronunciations or {}).items():
            if self._words.lookup_word(word) is None:
                self._words.add_word(word, phones, True)
        self.missing = frozenset(w for w in grammar.words if self._words.lookup_word(w) is None)
        """Words of the grammar that cannot be heard because nobody says how they sound."""
        self._roots = tuple(roots)
        for root in roots:
            self._words.add_fsg(root, self._search(grammar, root, usage))
        for phone in PHONES.split():
            self._phones.add_word(phone.lower(), phone, False)
        loop = [(0, 0, 1.0, phone.lower()) for phone in PHONES.split()]
        self._phones.add_fsg("phones", self._phones.create_fsg("phones", 0, 1, [*loop, (0, 1, 1.0)]))
        self._phones.activate_search("phones")
        self._active = ""  # kept here: asking the decoder before its first search crashes it
        self._running = False
        self._rest = b""

    def start(self, expecting: str) -> None:
        self._end()
        root = expecting if expecting in self._roots else self._roots[0]
        if self._active != root:
            self._words.activate_search(root)
            self._active = root
        self._words.start_utt()
        self._phones.start_utt()
        self._running = True
        self._rest = b""

    def accept(self, pcm: bytes) -> None:
        if not self._running:
            return
        self._rest += pcm
        while len(self._rest) >= BLOCK_BYTES:
            self._decode(self._rest[:BLOCK_BYTES])
            self._rest = self._rest[BLOCK_BYTES:]

    def partial(self) -> str:
        found = self._words.hyp() if self._running else None
        return found.hypstr if found else ""

    def peek(self) -> str:
        return self.partial()

    def finish(self) -> Hypothesis:
        if not self._running:
            return nothing()
        if len(self._rest) > 1:
            self._decode(self._rest[: len(self._rest) // 2 * 2])
        self._end()
        found = self._words.hyp()
        if not found or not found.hypstr:
            return nothing()
        ratio = worst_word(list(_stretches(self._words)), list(_stretches(self._phones)))
        return Hypothesis(found.hypstr, confidence(ratio))

    def close(self) -> None:
        self._end()

    def _decode(self, block: bytes) -> None:
        self._words.process_raw(block)
        self._phones.process_raw(block)

    def _end(self) -> None:
        if self._running:
            self._running = False
            self._words.end_utt()
            self._phones.end_utt()

    def _search(self, grammar: GrammarSource, root: str, usage: Usage) -> Any:
        """The grammar as the decoder's own automaton: far smaller than the JSGF written out by its compiler."""
        automaton = grammar.automaton(root)
        end = len(automaton.arcs)
        arcs: list[tuple[Any, ...]] = [(state, end, 1.0) for state in automaton.finals]
        for state, words in enumerate(automaton.arcs):
            arcs += [(state, to, usage(word), word) for word, to in words if word not in self.missing]
        return self._words.create_fsg(root, automaton.start, end, arcs)


def worst_word(words: Sequence[Stretch], phones: Sequence[Stretch]) -> float:
    """How much worse, a frame, the worst word explains its sound than free phones do: 0 for as well, else below."""
    return min((_against(word, phones) for word in words), default=-math.inf)


def confidence(ratio: float) -> float:
    """How likely words with such a worst one were said: 0.5 at EVEN."""
    return 1 / (1 + math.exp(min(500.0, (EVEN - ratio) / SPREAD)))


def _against(word: Stretch, phones: Sequence[Stretch]) -> float:
    loop = 0.0
    for phone in phones:
        shared = min(word.end, phone.end) - max(word.start, phone.start) + 1
        if shared > 0:
            loop += phone.score * shared / (phone.end - phone.start + 1)
    return (word.score - loop) / (word.end - word.start + 1)


def _stretches(decoder: Any) -> Iterator[Stretch]:
    """What was found, without silence and other fillers."""
    for found in decoder.seg() or ():
        name = found.word.partition("(")[0]  # "two(2)" is the second way to say it
        if name and name[0] not in "<[+" and name != "SIL":
            yield Stretch(name, found.start_frame, found.end_frame, math.log(found.ascore) / _LOG_BASE)
