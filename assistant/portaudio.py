"""The one door to PortAudio, shared by the microphone and the loudspeaker.

PortAudio reads the list of devices once, when it starts. To see a headset that was plugged in later it has to be
ended and started again, and that pulls every open stream out from under its owner (libportaudio's Pa_Terminate
closes them all). So whoever has a stream open says so with ``stream_open``, and ``refresh`` waits its turn.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType

__all__ = ["PortAudioMissing", "library", "quiet", "refresh", "stream_closed", "stream_open"]

_lock = threading.Lock()
_streams = 0
_quiet_lock = threading.Lock()


class PortAudioMissing(Exception):
    """``str(error)`` is what to install, as the end of a sentence."""


def library() -> ModuleType:
    """The sounddevice module. PortAudioMissing when it, or PortAudio under it, is not installed."""
    try:
        with quiet():
            import sounddevice
    except ImportError:
        raise PortAudioMissing("run ./tapehand to install the voice parts") from None
    except OSError:  # raised by sounddevice itself when there is no libportaudio
        how = "brew install portaudio" if sys.platform == "darwin" else "sudo apt install libportaudio2"
        raise PortAudioMissing(f"install PortAudio ({how})") from None
    module: ModuleType = sounddevice
    return module


@contextmanager
def quiet() -> Iterator[None]:
    """Keep what ALSA and PortAudio print while they look for devices off a terminal that is in use."""
    with _quiet_lock:
        kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
        try:
            os.dup2(nowhere, 2)
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)
            os.close(nowhere)


def stream_open() -> None:
    """Say that a stream is about to be opened: the device list stays as it is until it is closed."""
    global _streams
    with _lock:
        _streams += 1


def stream_closed() -> None:
    """Say that it has been closed."""
    global _streams
    with _lock:
        _streams -= 1


def refresh() -> bool:
    """Read the list of devices anew. False, and nothing done, while a stream is open."""
    sounddevice = library()
    with _lock:
        if _streams:
            return False
        with quiet():
            sounddevice._terminate()
            sounddevice._initialize()
        return True
