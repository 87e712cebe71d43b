"""A job on disk is the job, exactly."""

from __future__ import annotations

import dataclasses
import json
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import BoardTooNew
from assistant.language import requests
from assistant.language.requests import Center, Hold, Keep, Named, Parts, SetPlus, Task
from assistant.length import Length
from assistant.session.carry_out import carry_out
from assistant.session.deeds import Totaled
from assistant.session.events import Started
from assistant.session.job import VERSION, Job
from assistant.session.lay_out import nest_of
from assistant.session.record import from_record, to_record
from assistant.tape import SIXTEENTHS, TAPES, Form
from tests.session import strategies as bench_strategies
from tests.session.bench import Bench, hold, m

_measures = bench_strategies.measures
deeds = st.one_of(
    bench_strategies.requests,
    st.builds(Totaled, st.lists(_measures, max_size=3).map(tuple)),
    st.builds(SetPlus, bench_strategies.sizes()),
)
_bases = st.builds(
    Job,
    piece=st.none() | _measures,
    asked=st.none() | deeds,
    marked=st.none() | deeds,
    at=st.integers(0, 9),
    string=st.none() | st.lists(_measures, max_size=3).map(tuple),
    kept=st.lists(st.tuples(bench_strategies.names, _measures), max_size=3).map(tuple),
    tape=st.none() | st.sampled_from(TAPES),
    plus=st.none() | bench_strategies.sizes(),
    plus_asked=st.booleans(),
    cautioned=st.lists(st.text(), max_size=2).map(tuple),
)
jobs = st.builds(dataclasses.replace, _bases, base=st.none() | _bases, trail=st.lists(deeds, max_size=3).map(tuple))


@given(jobs)
def test_a_job_comes_back_from_disk_as_it_was(job):
    assert Job.from_dict(json.loads(json.dumps(job.to_dict()))) == job


def test_fractions_are_written_as_fractions():
    record = Job(piece=m("53 5/8", 1)).to_dict()
    assert record["version"] == VERSION
    assert record["piece"]["length"] == {"length": "429/8"}
    assert Fraction(record["piece"]["lean"]["fraction"]) == 1


def test_every_request_there_is_can_be_put_on_record():
    values = map(vars(requests).get, requests.__all__)
    for kind in (value for value in values if isinstance(value, type) and dataclasses.is_dataclass(value)):
        value = kind(*(_some(field) for field in dataclasses.fields(kind)))
        assert from_record(json.loads(json.dumps(to_record(value)))) == value


def _some(field: dataclasses.Field) -> object:
    some = {"Length": Length("5/8"), "Fraction": Fraction(1, 2), "Form": Form.FEET, "Tape": TAPES[0], "str": "leg"}
    return some.get(str(field.type), 3)


def test_a_job_of_a_newer_tapehand_is_refused():
    with pytest.raises(BoardTooNew, match="newer Tapehand"):
        Job.from_dict({**Job().to_dict(), "version": VERSION + 1})


@pytest.mark.parametrize(
    "record",
    [
        {},
        {"version": "1"},
        {"version": 1, "piece": {"is": "Nobody"}},
        {"version": 1, "piece": {"length": "five"}},
        {"version": 1, "piece": {"length": "5/0"}},
        {"version": 1, "piece": {"is": "Measure", "height": 3}},
        {"version": 1, "piece": {"form": "cubits"}},
        {"version": 1, "piece": {"tape": "tenths"}},
        {"version": 1, "piece": {}},
        {"version": 1, "piece": 1.5},
    ],
)
def test_a_broken_record_is_refused(record):
    with pytest.raises(ValueError, match=r"."):
        Job.from_dict(record)


def test_an_older_record_lacks_what_came_later():
    assert Job.from_dict({"version": 1, "at": 2}) == Job(at=2)


def test_an_older_cut_list_has_as_many_sticks_as_it_takes():
    """Before sticks were counted and the kerf was kept by itself."""
    given = (("stock", m("240")), ("kerf", m("1/8")), ("count", 4), ("cut", m("95 7/8")))
    job = Job.from_dict(Job(cutting=Task("nest", given), kept=(("kerf", m("1/4")),)).to_dict())
    job = carry_out(job, Task("nest"), SIXTEENTHS)
    drops = [stick.drop for stick in nest_of(job.asked).sticks]
    assert drops == [Length("47 3/4")] * 2  # by hand: 240 less twice 95 7/8 and a kerf of a quarter, the one kept now


def test_what_has_no_place_in_a_job_is_refused():
    with pytest.raises(TypeError):
        to_record(1.5)


@pytest.mark.parametrize(
    ("asked", "at"),
    [(Center(m("1001'")), 0), (Keep("leg"), 1), (Parts(m(60), 3), 3), (None, 1), (Hold(m(10)), 1)],
)
def test_an_answer_that_can_no_longer_be_worked_out_is_let_go_and_the_piece_is_kept(asked, at):
    old = Job(piece=m(10), asked=asked, at=at)
    for bench in (Bench(job=old), Bench(job=Job(), history=[old])):
        bench.send(Started())
        if not bench.session.job.piece:
            bench.hear(requests.Scratch())
        assert bench.session.job.piece == m(10)
        assert bench.hear(Center()).say == "Center of ten: five."


def test_a_name_given_its_size_on_an_older_board_is_kept():
    record = to_record(Keep("leg", m("31 1/4"))) | {"is": "Define"}
    assert from_record(record) == Keep("leg", m("31 1/4"))
    assert from_record({"is": "Keep", "name": "leg"}) == Keep("leg")


def test_undo_survives_a_restart():
    bench = Bench()
    for request in (hold(10), Parts(m(60), 3), Center(Named("rail"))):
        bench.hear(request)
    history = [Job.from_dict(job.to_dict()) for job in bench.session.history]
    again = Bench(job=Job.from_dict(bench.session.job.to_dict()), history=history)
    assert again.hear(requests.Scratch()).say == "Scratched. The piece is ten."
    assert again.session.job.asked == Hold(m(10))
