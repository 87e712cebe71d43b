"""A sound card made of nothing but a sound server, so that sound code runs for real in a test.

PulseAudio is started on its own, in a folder of its own, with two null sinks. What a test plays into the sink
``air`` is what the default microphone hears; what the program plays comes out of the sink ``muffs``, and can be
recorded there. Neither the sound server nor the devices of the person running the tests are touched.

    with SoundCard() as card:            # sets the environment PortAudio and ALSA read, and puts it back after
        card.play_into_microphone(wav)
        with card.record_loudspeaker() as recording:
            ...
        recording.pcm                    # int16, mono, at recording.rate
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import time
import wave
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

RATE = 48_000
"""Samples a second of the whole card."""

_PROGRAMS = ("pulseaudio", "pactl", "paplay", "parec")
_ASOUND = """\
</usr/share/alsa/alsa.conf>
pcm.!default {
    type asym
    playback.pcm { type pulse device muffs }
    capture.pcm { type pulse device headset }
}
ctl.!default { type pulse }
"""


class SoundCardMissing(Exception):
    """The sound server cannot run here. ``str(error)`` is the reason, fit for ``pytest.skip``."""


@dataclass
class Recording:
    """What came out of the loudspeaker: int16 mono samples."""

    rate: int = RATE
    pcm: bytes = b""

    @property
    def seconds(self) -> float:
        return len(self.pcm) / 2 / self.rate

    def save(self, path: Path) -> Path:
        """Write it as a WAV file."""
        with wave.open(str(path), "wb") as out:
            out.setnchannels(1)
            out.setsampwidth(2)
            out.setframerate(self.rate)
            out.writeframes(self.pcm)
        return path


def reason_missing() -> str | None:
    """Why there can be no sound card here, or None when there can."""
    absent = [name for name in _PROGRAMS if shutil.which(name) is None]
    if absent:
        return f"no {', '.join(absent)} here (Debian: pulseaudio pulseaudio-utils libasound2-plugins)"
    if not Path("/usr/share/alsa/alsa.conf").exists():
        return "no ALSA here (Debian: libasound2-plugins)"
    return None


def wait_until(holds: Callable[[], bool], what: str, seconds: float = 10.0) -> None:
    """Look again until it holds. AssertionError naming ``what`` when it never does."""
    deadline = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > deadline:
            raise AssertionError(f"waited {seconds:g} s in vain for {what}")
        time.sleep(0.02)


class SoundCard:
    """Start it, use it, stop it; or use it in a ``with``."""

    def __init__(self) -> None:
        self._folder: Path | None = None
        self._server: subprocess.Popen[bytes] | None = None
        self._before: dict[str, str | None] = {}
        self.environment: dict[str, str] = {}
        """What a child process needs to find this card. Set in this process's own environment too."""

    def start(self) -> dict[str, str]:
        """Start the server and point this process at it. SoundCardMissing when it will not run."""
        reason = reason_missing()
        if reason:
            raise SoundCardMissing(reason)
        self._folder = Path(tempfile.mkdtemp(prefix="sound-card-"))
        asound = self._folder / "asoundrc"
        asound.write_text(_ASOUND)
        socket = self._folder / "socket"
        self.environment = {
            "XDG_RUNTIME_DIR": str(self._folder),
            "PULSE_SERVER": f"unix:{socket}",
            "PULSE_COOKIE": str(self._folder / "cookie"),
            "ALSA_CONFIG_PATH": str(asound),
        }
        # norewinds: without it a null sink passes sound on in lumps of up to two seconds.
        command = [
            "pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", "--disable-shm=yes",
            f"--load=module-native-protocol-unix socket={socket} auth-anonymous=1",
            f"--load=module-null-sink sink_name=muffs rate={RATE} channels=1 norewinds=1",
            f"--load=module-null-sink sink_name=air rate={RATE} channels=1 norewinds=1",
            "--load=module-remap-source source_name=headset master=air.monitor",
        ]  # fmt: skip
        with (self._folder / "log").open("wb") as log:
            self._server = subprocess.Popen(
                command, env={**os.environ, **self.environment}, stdin=subprocess.DEVNULL, stdout=log, stderr=log
            )
        self._before = {name: os.environ.get(name) for name in self.environment}
        os.environ.update(self.environment)
        try:
            wait_until(lambda: self._dead() or self._pactl("info") is not None, "the sound server")
            if self._dead():
                raise AssertionError((self._folder / "log").read_text(errors="replace")[-500:])
            self._pactl("set-default-sink", "muffs")
            self._pactl("set-default-source", "headset")
        except AssertionError as error:
            self.stop()
            raise SoundCardMissing(f"the sound server did not start: {error}") from None
        return self.environment

    def stop(self) -> None:
        """End the server and put the environment back. Stopping twice is no error."""
        if self._server is not None:
            self._server.terminate()
            try:
                self._server.wait(5)
            except subprocess.TimeoutExpired:
                self._server.kill()
                self._server.wait()
            self._server = None
        for name, value in self._before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value
        self._before = {}
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
            self._folder = None

    def __enter__(self) -> SoundCard:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def play_into_microphone(self, wav: Path) -> None:
        """Let the microphone hear this WAV file; returns when the last of it has been heard."""
        subprocess.run(["paplay", "--device=air", str(wav)], check=True, timeout=120)

    @contextmanager
    def record_loudspeaker(self) -> Iterator[Recording]:
        """Record what is played inside the ``with``; the recording is filled in when it ends."""
        assert self._folder is not None
        recording = Recording()
        raw = self._folder / "loudspeaker.raw"
        command = ["parec", "--device=muffs.monitor", "--raw", "--format=s16le", f"--rate={RATE}", "--channels=1",
                   "--latency-msec=20"]  # fmt: skip
        with raw.open("wb") as out:
            recorder = subprocess.Popen(command, stdout=out)
            try:
                wait_until(lambda: raw.stat().st_size > 0, "the recorder")
                yield recording
            finally:
                recorder.terminate()
                recorder.wait()
        recording.pcm = raw.read_bytes()
        raw.unlink()

    def loudspeaker_in_use(self) -> bool:
        """Whether any program has the loudspeaker open just now."""
        return bool((self._pactl("list", "short", "sink-inputs") or "").strip())

    def drop_microphone(self) -> None:
        """Pull the microphone out: no more sound comes from it, and none from one opened now.

        As with many a real device there is no error either: the stream just goes quiet for good. (The source is
        suspended, not unloaded: the sound server would move the stream on to the loudspeaker's own monitor.)
        """
        self._pactl("suspend-source", "headset", "1")

    def restore_microphone(self) -> None:
        """Plug the microphone in again."""
        self._pactl("suspend-source", "headset", "0")

    def _dead(self) -> bool:
        return self._server is None or self._server.poll() is not None

    def _pactl(self, *words: str) -> str | None:
        """The output of pactl, or None when it failed."""
        done = subprocess.run(["pactl", *words], capture_output=True, text=True, timeout=10)
        return done.stdout if done.returncode == 0 else None
