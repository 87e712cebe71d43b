"""The loudspeaker where there is none, and the stand-in. With a sound card: tests/real/test_loudspeaker.py."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

import pytest

from assistant.errors import LoudspeakerUnavailable
from assistant.speaking import player as player_module
from assistant.speaking.earcons import earcon
from assistant.speaking.player import Loudspeaker, RecordingPlayer
from assistant.speaking.sound import join


@pytest.mark.parametrize(
    ("library", "sentence"),
    [
        ("raise ImportError", r"no sound here: run \./tapehand to install the voice parts\."),
        ("raise OSError('PortAudio library not found')", r"no sound here: install PortAudio \(sudo apt install "),
        ("import os; os._exit(3)", r"The loudspeaker is gone\. Check its plug; the answers are on the screen\."),
    ],
)
def test_a_sound_library_that_is_missing_or_broken_is_one_plain_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: str, sentence: str
) -> None:
    (tmp_path / "sounddevice.py").write_text(library)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    loudspeaker = Loudspeaker()
    for _ in range(2):  # the second time at once, without trying again so soon
        loudspeaker.play(earcon("key"))
        with pytest.raises(LoudspeakerUnavailable, match=sentence):
            loudspeaker.wait()
    loudspeaker.stop()
    loudspeaker.close()


def test_a_loudspeaker_that_is_not_there_is_one_plain_sentence() -> None:
    pytest.importorskip("sounddevice", reason="no sounddevice here", exc_type=OSError)
    loudspeaker = Loudspeaker(device="a card nobody has")
    loudspeaker.play(earcon("key"))
    with pytest.raises(LoudspeakerUnavailable, match=r"No loudspeaker found\. Plug one in"):
        loudspeaker.wait()
    loudspeaker.close()


@pytest.mark.skipif(sys.platform == "win32", reason="no signals to send on Windows")
def test_a_loudspeaker_that_hangs_is_given_up_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(player_module, "START_DEADLINE_S", 0.3)
    monkeypatch.setattr(player_module, "FINISH_MARGIN_S", 0.2)
    loudspeaker = Loudspeaker()
    pid = loudspeaker.child_pid
    assert pid is not None
    os.kill(pid, signal.SIGSTOP)
    loudspeaker.play(earcon("key"))
    with pytest.raises(LoudspeakerUnavailable):
        loudspeaker.wait()
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)
    loudspeaker.close()


def test_closing_leaves_no_process() -> None:
    loudspeaker = Loudspeaker()
    pid = loudspeaker.child_pid
    assert pid is not None
    loudspeaker.close()
    loudspeaker.close()
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_the_stand_in_keeps_everything_for_one_wav_file(tmp_path: Path) -> None:
    soundfile = pytest.importorskip("soundfile", reason="no libsndfile here to read the file with")
    player = RecordingPlayer()
    for name in ("listening", "got-it"):
        player.play(earcon(name))
        assert player.wait()
    player.save(tmp_path / "played.wav")
    samples, rate = soundfile.read(tmp_path / "played.wav", dtype="int16")
    assert samples.tobytes() == join([earcon("listening"), earcon("got-it")], rate).pcm
