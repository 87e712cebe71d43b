"""Anything that can happen at a bench."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from assistant.language.requests import (
    PIECE,
    Add,
    AskEngineer,
    Attend,
    Attention,
    Center,
    Choose,
    Confirm,
    Convert,
    Correct,
    Denominator,
    Done,
    Explain,
    Go,
    Help,
    Hold,
    Items,
    Keep,
    ListBoard,
    Manner,
    Measure,
    Named,
    NeverMind,
    Parts,
    Pick,
    Print,
    Recall,
    Scratch,
    SetFeet,
    SetPlus,
    SetTape,
    Settings,
    Share,
    Sheet,
    StartOver,
    StartString,
    Step,
    TakeOff,
    Task,
    Times,
    Total,
    Turn,
    Walk,
)
from assistant.language.tasks import TASKS, Wanted, too_much
from assistant.language.understanding import Choice, Impossible, NotUnderstood, Unclear, Understood
from assistant.length import Length
from assistant.session.events import (
    Asked,
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
from assistant.session.manners import PLUS_SIZES, SETTINGS
from assistant.tape import TAPES, Feet, Form

names = st.sampled_from(["leg", "rail", "plate"])
_BOTTOMS = st.sampled_from([1, 2, 4, 8, 16, 32, 3, 5])


def named(strategy):
    """A strategy under a short name: the whole of it, printed out, is as long as a book."""

    @st.composite
    def drawn(draw):
        return draw(strategy)

    return drawn()


@st.composite
def sizes(draw) -> Length:
    bottom = draw(_BOTTOMS)
    most = draw(st.sampled_from([1, 12, 200, 12100]))
    return Length(Fraction(draw(st.integers(0, most * bottom)), bottom))


plain = st.builds(Measure, sizes(), st.integers(-1, 1).map(Fraction), st.sampled_from([Form.INCHES, Form.FEET]))
gapped = st.builds(Measure, st.integers(0, 90).map(Length), missing=st.integers(1, 15))
measures = st.one_of(
    plain,
    plain,
    plain,
    gapped,
    st.builds(Measure, sizes(), sure=st.just(False)),
    st.builds(Measure, st.integers(0, 3000).map(Length.from_mm), form=st.just(Form.MILLIMETERS)),
    st.builds(Measure, sizes(), band=st.just(Length("1/16"))),
)
operands = st.one_of(measures, st.builds(Named, names), st.just(PIECE))
_few = st.lists(operands, min_size=1, max_size=3).map(tuple)
_counts = st.sampled_from([0, 1, 2, 3, 4, 7, 1001])


@st.composite
def tasks(draw) -> Task:
    """Any trade task with some of what it takes, none or all of it."""
    row = draw(st.sampled_from(list(TASKS.values())))
    values = {
        Wanted.LENGTH: operands,
        Wanted.PIPE: measures,
        Wanted.COUNT: _counts,
        Wanted.ANGLE: st.sampled_from([Fraction(0), Fraction(45), Fraction(45, 2), Fraction(200)]),
        Wanted.NUMBER: st.just(Fraction(2, 5)),
    }
    given = [
        (slot.name, draw(st.sampled_from(slot.choices) if slot.choices else values[slot.wanted]))
        for slot in row.slots
        if slot.ask and draw(st.booleans())
    ]
    task = Task(row.kind, () if row.menu else tuple(given))
    return Task(row.kind) if too_much(task) else task


_changes = st.one_of(
    named(tasks()),
    named(tasks()),
    st.just(Turn()),
    st.builds(Hold, st.one_of(measures, st.builds(Named, names))),
    st.builds(Hold, st.integers(1, 4).map(lambda n: Measure(Length(n)))),
    st.builds(Items, st.tuples(measures, measures)),
    st.builds(Center, operands),
    st.builds(Parts, operands, _counts),
    st.builds(Share, operands, _counts, _counts),
    st.builds(Add, _few),
    st.builds(TakeOff, operands, _few, st.sampled_from([1, 2])),
    st.builds(Times, operands, _counts),
    st.builds(Convert, operands, st.sampled_from(list(Form))),
    st.just(StartString()),
    st.just(Total()),
    st.builds(Keep, names, st.just(PIECE) | measures),
    st.builds(Recall, names),
    st.builds(Done, names),
    st.builds(SetTape, st.sampled_from(TAPES)),
    st.builds(SetFeet, st.sampled_from(list(Feet))),
    st.builds(SetPlus, st.sampled_from(PLUS_SIZES)),
    st.builds(Correct, measures),
)
changes = named(_changes)
walks = st.builds(Walk, st.sampled_from(list(Step)) | st.integers(0, 9))
control = st.one_of(
    walks,
    st.just(Explain()),
    st.just(Scratch()),
    st.just(NeverMind()),
    st.just(StartOver()),
    st.sampled_from(list(Manner)),
    st.builds(Attend, st.sampled_from(list(Attention))),
    st.builds(Settings, st.sampled_from(list(SETTINGS))),
    st.just(Help()),
    st.just(ListBoard()),
    st.builds(Print, st.sampled_from(list(Sheet))),
    st.builds(Confirm, st.booleans()),
    st.builds(Pick, st.integers(0, 4)),
    st.builds(Choose, st.sampled_from(["inside", "edges", "both ends", "public"])),
    st.builds(Denominator, st.sampled_from([0, 2, 8, 16])),
    st.just(AskEngineer()),
    st.just(Go()),
)
requests = named(st.one_of(changes, changes, control))

_outcomes = st.one_of(
    st.builds(Understood, requests),
    st.builds(Understood, requests),
    st.builds(
        Unclear,
        st.just("Which?"),
        st.lists(st.builds(Choice, st.just("this one"), requests), max_size=3).map(tuple),
        st.none() | st.builds(Center, gapped),
    ),
    st.builds(Impossible, st.just("That cannot be.")),
    st.just(NotUnderstood()),
)
outcomes = named(_outcomes)
_events = st.one_of(
    st.builds(Heard, st.just("words"), outcomes, st.booleans()),
    st.builds(Heard, st.just("words"), outcomes),
    st.builds(Asked, requests, st.just("keyed")),
    st.builds(Misheard, st.sampled_from(["unclear", "noise", "not-for-us"])),
    st.builds(TalkKey, st.booleans()),
    st.sampled_from(
        [Started(), WakeHeard(), WindowClosed(), SpeechFinished(), MicrophoneLost("Gone."), MicrophoneBack()]
    ),
)
events = named(_events)
