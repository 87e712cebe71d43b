"""``tapehand say``: to a file, heard by pocketsphinx; with the loudspeaker missing, one plain sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.speaking.sound import Sound
from tests.cli.conftest import Tapehand
from tests.speaking.ears import heard, real_voice

CHOICES = ["fifty three and five eighths", "fifty three and three eighths", "thirty five and five eighths", "next"]


def test_say_to_a_file(tapehand: Tapehand, tmp_path: Path) -> None:
    soundfile = pytest.importorskip("soundfile", reason="no libsndfile here to read the file with")
    with real_voice():
        pass
    ran = tapehand("say", "fifty-three and five eighths", "--out", str(tmp_path / "said.wav"))
    assert (ran.status, ran.err) == (0, "")
    samples, rate = soundfile.read(tmp_path / "said.wav", dtype="int16")
    assert heard(Sound(samples.tobytes(), rate), CHOICES) == CHOICES[0]


def test_nothing_to_say_is_one_plain_sentence(tapehand: Tapehand, tmp_path: Path) -> None:
    ran = tapehand("say", " ", "--out", str(tmp_path / "said.wav"))
    assert ran.status != 0
    assert "nothing to say" in ran.err
    assert not (tmp_path / "said.wav").exists()


def test_no_loudspeaker_is_one_plain_sentence(tapehand: Tapehand, tmp_path: Path) -> None:
    with real_voice():
        pass
    (tmp_path / "settings.toml").write_text('loudspeaker = "a card nobody has"\n')
    ran = tapehand("say", "ten")
    assert ran.status == 1
    assert "loudspeaker" in ran.err or "no sound here" in ran.err
