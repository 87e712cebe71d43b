"""The port to whatever makes sound heard: the loudspeaker, and a stand-in that keeps it for a WAV file."""

from __future__ import annotations

import contextlib
import itertools
import threading
import time
from pathlib import Path
from typing import Protocol

from assistant import portaudio
from assistant.child import Child, ChildGone
from assistant.errors import LoudspeakerUnavailable
from assistant.speaking.sound import Sound, join

__all__ = ["Loudspeaker", "Player", "RecordingPlayer", "loudspeakers"]

START_DEADLINE_S = 10.0
"""Python, sounddevice and the list of devices, on a slow and busy machine."""
FINISH_MARGIN_S = 3.0
"""On top of the length of the sound; the process watches the card itself, so this is for one that hangs."""
BACK_OFF_S = (1.0, 2.0, 5.0)
"""Waits before the loudspeaker is tried again; the last one is repeated."""

GONE = "The loudspeaker is gone. Check its plug; the answers are on the screen."
NONE_FOUND = "No loudspeaker found. Plug one in; the answers are on the screen."
BUSY = "Another program has the loudspeaker. Close that program; the answers are on the screen."
MISSING = "There is no sound here: {what}. The answers are on the screen."


def loudspeakers() -> list[str]:
    """The names of the devices that can sound, to choose from. LoudspeakerUnavailable when there are none."""
    try:
        portaudio.refresh()  # one may have been plugged in since the list was read
        devices = portaudio.library().query_devices()
    except portaudio.PortAudioMissing as missing:
        raise LoudspeakerUnavailable(MISSING.format(what=missing)) from None
    names = [device["name"] for device in devices if device["max_output_channels"] > 0]
    if not names:
        raise LoudspeakerUnavailable(NONE_FOUND)
    return names


class Player(Protocol):
    """Plays one sound at a time. One thread plays and waits; any thread may stop."""

    def play(self, sound: Sound) -> None:
        """Start it and come back at once. Trouble shows in ``wait``."""

    def wait(self) -> bool:
        """Until it has been heard (True) or was cut (False). LoudspeakerUnavailable when it was not heard."""

    def stop(self) -> None:
        """Cut it now. Nothing playing is no error."""

    def close(self) -> None:
        """Let go of the loudspeaker. Closing twice is no error."""


class Loudspeaker:
    """The real one, by sounddevice, in a process of its own (``player_process``)."""

    def __init__(self, device: str = "", card_rate: int | None = None) -> None:
        """``device``: part of the device's name, in any case; empty for the computer's default.

        ``card_rate``: the only sample rate the card takes well, None to find out.
        """
        self._device = device
        self._card_rate = card_rate
        self._child: Child | None = None
        self._write = threading.Lock()
        self._numbers = itertools.count(1)
        self._number = 0
        self._seconds = 0.0
        self._failures = 0
        self._retry_at = 0.0
        self._trouble: str | None = None
        self.first_sample_at = 0.0
        """When the last sound began, by time.monotonic()."""
        self.silent_at = 0.0
        """When it was over, or the card had been told to drop what was left of it."""
        self._running()  # ahead of the first sound, which also tells of any trouble

    @property
    def child_pid(self) -> int | None:
        """The process that plays just now."""
        return self._child.pid if self._child is not None and self._child.alive else None

    def play(self, sound: Sound) -> None:
        with self._write:
            self._number = next(self._numbers)
            self._seconds = sound.seconds
            child = self._running()
            if child is None:
                return
            order = {
                "do": "play", "number": self._number, "rate": sound.rate,
                "device": self._device, "card_rate": self._card_rate,
            }  # fmt: skip
            with contextlib.suppress(ChildGone):  # it may have left word why: wait finds it
                child.send(order, sound.pcm)

    def wait(self) -> bool:
        deadline = START_DEADLINE_S + self._seconds + FINISH_MARGIN_S
        while self._trouble is None and self._child is not None:
            try:
                fields = self._child.receive(deadline).fields
            except ChildGone:
                self._fail(GONE)
                break
            if fields["event"] == "missing":
                self._fail(MISSING.format(what=fields["what"]))
            elif fields["event"] == "lost":
                self._fail({"none": NONE_FOUND, "busy": BUSY}.get(fields["why"], GONE))
            elif fields["number"] != self._number:
                continue  # the end of a sound that this one cut
            elif fields["event"] == "started":
                self.first_sample_at = fields["at"]
                deadline = self._seconds + FINISH_MARGIN_S
            elif fields["event"] == "finished":
                self.silent_at = fields["at"]
                self._failures = 0
                return not fields["cut"]
        raise LoudspeakerUnavailable(self._trouble or GONE)

    def stop(self) -> None:
        with self._write:
            if self._child is not None:
                with contextlib.suppress(ChildGone):  # then nothing sounds either
                    self._child.send({"do": "stop"})

    def close(self) -> None:
        with self._write:
            if self._child is not None:
                self._child.end()
                self._child = None

    def _running(self) -> Child | None:
        """The process, started if need be; None while it is too soon to try again."""
        if self._child is not None and self._child.alive:
            return self._child
        if time.monotonic() < self._retry_at:
            return None
        if self._child is not None:
            self._child.end()
            self._child = None
        self._trouble = None
        try:
            self._child = Child("assistant.speaking.player_process")
        except ChildGone:
            self._fail(GONE)
        return self._child

    def _fail(self, sentence: str) -> None:
        self._trouble = sentence
        self._retry_at = time.monotonic() + BACK_OFF_S[min(self._failures, len(BACK_OFF_S) - 1)]
        self._failures += 1
        if self._child is not None:
            self._child.end(at_once=True)


class RecordingPlayer:
    """The official stand-in: plays to nobody, in no time, and keeps everything in order."""

    def __init__(self) -> None:
        self.played: list[Sound] = []

    def play(self, sound: Sound) -> None:
        self.played.append(sound)

    def wait(self) -> bool:
        return True

    def stop(self) -> None:
        """Nothing lasts long enough to be cut."""

    def close(self) -> None:
        """Nothing to let go of."""

    def save(self, path: Path, rate: int = 22_050) -> None:
        """All of it in one WAV file. Slip when it cannot be written there."""
        join(self.played, rate).save(path)
