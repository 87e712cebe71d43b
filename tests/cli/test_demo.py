"""The whole job with no hardware: asked by the voice, heard by the recogniser, answered, recorded."""

from __future__ import annotations

import json
import re
import sys
import wave
from fractions import Fraction
from pathlib import Path

import pytest

from assistant.demo import REQUESTS
from tests.cli.conftest import Tapehand
from tests.speaking.ears import real_voice

# Python's fractions as the reference library.
FACES = 18 * 12 + 7 + Fraction(3, 8)
RAIL = FACES - 2 * (2 + Fraction(3, 4))
POST = 42 - (1 + Fraction(1, 2)) - Fraction(3, 8)
WORKED = {
    "keep that as rail": RAIL,
    "in four parts": RAIL / 4,
    "middle": RAIL / 2,
    "forty two, less one and a half, less three eighths": POST,
    "keep that as post": POST,
    "forty two, less three and a half, less one and a half": Fraction(37),
    "take off four": FACES - 4,
    "post": POST,
}
KERF = Fraction(1, 8)


def test_the_demo_is_heard_answered_and_written_down(tapehand: Tapehand, tmp_path: Path) -> None:
    with real_voice():
        pass
    pytest.importorskip("soxr", reason="no resampler here")
    folder = tmp_path / "shown" / "demo"
    ran = tapehand("demo", "--out", str(folder))
    assert ran.status == 0, ran.out + ran.err
    transcript = (folder / "transcript.txt").read_text()
    right = re.search(r"(\d+) of (\d+) requests heard right by \w+\.\n$", transcript)
    assert right is not None
    assert int(right[2]) == len(REQUESTS)
    assert set(WORKED) < set(REQUESTS)

    answers = [json.loads(line) for line in (folder / "answers.jsonl").read_text().splitlines()]
    for answer in answers:
        assert answer["said"] in transcript
        assert answer["say"] in transcript
    if right[1] == right[2]:  # a wrong one would carry on into those after it
        worked = {a["said"]: Fraction(a["values"][0]["exact"]) for a in answers if a["values"]}
        assert {said: worked[said] for said in WORKED} == WORKED
        walked = [a["values"][0]["exact"] for a in answers if a["said"] == "next" and a["values"]]  # asked again: none
        assert list(map(Fraction, walked)) == [RAIL / 4, RAIL / 2]
    (cut_list,) = [a for a in answers if any(v["name"] == "sticks" for v in a["values"]) and a["status"] == "answer"]
    # By hand: a rail is longer than half a stick, so two rails take two; the five posts go in a third.
    assert [v["exact"] for v in cut_list["values"]][:2] == ["3", "3"]
    assert [Fraction(mark["exact"]) for mark in cut_list["marks"]] == [
        *(FACES - 4, FACES - 4),
        *(POST * k + KERF * (k - 1) for k in range(1, 6)),
    ]
    with wave.open(str(folder / "conversation.wav")) as recording:
        assert (recording.getnchannels(), recording.getsampwidth()) == (1, 2)
        assert recording.getnframes() / recording.getframerate() > 3 * len(REQUESTS)
    assert not tapehand.board.exists(), "the demo keeps its hands off the board"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="breaks a library the way Linux looks for it")
def test_no_voice_to_ask_with_is_one_plain_sentence(tapehand: Tapehand, tmp_path: Path) -> None:
    for name in ("libespeak-ng.so.1", "libespeak.so.1"):
        (tmp_path / name).write_bytes(b"")
    ran = tapehand("demo", "--out", str(tmp_path / "demo"), LD_LIBRARY_PATH=str(tmp_path))
    assert ran.status == 1
    assert re.search(r"voice.*(espeak-ng|\./tapehand)", ran.err)
    assert not (tmp_path / "demo" / "transcript.txt").exists()


def test_a_folder_that_cannot_be_written_is_one_plain_sentence(tapehand: Tapehand, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    ran = tapehand("demo", "--out", str(tmp_path / "taken"))
    assert ran.status in (1, 2)
    assert "cannot be written. Choose another folder" in ran.err
