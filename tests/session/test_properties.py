"""Whatever happens, in whatever order: nothing fails, nothing is lost, undo is exact."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from assistant.language.requests import (
    PIECE,
    Add,
    Attention,
    Center,
    Correct,
    Hold,
    Measure,
    Parts,
    Scratch,
    Step,
    Times,
    Walk,
)
from assistant.length import Length
from assistant.session.effects import (
    Adjust,
    Hush,
    Listen,
    Notice,
    Prepare,
    PutOnPaper,
    Save,
    Say,
    Show,
    Sound,
    StopListening,
    Suit,
)
from assistant.session.events import BoardChanged
from assistant.session.job import Job
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.session.states import TABLE, State, kind_of
from tests.session import strategies as bench_strategies
from tests.session.bench import Bench, hold, m, unclear

ORDER = [Hush, Adjust, Suit, Notice, Save, PutOnPaper, Show, Sound, Say, Listen, StopListening, Prepare]


class AnyBench(RuleBasedStateMachine):
    """Events at random. The model is the rule of undo: one job more, one less, or the same job walked on."""

    def __init__(self):
        super().__init__()
        self.session = Session(Manners(), examples=("center of ten",))
        self.effects = []

    @rule(event=bench_strategies.events)
    def anything(self, event):
        state, job, history = self.session.state, self.session.job, self.session.history
        manners = self.session.manners
        self.effects = self.session.handle(event)
        assert isinstance(self.session.state, State)
        after, past = self.session.job, self.session.history
        if kind_of(event) in TABLE[state]:
            assert self.session.state in TABLE[state][kind_of(event)]
        else:
            assert (self.effects, self.session.state, after, past) == ([], state, job, history)
        if past == history:
            assert after == job or (after.asked, after.piece, after.kept) == (job.asked, job.piece, job.kept)
        elif len(past) < len(history) and after in history:
            assert (*past, after) == history or after.clean
        else:
            assert past[-1] == job
        suits = [effect.manners for effect in self.effects if isinstance(effect, Suit)]
        assert suits == ([self.session.manners] if self.session.manners != manners else [])
        assert ((after, past) != (job, history)) == any(isinstance(e, Save) for e in self.effects)

    @rule(name=bench_strategies.names, measure=bench_strategies.measures, there=st.booleans())
    def another_bench_was_at_the_board(self, name, measure, there):
        """However far it is scratched back, what the other one did stays done, and nothing else changes."""
        state, before = self.session.state, (*self.session.history, self.session.job)
        taken = tuple((known, what) for known, what in self.session.job.kept if known == name)
        self.effects = self.session.handle(BoardChanged(taken, ((name, measure),) if there else ()))
        after = (*self.session.history, self.session.job)
        assert self.session.state is state
        assert len(after) == len(before)
        for old, new in zip(before, after, strict=True):
            assert replace(new, kept=old.kept, base=old.base) == old
            assert set(new.kept).isdisjoint(set(taken) - {(name, measure)})
            assert not there or dict(new.kept)[name] == measure

    @rule(attention=st.sampled_from(list(Attention)))
    def put_away_and_start_again(self, attention):
        """Through the disk, as the board does."""
        written = json.dumps([job.to_dict() for job in (*self.session.history, self.session.job)])
        *history, job = [Job.from_dict(record) for record in json.loads(written)]
        assert (tuple(history), job) == (self.session.history, self.session.job)
        self.session = Session(Manners(attention=attention), job=job, history=history)
        self.effects = []

    @invariant()
    def effects_come_in_their_order(self):
        places = [ORDER.index(type(effect)) for effect in self.effects]
        assert places == sorted(places)

    @invariant()
    def what_is_saved_is_what_stands(self):
        for effect in self.effects:
            if isinstance(effect, Save):
                assert (effect.job, effect.history) == (self.session.job, self.session.history)

    @invariant()
    def every_answer_is_whole(self):
        for effect in self.effects:
            if isinstance(effect, Show):
                answer = effect.answer
                assert answer.status in ("answer", "question", "done", "refused", "not-understood")
                assert answer.say or answer.status == "done"
                assert not answer.choices or self.session.question
                assert answer.at is None or 1 <= answer.at <= len(answer.marks)


AnyBench.TestCase.settings = settings(max_examples=200, stateful_step_count=40, deadline=None)
TestAnyBench = AnyBench.TestCase


@given(st.lists(bench_strategies.changes, max_size=12))
@settings(max_examples=60, deadline=None)
def test_scratching_goes_back_through_every_job_exactly(requests):
    bench = Bench()
    jobs = [bench.session.job]
    for request in requests:
        before = bench.session.history
        bench.hear(request)
        if bench.session.history != before:
            jobs.append(bench.session.job)
    while bench.session.question and not bench.session.question.by_the_way:
        bench.hear(Scratch())  # what was asked is taken back first, one after the other, and nothing else
        assert bench.session.job == jobs[-1]
    for job in reversed(jobs):
        assert bench.session.job == job
        bench.hear(Scratch())
    assert bench.shown.say == "There is nothing to scratch."


@given(
    bench_strategies.sizes(),
    st.integers(2, 40),
    st.lists(st.sampled_from(list(Step)) | st.integers(0, 41), max_size=30),
)
@settings(max_examples=60, deadline=None)
def test_a_walk_never_leaves_the_marks(size, count, steps):
    whole = min(size, Length(12000) - Length(count)) + Length(count)
    bench = Bench()
    answer = bench.hear(Parts(m(str(whole)), count))
    exact = [whole.inches * k / count for k in range(1, count)]
    assert [mark.inches for mark in answer.marks] == exact
    at, last = 0, count - 1
    moves = {
        Step.NEXT: lambda n: min(n + 1, last),
        Step.BACK: lambda n: max(n - 1, min(n, 1)),
        Step.FIRST: lambda n: 1,
        Step.LAST: lambda n: last,
    }
    for step in steps:
        if step in (Step.AGAIN, Step.ANSWER, Step.LEFT):
            continue
        answer = bench.hear(Walk(step))
        if isinstance(step, int):
            assert (answer.status == "refused") == (not 1 <= step <= last)
            if answer.status == "refused":
                continue
        at = step if isinstance(step, int) else moves.get(step, lambda n: n)(at)
        assert (answer.at or 0) == at
        assert [value.inches for value in answer.values] == ([exact[at - 1]] if at else [])


_fractions = st.sampled_from([Measure(Length(f"{n}/16")) for n in range(1, 16)])
_onward = st.lists(
    st.one_of(
        st.just(Center()),
        st.builds(Parts, st.just(PIECE), st.integers(2, 5)),
        st.just(Times(PIECE, 2)),
    ),
    max_size=4,
)


@given(st.integers(0, 100), st.integers(0, 100), _fractions, _fractions, _onward)
@settings(max_examples=60, deadline=None)
def test_putting_right_is_as_if_it_had_been_right_at_once(first, whole, wrong, right, onward):
    def told(fraction: Measure) -> Bench:
        bench = Bench()
        bench.hear(hold(first))
        bench.hear(Add((PIECE, Measure(Length(whole) + fraction.length))))
        for request in onward:
            bench.hear(request)
        return bench

    mended, meant = told(wrong), told(right)
    mended.hear(Correct(right))
    assert mended.session.job == meant.session.job
    assert mended.shown.values == meant.shown.values
    assert mended.shown.marks == meant.shown.marks


@given(st.integers(1, 4), st.integers(1, 3))
def test_the_number_key_picks_its_choice(number, count):
    bench = Bench()
    sizes = [30 + n for n in range(count)]
    bench.hear(_which(sizes))
    bench.key(hold(number))
    assert bench.session.job.piece == m(sizes[number - 1] if number <= count else number)
    assert not bench.session.question


def _which(sizes):
    return unclear("Which?", *((f"number {size}", Hold(m(size))) for size in sizes))
