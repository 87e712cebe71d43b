"""The loudspeaker's own process: ``python -m assistant.speaking.player_process``.

Takes ``play`` and ``stop``; answers each sound with ``started``, then ``finished`` or ``lost``. It lives apart so
that a recogniser holding the interpreter cannot make the voice stutter, and so that it can be killed and started
again when the loudspeaker is pulled out.
"""

from __future__ import annotations

import os
import sys
import threading
import time
from typing import IO, Any, NoReturn

from assistant import portaudio
from assistant.child import Message, read_message, take_over_stdout, write_message
from assistant.speaking.sound import Sound

LATENCY_S = 0.1
"""Sound handed to the card ahead of time: rides out a busy machine. Cut off, not played out, on ``stop``."""
DEVICE_UNAVAILABLE = -9985  # PaErrorCode paDeviceUnavailable, portaudio.h
PADDING_S = 0.5
"""The most silence after a sound, for a card whose clock does not say when its last sample was heard."""
WATCHDOG_S = 1.0
"""No sign of life from the card for this long while it should be playing: it is gone."""


class Loudspeaker:
    """The open output stream and the sound going out of it. Only ``main`` opens, starts and stops it."""

    def __init__(self, messages: IO[bytes], sounddevice: Any) -> None:
        self._messages = messages
        self._write = threading.Lock()
        self._sounddevice = sounddevice
        self._stream: Any = None
        self._opened: tuple[Any, ...] = ()
        self._rate = self._channels = 0
        self._data = memoryview(b"")
        self._at = 0
        self._number = 0
        self._heard_at = 0.0
        self._padding = 0
        self._sign_of_life = 0.0
        self._idle = threading.Event()
        self._idle.set()
        self._cut = False

    def play(self, number: int, sound: Sound, device: str, rate: int | None) -> None:
        """Start the sound; what was still going out is cut. Tells when the first of it goes to the card."""
        self.stop()
        self._number, self._cut = number, False
        try:
            self._open(device, rate or sound.rate)
            data = sound.at_rate(self._rate).pcm
            if self._channels == 2:
                data = b"".join(data[i : i + 2] * 2 for i in range(0, len(data), 2))
            self._data, self._at, self._padding = memoryview(data), 0, 0
            self._sign_of_life = time.monotonic()
            self._idle.clear()
            self._stream.start()
        except self._sounddevice.PortAudioError as error:
            self._lost("busy" if DEVICE_UNAVAILABLE in error.args else "gone")
        self.tell("started", at=time.monotonic())

    def stop(self) -> None:
        """Cut what is going out, and what the card has been handed ahead."""
        if self._stream is None:
            return
        if not self._idle.is_set():
            self._cut = True
        try:
            self._stream.abort()
        except self._sounddevice.PortAudioError:
            self._lost()

    def watch(self) -> None:
        """Never returns: ends the process when the card stops asking for sound."""
        while True:
            time.sleep(WATCHDOG_S / 4)
            if not self._idle.is_set() and time.monotonic() - self._sign_of_life > WATCHDOG_S:
                self._lost()

    def tell(self, event: str, **more: Any) -> None:
        with self._write:
            write_message(self._messages, {"event": event, "number": self._number, **more})

    def _open(self, device: str, rate: int) -> None:
        if self._stream is not None and self._opened == (device, rate):
            return
        if self._stream is not None:
            self._stream.close()
            self._stream = None
        index = self._card(device)
        own_rate = int(self._sounddevice.query_devices(index)["default_samplerate"])
        refused = None
        for self._rate, self._channels in ((rate, 1), (rate, 2), (own_rate, 1), (own_rate, 2)):
            try:
                self._stream = self._sounddevice.RawOutputStream(
                    device=index, samplerate=self._rate, channels=self._channels, dtype="int16",
                    latency=LATENCY_S, callback=self._fill, finished_callback=self._finished,
                )  # fmt: skip
            except self._sounddevice.PortAudioError as error:
                refused = error
            else:
                self._opened = (device, rate)
                return
        assert refused is not None
        raise refused

    def _fill(self, out: Any, frames: int, clock: Any, status: Any) -> None:
        self._sign_of_life = time.monotonic()
        piece = self._data[self._at : self._at + len(out)]
        out[: len(piece)] = piece
        out[len(piece) :] = bytes(len(out) - len(piece))
        if piece:
            self._at += len(piece)
            self._heard_at = clock.outputBufferDacTime + frames / self._rate
            return
        self._padding += frames
        # Not before it is heard: stopping drops what the card still holds (measured: up to a tenth of a second).
        if clock.currentTime > self._heard_at or self._padding > PADDING_S * self._rate:
            raise self._sounddevice.CallbackStop

    def _finished(self) -> None:
        """Called by PortAudio when the stream has gone quiet, whatever the reason."""
        if self._idle.is_set():
            return
        if self._at < len(self._data) and not self._cut:
            self._lost()
        self._idle.set()
        self.tell("finished", cut=self._cut, at=time.monotonic())

    def _card(self, device: str) -> int:
        """The number, just now, of the first card with these words in its name; of the default one for none."""
        if not device:
            index = int(self._sounddevice.default.device[1])
            if index >= 0:
                return index
        for index, card in enumerate(self._sounddevice.query_devices()):
            if card["max_output_channels"] > 0 and device.casefold() in card["name"].casefold():
                return index
        return self._lost("none")

    def _lost(self, why: str = "gone") -> NoReturn:
        self.tell("lost", why=why)
        os._exit(1)  # PortAudio may hang on a device that is gone: no tidy end


def main() -> None:
    messages = take_over_stdout()
    try:
        sounddevice = portaudio.library()
    except portaudio.PortAudioMissing as missing:
        write_message(messages, {"event": "missing", "what": str(missing)})
        return
    loudspeaker = Loudspeaker(messages, sounddevice)
    threading.Thread(target=loudspeaker.watch, daemon=True).start()
    loudspeaker.tell("ready")
    while (message := read_message(sys.stdin.buffer)) is not None:
        obey(loudspeaker, message)
    os._exit(0)  # no waiting for a card that may be hanging


def obey(loudspeaker: Loudspeaker, message: Message) -> None:
    order = message.fields
    if order["do"] == "stop":
        loudspeaker.stop()
        return
    sound = Sound(message.payload, order["rate"])
    loudspeaker.play(order["number"], sound, order["device"], order["card_rate"])


if __name__ == "__main__":
    main()
