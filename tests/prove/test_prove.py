"""The benchmarks' own arithmetic. Expected values worked by hand; no test asserts a time or an accuracy."""

import contextlib
import os
import queue
import random
import subprocess
import sys

import pytest

np = pytest.importorskip("numpy", reason="the voice extra is not installed")

from assistant.board.sqlite import SqliteBoard  # noqa: E402
from assistant.child import Message  # noqa: E402
from assistant.errors import TapehandError  # noqa: E402
from assistant.hearing.recogniser import ScriptedRecogniser  # noqa: E402
from assistant.language.grammar import load_english  # noqa: E402
from assistant.language.requests import Attention  # noqa: E402
from assistant.language.understand import understand  # noqa: E402
from assistant.prove import hearing, language, soak, sticks, usage  # noqa: E402
from assistant.prove.sets import Clip, mixed  # noqa: E402
from assistant.prove.source import in_source  # noqa: E402
from assistant.prove.table import Row, lines, percentile  # noqa: E402
from assistant.screen.view import RememberedView  # noqa: E402
from assistant.speaking.voice import SilentVoice  # noqa: E402

ENGLISH = load_english()


def tone(hertz, seconds, peak=8000):
    t = np.arange(int(16000 * seconds)) / 16000
    return (peak * np.sin(2 * np.pi * hertz * t)).astype(np.int16)


def test_noise_is_mixed_at_the_ratio_asked_for():
    speech = Clip(tone(300, 1).tobytes(), "five", "a", "s")
    noise = Clip(tone(50, 0.3, 500).tobytes(), "", "n", "n")
    for decibels in (20, 10, 0):
        both = np.frombuffer(mixed(speech, noise, decibels, random.Random(1)).pcm, np.int16).astype(float)
        clean = tone(300, 1).astype(float)
        scale = float(both @ clean / (clean @ clean))  # both may have been turned down to fit
        left = both / scale - clean
        assert 10 * np.log10(np.mean(clean**2) / np.mean(left**2)) == pytest.approx(decibels, abs=0.3)


def test_a_pause_does_not_make_the_speech_softer():
    loud = tone(300, 0.5)
    with_pause = Clip(np.concatenate([loud, np.zeros(16000, np.int16)]).tobytes(), "", "", "")
    without = Clip(loud.tobytes(), "", "", "")
    noise = Clip(tone(50, 3).tobytes(), "", "", "")
    quiet, same = (mixed(c, noise, 20, random.Random(1)).pcm for c in (with_pause, without))
    tail = np.frombuffer(quiet, np.int16)[-8000:].astype(float)
    head = np.frombuffer(same, np.int16).astype(float) - loud
    assert np.std(tail) == pytest.approx(np.std(head), rel=0.2)


def test_sentences_count_by_what_they_mean():
    said = ["fifty three and five eighths", "center of six foot", "next", "next"]
    heard = ["fifty three five eighth", "center of six feet", "back", ""]
    clips = [Clip(b"\0\0" * 1600, words, f"speaker {i}", words) for i, words in enumerate(said)]
    trials = hearing.hear(ScriptedRecogniser(heard), clips)
    rows = list(hearing.accuracy("g", "w", trials, lambda t: understand(ENGLISH, t)[1], lambda h: bool(h.words)))
    assert rows[0].measured.startswith("50 % (")
    assert rows[1].measured.startswith("50 % right, 25 % wrong")
    spoken, errors = 5 + 4 + 1 + 1, 2 + 1 + 1 + 1  # "and" dropped, "eighth", "feet", "back", nothing
    assert rows[2].measured == f"{100 * (spoken - errors) / spoken:.0f} %"


def test_talk_taken_for_a_request_is_counted():
    clips = [Clip(b"\0\0" * 1600, "", "s", "n")] * 4
    trials = hearing.hear(ScriptedRecogniser(["next", "", "give me coffee", "five eighths"]), clips)
    row = hearing.false_accepts("g", "w", trials, lambda t: understand(ENGLISH, t)[1], lambda h: bool(h.words))
    assert row.measured == "50 % of 4"


def test_word_errors():
    assert hearing.word_errors(["a", "b", "c"], ["a", "b", "c"]) == 0
    assert hearing.word_errors(["a", "b", "c"], ["a", "x", "c", "d"]) == 2
    assert hearing.word_errors([], ["a"]) == 1


def test_percentile_and_table():
    assert [percentile([3, 1, 2, 4], share) for share in (0, 0.5, 1)] == [1, 3, 4]
    rows = iter([Row("g", "w", "1 ms", "2 ms"), Row("g", "x", "3")])
    table = lines(rows)
    assert [next(table) for _ in range(3)][2] == "| g | w | 1 ms | 2 ms |"
    assert next(rows) == Row("g", "x", "3")  # each line comes with its row: what is broken off has shown what it had


def test_cut_lists_are_counted_by_what_is_proven():
    # By hand: 6 and 4 fill a stick of ten, twice; nobody needs three.
    lists = [sticks.Listed("two", 10, (6, 6, 4, 4), 2), sticks.Listed("wrong on purpose", 10, (6, 6, 4, 4), 3)]
    rows = {row.what: row.measured for row in sticks.measure(lists)}
    assert rows["lists given, up to 4 pieces: best and proven"] == "1 of 2 (not: wrong on purpose 2 to 2)"
    assert rows["worse than the longest first"] == "0"


def test_lists_of_our_own_making_fill_every_stick():
    for listed in sticks.made():
        assert sum(listed.sizes) == listed.room * listed.best


def test_words_one_sound_apart():
    sounds = {
        "eight": ["EY", "T"],
        "eighth": ["EY", "T", "TH"],
        "ate": ["EY", "T"],
        "next": ["N", "EH", "K", "S", "T"],
    }
    assert language.confusable(sorted(sounds), sounds) == [
        ("ate", "eight"),
        ("ate", "eighth"),
        ("eight", "eighth"),
    ]
    rows = list(language.measure(ENGLISH))
    assert next(r.what for r in rows) == "size of the grammar"


def test_a_table_that_is_not_there_says_where_it_is():
    with pytest.raises(TapehandError, match=r"needs Tapehand's source: there, type \./tapehand prove --nothing\."):
        in_source("nothing", quick=True)


def test_children_and_zombies_are_counted():
    """proc(5); on other systems nothing is known."""
    if not os.path.isdir("/proc/self"):
        pytest.skip("no /proc here")
    before = usage.taken()
    child = subprocess.Popen([sys.executable, "-c", "import sys; sys.stdin.read()"], stdin=subprocess.PIPE)
    try:
        assert child.pid in usage.children()
        assert usage.taken().children == before.children + 1
        assert usage.taken().megabytes > usage.megabytes(child.pid) > 0
        assert usage.taken(besides=child.pid).children == before.children
        assert child.stdin is not None
        child.stdin.close()
        os.waitid(os.P_PID, child.pid, os.WEXITED | os.WNOWAIT)  # it has ended, and nobody has taken note of it
        assert usage.taken().zombies == before.zombies + 1
    finally:
        child.wait()
    assert usage.taken().zombies == before.zombies


def test_the_fullest_queue_is_seen():
    full: queue.SimpleQueue = queue.SimpleQueue()
    for number in range(1234):
        full.put(number)
    assert usage.waiting() >= 1234


def test_growth_is_from_when_it_had_settled_to_the_end():
    def looks(megabytes):
        return [(15.0 * n, usage.Taken(size, 5, 2, 0, 0)) for n, size in enumerate(megabytes)]

    started, settled, grown = [10.0] * 41, [200.0] * 100, [220.0] * 20
    rows = list(soak._grown(looks(started + settled + grown)))
    assert rows[0].measured == "200 MB to 220 MB, +10.0 %"
    assert rows[0].what.startswith("memory in all, from 10 min to 40 min")
    assert next(iter(soak._grown(looks(started + settled + settled)))).measured == "200 MB to 200 MB, +0.0 %"


def test_the_day_goes_by_its_sound():
    ticks: list[float] = []
    stretches = iter([Message({"kind": "noise"}, bytes(32_000)), Message({"kind": "talk"}, bytes(64_000))])
    day = soak._Day(stretches, lambda: ticks.append(day.now))
    day.goes_on(3.0)
    with contextlib.suppress(EOFError):
        while True:
            day.take(0)
    assert day.now == pytest.approx(3.0)
    assert day.asked == 0
    assert (day.lasted["noise"], day.lasted["talk"]) == (pytest.approx(1.0), pytest.approx(2.0))
    assert ticks == sorted(ticks)


class ListenerThatNotes:
    def __init__(self):
        self.told: list[tuple[str, str]] = []

    def listen(self, expecting):
        self.told.append(("listen", expecting))

    def rest_with(self, rule):
        self.told.append(("rest with", rule))


def test_half_way_the_listener_there_is_goes_on_otherwise(tmp_path):
    """A second one with its detector would be memory that no bench takes."""
    board = SqliteBoard(tmp_path / "board.db")
    try:
        hand = soak._Hand(ENGLISH, board, SilentVoice(), RememberedView())
        hand.listener = listener = ListenerThatNotes()
        hand.day = soak._Day(iter([]), lambda: None)
        hand.attend(Attention.OPEN)
        assert listener.told == [("rest with", "request"), ("listen", "request"), ("listen", "request")]
        assert hand.session.manners.attention is Attention.OPEN
    finally:
        board.close()


def test_each_half_of_the_day_is_counted_by_itself():
    stretches = (Message({"kind": "conversation"}, bytes(32_000)) for _ in range(5))
    day = soak._Day(stretches, lambda: None)
    for seconds in (2.0, 3.0):
        day.goes_on(seconds)
        with contextlib.suppress(EOFError):
            while True:
                day.take(0)
        assert day.asked == seconds
        assert day.lasted["conversation"] == pytest.approx(seconds)
    assert day.now == pytest.approx(5.0)
