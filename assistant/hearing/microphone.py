"""The microphone: sounddevice's raw input stream, watched, and opened again when it goes.

PortAudio gives no clear error when a device is pulled out, so the sign of life is the callback: none for a second
means lost. It is then opened again by name, never by index, because the index may belong to another device now.
"""

from __future__ import annotations

import contextlib
import queue
import threading
import time
from collections.abc import Callable
from types import ModuleType
from typing import Any

from assistant import portaudio
from assistant.errors import MicrophoneUnavailable
from assistant.hearing.sound import RATE, Block, Found, Lost, Taken

__all__ = ["Microphone", "microphones"]

BLOCK_SECONDS = 0.032
"""One frame of the voice detector."""
BACKLOG_SECONDS = 8.0
"""How much sound may wait while a recogniser is busy. What is older is dropped and counted."""
WATCHDOG_SECONDS = 1.0
"""No callback for this long: the microphone is gone. Ours comes every 32 ms."""
BACK_OFF_SECONDS = (1.0, 2.0, 5.0)
"""Waits before the tries to open it again; the last one is repeated."""

WENT_QUIET = "The microphone went quiet. Check its plug; the keys still work."
NONE_FOUND = "No microphone found. Plug one in, or use the keys."
BUSY = "Another program has the microphone. Close that program, or use the keys."
WONT_OPEN = "The microphone will not open. Unplug it and plug it in again, or use the keys."

_DEVICE_UNAVAILABLE = -9985  # PaErrorCode paDeviceUnavailable, portaudio.h


def microphones() -> list[str]:
    """The names of the devices that can hear, for a list of choices. MicrophoneUnavailable when there are none."""
    sounddevice = _library()
    names = [device["name"] for device in sounddevice.query_devices() if device["max_input_channels"] > 0]
    if not names:
        raise MicrophoneUnavailable(NONE_FOUND)
    return names


class Microphone:
    """A Source that is never out of work: while there is no device it looks for one.

    ``device``: part of the device's name, in any case; empty for the computer's default.
    """

    clock_is_wall = True

    def __init__(self, device: str = "") -> None:
        self._device = device
        self._blocks: queue.Queue[Block] = queue.Queue(maxsize=round(BACKLOG_SECONDS / BLOCK_SECONDS))
        self._stream: Any = None
        self._to_16_khz: Callable[[bytes], bytes] = _as_it_is
        self._callback_at = 0.0
        self._lost = False
        self._tries = 0
        self._try_at = 0.0
        self._waiting: Block | None = None
        self._closed = threading.Event()
        self.gaps = 0
        """How often sound was lost on the way in, since the start: PortAudio's overflows and our full queue."""

    def open(self) -> None:
        """Open it now. MicrophoneUnavailable says why not; ``take`` goes on trying by itself."""
        sounddevice = _library()
        portaudio.stream_open()
        try:
            self._stream, self._to_16_khz = self._open_stream(sounddevice)
        except BaseException:
            portaudio.stream_closed()
            raise
        self._callback_at = time.monotonic()

    def take(self, timeout: float) -> Taken:
        if self._waiting is not None:
            block, self._waiting = self._waiting, None
            return block
        if self._stream is None:
            return self._look_for_it(timeout)
        try:
            block = self._blocks.get(timeout=timeout)
        except queue.Empty:
            if time.monotonic() - self._callback_at < WATCHDOG_SECONDS:
                return None
            return self._lose(WENT_QUIET)
        block = Block(self._to_16_khz(block.pcm), block.at)
        self._tries = 0
        if self._lost:
            self._lost = False
            self._waiting = block
            return Found()
        return block

    def close(self) -> None:
        self._closed.set()
        self._close_stream()

    def _look_for_it(self, timeout: float) -> Taken:
        wait = self._try_at - time.monotonic()
        if wait > 0:
            self._closed.wait(min(wait, timeout))
            return None
        try:
            if self._lost:
                _library()
                portaudio.refresh()
            self.open()
        except MicrophoneUnavailable as error:
            return self._lose(str(error))
        return None

    def _lose(self, sentence: str) -> Taken:
        """Close it and set the time of the next try. Only the first of a row of failures is news."""
        self._close_stream()
        self._try_at = time.monotonic() + BACK_OFF_SECONDS[min(self._tries, len(BACK_OFF_SECONDS) - 1)]
        self._tries += 1
        news, self._lost = not self._lost, True
        return Lost(sentence) if news else None

    def _close_stream(self) -> None:
        if self._stream is not None:
            stream, self._stream = self._stream, None
            with portaudio.quiet():
                stream.abort(ignore_errors=True)
                stream.close(ignore_errors=True)
            portaudio.stream_closed()
            self._blocks = queue.Queue(maxsize=self._blocks.maxsize)

    def _open_stream(self, sounddevice: ModuleType) -> tuple[Any, Callable[[bytes], bytes]]:
        index = self._find(sounddevice)
        own_rate = round(sounddevice.query_devices(index)["default_samplerate"])
        blocks = self._blocks

        def callback(sound: Any, frames: int, when: Any, status: Any) -> None:
            """Runs on PortAudio's thread: copy and go, the buffer is only ours until we return."""
            self._callback_at = time.monotonic()
            if status.input_overflow:
                self.gaps += 1
            block = Block(bytes(sound), self._callback_at)
            try:
                blocks.put_nowait(block)
            except queue.Full:
                self.gaps += 1
                with contextlib.suppress(queue.Empty):
                    blocks.get_nowait()
                blocks.put_nowait(block)

        failure: Exception | None = None
        # What the device may refuse: our rate (then its own, and we resample), one channel (then two).
        for rate, channels in ((RATE, 1), (own_rate, 1), (own_rate, 2)):
            stream = None
            try:
                with portaudio.quiet():
                    stream = sounddevice.RawInputStream(
                        samplerate=rate,
                        blocksize=round(rate * BLOCK_SECONDS),
                        device=index,
                        channels=channels,
                        dtype="int16",
                        latency="high",
                        callback=callback,
                    )
                    stream.start()
            except sounddevice.PortAudioError as error:
                failure = error
                if stream is not None:
                    stream.close(ignore_errors=True)
            else:
                return stream, _as_it_is if (rate, channels) == (RATE, 1) else _resampler(rate, channels)
        busy = failure is not None and len(failure.args) > 1 and failure.args[1] == _DEVICE_UNAVAILABLE
        raise MicrophoneUnavailable(BUSY if busy else WONT_OPEN) from failure

    def _find(self, sounddevice: ModuleType) -> int:
        """The index, right now, of the device asked for."""
        devices = list(sounddevice.query_devices())
        hearing = [index for index, device in enumerate(devices) if device["max_input_channels"] > 0]
        if not hearing:
            raise MicrophoneUnavailable(NONE_FOUND)
        if self._device:
            hearing = [index for index in hearing if self._device.lower() in devices[index]["name"].lower()]
            if not hearing:
                raise MicrophoneUnavailable(
                    f'No microphone called "{self._device}". Plug it in, or pick another one in the settings.'
                )
            return hearing[0]
        default = sounddevice.default.device[0]
        return int(default) if default in hearing else hearing[0]


def _library() -> ModuleType:
    try:
        return portaudio.library()
    except portaudio.PortAudioMissing as missing:
        raise MicrophoneUnavailable(f"No microphone: {missing}. The keys work.") from None


def _as_it_is(pcm: bytes) -> bytes:
    return pcm


def _resampler(rate: int, channels: int) -> Callable[[bytes], bytes]:
    """From the device's own rate and channels to ours, block after block without a seam."""
    import numpy
    import soxr

    stream = soxr.ResampleStream(rate, RATE, 1, dtype="int16")

    def resample(pcm: bytes) -> bytes:
        samples = numpy.frombuffer(pcm, dtype=numpy.int16)
        if channels > 1:
            samples = samples.reshape(-1, channels).mean(axis=1).astype(numpy.int16)
        return bytes(stream.resample_chunk(samples).tobytes())

    return resample
