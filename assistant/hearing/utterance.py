"""Where a sentence begins and where it ends: our own endpoint, a pure machine fed with frames.

    quiet ──START_FRAMES of voice──▶ talking ──silence for as long as Completeness says──▶ quiet
                                        └──LONGEST_SECONDS──▶ tired ──a silence──▶ quiet

The sound just before the beginning is kept, so that the first syllable is never cut. How long a silence ends the
sentence is up to what has been heard so far: see ``Completeness``.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from assistant.hearing.voice_activity import FRAME_SECONDS

__all__ = ["ASK_SECONDS", "Began", "Completeness", "Ended", "Endpoint", "Step", "WentOn"]

PRE_ROLL_SECONDS = 0.4
"""Kept from before the voice was sure. A soft "f" or "th" starts well before the detector notices."""
START_FRAMES = 2
"""Voice frames among the last START_WINDOW that begin a sentence: one alone is a click."""
START_WINDOW = 3
START_PROBABILITY = 0.5
"""The threshold the detector's makers recommend."""
STAY_PROBABILITY = 0.35
"""Once a sentence has begun, below this it is silence: the makers' own iterator also takes 0.15 off."""
ASK_SECONDS = 0.16
"""Silence after which it is asked how finished the words sound. To tell takes the recogniser up to 0.07 s (measured),
and has to be done by the time the shortest silence is over."""
LONGEST_SECONDS = 15.0
"""A sentence is cut off here. The longest request anyone would say takes about eight seconds."""


class Completeness(Enum):
    """How finished a sentence sounds; the value is the silence in seconds that ends it."""

    CANNOT_GO_ON = 0.25
    """A whole sentence, and nothing the grammar knows could follow."""
    MAY_END = 0.5
    """A whole sentence that could go on, or nothing known about it."""
    MUST_GO_ON = 0.9
    """"Fifty-three and ...": he is reading the tape."""


@dataclass(frozen=True, slots=True)
class Began:
    pcm: bytes
    """The sound kept from before, and the frames that began it."""


@dataclass(frozen=True, slots=True)
class WentOn:
    pcm: bytes
    silence: float = 0.0
    """Seconds since the last voice."""


@dataclass(frozen=True, slots=True)
class Ended:
    silence: float
    """Seconds between the last voice and now: the wait that the endpoint cost."""
    voiced: float
    """Seconds of frames in it that were voice."""
    cut: bool = False
    """True when it was cut off at LONGEST_SECONDS."""


Step = Began | WentOn | Ended | None


class Endpoint:
    def __init__(self, completeness: Callable[[], Completeness] = lambda: Completeness.MAY_END) -> None:
        """``completeness`` is asked once in each silence, and tells how finished the words before it sound."""
        self._completeness = completeness
        self._before: deque[bytes] = deque(maxlen=round(PRE_ROLL_SECONDS / FRAME_SECONDS) + START_WINDOW)
        self._window: deque[bool] = deque(maxlen=START_WINDOW)
        self._talking = False
        self._tired = False
        self._frames = 0
        self._voiced = 0
        self._silent = 0
        self._wait: Completeness | None = None
        """The silence that ends the sentence, once it has been asked for in this silence."""

    @property
    def talking(self) -> bool:
        return self._talking

    def feed(self, frame: bytes, probability: float) -> Step:
        """One frame and how likely it is a voice. The frame that brings Ended is not handed out: it is silence."""
        if self._talking:
            return self._talk(frame, probability)
        if self._tired:
            self._silent = 0 if probability >= STAY_PROBABILITY else self._silent + 1
            self._tired = self._silent * FRAME_SECONDS < Completeness.MAY_END.value
            return None
        self._before.append(frame)
        self._window.append(probability >= START_PROBABILITY)
        if sum(self._window) < START_FRAMES:
            return None
        self._talking = True
        self._frames = len(self._before)
        self._voiced = sum(self._window)
        self._silent = 0
        began = Began(b"".join(self._before))
        self._before.clear()
        self._window.clear()
        return began

    def keep(self, frame: bytes) -> None:
        """A frame from a time when nobody is listened to: kept, in case somebody is from the next one on."""
        self._before.append(frame)

    def stop(self) -> None:
        """Forget the sentence under way and the sound kept, as when the voice starts talking."""
        self._talking = self._tired = False
        self._before.clear()
        self._window.clear()

    def _talk(self, frame: bytes, probability: float) -> Step:
        self._frames += 1
        if probability >= STAY_PROBABILITY:
            self._voiced += 1
            self._silent = 0
        else:
            self._silent += 1
        silence = self._silent * FRAME_SECONDS
        cut = self._frames * FRAME_SECONDS >= LONGEST_SECONDS
        if not cut and self._goes_on(silence):
            return WentOn(frame, silence)
        self._talking = False
        self._tired = cut  # the tail of endless talk is no sentence either
        self._before.append(frame)
        return Ended(silence, self._voiced * FRAME_SECONDS, cut)

    def _goes_on(self, silence: float) -> bool:
        if silence < ASK_SECONDS:
            self._wait = None
            return True
        if self._wait is None:
            self._wait = self._completeness()
        return silence < self._wait.value
