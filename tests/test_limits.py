"""What is too much is refused at once, with a sentence that says what to do. No source: the limits are our own."""

from __future__ import annotations

import io
import struct
import sys
from fractions import Fraction
from pathlib import Path

import pytest

from assistant.cli import main
from assistant.desk import Desk
from assistant.errors import SoundFileUnreadable
from assistant.language.requests import PIECE, Center, Hold, Keep, ListBoard, Measure, Scratch, StartString
from assistant.layout.limits import LONGEST_STRING
from assistant.length import Length
from assistant.session.conversation import DEEPEST_UNDO
from assistant.session.job import Job
from assistant.settings import Settings
from tests.session.bench import Bench, hold, m

TOO_LONG = "That is too long for one request. Say it in pieces."


@pytest.mark.parametrize("text", ["next " * 200, "fifty three and five eighths plus " * 15, "a" * 5000, "1" * 5000])
def test_the_longest_sentence(text: str) -> None:
    answer = Desk(Settings()).ask(text)
    assert (answer.status, answer.say) == ("refused", TOO_LONG)


def test_a_sum_as_long_as_a_sentence_may_be() -> None:
    """Each "and" joins two halves of a size or two sizes: the readings must not double with every one of them."""
    answer = Desk(Settings()).ask(" plus ".join(["fifty three and five eighths"] * 13))
    assert answer.values[0].exact == str(13 * Fraction(429, 8))


def test_a_line_without_an_end(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("next " * 1_000_000 + "\ncenter of ten\n"))
    assert main(["ask", "-", "--board", "sqlite://"]) in (0, 1)
    printed = capsys.readouterr().out
    assert TOO_LONG in printed
    assert "Center of ten: five." in printed


def test_the_deepest_undo() -> None:
    bench = Bench()
    for number in range(DEEPEST_UNDO + 1):
        bench.hear(hold(1 + number % 7))
    assert DEEPEST_UNDO // 2 <= len(bench.session.history) <= DEEPEST_UNDO
    depth = len(bench.session.history)
    for _ in range(depth):
        assert bench.hear(Scratch()).say.startswith("Scratched.")
    answer = bench.hear(Scratch())
    assert (answer.status, answer.say) == ("refused", "That is as far back as I remember.")


def test_the_longest_string() -> None:
    bench = Bench()
    bench.hear(StartString())
    for _ in range(LONGEST_STRING):
        bench.hear(hold(5))
    answer = bench.hear(hold(5))
    assert (answer.status, answer.say) == (
        "refused",
        "There are two hundred in the string. Say total, then start another.",
    )
    assert len(bench.session.job.string or ()) == LONGEST_STRING


@pytest.mark.parametrize("asked", ["in nine hundred fifty parts", "double it"])
def test_marks_up_to_a_thousand(asked: str) -> None:
    desk = Desk(Settings())
    desk.ask("eighty foot")
    assert desk.ask(asked).status == "answer"


def test_a_million_marks() -> None:
    desk = Desk(Settings())
    answer = desk.ask("holes in a thousand foot, no more than a sixteenth")
    assert (answer.status, answer.marks) == ("refused", ())
    assert answer.say.endswith("spaces is more than I can count. Say one thousand or fewer.")
    (*_, keyed) = desk.keys("53.5/8E/9999E")
    assert (keyed.status, keyed.marks) == ("refused", ())
    assert keyed.say == (
        "Nine thousand nine hundred ninety-nine parts is more than I can count. Say one thousand or fewer."
    )


def test_a_board_too_long_to_be_read_out() -> None:
    kept = tuple((f"leg number {n}", Measure(Length(n))) for n in range(1, 5001))
    bench = Bench(job=Job(kept=kept))
    bench.hear(hold(3))
    bench.hear(Keep("gate"))
    answer = bench.hear(ListBoard())
    assert answer.say.startswith("On the board: leg number 4982, four thousand nine hundred eighty-two;")
    assert answer.say.endswith("gate, three; and 4981 more, kept before these.")
    assert len(answer.values) == 5001


def wav_of(path: Path, hours: float, rate: int = 16_000) -> Path:
    """A WAV file with hours of silence in it, taking no room on the disk."""
    size = int(hours * 3600 * rate * 2)
    header = struct.pack("<4sI4s4sIHHIIHH4sI", b"RIFF", 36 + size, b"WAVE", b"fmt ", 16, 1, 1, rate, rate * 2, 2, 16,
                         b"data", size)  # fmt: skip
    path.write_bytes(header)
    with path.open("r+b") as file:
        file.truncate(len(header) + size)
    return path


@pytest.mark.parametrize("hours", [0.2, 10])
def test_a_recording_of_ten_hours(tmp_path: Path, hours: float) -> None:
    resource = pytest.importorskip("resource", reason="Windows does not tell")
    recording = pytest.importorskip("assistant.hearing.recording", reason="the voice parts are not installed")
    pytest.importorskip("soundfile", reason="the voice parts are not installed")
    path = wav_of(tmp_path / "shift.wav", hours)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(SoundFileUnreadable, match=r"^shift\.wav is longer than 10 minutes\. Cut it shorter\.$"):
        recording.read(path)
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    assert grown < 100_000  # kilobytes: it is not read before it is refused


def test_undo_takes_back_each_of_many_centers() -> None:
    bench = Bench()
    bench.hear(hold(1024))
    for _ in range(30):
        bench.hear(Center(PIECE))
    assert bench.session.job.piece == m(1024)
    bench.hear(Hold(m(3)))
    bench.hear(Scratch())
    assert bench.session.job.piece == m(1024)
