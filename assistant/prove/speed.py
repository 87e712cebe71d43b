"""How quick the hand is, how little it takes while nothing is asked, and how both grow with what there is."""

from __future__ import annotations

import random
import statistics
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from pathlib import Path

import numpy as np

from assistant.board.keeper import Keeper
from assistant.board.sqlite import SqliteBoard
from assistant.desk import Desk
from assistant.errors import HardwareError
from assistant.hearing import ears
from assistant.hearing.listener import WAKE
from assistant.hearing.sound import RATE
from assistant.language.grammar import Grammar, load_english
from assistant.language.parse import Parser
from assistant.language.requests import Attention, Keep, Measure, Parts
from assistant.language.understand import understand
from assistant.language.understanding import Understood
from assistant.layout.sticks import Pieces, Rack, nest
from assistant.length import Length
from assistant.prove import usage
from assistant.prove.delay import Paced
from assistant.prove.sets import dev_folder, noises
from assistant.prove.table import Row, percentile
from assistant.session.effects import Prepare, Say
from assistant.session.events import Heard, SpeechFinished
from assistant.session.manners import Manners
from assistant.session.session import Session
from assistant.settings import Settings
from assistant.speaking.sound import Sound
from assistant.speaking.speaker import Speaker
from assistant.speaking.voice import PyttsxVoice

__all__ = ["measure"]

_GROUP, _GROWTH = "speed", "growth"
_MARKS = 30
_IDLE_SECONDS, _IDLE_QUICK = 30, 6
_SEED = 11
_NAMES = ("leg", "rail", "cap", "post", "tread")
_READY_SECONDS = 10.0
"""For the next mark to be prepared: he is busy with this one for longer than that."""


def measure(quick: bool) -> Iterator[Row]:
    """Rows on speed and growth. ``quick``: shorter and smaller, to see that it works."""
    yield from _next_mark()
    yield from _idle(_IDLE_QUICK if quick else _IDLE_SECONDS)
    yield from _sticks(1000)
    yield from _by_marks()
    for size, standing in ((100, 100), (10_000, 100), (100_000, 100), (10_000, 5_000))[: 2 if quick else None]:
        yield _board_of(size, standing)
    yield from _by_grammar(load_english())


class _Timed:
    """A loudspeaker that notes when each sound begins and has none of them last."""

    def __init__(self) -> None:
        self.begun = threading.Semaphore(0)
        self.at = 0.0

    def play(self, sound: Sound) -> None:
        self.at = time.perf_counter()
        self.begun.release()

    def wait(self) -> bool:
        return True

    def stop(self) -> None:
        """Nothing lasts."""

    def close(self) -> None:
        """Nothing to let go of."""


def _next_mark() -> Iterator[Row]:
    """From the words "next" to the first sample handed to the loudspeaker; the mark was prepared meanwhile."""
    session, grammar = Session(Manners(attention=Attention.OPEN)), load_english()
    voice, player = PyttsxVoice(), _Timed()
    speaker = Speaker(voice, player)
    took = []
    try:
        voice.render("Ready.")
        text = ""
        for number in range(_MARKS + 1):
            words = "next" if number else "eighty foot in ninety parts"
            start = time.perf_counter()
            for effect in session.handle(Heard(*understand(grammar, words))):
                if isinstance(effect, Say):
                    text = effect.text
                    speaker.say(text)
                elif isinstance(effect, Prepare):
                    speaker.prepare(effect.texts)
                    wanted = effect.texts
            player.begun.acquire(timeout=_READY_SECONDS)
            if number > 1:  # the first mark says the datum too
                took.append(1000 * (player.at - start))
            session.handle(SpeechFinished())
            until = time.monotonic() + _READY_SECONDS
            while not all(map(voice.is_prepared, wanted)) and time.monotonic() < until:
                time.sleep(0.005)
    except HardwareError as error:
        yield Row(_GROUP, "next mark", f"not measured: {error}")
        return
    finally:
        speaker.close()
    figures = f"{percentile(took, 0.5):.0f} ms median, {percentile(took, 0.95):.0f} ms 95th percentile"
    yield Row(_GROUP, f"next: words to the first sample, {len(took)} marks", figures, "80 ms")


def _idle(seconds: int) -> Iterator[Row]:
    """The listening path in real time on shop noise, waiting for the wake phrase."""
    folder = dev_folder()
    clips = [clip.pcm for clip in noises(folder)] if folder else []
    rng = random.Random(_SEED)
    rng.shuffle(clips)
    sound = b"".join(clips)[: seconds * RATE * 2] if clips else _hum(seconds)
    what = "shop noise" if clips else "hum (no recordings at hand)"
    grammar = load_english()
    chosen = ears.recogniser(grammar).recogniser
    try:
        chosen.start(WAKE)
        chosen.finish()
        grammar.automaton(WAKE)  # worked out once, when the first sound comes
        listening = ears.listener(grammar, Paced(sound), chosen, lambda told: None, at_rest=WAKE)
        before, start = usage.cpu_seconds(), time.perf_counter()
        listening.run()
        took, lasted = usage.cpu_seconds() - before, time.perf_counter() - start
    finally:
        chosen.close()
    yield Row(_GROUP, f"listening to {what}, {lasted:.0f} s", f"{100 * took / lasted:.1f} % of a core", "5 %")


def _hum(seconds: int) -> bytes:
    rng = np.random.default_rng(_SEED)
    return (rng.standard_normal(seconds * RATE) * 800).astype("<i2").tobytes()


def _sticks(count: int) -> Iterator[Row]:
    """Pieces of 60 sizes, seeded, from sticks of twenty foot with an eighth of kerf."""
    rng = random.Random(_SEED)
    sizes = [Fraction(n, 16) for n in rng.sample(range(6 * 16, 110 * 16), 60)]
    each = [count // 60 + (n < count % 60) for n in range(60)]
    pieces = [Pieces(Measure(Length(size)), n) for size, n in zip(sizes, each, strict=True)]
    stock = Length(240)
    start = time.perf_counter()
    found = nest(pieces, [Rack(Measure(stock))], kerf=Measure(Length("1/8")))
    took = time.perf_counter() - start
    least = -(-found.least.inches // stock.inches)
    figures = f"{took:.1f} s: {len(found.sticks)} sticks, cannot be fewer than {least}"
    yield Row(_GROUP, f"cutting {count} pieces of 60 kinds", figures, "10 s, within one stick")


def _by_marks() -> Iterator[Row]:
    figures = []
    for count in (10, 100, 1000):
        desk = Desk(Settings())
        request = Parts(Measure(Length(12_000)), count)
        answered = _median(3, partial(desk.answer, Heard("", Understood(request))))
        walked = _median(9, partial(desk.ask, "next"))
        figures.append(f"{count}: {answered:.0f} and {walked:.1f} ms")
    yield Row(_GROWTH, "marks: all of them, and the next one", "; ".join(figures))


def _board_of(size: int, standing: int) -> Row:
    """So many records on the board, some standing and the rest done with, as after years."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "board.db")
        board = SqliteBoard(path)
        board.load()
        _fill(board, size, standing)
        board.close()
        start = time.perf_counter()
        board = SqliteBoard(path)
        job, history = board.load()
        opened = time.perf_counter() - start
        session, keeper = Session(Manners(), job=job, history=history), Keeper(board)
        held = understand(load_english(), "fifty three and five eighths")
        list(keeper.carried_out(session.handle(Heard(*held))))
        took = []
        for name in _NAMES:
            start = time.perf_counter()
            list(keeper.carried_out(session.handle(Heard("", Understood(Keep(name))))))
            took.append(1000 * (time.perf_counter() - start))
        megabytes = path.stat().st_size / 1e6
        board.close()
    figures = f"opened in {opened:.2f} s, one more kept in {statistics.median(took):.0f} ms, {megabytes:.1f} MB on disk"
    return Row(_GROWTH, f"board of {size:,} records, {standing:,} standing", figures)


def _fill(board: SqliteBoard, size: int, standing: int) -> None:
    from sqlalchemy import insert

    from assistant.board.tables import events

    rng = random.Random(_SEED)
    rows: list[dict[str, str | int | None]] = []
    for number in range(size):
        inches = str(Fraction(rng.randrange(1, 16_000), 16))
        record = (
            f'{{"is": "Measure", "length": {{"length": "{inches}"}}, "lean": {{"fraction": "0"}}, '
            '"form": {"form": "inches"}, "band": null, "missing": null, "sure": true}'
        )
        common: dict[str, str | int | None] = {"name": f"piece {number}", "moment": "2024-01-01T00:00:00+00:00"}
        stands = number < standing
        put = {"key": f"{number}", "kind": "keep", "of": None, "exact": inches, "record": record, "stands": int(stands)}
        done = {"key": f"{number}d", "kind": "done", "of": f"{number}", "exact": None, "record": None, "stands": 0}
        rows += [common | put] if stands else [common | put, common | done]
    board.run(lambda connection: connection.execute(insert(events), rows))


def _by_grammar(grammar: Grammar) -> Iterator[Row]:
    rng = random.Random(_SEED)
    parser = Parser(grammar)
    for root in ("measure.measure", "request.length", "request"):
        start = time.process_time()
        arcs = load_english.__wrapped__().automaton(root).arc_count
        built = time.process_time() - start
        sentences = [grammar.sample(rng, root).split() for _ in range(300)]
        took = []
        for words in sentences:
            begun = time.process_time()
            parser.parse(words, root)
            took.append(1000 * (time.process_time() - begun))
        figures = (
            f"{arcs:,} arcs, built in {built:.1f} s of work, a sentence parsed in {statistics.median(took):.2f} ms"
        )
        yield Row(_GROWTH, f"grammar from <{root}>", figures)


def _median(times: int, work: Callable[[], object]) -> float:
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)
