"""``tapehand prove --soak``: a day in the shop, hours of sound through the real path as fast as it will go.

Sound, recogniser, session, voice, screen (nobody looks on) and board are the real ones. Only the clock is another: it
counts the sound, so that a follow-up window is as long as it would be, and what is said takes no time. Half of the day
attention is by the wake phrase; then he asks for it to be always open, of the same bench.
"""

from __future__ import annotations

import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from itertools import chain
from pathlib import Path

from assistant.attached import AT_REST, happenings
from assistant.bench import Hearing, Loudness, Words
from assistant.board.keeper import Keeper
from assistant.board.sqlite import SqliteBoard
from assistant.child import Child, Message
from assistant.desk import examples_of
from assistant.errors import HardwareError
from assistant.hearing import ears
from assistant.hearing.listener import Listener, Told
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.sound import SAMPLE_BYTES, Block, Taken, seconds_of
from assistant.language.grammar import Grammar, load_english
from assistant.language.requests import Attend, Attention
from assistant.language.understand import understand
from assistant.prove import machine, usage
from assistant.prove.table import Row, lines
from assistant.screen.view import View
from assistant.screen.web import WebView
from assistant.session.effects import Effect, Listen, Prepare, Say, Show, StopListening, Suit
from assistant.session.events import (
    Asked,
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

__all__ = ["measure", "run"]

_SETTLED_SECONDS = 600
"""Of sound, after which memory should grow no more: caches are full, every path has been gone."""
_SETTLED_SHARE = 0.25
"""Of a run too short for that."""
_EVERY_SECONDS = 30.0
"""Of sound, between looks at what is taken."""
_BLOCK = 512 * SAMPLE_BYTES
_NEXT_SECONDS = 60.0
"""For the next stretch: the first waits until all recordings are read."""


class _Day:
    """A Source of stretches, one drawn after another. Its clock is the sound handed out so far."""

    clock_is_wall = False

    def __init__(self, stretches: Iterator[Message], tick: Callable[[], None]) -> None:
        """``tick`` is called before each block."""
        self._stretches = stretches
        self._ends = 0.0
        self._tick = tick
        self._at = 0
        self._pcm = b""
        self.kind = "silence"
        self.now = 0.0
        self.lasted: defaultdict[str, float] = defaultdict(float)
        """Seconds of each kind."""
        self.asked = 0
        """Requests that were begun."""

    def goes_on(self, seconds: float) -> None:
        """For so long, counted afresh."""
        self._ends = self.now + seconds
        self.lasted.clear()
        self.asked = 0

    def take(self, timeout: float) -> Taken:
        self._tick()
        if self._at >= len(self._pcm):
            if self.now >= self._ends:
                raise EOFError
            fields, self._pcm = next(self._stretches)
            self.kind, self._at = fields["kind"], 0
            self.asked += self.kind == "conversation"
        pcm = self._pcm[self._at : self._at + _BLOCK]
        self._at += len(pcm)
        self.now += seconds_of(pcm)
        self.lasted[self.kind] += seconds_of(pcm)
        return Block(pcm, self.now)

    def close(self) -> None:
        """Nothing to let go of."""


class _Hand:
    """The bench on the clock of the sound: events in, effects done at once."""

    def __init__(self, grammar: Grammar, board: SqliteBoard, voice: PyttsxVoice, view: View) -> None:
        job, history = board.load()
        self.session = Session(Manners(ask_plus=False), job=job, history=history, examples=examples_of(grammar))
        self.listener: Listener | None = None
        self.day: _Day | None = None
        self.heard: Counter[str] = Counter()
        """Sentences acted on, by the kind of sound they came out of; and how many changed the job."""
        self._grammar = grammar
        self._keeper = Keeper(board)
        self._voice = voice
        self._view = view
        self._window_ends = float("inf")
        self._expecting = "request"
        self._speechless = False

    def attend(self, by: Attention) -> None:
        """He asks to be listened to so from now on."""
        self._handle(Asked(Attend(by), by.value))

    def told(self, told: Told) -> None:
        for happening in happenings(told):
            if isinstance(happening, Words):
                self._words(happening.text)
            elif isinstance(happening, Hearing):
                self._view.hearing(happening.words)
            elif isinstance(happening, Loudness):
                self._view.level(happening.level)
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
        kind = self.day.kind
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
            case Suit(manners):
                self.listener.rest_with(AT_REST[manners.attention])
            case Say(text) if not self._speechless:
                try:
                    self._voice.render(text)
                except HardwareError:
                    self._speechless = True
            case Prepare(texts):
                self._voice.prepare(texts)
            case Show(answer):
                self._view.answer(answer)


def run(hours: float) -> int:
    """Measure and print, each row as it comes. Returns the exit status."""
    for line in lines(chain([Row("measured on", machine.described(), "")], measure(hours))):
        print(line, flush=True)
    return 0


def measure(hours: float) -> Iterator[Row]:
    """Rows on so many hours, half with the wake phrase and half without."""
    grammar = load_english()
    sound = Child("assistant.prove.day")
    chosen = ears.recogniser(grammar).recogniser
    voice, view = PyttsxVoice(), WebView(lambda press: None, 0)
    samples: list[tuple[float, usage.Taken]] = []
    start = time.perf_counter()
    try:
        with tempfile.TemporaryDirectory() as folder:
            board = SqliteBoard(Path(folder, "board.db"))
            try:
                hand = _Hand(grammar, board, voice, view)
                yield from _halves(grammar, hand, chosen, sound, 1800 * hours, samples)
            finally:
                board.close()
        yield from _grown(samples)
    finally:
        view.close()
        voice.close()
        chosen.close()
        sound.end()
    left = usage.taken()
    yield Row("soak, after", "children and zombies left", f"{left.children} and {left.zombies}", "0 and 0")
    took = time.perf_counter() - start
    yield Row("soak, after", "sound and time it took", f"{hours:.2f} h of sound, {took:.0f} s")


def _halves(
    grammar: Grammar, hand: _Hand, chosen: Recogniser, sound: Child, seconds: float,
    samples: list[tuple[float, usage.Taken]],
) -> Iterator[Row]:  # fmt: skip
    """Rows on each half of so many seconds."""

    def stretches() -> Iterator[Message]:
        while True:
            sound.send({"wake": hand.session.manners.attention is Attention.WAKE})
            yield sound.receive(_NEXT_SECONDS)

    def tick() -> None:
        hand.tick()
        if not samples or day.now - samples[-1][0] >= _EVERY_SECONDS:
            samples.append((day.now, usage.taken(besides=sound.pid)))

    def half(name: str, most_of_talk: str) -> Iterator[Row]:
        hand.heard.clear()
        day.goes_on(seconds)
        listener.run()
        group = f"soak, {name}"
        yield Row(group, "requests said, sentences acted on", f"{day.asked} and {hand.heard['conversation']}")
        for kind, target in (("noise", "0"), ("talk", most_of_talk)):
            changed = hand.heard[f"{kind}, job changed"]
            figures = f"{hand.heard[kind]} acted on, {changed} of them measurements, in {day.lasted[kind] / 60:.1f} min"
            yield Row(group, f"out of {kind}", figures, target)

    hand.day = day = _Day(stretches(), tick)
    hand.listener = listener = ears.listener(grammar, day, chosen, hand.told)
    yield from half("wake phrase", "0")
    hand.attend(Attention.OPEN)
    yield from half("always open", "under 1 an hour")


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
