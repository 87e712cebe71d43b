"""The listening thread: sound to sentences, sentences to words, and of those only the ones meant for us.

    source ─▶ frames ─▶ voice detector ─▶ endpoint ─▶ recogniser ─▶ judged ─▶ told

What is listened for is one public rule of the grammar, or nothing, or, at rest with the wake phrase on, "tape hand".
The thread owns the source, the detector and the recogniser; everything else only leaves it a note what to do.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from assistant.errors import ModelUnusable
from assistant.hearing.accept import LEAST_CONFIDENCE, LEAST_FOR_STEP, LEAST_FOR_WAKE, judged
from assistant.hearing.recogniser import Hypothesis, Reason, Recogniser, after_wake_phrase
from assistant.hearing.sound import Block, Found, Lost, Source, dbfs, seconds_of
from assistant.hearing.utterance import ASK_SECONDS, Began, Completeness, Ended, Endpoint, WentOn
from assistant.hearing.voice_activity import FRAME_BYTES, VoiceDetector

__all__ = [
    "WAKE",
    "Back",
    "Changed",
    "Failed",
    "Gone",
    "HeardWords",
    "Level",
    "Listener",
    "Partial",
    "Rejected",
    "Told",
    "UtteranceStarted",
    "Woken",
]

WAKE, WALKING = "wake", "walking"
"""The public rules that are listened for while only the wake phrase counts, and between marks."""
DEAF_AFTER_SPEAKING = 0.25
"""Seconds: the room goes on ringing with our own voice."""
TAKE_SECONDS = 0.1
"""How long the thread waits for sound before it looks at its notes again."""
PARTIAL_FRAMES = 8
"""A look at the words so far every quarter of a second: more would only cost time."""
LEVEL_FRAMES = 6
RESTING_FRAMES = 3
"""Looked at together while nobody talks. On a busy machine the detector takes a fifth less for each of three in a row
than for one alone (measured; alone on the machine no less). A sentence's beginning is kept from before, so nothing is
lost."""
SHORTEST_VOICE = 0.1
"""Seconds of voice in the shortest word; less is a knock. ("Eight", the shortest of our words, has three frames.)"""
STOPPED = "Listening has stopped. Use the keys, or close Tapehand and start it again."
CLOSE_SECONDS = 10.0
"""The thread looks up every TAKE_SECONDS; only a recogniser that is being started again takes longer."""
TOO_LOUD_DBFS = -12.0
"""Above this without a voice, nothing said a foot away would stand out."""


@dataclass(frozen=True, slots=True)
class UtteranceStarted:
    """Somebody began to speak."""


@dataclass(frozen=True, slots=True)
class Partial:
    """The words so far. They may change."""

    words: str


@dataclass(frozen=True, slots=True)
class HeardWords:
    """A sentence of the grammar, to be acted on."""

    words: str
    confidence: float
    engine: str
    seconds: float
    """Of sound in it."""
    decode_seconds: float
    """From the sound that decided the endpoint to the words."""
    rival: str = ""
    """Other words that are about as likely to have been said, and ask for something else: he is to say which."""


@dataclass(frozen=True, slots=True)
class Rejected:
    """Something was said, or made a noise, and is not to be acted on."""

    reason: str
    words: str
    confidence: float
    engine: str
    seconds: float
    decode_seconds: float


@dataclass(frozen=True, slots=True)
class Woken:
    """The wake phrase. Where a request came in the same breath, HeardWords follows."""


@dataclass(frozen=True, slots=True)
class Gone:
    """The microphone is lost; it is being looked for."""

    sentence: str


@dataclass(frozen=True, slots=True)
class Back:
    """The microphone is there again."""


@dataclass(frozen=True, slots=True)
class Level:
    """How loud it is, a few times a second."""

    dbfs: float
    too_loud: bool


@dataclass(frozen=True, slots=True)
class Failed:
    """Listening has stopped for good; the sentence says what to do."""

    sentence: str


@dataclass(frozen=True, slots=True)
class Changed:
    """The recogniser failed and another has taken over; the sentence says what to do."""

    sentence: str


Told = UtteranceStarted | Partial | HeardWords | Rejected | Woken | Gone | Back | Level | Failed | Changed


class Listener:
    """Start it with ``start``, or have a recording heard to its end with ``run``."""

    def __init__(
        self,
        source: Source,
        detector: VoiceDetector,
        recogniser: Recogniser,
        tell: Callable[[Told], None],
        *,
        parses: Callable[[str, str], bool],
        step: Callable[[str], bool] = lambda words: False,
        completeness: Callable[[str, str], Completeness] = lambda root, words: Completeness.MAY_END,
        at_rest: str | None = WAKE,
        spare: Callable[[], Recogniser] | None = None,
    ) -> None:
        """``parses(root, words)`` and ``completeness(root, words)`` know the grammar; ``step(words)`` tells a step
        between marks ("next").

        ``spare`` makes the recogniser to go on with should the first one fail for good.
        ``at_rest``: what is listened for when nothing is expected; WAKE, a rule (always open) or None (nothing).
        ``tell`` is called on the listening thread and must come back at once.
        """
        self._source = source
        self._detector = detector
        self._recogniser = recogniser
        self._spare = spare
        self._tell = tell
        self._parses = parses
        self._step = step
        self._at_rest = at_rest
        self._lock = threading.Lock()
        self._wanted = at_rest
        self._muted = False
        self._deaf_until = 0.0
        self._over = threading.Event()
        self._finish_now = False
        self._root = ""
        self._words = ""
        self._pcm_seconds = 0.0
        self._held = b""
        self._frames = 0
        self._rest = b""
        self._came = 0.0
        """When the frame came that is being looked at."""
        self._endpoint = Endpoint(lambda: completeness(self._root, self._recogniser.peek()))
        self._thread = threading.Thread(target=self._guarded, name="listener", daemon=True)

    # ------------------------------------------------------------ notes from other threads

    def start(self) -> None:
        self._thread.start()

    def listen(self, expecting: str) -> None:
        """Hear what comes next as ``expecting``, without the wake phrase."""
        with self._lock:
            self._wanted = expecting

    def rest(self) -> None:
        """Back to what is listened for at rest."""
        with self._lock:
            self._wanted = self._at_rest

    def rest_with(self, rule: str | None) -> None:
        """What is listened for at rest is otherwise now: WAKE, a rule, or None. Goes to rest."""
        with self._lock:
            self._wanted = self._at_rest = rule

    def mute(self) -> None:
        """Deaf from now on: we are about to speak."""
        with self._lock:
            self._muted = True

    def unmute(self) -> None:
        """Hear again, once the room has stopped ringing."""
        with self._lock:
            self._muted = False
            self._deaf_until = time.monotonic() + DEAF_AFTER_SPEAKING

    def finish(self) -> None:
        """The talk key came up: what was being said ends here."""
        with self._lock:
            self._finish_now = True

    def close(self) -> None:
        """Stop, and let go of everything. Returns when the thread is gone. Closing twice is no error."""
        self._over.set()
        if self._thread.is_alive() and threading.current_thread() is not self._thread:
            self._thread.join(CLOSE_SECONDS)
        self._recogniser.close()
        self._source.close()

    # ------------------------------------------------------------ the listening thread

    def run(self) -> None:
        """Listen until closed, or to the end of a recording; then what was being said is finished."""
        while not self._over.is_set():
            try:
                taken = self._source.take(TAKE_SECONDS)
            except EOFError:
                self._end_of_recording()
                return
            match taken:
                case Block(pcm, at):
                    for frame in self._cut(pcm):
                        self._hear(frame, at - seconds_of(self._rest))
                case Lost(sentence):
                    self._forget()
                    self._tell(Gone(sentence))
                case Found():
                    self._tell(Back())
                case None:
                    pass

    def _guarded(self) -> None:
        try:
            self.run()
        except ModelUnusable as error:
            self._tell(Failed(str(error)))
        except BaseException:
            self._tell(Failed(STOPPED))
            raise

    def _cut(self, pcm: bytes) -> Iterator[bytes]:
        self._rest += pcm
        if not self._endpoint.talking and len(self._rest) < RESTING_FRAMES * FRAME_BYTES:
            return
        while len(self._rest) >= FRAME_BYTES:
            frame, self._rest = self._rest[:FRAME_BYTES], self._rest[FRAME_BYTES:]
            yield frame

    def _end_of_recording(self) -> None:
        for frame in self._cut(bytes(RESTING_FRAMES * FRAME_BYTES)):
            self._hear(frame, time.monotonic())
        silence = bytes(FRAME_BYTES)
        while self._endpoint.talking:  # the endpoint decides, as it would with the microphone open
            self._hear(silence, time.monotonic())

    def _notes(self, at: float) -> tuple[bool, str | None, bool]:
        """Deaf when this was heard? What to listen for? Has the talk key come up since?"""
        with self._lock:
            finish, self._finish_now = self._finish_now, False
            ringing = self._source.clock_is_wall and at < self._deaf_until
            return self._muted or ringing, self._wanted, finish

    def _hear(self, frame: bytes, at: float) -> None:
        self._came = time.perf_counter()
        deaf, wanted, finish = self._notes(at)
        if deaf:
            self._forget()
            return
        if finish and self._endpoint.talking:
            self._endpoint.stop()
            self._pass_on()
            self._finished()
            return
        if wanted is None and not self._endpoint.talking:
            self._endpoint.keep(frame)
            return
        probability = self._detector.probability(frame)
        self._frames += 1
        if self._frames % LEVEL_FRAMES == 0:
            level = dbfs(frame)
            self._tell(Level(level, level > TOO_LOUD_DBFS and probability < 0.5))
        match self._endpoint.feed(frame, probability):
            case Began(pcm):
                self._begin(wanted or "", pcm)
            case WentOn(pcm, silence):
                self._go_on(pcm, silence)
            case Ended(cut=True):
                self._finished(Reason.NOT_FOR_US)  # nobody asks for one cut that long, and its end is missing
            case Ended(voiced=voiced) if voiced < SHORTEST_VOICE:
                self._finished(Reason.NOISE)
            case Ended():
                self._finished()

    def _begin(self, root: str, pcm: bytes) -> None:
        self._root = root
        self._words = ""
        self._held = b""
        self._pcm_seconds = seconds_of(pcm)
        self._start_recogniser(root)
        self._recogniser.accept(pcm)
        if root != WAKE:
            self._tell(UtteranceStarted())

    def _start_recogniser(self, root: str) -> None:
        try:
            self._recogniser.start(root)
        except ModelUnusable as error:
            if self._spare is None:
                raise
            self._recogniser.close()
            self._recogniser, self._spare = self._spare(), None
            self._tell(Changed(f"{error} Until then I hear less well."))
            self._recogniser.start(root)

    def _go_on(self, pcm: bytes, silence: float) -> None:
        """Pass it on; but once the recogniser has been asked for its words, silence waits until more is said."""
        self._pcm_seconds += seconds_of(pcm)
        self._held += pcm
        if silence >= ASK_SECONDS:
            return
        self._pass_on()
        if self._frames % PARTIAL_FRAMES == 0:
            words = self._recogniser.partial()
            if words != self._words:
                self._words = words
                if self._root != WAKE:
                    self._tell(Partial(words))

    def _pass_on(self) -> None:
        if self._held:
            self._recogniser.accept(self._held)
            self._held = b""

    def _finished(self, reason: str = Reason.TRUSTED) -> None:
        """Have it decoded and judged. ``reason``: why it is not to be trusted whatever the words are."""
        heard = self._recogniser.finish()
        if reason and not heard.reason:
            heard = replace(heard, reason=reason)
        least = LEAST_FOR_WAKE if self._root == WAKE else LEAST_CONFIDENCE
        if self._root == WALKING and self._step(heard.words):
            least = LEAST_FOR_STEP
        heard = judged(heard, self._recogniser.name, lambda words: self._parses(self._root, words), least)
        took = time.perf_counter() - self._came
        if self._root == WAKE:
            self._after_wake(heard, took)
        else:
            self._told(heard, took)

    def _after_wake(self, heard: Hypothesis, took: float) -> None:
        """At rest only the wake phrase counts; everything else passes without a word."""
        rest = after_wake_phrase(heard.words)
        if heard.reason or rest is None:
            return
        self._tell(Woken())
        if rest:
            self._told(Hypothesis(rest, heard.confidence, rival=after_wake_phrase(heard.rival) or ""), took)

    def _told(self, heard: Hypothesis, took: float) -> None:
        engine = self._recogniser.name
        if heard.reason == Reason.TRUSTED:
            self._tell(HeardWords(heard.words, heard.confidence, engine, self._pcm_seconds, took, heard.rival))
        else:
            self._tell(Rejected(heard.reason, heard.words, heard.confidence, engine, self._pcm_seconds, took))

    def _forget(self) -> None:
        """There is a gap in the sound from here on."""
        self._endpoint.stop()
        self._detector.forget()
        self._rest = b""
