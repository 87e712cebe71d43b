"""The loop of the bench: what happens goes in one after another, and every effect is carried out in its order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from assistant import settings
from assistant.bench import Bench, BoardMoved, Hearing, Loudness, Quit, Trouble, Words
from assistant.board.keeper import Keeper
from assistant.board.port import MemoryBoard
from assistant.board.sqlite import SqliteBoard
from assistant.keypad.keys import Talk, keyed
from assistant.language.grammar import load_english
from assistant.language.requests import Manner, Measure
from assistant.language.understand import understand
from assistant.language.understanding import Understood
from assistant.length import Length
from assistant.screen.view import RememberedView
from assistant.session.events import Heard, Misheard, SpeechFinished, WakeHeard
from assistant.session.job import Job
from assistant.session.manners import Attention, Manners
from assistant.session.session import Session
from assistant.settings import Settings


class Recorder:
    """A voice and ears that write down what they are told, in order."""

    def __init__(self) -> None:
        self.told: list[object] = []
        self.saying = False

    @property
    def heard_of(self) -> list[object]:
        """What it was told to hear, leaving out when to be deaf."""
        return [told for told in self.told if told not in ("mute", "unmute")]

    def say(self, text: str) -> None:
        self.told.append(("say", text))

    def sound(self, earcon: str) -> None:
        self.told.append(("sound", earcon))

    def hush(self) -> None:
        self.told.append("hush")

    def prepare(self, texts: Sequence[str]) -> None:
        self.told.append("prepare")

    def adjust(self, settings: Settings) -> None:
        self.told.append(("adjust", settings.rate, settings.volume))

    def listen(self, expecting: str) -> None:
        self.told.append(("listen", expecting))

    def rest(self) -> None:
        self.told.append("rest")

    def finish(self) -> None:
        self.told.append("finish")

    def mute(self) -> None:
        self.told.append("mute")

    def unmute(self) -> None:
        self.told.append("unmute")

    def close(self) -> None:
        self.told.append("close")


@pytest.fixture
def view() -> RememberedView:
    return RememberedView()


def bench_with(view: RememberedView, attention: Attention = Attention.WAKE, **more: object) -> Bench:
    session = Session(Manners(attention=attention))
    bench = Bench(session, Keeper(MemoryBoard()), load_english(), replace(Settings(), follow_up=0), **more)  # type: ignore[arg-type]
    bench.views.append(view)
    return bench


def heard(words: str) -> Heard:
    return Heard(*understand(load_english(), words))


def test_keys_are_answered_and_shown_as_they_come(view: RememberedView) -> None:
    bench = bench_with(view, Attention.PUSH)
    for key in keyed("53.5/8EE"):
        bench.post(key)
    bench.post(Quit())
    bench.run()
    assert [answer.values[0].exact for answer in view.answers if answer.values] == ["429/8", "429/16"]
    assert view.entries[:6] == [
        "five",
        "fifty-three",
        "fifty-three and",
        "fifty-three and five",
        "fifty-three and five over",
        "fifty-three and five eighths",
    ]
    assert view.entries[-1] == ""


def test_the_window_closes_by_itself(view: RememberedView) -> None:
    bench = bench_with(view)
    recorder = bench.ears = Recorder()
    bench.post(heard("53 5/8"))
    bench.post(SpeechFinished())

    class QuitWhenResting(Recorder):
        def rest(self) -> None:
            super().rest()
            bench.post(Quit())

    recorder = bench.ears = QuitWhenResting()
    bench.run()
    assert recorder.told[-1] == "rest"
    assert view.states[-1] == "ready"


def test_what_is_said_as_the_talk_key_comes_up_is_still_answered(view: RememberedView) -> None:
    bench = bench_with(view, Attention.PUSH)
    recorder = bench.ears = Recorder()
    for happening in (Talk.DOWN, Talk.UP, Words("53 5/8"), Quit()):
        bench.post(happening)
    bench.run()
    assert recorder.heard_of == [("listen", "request"), "finish", "rest"]
    assert [answer.values[0].exact for answer in view.answers if answer.values] == ["429/8"]


def test_noise_after_the_talk_key_came_up_leaves_nobody_listening(view: RememberedView) -> None:
    bench = bench_with(view, Attention.PUSH)
    recorder = bench.ears = Recorder()

    class QuitAtTheEnd(RememberedView):
        def state(self, words: str) -> None:
            super().state(words)
            if self.states[-2:] == ["thinking", "ready"]:
                bench.post(Quit())

    bench.views.append(QuitAtTheEnd())
    for happening in (Talk.DOWN, Talk.UP):
        bench.post(happening)
    bench.run()
    assert recorder.heard_of == [("listen", "request"), "finish", "rest", "rest"]


def test_what_is_said_aloud_comes_after_what_is_shown_and_kept(view: RememberedView, tmp_path: Path) -> None:
    board = SqliteBoard(tmp_path / "board.db")
    bench = Bench(Session(Manners()), Keeper(board), load_english(), Settings())
    bench.views.append(view)
    order: list[str] = []

    class Voice(Recorder):
        def say(self, text: str) -> None:
            job, _ = board.load()
            order.append(f"{text} {view.answers[-1].say == text} {job.piece is not None}")

    bench.voice = Voice()
    for happening in (heard("53 5/8"), Quit()):
        bench.post(happening)
    bench.run()
    board.close()
    assert order == ["Ready. True False", "Fifty-three and five eighths. True True"]


def test_slower_and_louder_are_kept(view: RememberedView, tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    bench = bench_with(view, keep_settings=lambda now: settings.change(path, rate=now.rate, volume=now.volume))
    recorder = bench.voice = Recorder()
    for words in ("slower", "slower", "softer"):
        bench.post(heard(words))
    bench.post(Quit())
    bench.run()
    adjusted = [told for told in recorder.told if isinstance(told, tuple) and told[0] == "adjust"]
    assert adjusted == [("adjust", 140, 100), ("adjust", 120, 100), ("adjust", 120, 80)]
    assert settings.read(path) == (replace(Settings(), rate=120, volume=80), [])


@pytest.mark.parametrize(
    ("manner", "field", "end"),
    [
        (Manner.LOUDER, "volume", 200),
        (Manner.SOFTER, "volume", 20),
        (Manner.FASTER, "rate", 300),
        (Manner.SLOWER, "rate", 80),
    ],
)
def test_it_never_goes_off_the_scale(view: RememberedView, manner: Manner, field: str, end: int) -> None:
    kept: list[Settings] = []
    bench = bench_with(view, keep_settings=kept.append)
    bench.voice = Recorder()
    for _ in range(30):
        bench.post(Heard(manner.value, Understood(manner)))
    bench.post(Quit())
    bench.run()
    assert getattr(kept[-1], field) == end


def test_trouble_is_shown_and_the_rest_goes_on(view: RememberedView) -> None:
    bench = bench_with(view)
    for happening in (Trouble("The keyboard has gone."), WakeHeard(), heard("53 5/8"), Quit()):
        bench.post(happening)
    bench.run()
    assert view.notices == ["The keyboard has gone."]
    assert view.answers[-1].values[0].exact == "429/8"


def test_words_are_read_by_what_is_expected(view: RememberedView) -> None:
    bench = bench_with(view)
    for happening in (Words("fifty three and five"), Words("eighths"), Quit()):
        bench.post(happening)
    bench.run()
    assert [answer.status for answer in view.answers[1:]] == ["question", "answer"]
    assert view.answers[-1].values[0].exact == "429/8"


def test_what_is_being_heard_is_shown_until_it_is_over(view: RememberedView) -> None:
    bench = bench_with(view)
    for happening in (WakeHeard(), Hearing("fifty"), Hearing("fifty three"), Misheard("unclear"), Quit()):
        bench.post(happening)
    bench.run()
    assert view.words == ["fifty", "fifty three", ""]
    assert "hearing" in view.states


def test_too_loud_is_a_state_of_its_own(view: RememberedView) -> None:
    bench = bench_with(view, Attention.PUSH)
    for happening in (SpeechFinished(), Loudness(0.9, True), Loudness(0.2, False), Quit()):
        bench.post(happening)
    bench.run()
    assert view.states[-2:] == ["too loud", "ready"]


def test_the_end_of_what_was_cut_is_not_the_end_of_what_is_being_said(view: RememberedView) -> None:
    bench = bench_with(view)
    voice = bench.voice = Recorder()
    ears = bench.ears = Recorder()
    voice.saying = True
    for happening in (Words("53 5/8"), SpeechFinished(), Quit()):
        bench.post(happening)
    bench.run()
    assert "unmute" not in ears.told
    assert view.states[-1] == "speaking"


def test_it_is_deaf_while_it_speaks_but_not_with_a_headset(view: RememberedView) -> None:
    for headset, deaf in ((False, True), (True, False)):
        session = Session(Manners())
        bench = Bench(session, Keeper(MemoryBoard()), load_english(), replace(Settings(), headset=headset))
        ears = bench.ears = Recorder()
        bench.post(Quit())
        bench.run()
        assert ("mute" in ears.told) is deaf


def test_what_another_bench_does_to_the_board_is_taken_in_at_once(view: RememberedView, tmp_path: Path) -> None:
    board, other = SqliteBoard(tmp_path / "board.db"), SqliteBoard(tmp_path / "board.db", jobs=False)
    job, history = board.load()
    bench = Bench(Session(Manners(ask_plus=False), job=job, history=history), Keeper(board), load_english(), Settings())
    bench.views.append(view)
    leg = Measure(Length("53 5/8"))
    other.save(Job(kept=(("leg", leg),)), (other.load()[0],))
    for happening in (heard("9 1/2"), BoardMoved(), heard("the leg"), Quit()):
        bench.post(happening)
    bench.run()
    assert view.answers[-1].say == "Leg: fifty-three and five eighths."
    other.save(Job(), (Job(kept=(("leg", leg),)),))
    for happening in (BoardMoved(), heard("scratch that"), heard("scratch that"), Quit()):
        bench.post(happening)
    bench.run()
    assert view.notices == ["Another bench is done with leg."]
    assert bench.session.job.clean
    assert bench.session.job.kept == () == board.names()
    board.close()
    other.close()
