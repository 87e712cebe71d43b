"""The microphone through real PortAudio: on the virtual sound card, and on a machine that has none."""

from __future__ import annotations

import math
import os
import subprocess
import sys
import time
import wave
from array import array
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from assistant.errors import MicrophoneUnavailable
from assistant.hearing.microphone import WENT_QUIET, Microphone, microphones
from assistant.hearing.sound import RATE, Block, Found, Lost, dbfs, seconds_of
from tests.real.sound_card import SoundCard

pytest.importorskip("sounddevice", reason="the voice parts are not installed", exc_type=(ImportError, OSError))
pytestmark = pytest.mark.real

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def microphone(sound_card: SoundCard) -> Iterator[Microphone]:
    from assistant import portaudio

    portaudio.refresh()  # the device list may be from before the sound card
    sound_card.restore_microphone()
    one = Microphone()
    yield one
    one.close()
    sound_card.restore_microphone()


def beep(path: Path, hertz: float = 500.0, seconds: float = 1.0) -> Path:
    samples = array("h", (round(16000 * math.sin(math.tau * hertz * n / 48000)) for n in range(int(48000 * seconds))))
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 48000, len(samples), "NONE", ""))
        out.writeframes(samples.tobytes())
    return path


def take_until(microphone: Microphone, kind: type, seconds: float = 15.0) -> list[object]:
    """Everything taken up to and with the first of a kind."""
    deadline, taken = time.monotonic() + seconds, []
    while not (taken and isinstance(taken[-1], kind)):
        assert time.monotonic() < deadline, f"no {kind.__name__} in {seconds} s"
        one = microphone.take(0.1)
        if one is not None:
            taken.append(one)
    return taken


def test_what_is_played_into_it_is_heard_in_full_and_at_its_pitch(
    microphone: Microphone, sound_card: SoundCard, tmp_path: Path
) -> None:
    take_until(microphone, Block)
    player = subprocess.Popen(["paplay", "--device=air", str(beep(tmp_path / "beep.wav"))])
    pcm, quiet, deadline = b"", 0, time.monotonic() + 20
    while not (dbfs_of_any(pcm) and quiet > 10):  # heard it, and it is over
        assert time.monotonic() < deadline
        taken = microphone.take(0.1)
        assert isinstance(taken, Block)
        pcm += taken.pcm
        quiet = quiet + 1 if dbfs(taken.pcm) < -60 else 0
    assert player.wait(10) == 0
    samples = array("h", pcm)
    crossings = [n for n in range(1, len(samples)) if samples[n - 1] < 0 <= samples[n]]
    # Half a second at either end is not asked for: a sound server may fade a stream in.
    assert (crossings[-1] - crossings[0]) / RATE == pytest.approx(1.0, abs=0.06)
    assert len(crossings) == pytest.approx(500, abs=25)
    assert microphone.gaps == 0


def dbfs_of_any(pcm: bytes) -> bool:
    return any(dbfs(pcm[at : at + 1024]) > -20 for at in range(0, len(pcm), 1024))


def test_a_block_is_32_ms_and_says_when_it_was_heard(microphone: Microphone) -> None:
    blocks = [take_until(microphone, Block)[-1] for _ in range(20)]
    assert all(isinstance(b, Block) and seconds_of(b.pcm) == pytest.approx(0.032) for b in blocks)
    times = [b.at for b in blocks if isinstance(b, Block)]
    assert times == sorted(times)
    assert abs(times[-1] - time.monotonic()) < 2


def test_pulled_out_and_plugged_in_again(microphone: Microphone, sound_card: SoundCard) -> None:
    take_until(microphone, Block)
    sound_card.drop_microphone()
    taken = take_until(microphone, Lost)
    assert taken[-1] == Lost(WENT_QUIET)
    for _ in range(12):  # while it looks for it there is no more news
        assert microphone.take(0.1) is None
    sound_card.restore_microphone()
    taken = take_until(microphone, Found)
    assert [t for t in taken if not isinstance(t, Block)] == [Found()]
    assert isinstance(microphone.take(1), Block)


def test_one_that_was_not_there_is_said_once_and_looked_for(sound_card: SoundCard, microphone: Microphone) -> None:
    absent = Microphone("No Such Headset")
    try:
        lost = take_until(absent, Lost)[-1]
        assert isinstance(lost, Lost)
        assert "No Such Headset" in lost.sentence
        assert absent.take(0.1) is None
    finally:
        absent.close()


def test_chosen_by_part_of_its_name(microphone: Microphone) -> None:
    names = microphones()
    assert names
    chosen = Microphone(names[0][1:].upper())
    try:
        assert isinstance(take_until(chosen, Block)[-1], Block)
    finally:
        chosen.close()


def test_closing_twice_is_no_error_and_it_goes_on_working_after_another(microphone: Microphone) -> None:
    first = Microphone()
    take_until(first, Block)
    first.close()
    first.close()
    take_until(microphone, Block)


PROGRAM = """
from assistant.hearing.microphone import Microphone, microphones
from assistant.errors import MicrophoneUnavailable
{before}
try:
    {call}
except MicrophoneUnavailable as error:
    print(error)
"""


def on_a_machine(call: str, before: str = "", **environment: str) -> str:
    """What it says in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(call=call, before=before)],
        cwd=ROOT,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stderr == ""  # what ALSA says stays off his terminal
    return done.stdout.strip()


@pytest.mark.skipif(not Path("/usr/share/alsa/alsa.conf").exists(), reason="no ALSA here")
@pytest.mark.skipif(Path("/dev/snd/controlC0").exists(), reason="this machine has a sound card")
@pytest.mark.parametrize("call", ["Microphone().open()", "microphones()"])
def test_a_machine_without_a_microphone(call: str) -> None:
    said = on_a_machine(call, ALSA_CONFIG_PATH="/usr/share/alsa/alsa.conf", PULSE_SERVER="unix:/nowhere")
    assert said == "No microphone found. Plug one in, or use the keys."


@pytest.mark.parametrize("call", ["Microphone().open()", "microphones()"])
def test_a_machine_without_portaudio(call: str) -> None:
    hidden = "import ctypes.util; ctypes.util.find_library = lambda name: None"
    if sys.platform != "linux":
        pytest.skip("elsewhere PortAudio comes with sounddevice")
    assert (
        on_a_machine(call, hidden)
        == "No microphone: install PortAudio (sudo apt install libportaudio2). The keys work."
    )


@pytest.mark.parametrize("call", ["Microphone().open()", "microphones()"])
def test_a_machine_without_sounddevice(call: str) -> None:
    hidden = "import sys; sys.modules['sounddevice'] = None"
    assert on_a_machine(call, hidden) == "No microphone: run ./tapehand to install the voice parts. The keys work."


class Refusing:
    """A sounddevice whose one device takes only its own rate and two channels, as cheap USB headsets do."""

    class PortAudioError(Exception):
        pass

    class default:
        device = (-1, -1)

    def __init__(self, code: int, takes: tuple[int, int] | None) -> None:
        self.code, self.takes = code, takes
        self.tried: list[tuple[int, int]] = []
        self.callback = None

    def query_devices(self, index: int | None = None) -> object:
        device = {"name": "USB Headset", "max_input_channels": 2, "default_samplerate": 48000.0}
        return [device] if index is None else device

    def RawInputStream(self, samplerate: int, channels: int, callback: object, **_: object) -> object:
        self.tried.append((samplerate, channels))
        if (samplerate, channels) != self.takes:
            raise self.PortAudioError("no", self.code)
        self.callback = callback
        return self

    def start(self) -> None:
        pass

    def abort(self, ignore_errors: bool) -> None:
        pass

    close = abort


class Status:
    input_overflow = False


def test_a_device_that_takes_only_its_own_rate_is_resampled(monkeypatch: pytest.MonkeyPatch) -> None:
    library = Refusing(-9997, (48000, 2))
    monkeypatch.setattr("assistant.hearing.microphone._library", lambda: library)
    microphone = Microphone("headset")
    microphone.open()
    assert library.tried == [(16000, 1), (48000, 1), (48000, 2)]
    left = [round(16000 * math.sin(math.tau * 500 * n / 48000)) for n in range(48000)]
    stereo = array("h", (s for sample in left for s in (sample, sample)))
    pcm = b""
    for at in range(0, len(stereo), 2 * 1536):
        library.callback(stereo[at : at + 2 * 1536].tobytes(), 1536, None, Status())  # type: ignore[misc]
        taken = microphone.take(0)
        assert isinstance(taken, Block)
        pcm += taken.pcm
    microphone.close()
    samples = array("h", pcm)
    assert len(samples) / RATE == pytest.approx(1.0, abs=0.05)  # the resampler keeps a little back
    crossings = sum(a < 0 <= b for a, b in pairwise(samples))
    assert crossings / (len(samples) / RATE) == pytest.approx(500, rel=0.02)
    assert max(samples) == pytest.approx(16000, rel=0.02)


@pytest.mark.parametrize(
    ("code", "sentence"),
    [(-9985, "Another program has the microphone"), (-9999, "will not open")],  # portaudio.h: device unavailable
)
def test_a_device_that_will_not_open(monkeypatch: pytest.MonkeyPatch, code: int, sentence: str) -> None:
    monkeypatch.setattr("assistant.hearing.microphone._library", lambda: Refusing(code, None))
    with pytest.raises(MicrophoneUnavailable, match=sentence):
        Microphone().open()


def test_when_nobody_takes_it_the_oldest_sound_goes_and_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    library = Refusing(0, (16000, 1))
    monkeypatch.setattr("assistant.hearing.microphone._library", lambda: library)
    microphone = Microphone()
    microphone.open()
    for n in range(400):  # 12.8 s; 8 s are kept
        library.callback(n.to_bytes(2, "little") * 512, 512, None, Status())  # type: ignore[misc]
    first = microphone.take(0)
    assert isinstance(first, Block)
    assert first.pcm[:2] == (400 - 250).to_bytes(2, "little")
    assert microphone.gaps == 150
    microphone.close()
