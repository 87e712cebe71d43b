"""The full loop: speech played into a microphone, the answer recorded from a loudspeaker, the bench in between.

The bench runs in a terminal as he runs it. What is said to it is synthesized by flite, whose voice is none of the
voices it answers with.
"""

from __future__ import annotations

import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

pytest.importorskip("termios", reason="this system has no POSIX terminals")
pytest.importorskip("sounddevice", reason="the voice parts are not installed", exc_type=OSError)

import assistant
from tests.real.sound_card import Recording, SoundCard
from tests.real.window import Window

pytestmark = pytest.mark.real

if shutil.which("flite") is None:
    pytest.skip("no flite here to speak to the bench with (Debian: flite)", allow_module_level=True)

CENTER = "Center of fifty-three and five eighths: twenty-six and thirteen sixteenths."


@contextmanager
def bench(folder: Path, settings: str) -> Iterator[Window]:
    (folder / "settings.toml").write_text(settings)
    window = Window(
        "--no-screen",
        module="assistant.cli",
        ready="Ready",
        TAPEHAND_BOARD=str(folder / "board.db"),
        TAPEHAND_SETTINGS=str(folder / "settings.toml"),
        PYTHONIOENCODING="utf-8",
    )
    try:
        yield window
        window.types(b"\x03")
        assert window.ends() == 0
    finally:
        window.close()


def said(folder: Path, words: str) -> Path:
    """A recording of the words."""
    wav = folder / f"{words.replace(' ', '-')}.wav"
    subprocess.run(
        ["flite", "-voice", "slt", "--setf", "duration_stretch=1.2", "-t", words, "-o", str(wav)], check=True
    )
    return wav


def loud_seconds(recording: Recording) -> float:
    """How long there was sound in it: tenths of a second with a peak of a hundredth of full scale."""
    tenth = recording.rate // 10 * 2
    tenths = [recording.pcm[at : at + tenth] for at in range(0, len(recording.pcm), tenth)]
    return sum(max(map(abs, memoryview(part).cast("h")), default=0) > 327 for part in tenths) / 10


def ready(window: Window) -> None:
    """Wait until it has said that it is ready, and listens."""
    window.sees("speaking")
    window.sees("listening")


def test_asked_aloud_and_answered_aloud(sound_card: SoundCard, tmp_path: Path) -> None:
    with bench(tmp_path, '[hearing]\nattention = "open"\n') as window:
        ready(window)
        with sound_card.record_loudspeaker() as recording:
            sound_card.play_into_microphone(said(tmp_path, "center of fifty three and five eighths"))
            window.sees(CENTER)
            window.sees("listening")
        assert loud_seconds(recording) > 2


@pytest.mark.parametrize("spoiled", ["missing file", "truncated file"])
def test_a_model_that_cannot_be_used_is_said_aloud_and_another_takes_over(
    sound_card: SoundCard, tmp_path: Path, spoiled: str
) -> None:
    model = tmp_path / "mine"
    shutil.copytree(Path(assistant.__file__).parents[1] / "models" / "en", model)
    network = model / "am" / "final.mdl"
    network.write_bytes(network.read_bytes()[:1_000_000])
    if spoiled == "missing file":
        network.unlink()
    settings = f'[hearing]\nattention = "open"\nmodel = "{model}"\n'
    with sound_card.record_loudspeaker() as recording, bench(tmp_path, settings) as window:
        window.sees("has no am/final.mdl." if spoiled == "missing file" else "can't be loaded.")
        window.sees("Until then I hear with en.")
        window.sees("speaking")
        window.sees("listening")
        sound_card.play_into_microphone(said(tmp_path, "center of fifty three and five eighths"))
        window.sees(CENTER)
    assert loud_seconds(recording) > 6  # the sentence about the model alone takes five and a half


def test_the_wake_phrase(sound_card: SoundCard, tmp_path: Path) -> None:
    with bench(tmp_path, "[hearing]\nfollow_up = 3\n") as window:
        window.sees('say "tape hand"')  # the time to go on after "Ready." has run out
        sound_card.play_into_microphone(said(tmp_path, "center of fifty three and five eighths"))
        time.sleep(1)  # the pause that makes what comes next a sentence of its own
        sound_card.play_into_microphone(said(tmp_path, "tape hand"))
        window.sees("listening")
        assert CENTER not in window.shown
        sound_card.play_into_microphone(said(tmp_path, "center of fifty three and five eighths"))
        window.sees(CENTER)


HE_HAS_HEARD_ENOUGH = 2
WHOLE = 12
"""Seconds: what can be said takes longer than this to say."""


def test_a_key_cuts_a_long_answer(sound_card: SoundCard, tmp_path: Path) -> None:
    with bench(tmp_path, '[hearing]\nattention = "open"\n') as window:
        ready(window)
        with sound_card.record_loudspeaker() as recording:
            sound_card.play_into_microphone(said(tmp_path, "what can I say"))
            window.sees("You can say")
            time.sleep(HE_HAS_HEARD_ENOUGH)
            window.types(b"5")
            window.sees("five")
            window.sees("listening")
        assert 1 < loud_seconds(recording) < WHOLE


def test_stop_cuts_it_where_a_headset_is_worn(sound_card: SoundCard, tmp_path: Path) -> None:
    with bench(tmp_path, '[hearing]\nattention = "open"\nheadset = true\n') as window:
        ready(window)
        with sound_card.record_loudspeaker() as recording:
            sound_card.play_into_microphone(said(tmp_path, "what can I say"))
            window.sees("You can say")
            time.sleep(HE_HAS_HEARD_ENOUGH)
            sound_card.play_into_microphone(said(tmp_path, "stop"))
            window.sees("> stop")
            window.sees("listening")
        assert 1 < loud_seconds(recording) < WHOLE


def test_the_microphone_goes_and_comes_back(sound_card: SoundCard, tmp_path: Path) -> None:
    with bench(tmp_path, '[hearing]\nattention = "open"\n') as window:
        ready(window)
        try:
            sound_card.drop_microphone()
            window.sees("The microphone went quiet.")
            for key in (b"5", b"3", b".", b"5", b"/", b"8", b"\r"):
                window.types(key)
                window.sees("\x1b[K")
            window.sees("Fifty-three and five eighths.")
        finally:
            sound_card.restore_microphone()
        window.sees("listening")
        time.sleep(4)  # the answer to the keys is still being said, and until then it is deaf
        sound_card.play_into_microphone(said(tmp_path, "center of fifty three and five eighths"))
        window.sees(CENTER)
