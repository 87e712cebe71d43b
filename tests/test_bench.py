"""The loop of the bench: what happens goes in one after another, and every effect is carried out in its order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from assistant import settings
from assistant.bench import Bench, BoardMoved, Hearing, Loudness, Quit, Trouble, Words
from assistant.board.keeper import Keeper
from assistant.board.port import MemoryBoard
from assistant.board.sqlite import SqliteBoard
from assistant.desk import as_settings, manners_of, taken_up
from assistant.keypad.keys import Talk, keyed
from assistant.language.grammar import load_english
from assistant.language.requests import Attention, Manner, Measure
from assistant.language.understand import understand
from assistant.language.understanding import Understood
from assistant.length import Length
from assistant.printing.printer import ToFolder
from assistant.screen.view import RememberedView
from assistant.session.events import Heard, Misheard, SpeechFinished, WakeHeard
from assistant.session.job import Job
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.settings import Settings
from assistant.tape import THIRTY_SECONDS, Feet


class Recorder:
    """A voice and ears that write down what they are told, in order."""

    def __init__(self) -> None:
        self.told: list[object] = []
        self.saying = False
        self.voices: tuple[str, ...] = ()

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
        self.settings = settings

    def listen(self, expecting: str) -> None:
        self.told.append(("listen", expecting))

    def rest(self) -> None:
        self.told.append("rest")

    def finish(self) -> None:
        self.told.append("finish")

    def attend(self, by: Attention) -> None:
        self.told.append(("attend", by))

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
    bench = bench_with(view, keep_settings=lambda changes: settings.change(path, **changes))
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
        (Manner.HIGHER, "pitch", 99),
        (Manner.DEEPER, "pitch", 0),
    ],
)
def test_it_never_goes_off_the_scale(view: RememberedView, manner: Manner, field: str, end: int) -> None:
    kept: list[Mapping[str, Any]] = []
    bench = bench_with(view, keep_settings=kept.append)
    bench.voice = Recorder()
    for _ in range(30):
        bench.post(Heard(manner.value, Understood(manner)))
    bench.post(Quit())
    bench.run()
    assert kept[-1] == {field: end}


def kept_settings(words: Sequence[str], path: Path, view: RememberedView) -> tuple[Bench, Recorder, Recorder]:
    """What a bench does with settings said to it one after another, with the file at ``path``."""
    bench = bench_with(view, keep_settings=lambda changes: settings.change(path, **changes))
    voice, ears = Recorder(), Recorder()
    voice.voices = ("", "en-us+f2", "en-gb")
    bench.voice, bench.ears = voice, ears
    for said in words:
        bench.post(heard(said))
    bench.post(Quit())
    bench.run()
    return bench, voice, ears


@pytest.mark.parametrize(
    ("said", "changed"),
    [
        (["slower", "faster", "faster"], {"rate": 180}),
        (["higher"], {"pitch": 60}),
        (["deeper", "deeper"], {"pitch": 30}),
        (["another voice"], {"voice": "en-us+f2"}),
        (["another voice"] * 2, {"voice": "en-gb"}),
        (["another voice"] * 3, {"voice": ""}),
        (["thirty-seconds tape"], {"tape": "thirty-seconds"}),
        (["thirty-seconds tape", "scratch that"], {"tape": "sixteenths"}),
        (["always feet"], {"feet": "always"}),
        (["always feet", "inches only"], {"feet": "never"}),
        (["inches only", "feet or inches"], {"feet": "said"}),
        (["my plus is a thirty second"], {"plus": Fraction(1, 32)}),
        (["my plus is a hair"], {"plus": Fraction(0)}),
        (["fifty three strong", "three"], {"plus": Fraction(1, 32)}),
        (["wake word off"], {"attention": "open"}),
        (["push to talk"], {"attention": "push"}),
        (["push to talk", "wake word on"], {"attention": "wake"}),
    ],
)
def test_what_he_asks_for_is_in_the_file_and_so_there_tomorrow(
    view: RememberedView, tmp_path: Path, said: list[str], changed: dict[str, Any]
) -> None:
    path = tmp_path / "settings.toml"
    kept_settings(said, path, view)
    now, problems = settings.read(path)
    assert problems == []
    assert now == replace(Settings(), **changed)
    again = bench_with(view)
    assert again.session.manners == Manners()  # a bench without the file knows nothing of it
    assert as_settings(manners_of(now)) == {name: getattr(now, name) for name in ("tape", "attention", "plus", "feet")}


def test_the_voice_that_speaks_is_the_one_that_is_kept(view: RememberedView, tmp_path: Path) -> None:
    _, voice, _ = kept_settings(["another voice", "deeper"], tmp_path / "s.toml", view)
    assert (voice.settings.voice, voice.settings.pitch) == ("en-us+f2", 40)


def test_where_there_is_one_voice_only_he_is_told(view: RememberedView) -> None:
    bench = bench_with(view)
    for happening in (heard("another voice"), Quit()):
        bench.post(happening)
    bench.run()
    assert view.notices == ["There is only one voice on this computer. Install more in its settings for speech."]


def test_the_ears_attend_as_he_asked_and_the_screen_says_so(view: RememberedView, tmp_path: Path) -> None:
    bench, _, ears = kept_settings(["push to talk"], tmp_path / "s.toml", view)
    assert ("attend", Attention.PUSH) in ears.told
    assert ears.told.index(("attend", Attention.PUSH)) > max(
        (i for i, told in enumerate(ears.told) if told == ("listen", "request")), default=-1
    )
    assert bench.session.manners.attention is Attention.PUSH


def test_settings_changed_in_the_file_go_before_what_was_asked_aloud_before() -> None:
    """And what was asked aloud stands where the file says the same."""
    asked = Job(tape=THIRTY_SECONDS, plus=Length("1/32"), feet=Feet.ALWAYS)
    assert taken_up(asked, Manners()) == Job()
    same = Manners(tape=THIRTY_SECONDS, plus=Length("1/32"), feet=Feet.ALWAYS)
    assert taken_up(asked, same) == asked


def test_a_sheet_is_printed_before_it_is_said_where_it_is(
    view: RememberedView, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))  # where no printer is
    bench = bench_with(view, printer=ToFolder(tmp_path / "Tapehand"))
    there: list[bool] = []

    class Voice(Recorder):
        def say(self, text: str) -> None:
            super().say(text)
            there.append((tmp_path / "Tapehand" / "mark-sheet-1.pdf").exists())

    voice = bench.voice = Voice()
    for happening in (heard("53 5/8 in seven parts"), heard("print the marks"), Quit()):
        bench.post(happening)
    bench.run()
    said = "There is no printer here. Mark sheet one is in the folder Tapehand."
    assert ("say", said) in voice.told
    assert view.answers[-1].say == said
    assert there == [False, False, True]


def test_trouble_is_shown_and_the_rest_goes_on(view: RememberedView) -> None:
    bench = bench_with(view)
    for happening in (Trouble("The keyboard has gone."), WakeHeard(), heard("53 5/8"), Quit()):
        bench.post(happening)
    bench.run()
    assert view.notices == ["The keyboard has gone."]
    assert view.answers[-1].values[0].exact == "429/8"


def test_trouble_with_hearing_is_said_too_and_a_file_by_its_name_alone(view: RememberedView) -> None:
    sentence = "The speech model in /home/ann/models/en can't be loaded. Copy the whole model folder again."
    bench = bench_with(view)
    voice = bench.voice = Recorder()
    ears = bench.ears = Recorder()
    for happening in (Trouble(sentence, aloud=True), Trouble("The board is full."), Quit()):
        bench.post(happening)
    bench.run()
    assert view.notices == [sentence, "The board is full."]
    said = "The speech model in en can't be loaded. Copy the whole model folder again."
    assert [told for told in voice.told if told[0] == "say"] == [("say", "Ready."), ("say", said)]
    assert ears.told.count("mute") == 2  # it does not hear itself say so


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
