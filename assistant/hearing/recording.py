"""A recording in place of the microphone: for `hear`, for the demo and for every test without a sound card.

Read by libsndfile (through soundfile): WAV of 8, 16, 24 or 32 bits or float, and FLAC and Ogg besides;
resampled by soxr. The standard library's ``wave`` knows neither float nor, before Python 3.12, extensible WAV.
"""

from __future__ import annotations

from pathlib import Path

from assistant.errors import SoundFileUnreadable
from assistant.hearing.sound import RATE, SAMPLE_BYTES, Block, Taken, seconds_of

__all__ = ["LONGEST_MINUTES", "Recording", "read"]

LONGEST_MINUTES = 10
"""A longer recording is refused: it is held in memory whole, and nobody asks for one cut for ten minutes."""
BLOCK_SAMPLES = 512


class Recording:
    """A Source that hands out a sound file, or sound already in memory, as fast as it is asked for."""

    clock_is_wall = False

    def __init__(self, sound: Path | bytes) -> None:
        """``sound``: a file to read (SoundFileUnreadable), or 16 kHz mono int16."""
        self._pcm = sound if isinstance(sound, bytes) else read(sound)
        self._position = 0

    @property
    def seconds(self) -> float:
        """How long it is."""
        return seconds_of(self._pcm)

    @property
    def position(self) -> float:
        """Seconds of it that have been handed out."""
        return self._position / (SAMPLE_BYTES * RATE)

    def take(self, timeout: float) -> Taken:
        pcm = self._pcm[self._position : self._position + BLOCK_SAMPLES * SAMPLE_BYTES]
        if not pcm:
            raise EOFError
        self._position += len(pcm)
        return Block(pcm, self.position)

    def close(self) -> None:
        self._position = len(self._pcm)


def read(path: Path) -> bytes:
    """The sound in a file as 16 kHz mono int16. Raises SoundFileUnreadable."""
    if not path.is_file():
        raise SoundFileUnreadable(f"There is no sound file {path}. Check the name.")
    try:
        import numpy
        import soundfile
        import soxr
    except (ImportError, OSError):
        raise SoundFileUnreadable("Sound files need the voice parts: run ./tapehand to install them.") from None
    try:
        with soundfile.SoundFile(path) as file:
            if file.frames > LONGEST_MINUTES * 60 * file.samplerate:
                raise SoundFileUnreadable(f"{path.name} is longer than {LONGEST_MINUTES} minutes. Cut it shorter.")
            samples = file.read(dtype="float32", always_2d=True).mean(axis=1)
            rate = file.samplerate
    except (soundfile.SoundFileError, OSError, TypeError):
        # TypeError: what soundfile makes of a name that ends in .raw, which says nothing of what is inside.
        raise SoundFileUnreadable(f"{path.name} is not a sound file that can be read. Save it as WAV.") from None
    samples = numpy.nan_to_num(samples, nan=0.0, posinf=1.0, neginf=-1.0)
    if rate != RATE and len(samples):
        samples = soxr.resample(samples, rate, RATE)
    if not len(samples):
        raise SoundFileUnreadable(f"{path.name} is empty. Record it again.")
    return bytes(numpy.clip(numpy.rint(samples * 32768), -32768, 32767).astype("<i2").tobytes())
