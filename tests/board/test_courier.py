"""Several benches on one board, through a real server: nothing is lost, nothing is there twice, all see the same."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from assistant.board import courier as courier_module
from assistant.board.courier import Courier
from assistant.board.keeper import Keeper
from assistant.board.sqlite import SqliteBoard
from assistant.language.requests import Done, Hold, Keep, Measure, Request, Scratch
from assistant.length import Length
from assistant.session.answer import Answer
from assistant.session.effects import Notice, Show
from assistant.session.events import Asked
from assistant.session.job import Job
from assistant.session.manners import Attention, Manners
from assistant.session.session import Session
from tests.board.hammer import hammered
from tests.board.jobs import LEG, RAIL
from tests.board.server import Server
from tests.board.test_log import what_stands

AWAY = "The shared board is out of reach."
ROOT = Path(__file__).parents[2]


class OneBench:
    """A bench with its own file, that goes to the server when it is told to."""

    def __init__(self, file: Path, url: str) -> None:
        self.board = SqliteBoard(file)
        self.courier = Courier(self.board, url)
        job, history = self.board.load()
        self.session = Session(Manners(attention=Attention.PUSH, ask_plus=False), job=job, history=history)
        self.keeper = Keeper(self.board)
        self.notices: list[str] = []

    def asks(self, request: Request) -> Answer:
        effects = self.keeper.carried_out(self.session.handle(Asked(request, "")))
        return next(effect.answer for effect in effects if isinstance(effect, Show))

    def keeps(self, name: str, size: str) -> None:
        self.asks(Hold(Measure(Length(size))))
        assert self.asks(Keep(name)).status == "done"

    def exchanges(self) -> str:
        told = self.courier.exchange()
        if self.board.moved:
            changed = self.keeper.board_changed()
            assert changed is not None
            effects = self.keeper.carried_out(self.session.handle(changed))
            self.notices += [effect.text for effect in effects if isinstance(effect, Notice)]
        return told

    @property
    def sees(self) -> dict[str, str]:
        """What stands for the person at this bench."""
        seen = {name: str(measure.length) for name, measure in self.session.job.kept}
        assert seen == {name: str(measure.length) for name, measure in self.board.names()}
        return seen

    def close(self) -> None:
        self.courier.close()
        self.board.close()


def all_exchange(*benches: OneBench) -> None:
    for bench in (*benches, *benches):
        assert bench.exchanges() == ""


@pytest.fixture
def benches(server: Server, tmp_path: Path) -> Iterator[tuple[OneBench, OneBench]]:
    pair = OneBench(tmp_path / "one.db", server.url), OneBench(tmp_path / "two.db", server.url)
    yield pair
    for bench in pair:
        bench.close()


def rows(server: Server) -> list[dict[str, Any]]:
    import psycopg
    from psycopg.rows import dict_row

    with psycopg.connect(server.url, row_factory=dict_row) as connection:
        return connection.execute("SELECT * FROM tapehand_events ORDER BY place").fetchall()


def test_what_one_keeps_the_other_has(benches: tuple[OneBench, OneBench]) -> None:
    one, two = benches
    one.keeps("leg", "53 5/8")
    all_exchange(one, two)
    assert two.sees == {"leg": "53 5/8"}
    assert two.asks(Keep("rail")).status == "refused"  # its own job is its own
    two.asks(Done("leg"))
    all_exchange(two, one)
    assert one.sees == two.sees == {}
    assert one.notices == ["Another bench is done with leg."]


def test_both_keep_the_same_name_and_both_scratch(benches: tuple[OneBench, OneBench]) -> None:
    one, two = benches
    one.keeps("leg", "53 5/8")
    two.keeps("leg", "40 1/2")
    all_exchange(one, two)
    assert one.sees == two.sees == {"leg": "40 1/2"}  # who came last stands
    assert one.notices == ["Another bench kept leg again: forty and a half."]
    two.asks(Scratch())
    all_exchange(two, one)
    assert one.sees == two.sees == {"leg": "53 5/8"}  # and what he wrote over without seeing it was not lost
    one.asks(Scratch())
    all_exchange(one, two)
    assert one.sees == two.sees == {}


def test_scratching_a_keep_that_was_written_over_keeps_it_from_coming_back(benches: tuple[OneBench, OneBench]) -> None:
    one, two = benches
    one.keeps("leg", "53 5/8")
    two.keeps("leg", "40 1/2")
    all_exchange(one, two)
    one.asks(Scratch())  # his own, which he does not see any more
    all_exchange(one, two)
    assert one.sees == two.sees == {"leg": "40 1/2"}
    two.asks(Scratch())
    all_exchange(two, one)
    assert one.sees == two.sees == {}


def test_both_finish_the_same_and_one_takes_it_back(benches: tuple[OneBench, OneBench]) -> None:
    one, two = benches
    one.keeps("leg", "53 5/8")
    all_exchange(one, two)
    one.asks(Done("leg"))
    two.asks(Done("leg"))
    all_exchange(one, two)
    one.asks(Scratch())
    all_exchange(one, two)
    assert one.sees == two.sees == {}  # the other one is still done with it
    two.asks(Scratch())
    all_exchange(two, one)
    assert one.sees == two.sees == {"leg": "53 5/8"}


def test_finishing_takes_only_what_he_had_seen(benches: tuple[OneBench, OneBench]) -> None:
    one, two = benches
    one.keeps("leg", "53 5/8")
    all_exchange(one, two)
    two.keeps("leg", "40 1/2")
    one.asks(Done("leg"))
    all_exchange(two, one)
    assert one.sees == two.sees == {"leg": "40 1/2"}


def test_scratching_never_takes_away_what_others_put_up(benches: tuple[OneBench, OneBench]) -> None:
    one, two = benches
    one.asks(Hold(LEG))
    one.keeps("rail", "9")
    two.keeps("leg", "40 1/2")
    all_exchange(one, two)
    for _ in range(3):
        one.asks(Scratch())
    all_exchange(one, two)
    assert one.sees == two.sees == {"leg": "40 1/2"}


def test_the_same_after_a_restart(benches: tuple[OneBench, OneBench], tmp_path: Path, server: Server) -> None:
    one, two = benches
    one.asks(Hold(LEG))
    one.keeps("rail", "9")
    two.keeps("leg", "40 1/2")
    all_exchange(one, two)
    one.close()
    again = OneBench(tmp_path / "one.db", server.url)
    for _ in range(3):
        again.asks(Scratch())
    all_exchange(again, two)
    assert again.sees == two.sees == {"leg": "40 1/2"}
    again.close()


def test_a_server_that_is_away_costs_a_sentence_and_nothing_else(
    benches: tuple[OneBench, OneBench], server: Server
) -> None:
    one, two = benches
    one.keeps("leg", "53 5/8")
    all_exchange(one, two)
    server.kill()
    one.keeps("rail", "9")
    one.asks(Done("leg"))
    two.keeps("cap", "12")
    assert one.exchanges() == f"{AWAY} Kept on this bench and sent as soon as it can be: rail, leg."
    assert one.sees == {"rail": "9"}
    server.start()
    all_exchange(one, two)
    assert one.sees == two.sees == {"rail": "9", "cap": "12"}
    assert len(rows(server)) == 4


def test_a_server_that_was_never_there(tmp_path: Path, server: Server) -> None:
    server.stop()
    bench = OneBench(tmp_path / "board.db", server.url)
    assert bench.exchanges() == f"{AWAY} This bench goes on by itself."
    for size in range(1, 6):
        bench.keeps(f"piece {size}", str(size))
    assert bench.exchanges().endswith("as soon as it can be: piece 1, piece 2, piece 3 and 2 more.")
    server.start()
    assert bench.exchanges() == ""
    assert what_stands(rows(server)) == {f"piece {size}": str(size) for size in range(1, 6)}
    bench.close()


def test_a_server_that_hangs_holds_nothing_up(
    benches: tuple[OneBench, OneBench], server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, two = benches
    all_exchange(one, two)
    server.signal(signal.SIGSTOP)
    try:
        one.keeps("leg", "53 5/8")  # returns, though nobody over there does anything
        with monkeypatch.context() as patch:
            patch.setattr(courier_module, "DEADLINE_SECONDS", 0.3)
            assert one.exchanges().startswith(AWAY)
        assert one.sees == {"leg": "53 5/8"}
    finally:
        server.signal(signal.SIGCONT)
    all_exchange(one, two)
    assert two.sees == {"leg": "53 5/8"}


def test_a_bench_that_died_in_the_middle_holds_nothing_up(
    benches: tuple[OneBench, OneBench], server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    import psycopg

    one, two = benches
    all_exchange(one, two)
    one.keeps("leg", "53 5/8")
    with psycopg.connect(server.url) as other, monkeypatch.context() as patch:
        patch.setattr(courier_module, "DEADLINE_SECONDS", 0.3)
        other.execute("SELECT pg_advisory_xact_lock(%s)", (courier_module._LOCK,))
        assert one.exchanges().startswith(AWAY)
    all_exchange(one, two)
    assert two.sees == {"leg": "53 5/8"}


def test_it_goes_to_and_fro_by_itself(benches: tuple[OneBench, OneBench], server: Server) -> None:
    one, two = benches
    told: list[str] = []
    one.courier.start(lambda: None, told.append)
    one.keeps("leg", "53 5/8")
    _until(lambda: not one.board.waiting())
    server.kill()
    _until(lambda: told == [f"{AWAY} This bench goes on by itself."])
    server.start()
    _until(lambda: told[1:] == ["The shared board is back. Nothing waits here any more."])
    all_exchange(two)
    assert two.sees == {"leg": "53 5/8"}


def _until(holds: Any) -> None:
    deadline = time.monotonic() + 30
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.02)


def test_a_server_begun_anew_gets_everything_again(benches: tuple[OneBench, OneBench], server: Server) -> None:
    import psycopg

    one, two = benches
    one.keeps("leg", "53 5/8")
    two.keeps("rail", "9")
    all_exchange(one, two)
    with psycopg.connect(server.url, autocommit=True) as connection:
        connection.execute("DROP TABLE tapehand_board, tapehand_events")
    all_exchange(one, two)
    assert one.sees == two.sees == {"leg": "53 5/8", "rail": "9"}
    assert len(rows(server)) == 2


def test_what_is_none_of_ours_is_passed_over(benches: tuple[OneBench, OneBench], server: Server) -> None:
    import psycopg

    one, two = benches
    one.keeps("leg", "53 5/8")
    all_exchange(one, two)
    with psycopg.connect(server.url, autocommit=True) as connection:
        for key, kind, name, record in [
            ("a", "keep", "x", '{"length": "1"}'),
            ("b", "keep", "x", "{"),
            ("c", "keep", "x", None),
            ("d", "burn", "x", None),
            ("e", "keep", "x" * 1000, '{"is": "Measure"}'),
            ("f", "done", "", None),
        ]:
            connection.execute(
                "INSERT INTO tapehand_events (key, kind, name, record, moment) VALUES (%s, %s, %s, %s, '')",
                (key, kind, name, record),
            )
    one.keeps("rail", "9")
    all_exchange(one, two)
    assert one.sees == two.sees == {"leg": "53 5/8", "rail": "9"}


def test_a_newer_board_is_left_alone(benches: tuple[OneBench, OneBench], server: Server) -> None:
    import psycopg

    one, _ = benches
    assert one.exchanges() == ""
    one.courier.close()
    with psycopg.connect(server.url, autocommit=True) as connection:
        connection.execute("UPDATE tapehand_board SET version = 99")
    assert one.exchanges() == "The shared board was begun by a newer Tapehand. Update this one."


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        pytest.param("nobody@/postgres", "does not let this bench in", id="an account it has not"),
        pytest.param("postgres@/nowhere", "does not let this bench in", id="a database it has not"),
        pytest.param("%%%", "is no address", id="no address"),
    ],
)
def test_an_address_that_is_wrong(server: Server, tmp_path: Path, change: str, sentence: str) -> None:
    bench = OneBench(tmp_path / "board.db", f"postgresql://{change}?host={server.folder}")
    bench.keeps("leg", "53 5/8")
    assert sentence in bench.exchanges()
    assert bench.exchanges().endswith("sent as soon as it can be: leg.")
    bench.close()


def test_what_was_kept_before_there_was_a_server_goes_there(server: Server, tmp_path: Path) -> None:
    board = SqliteBoard(tmp_path / "board.db")
    board.save(Job(kept=(("leg", LEG), ("rail", RAIL))), ())
    board.close()
    bench = OneBench(tmp_path / "board.db", f"postgresql+psycopg{server.url.removeprefix('postgresql')}")
    assert bench.exchanges() == ""
    assert what_stands(rows(server)) == {"leg": "429/8", "rail": "895/16"}
    bench.close()


def test_a_large_board_comes_over_in_parts(benches: tuple[OneBench, OneBench], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(courier_module, "MOST", 7)
    one, two = benches
    for size in range(1, 31):
        one.keeps(f"piece {size}", str(size))
    all_exchange(one, two)
    assert two.sees == {f"piece {size}": str(size) for size in range(1, 31)}


@pytest.mark.parametrize("cuts", [0, 3], ids=["all goes well", "the server's power is cut"])
def test_two_processes_at_once(server: Server, tmp_path: Path, cuts: int) -> None:
    files, confirmed = hammered(server, tmp_path, benches=2, acts=30, cuts=cuts)
    ends = [OneBench(file, server.url) for file in files]
    all_exchange(*ends)
    log = rows(server)
    assert Counter((event["name"], event["exact"]) for event in log if event["kind"] == "keep") == confirmed
    stands = {name: str(Length(Fraction(exact))) for name, exact in what_stands(log).items()}
    assert ends[0].sees == ends[1].sees == stands
    for bench in ends:
        bench.close()


def test_from_the_command_line(server: Server, tmp_path: Path) -> None:
    def tapehand(bench: str, *words: str, typed: str = "") -> tuple[str, str]:
        done = subprocess.run(
            [sys.executable, "-m", "assistant.cli", *words],
            cwd=ROOT, input=typed, capture_output=True, text=True,
            env={
                **os.environ, "DATABASE_URL": server.url, "TAPEHAND_BOARD": str(tmp_path / f"{bench}.db"),
                "TAPEHAND_SETTINGS": str(tmp_path / "settings.toml"),
            },
        )  # fmt: skip
        return done.stdout, done.stderr

    tapehand("one", "ask", "-", typed="53 5/8\nkeep that as leg\n")
    assert tapehand("two", "board", "list") == ("leg  53 5/8\n", "")
    server.stop()
    told = tapehand("two", "ask", "-", typed="the leg\nkeep that as rail\n")
    assert "fifty-three and five eighths" in told[0]
    assert told[1] == f"tapehand: {AWAY} This bench goes on by itself.\n"
    server.start()
    assert tapehand("two", "board", "list") == ("leg  53 5/8\nrail  53 5/8\n", "")
