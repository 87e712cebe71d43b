"""The log of names: the same events show the same board, in whatever order they came and however often."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.board.log import Whereabouts
from assistant.board.sqlite import SqliteBoard
from assistant.language.requests import Measure
from assistant.length import Length
from assistant.session.record import to_record

NAMES = ("leg", "rail")


def what_stands(log: list[dict[str, Any]]) -> dict[str, str]:
    """Another reading of the log, event by event from the first: name to exact size."""
    undone = {event["of"] for event in log if event["kind"] == "undo"}
    done = {event["of"] for event in log if event["kind"] == "done" and event["key"] not in undone}
    stands: dict[str, str] = {}
    for event in log:
        if event["kind"] == "keep" and event["key"] not in undone | done:
            stands[event["name"]] = event["exact"]
    return stands


@st.composite
def logs(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Any events that benches can have written: each but a keep is about an earlier one."""
    log: list[dict[str, Any]] = []
    for place in range(1, draw(st.integers(1, 14)) + 1):
        event = {"place": place, "key": f"k{place}", "of": None, "exact": None, "record": None, "moment": ""}
        keeps = [e for e in log if e["kind"] == "keep"]
        about = [e for e in log if e["kind"] != "undo"]
        kind = draw(st.sampled_from(["keep", *(["done"] if keeps else []), *(["undo"] if about else [])]))
        if kind == "keep":
            size = Measure(Length(Fraction(place, 16)))
            event |= {"name": draw(st.sampled_from(NAMES)), "exact": str(Fraction(place, 16))}
            event["record"] = json.dumps(to_record(size))
        else:
            what = draw(st.sampled_from(keeps if kind == "done" else about))
            event |= {"name": what["name"], "of": what["key"]}
        log.append(event | {"kind": kind})
    return log


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(log=logs(), data=st.data())
def test_any_order_of_arrival_shows_the_same_board(
    tmp_path_factory: pytest.TempPathFactory, log: list[dict[str, Any]], data: st.DataObject
) -> None:
    board = SqliteBoard(Path(tmp_path_factory.mktemp("log")) / "board.db", jobs=False)
    arriving = data.draw(st.permutations(log))
    again = data.draw(st.lists(st.sampled_from(log), max_size=4))
    cut = data.draw(st.integers(0, len(arriving)))
    for rows in (arriving[:cut], [*again, *arriving[cut:]]):
        board.incoming(Whereabouts("shared", len(log)), rows)
    found = {name: str(measure.length.inches) for name, measure in board.names()}
    board.close()
    assert found == what_stands(log)


def test_an_event_about_itself_is_nothing(tmp_path: Path) -> None:
    board = SqliteBoard(tmp_path / "board.db", jobs=False)
    round_about = {"place": 1, "key": "a", "kind": "undo", "of": "a", "name": "leg", "moment": ""}
    board.incoming(Whereabouts("shared", 1), [round_about | {"exact": None, "record": None}])
    assert board.names() == ()
    board.close()
