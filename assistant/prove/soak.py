"""``tapehand prove --soak``: a day in the shop, hours of sound through the real path as fast as it will go.

Sound, recogniser, session, voice and board are the real ones. Only the clock is another: it counts the sound, so
that a follow-up window is as long as it would be, and what is said takes no time. Half of the day attention is by the
wake phrase, half it is always open.
"""

from __future__ import annotations

import random
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.attached import happenings
from assistant.bench import Words
from assistant.board.keeper import Keeper
from assistant.board.sqlite import SqliteBoard
from assistant.desk import examples_of
from assistant.errors import HardwareError
from assistant.hearing import ears
from assistant.hearing.listener import WAKE, Listener, Told
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.sound import RATE, SAMPLE_BYTES, Block, Taken, seconds_of
from assistant.language.grammar import Grammar, load_english
from assistant.language.requests import Attention
from assistant.language.understand import understand
from assistant.prove import usage
from assistant.prove.sets import Clip, dev_folder, noises, people, synthesized_words
from assistant.prove.table import Row
from assistant.session.effects import Effect, Listen, Prepare, Say, StopListening
from assistant.session.events import (
    Event,
    Heard,
    MicrophoneBack,
    MicrophoneLost,
    Misheard,
    SpeechFinished,
    WakeHeard,
    WindowClosed,
)
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.settings import Settings
from assistant.speaking.voice import PyttsxVoice

__all__ = ["measure"]

_SEED = 17
_SETTLED_SECONDS = 600
"""Of sound, after which memory should grow no more: caches are full, every path has been gone."""
_SETTLED_SHARE = 0.25
"""Of a run too short for that."""
_BLOCK = 512 * SAMPLE_BYTES
_REQUESTS = (
    "fifty three and five eighths", "center", "six foot four and a half", "in seven parts", "next", "next", "next",
    "how come", "keep that as leg", "ten and a quarter plus three and five eighths", "scratch that", "start over",
    "brace thirty six by forty eight", "what's on the board", "done with leg", "divide ninety six by seven", "back",
    "add seven eighths", "take off an eighth each end", "again",
)  # fmt: skip
_TALK = (
    "are you coming to lunch with us today", "tell him the truck is here", "that was a good game last night",
    "i will call her back in the morning", "where did you put my gloves", "turn the radio up i like this song",
)  # fmt: skip
_SHARES = {"conversation": 0.3, "noise": 0.3, "talk": 0.2, "silence": 0.2}


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Some sound of one kind."""

    kind: str
    pcm: bytes
    words: str = ""


class _Day:
    """A Source of stretches, one drawn after another. Its clock is the sound handed out so far."""

    clock_is_wall = False

    def __init__(self, stretches: Iterator[_Stretch], seconds: float, tick: Callable[[], None]) -> None:
        """``tick`` is called before each block."""
        self._stretches = stretches
        self._seconds = seconds
        self._tick = tick
        self._at = 0
        self.now = 0.0
        self.stretch = _Stretch("silence", b"")
        self.lasted: Counter[str] = Counter()
        """Seconds of each kind."""

    def take(self, timeout: float) -> Taken:
        self._tick()
        if self._at >= len(self.stretch.pcm):
            if self.now >= self._seconds:
                raise EOFError
            self.stretch, self._at = next(self._stretches), 0
        pcm = self.stretch.pcm[self._at : self._at + _BLOCK]
        self._at += len(pcm)
        self.now += seconds_of(pcm)
        self.lasted[self.stretch.kind] += seconds_of(pcm)  # type: ignore[assignment]  # seconds, not a count
        return Block(pcm, self.now)

    def close(self) -> None:
        """Nothing to let go of."""


class _Hand:
    """The bench on the clock of the sound: events in, effects done at once."""

    def __init__(self, grammar: Grammar, attention: Attention, board: SqliteBoard, voice: PyttsxVoice) -> None:
        job, history = board.load()
        self.session = Session(
            Manners(attention=attention, ask_plus=False), job=job, history=history, examples=examples_of(grammar)
        )
        self.listener: Listener | None = None
        self.day: _Day | None = None
        self.heard: Counter[str] = Counter()
        """Sentences acted on, by the kind of sound they came out of; and how many changed the job."""
        self._grammar = grammar
        self._keeper = Keeper(board)
        self._voice = voice
        self._window_ends = float("inf")
        self._expecting = "request"
        self._speechless = False

    def told(self, told: Told) -> None:
        for happening in happenings(told):
            if isinstance(happening, Words):
                self._words(happening.text)
            elif isinstance(happening, (WakeHeard, Misheard, MicrophoneLost, MicrophoneBack)):
                self._handle(happening)

    def tick(self) -> None:
        assert self.day is not None
        if self.day.now >= self._window_ends:
            self._window_ends = float("inf")
            self._handle(WindowClosed())

    def _words(self, text: str) -> None:
        assert self.day is not None
        heard, outcome = understand(self._grammar, text, self._expecting)
        before = self.session.job
        self._handle(Heard(heard, outcome))
        kind = self.day.stretch.kind
        self.heard[kind] += 1
        self.heard[f"{kind}, job changed"] += self.session.job != before

    def _handle(self, event: Event) -> None:
        said = False
        for effect in self._keeper.carried_out(self.session.handle(event)):
            said |= isinstance(effect, Say)
            self._do(effect)
        if said:
            for effect in self.session.handle(SpeechFinished()):
                self._do(effect)

    def _do(self, effect: Effect) -> None:
        assert self.listener is not None
        assert self.day is not None
        match effect:
            case Listen(expecting, follow_up):
                self._expecting = expecting
                self.listener.listen(expecting)
                self._window_ends = self.day.now + Settings().follow_up if follow_up else float("inf")
            case StopListening():
                self.listener.rest()
            case Say(text) if not self._speechless:
                try:
                    self._voice.render(text)
                except HardwareError:
                    self._speechless = True
            case Prepare(texts):
                self._voice.prepare(texts)


def measure(hours: float) -> Iterator[Row]:
    """Rows on so many hours, half with the wake phrase and half without."""
    grammar = load_english()
    clips = _Clips()
    chosen = ears.recogniser(grammar).recogniser
    voice = PyttsxVoice()
    samples: list[tuple[float, usage.Taken]] = []
    start = time.perf_counter()
    try:
        with tempfile.TemporaryDirectory() as folder:
            board = SqliteBoard(Path(folder, "board.db"))
            try:
                for attention in (Attention.WAKE, Attention.OPEN):
                    yield from _half(grammar, attention, chosen, voice, board, clips, 1800 * hours, samples)
            finally:
                board.close()
        yield from _grown(samples)
    finally:
        voice.close()
        chosen.close()
    left = usage.taken()
    yield Row("soak, after", "children and zombies left", f"{left.children} and {left.zombies}", "0 and 0")
    took = time.perf_counter() - start
    yield Row("soak, after", "sound and time it took", f"{hours:.2f} h of sound, {took:.0f} s")


def _half(
    grammar: Grammar, attention: Attention, chosen: Recogniser, voice: PyttsxVoice, board: SqliteBoard, clips: _Clips,
    seconds: float, samples: list[tuple[float, usage.Taken]],
) -> Iterator[Row]:  # fmt: skip
    before = samples[-1][0] if samples else 0.0
    hand = _Hand(grammar, attention, board, voice)

    def tick() -> None:
        hand.tick()
        if not samples or before + day.now - samples[-1][0] >= _EVERY_SECONDS:
            samples.append((before + day.now, usage.taken()))

    day = _Day(clips.stretches(wake=attention is Attention.WAKE), seconds, tick)
    at_rest = WAKE if attention is Attention.WAKE else "request"
    hand.day, hand.listener = day, ears.listener(grammar, day, chosen, hand.told, at_rest)
    hand.listener.run()
    group = f"soak, {'wake phrase' if attention is Attention.WAKE else 'always open'}"
    asked = clips.asked
    minutes = {kind: day.lasted[kind] / 60 for kind in _SHARES}
    yield Row(group, "requests said, sentences acted on", f"{asked} and {hand.heard['conversation']}")
    for kind, target in (("noise", "0"), ("talk", "0" if attention is Attention.WAKE else "under 1 an hour")):
        changed = hand.heard[f"{kind}, job changed"]
        figures = f"{hand.heard[kind]} acted on, {changed} of them measurements, in {minutes[kind]:.1f} min"
        yield Row(group, f"out of {kind}", figures, target)


_EVERY_SECONDS = 15.0
"""Of sound, between looks at the memory."""


def _grown(samples: list[tuple[float, usage.Taken]]) -> Iterator[Row]:
    """Rows on what was taken once it had settled, and at the end: each the median of a few looks."""
    end = samples[-1][0]
    settled = min(_SETTLED_SECONDS, _SETTLED_SHARE * end)
    after = [taken for at, taken in samples if at >= settled]
    few = max(1, len(after) // 10)
    first, last = (sorted(t.megabytes for t in part)[len(part) // 2] for part in (after[:few], after[-few:]))
    grown = f"{100 * (last - first) / first:+.1f} %" if first else "cannot be told here"
    when = f"from {settled / 60:.0f} min to {end / 60:.0f} min"
    yield Row("soak", f"memory in all, {when}", f"{first:.0f} MB to {last:.0f} MB, {grown}", "under 5 %")
    yield Row("soak", "threads, first and most", f"{after[0].threads} and {max(t.threads for t in after)}", "the same")
    yield Row("soak", "zombie children, most", str(max(t.zombies for t in after)), "0")
    queues = f"{max(t.waiting for t in after[:few])} and {max(t.waiting for t in after[-few:])}"
    yield Row("soak", "entries in the fullest queue, at first and at last", queues, "not growing")


class _Clips:
    """What the day is made of. ``asked`` counts the requests of the half that is being drawn."""

    def __init__(self) -> None:
        self._rng = random.Random(_SEED)
        self.asked = 0
        folder = dev_folder()
        self._requests = synthesized_words(_REQUESTS)
        self._woken = synthesized_words([f"tape hand {words}" for words in _REQUESTS])
        self._noise = noises(folder, 40) if folder else [_hum()]
        self._talk = people(folder, ["orders", "read-speech"], 60) if folder else synthesized_words(_TALK)

    def stretches(self, wake: bool) -> Iterator[_Stretch]:
        """One after another, without end. Room noise under all of it: no microphone gives digital silence."""
        self.asked = 0
        requests = self._woken if wake else self._requests
        available = {
            "conversation": requests, "noise": self._noise, "talk": self._talk, "silence": [Clip(b"", "", "", "")],
        }  # fmt: skip
        shares = {kind: share for kind, share in _SHARES.items() if available[kind]}
        lasted = dict.fromkeys(shares, 0.0)
        while True:
            kind = min(shares, key=lambda kind: lasted[kind] / shares[kind])
            clip = self._rng.choice(available[kind])
            self.asked += kind == "conversation"
            pause = self._rng.uniform(1.5, 12.0)  # long enough for the endpoint; at times for the window to close
            stretch = _Stretch(kind, _in_a_room(clip, pause, self._rng), clip.words)
            lasted[kind] += seconds_of(stretch.pcm)
            yield stretch


def _in_a_room(clip: Clip, pause: float, rng: random.Random) -> bytes:
    length = len(clip.pcm) // SAMPLE_BYTES + round(pause * RATE)
    sound = np.random.default_rng(rng.randrange(2**32)).standard_normal(length) * 20
    sound[: len(clip.pcm) // SAMPLE_BYTES] += np.frombuffer(clip.pcm, "<i2")
    return bytes(np.clip(sound, -32768, 32767).astype("<i2").tobytes())


def _hum() -> Clip:
    rng = np.random.default_rng(_SEED)
    hum = 1500 * np.sin(2 * np.pi * 120 * np.arange(20 * RATE) / RATE) + 400 * rng.standard_normal(20 * RATE)
    return Clip(hum.astype("<i2").tobytes(), "", "hum", "hum")
