"""The virtual sound card itself: what goes in comes out, on the side it should."""

from __future__ import annotations

import array
import math
import subprocess
import wave
from pathlib import Path

import pytest

from tests.real.sound_card import RATE, SoundCard

pytestmark = pytest.mark.real


def tone(path: Path, hertz: float, seconds: float) -> Path:
    samples = array.array(
        "h", (round(12000 * math.sin(math.tau * hertz * n / RATE)) for n in range(int(RATE * seconds)))
    )
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, RATE, len(samples), "NONE", ""))
        out.writeframes(samples.tobytes())
    return path


def peak(pcm: bytes) -> int:
    return max((abs(sample) for sample in array.array("h", pcm)), default=0)


def test_the_loudspeaker_can_be_recorded_and_the_microphone_stays_quiet(sound_card: SoundCard, tmp_path: Path) -> None:
    wav = tone(tmp_path / "tone.wav", 440, 0.5)
    with sound_card.record_loudspeaker() as recording:
        subprocess.run(["paplay", str(wav)], check=True, timeout=20)
    assert 0.4 < recording.seconds < 5
    assert peak(recording.pcm) > 8000
    with sound_card.record_loudspeaker() as recording:
        sound_card.play_into_microphone(wav)
    assert peak(recording.pcm) == 0
