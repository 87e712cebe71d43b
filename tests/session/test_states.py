"""The table of states, walked: every state with every event, the impossible ones too."""

from __future__ import annotations

import pytest

from assistant.language.requests import Attention, Manner
from assistant.language.understanding import NotUnderstood, Understood
from assistant.session.effects import (
    Adjust,
    Hush,
    Listen,
    Notice,
    Prepare,
    Save,
    Say,
    Show,
    Sound,
    StopListening,
)
from assistant.session.events import (
    Asked,
    BoardChanged,
    Heard,
    MicrophoneBack,
    MicrophoneLost,
    Misheard,
    SpeechFinished,
    Started,
    TalkKey,
    WakeHeard,
    WindowClosed,
)
from assistant.session.manners import Manners
from assistant.session.states import TABLE, State, kind_of
from tests.session.bench import Bench, hold

PIECE = Asked(hold("53 5/8"), "fifty-three and five eighths")
LOST = MicrophoneLost("The microphone is gone. Plug it in again, or use the keys.")
EVENTS = {
    "started": Started(),
    "heard": Heard("fifty three", Understood(hold(53))),
    "asked": PIECE,
    "unclear": Misheard("unclear"),
    "noise": Misheard("noise"),
    "wake": WakeHeard(),
    "down": TalkKey(True),
    "up": TalkKey(False),
    "window": WindowClosed(),
    "finished": SpeechFinished(),
    "lost": LOST,
    "back": MicrophoneBack(),
    "board": BoardChanged((), (("leg", hold(9).what),)),
}

# How to get there, and where each event leads from there: "-" is an event that cannot be meant.
WALKS = """
            by                started heard asked unclear noise wake down up window finished lost back board
waiting     -                 S       S     S     -       -     C    H    -  -      -        D    -    W
called      wake              -       S     S     S       S     C    H    -  W      -        D    -    C
listening   asked,finished    S       S     S     S       L     C    H    -  W      L        D    -    L
held        down              -       H     H     H       H     -    -    R  -      -        D    -    H
released    down,up           -       S     S     S       S     C    H    -  W      -        D    -    R
speaking    asked             -       S     S     -       -     C    H    -  -      L        D    -    S
deaf        lost              D       D     D     -       -     -    D    -  -      -        -    W    D
"""
# Where push to talk, and attention that is always open, lead elsewhere.
OTHERWISE = {
    Attention.WAKE: {},
    Attention.PUSH: {("speaking", "finished"): "W", ("called", "window"): "W"},
    Attention.OPEN: {
        ("called", "window"): "L",
        ("listening", "window"): "L",
        ("held", "up"): "L",
        ("deaf", "back"): "L",
    },
}
LETTERS = {state.value[0].upper(): state for state in State}


def _rows():
    header, *lines = [line.split() for line in WALKS.strip().splitlines()]
    for name, by, *leads in lines:
        for event, lead in zip(header[1:], leads, strict=True):
            yield name, by, event, lead


def _bench(attention: Attention, by: str) -> Bench:
    bench = Bench(Manners(attention=attention))
    for step in by.split(","):
        if step != "-":
            bench.send(EVENTS[step])
    return bench


def _cases():
    for attention in Attention:
        for name, by, event, lead in _rows():
            start = State(name)
            if attention is Attention.PUSH and start is State.LISTENING:
                continue  # there is no window to go on
            if attention is Attention.OPEN and start in (State.WAITING, State.RELEASED):
                continue  # he always has our attention
            yield attention, start, by, event, OTHERWISE[attention].get((name, event), lead)


@pytest.mark.parametrize(("attention", "start", "by", "event", "lead"), list(_cases()))
def test_every_state_with_every_event(attention, start, by, event, lead):
    bench = _bench(attention, by)
    session = bench.session
    assert session.state is start
    before = session.job, session.history, session.question
    effects = bench.send(EVENTS[event])
    if lead == "-":
        assert effects == []
        assert session.state is start
        assert (session.job, session.history, session.question) == before
    else:
        assert session.state is LETTERS[lead]
        assert session.state in TABLE[start][kind_of(EVENTS[event])]


def test_the_table_knows_exactly_the_pairs_that_are_walked():
    walked = {(State(name), kind_of(EVENTS[event])) for name, _, event, lead in _rows() if lead != "-"}
    assert walked == {(state, kind) for state, row in TABLE.items() for kind in row}
    assert set(TABLE) == set(State)


def test_saved_before_shown_before_said():
    bench = Bench()
    bench.send(EVENTS["heard"])
    kinds = [type(effect) for effect in bench.effects]
    assert kinds == [Save, Show, Sound, Say, Listen, Prepare]


def test_an_answer_opens_the_window_and_its_end_opens_it_again():
    bench = Bench()
    assert Listen("request", follow_up=True) in bench.send(PIECE)
    assert bench.send(SpeechFinished()) == [Listen("request", follow_up=True)]
    assert bench.send(WindowClosed()) == [StopListening()]
    assert bench.session.state is State.WAITING


def test_push_to_talk_listens_only_while_the_key_is_down():
    bench = Bench(Manners(attention=Attention.PUSH))
    assert not any(isinstance(effect, Listen) for effect in bench.send(PIECE) + bench.send(SpeechFinished()))
    assert bench.send(TalkKey(True)) == [Sound("listening"), Listen("request", follow_up=False)]
    assert bench.send(TalkKey(False)) == [StopListening()]
    assert not any(isinstance(effect, Listen) for effect in bench.send(EVENTS["heard"]))


def test_open_attention_never_stops_listening():
    bench = Bench(Manners(attention=Attention.OPEN))
    assert Listen("request", follow_up=False) in bench.send(Started())
    assert bench.send(SpeechFinished()) == [Listen("request", follow_up=False)]
    assert bench.send(WindowClosed()) == []
    assert bench.send(TalkKey(True))[-1] == Listen("request", follow_up=False)
    assert bench.send(TalkKey(False)) == [Listen("request", follow_up=False)]


@pytest.mark.parametrize("event", [WakeHeard(), TalkKey(True), EVENTS["heard"], PIECE])
def test_he_is_never_talked_over(event):
    bench = Bench()
    bench.send(PIECE)
    assert bench.send(event)[0] == Hush()


def test_misheard_once_is_asked_again_and_twice_is_sent_to_the_keys():
    bench = Bench()
    bench.send(WakeHeard())
    bench.send(Misheard("unclear"))
    assert bench.said == ["Say again?"]
    assert bench.shown.status == "not-understood"
    assert Sound("not-understood") in bench.effects
    bench.send(SpeechFinished())
    bench.send(Misheard("unclear"))
    assert bench.said == ["Can't hear you over that. Use the keys."]


def test_being_understood_starts_the_count_again():
    bench = Bench()
    for event in (WakeHeard(), Misheard("unclear"), SpeechFinished(), EVENTS["heard"], SpeechFinished()):
        bench.send(event)
    bench.send(Misheard("unclear"))
    assert bench.said == ["Say again?"]


def test_chatter_in_the_window_is_let_pass_but_not_after_calling_us():
    bench = Bench()
    bench.send(PIECE)
    bench.send(SpeechFinished())
    assert bench.send(Misheard("not-for-us")) == []
    bench.send(WakeHeard())
    bench.send(Misheard("not-for-us"))
    assert bench.said == ["Say again?"]


def test_words_outside_the_language_are_shown_as_heard():
    bench = Bench()
    answer = bench.hear(NotUnderstood(), "pass me the hammer")
    assert (answer.heard, answer.status, answer.say) == ("pass me the hammer", "not-understood", "Say again?")
    assert bench.saved == []


def test_nobody_is_sent_to_the_keys_for_what_he_typed():
    bench = Bench()
    for _ in range(3):
        assert bench.hear(NotUnderstood(), "xyz", typed=True).say == "I don't know those words. Ask what can I say."


def test_without_a_microphone_the_keys_do_the_whole_job():
    bench = Bench()
    assert bench.send(LOST) == [Notice(LOST.sentence), Sound("error"), Say(LOST.sentence)]
    bench.send(PIECE)
    assert bench.said == ["Fifty-three and five eighths."]
    assert not any(isinstance(effect, Listen) for effect in bench.effects)
    assert Say(LOST.sentence) in bench.send(TalkKey(True))
    assert bench.send(MicrophoneBack()) == [Notice("")]


def test_stop_is_at_once_and_says_nothing():
    bench = Bench()
    bench.send(PIECE)
    answer = bench.hear(Manner.STOP)
    assert (answer.status, answer.say) == ("done", "")
    assert bench.effects[0] == Hush()
    assert bench.said == []
    assert bench.session.state is State.LISTENING


@pytest.mark.parametrize("manner", [manner for manner in Manner if manner is not Manner.STOP])
def test_the_voice_is_adjusted_before_it_speaks(manner):
    bench = Bench()
    answer = bench.hear(manner)
    assert bench.effects[0] == Adjust(manner)
    assert (answer.status, answer.say) == ("done", f"{manner.value.capitalize()}.")


def test_it_starts_where_it_left_off():
    bench = Bench()
    bench.key(hold("53 5/8"))
    again = Bench(job=bench.session.job, history=bench.session.history)
    again.send(Started())
    assert again.said == ["Ready. The piece is fifty-three and five eighths."]
    assert again.shown.values == bench.shown.values
    fresh = Bench()
    fresh.send(Started())
    assert fresh.said == ["Ready."]


@pytest.mark.parametrize("by", ["-", "asked,finished", "wake"], ids=["at rest", "in the window", "called"])
def test_what_was_lost_with_the_recogniser_is_asked_for_again(by):
    bench = _bench(Attention.OPEN, by)
    for _ in range(3):  # and is no reason to send him to the keys
        bench.send(Misheard("restarted"))
        assert bench.shown.say == "I lost that: my hearing had to be started again. Say it again."
        bench.send(SpeechFinished())
