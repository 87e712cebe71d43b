"""What goes wrong in a shop, one after another, to a real bench.

``python -m tests.prove.faults``, as a table. Its last output is in ``faults.txt``.

Each row does one thing to a bench that is running, or about to start, and looks whether it goes on or starts again
where it stood, whether what was said to be kept is kept, and which sentence tells what happened. Nothing stands in
for a real part: the sound card is a sound server's, the browser a browser, the full disk a disk that is full.

    --quick     ten pulled plugs in place of two hundred
    --only WORD the rows with this word in them
"""

from __future__ import annotations

import argparse
import contextlib
import os
import resource
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from assistant import settings
from assistant.prove.machine import described
from assistant.prove.table import Row, lines
from tests.prove.driven import ROOT, SpokenBench, on_disk
from tests.prove.kills import kill_and_replay, kill_while_printing
from tests.real.sound_card import SoundCard, SoundCardMissing
from tests.real.window import Window

__all__ = ["FAULTS", "CannotRun", "main"]

_SEED = 20261126
_QUICK, _LONG = 10, 200
STARTED = 20.0
"""Seconds a part of the bench may take to come up on a busy machine."""
CENTER = "twenty-six and thirteen sixteenths"
KEPT = {"leg": "53 5/8"}


class CannotRun(Exception):
    """This fault cannot be brought about here. ``str(error)`` is the reason."""


# The board.


def _kept(folder: Path, bench: SpokenBench) -> None:
    """What was confirmed is on disk, and a bench started again knows it."""
    bench.killed()
    assert on_disk(folder)[1] == KEPT
    again = SpokenBench(folder)
    assert "fifty-three and five eighths" in again.asked("the leg")["say"].lower()
    assert again.ended() == 0


def _refused_then_kept(folder: Path, bench: SpokenBench, words: str, put_right: Callable[[], None]) -> Iterator[str]:
    bench.asked("fifty three and five eighths")
    told = bench.asked("keep that as leg")
    assert told["status"] == "refused", told
    assert words in told["say"], told
    assert CENTER in bench.asked("center of fifty three and five eighths")["say"].lower()
    began = time.monotonic()
    put_right()
    bench.asked("fifty three and five eighths")
    assert bench.asked("keep that as leg")["status"] == "done"
    yield f"refused, then kept; {time.monotonic() - began:.1f} s"
    _kept(folder, bench)
    yield told["say"]


def disk_full(folder: Path) -> Iterator[str]:
    with _small_disk(folder) as disk:
        bench = SpokenBench(disk)
        filler = disk / "filler"
        with filler.open("wb", buffering=0) as file, contextlib.suppress(OSError):
            while True:
                file.write(bytes(4096))
        os.truncate(filler, filler.stat().st_size)
        yield from _refused_then_kept(disk, bench, "The disk is full", filler.unlink)


def file_limit(folder: Path) -> Iterator[str]:
    """The same for one who is not root: no file may grow."""
    bench = SpokenBench(folder)
    bench.asked("ten")
    _, hard = resource.prlimit(bench.process.pid, resource.RLIMIT_FSIZE)
    resource.prlimit(bench.process.pid, resource.RLIMIT_FSIZE, (4096, hard))
    lift = partial(resource.prlimit, bench.process.pid, resource.RLIMIT_FSIZE, (hard, hard))
    yield from _refused_then_kept(folder, bench, "Check the disk", lambda: lift() and None)


def read_only_disk(folder: Path) -> Iterator[str]:
    with _small_disk(folder) as disk:
        SpokenBench(disk).ended()
        remount = ["mount", "-o", "remount,ro", str(disk)]
        subprocess.run(remount, check=True)
        bench = SpokenBench(disk)
        bench.noticed("cannot be written")

        def put_right() -> None:
            subprocess.run([*remount[:2], "remount,rw", str(disk)], check=True)

        yield from _refused_then_kept(disk, bench, "cannot be written", put_right)


def locked(folder: Path) -> Iterator[str]:
    bench = SpokenBench(folder)
    other = sqlite3.connect(folder / "board.db", isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    yield from _refused_then_kept(folder, bench, "Another program is holding the board", other.close)


def locked_at_the_start(folder: Path) -> Iterator[str]:
    SpokenBench(folder).ended()
    other = sqlite3.connect(folder / "board.db", isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    bench = SpokenBench(folder)
    bench.noticed("Another program is holding the board")
    yield from _refused_then_kept(folder, bench, "Another program is holding the board", other.close)


def newer_database(folder: Path) -> Iterator[str]:
    SpokenBench(folder).ended()
    raw = sqlite3.connect(folder / "board.db")
    raw.execute("PRAGMA user_version = 99")
    raw.close()
    before = (folder / "board.db").read_bytes()
    bench = SpokenBench(folder)
    bench.asked("fifty three and five eighths")
    assert bench.asked("keep that as leg")["status"] == "refused"
    assert CENTER in bench.asked("center")["say"]
    assert bench.ended() == 0
    assert (folder / "board.db").read_bytes() == before
    yield f"goes on, keeps nothing, leaves the file as it is; {bench.seconds_to_ready:.1f} s"
    yield bench.notices[0]


def clock_set_back(folder: Path) -> Iterator[str]:
    library = next(Path("/usr/lib").glob("*/faketime/libfaketimeMT.so.1"), None)
    if library is None:
        raise CannotRun("no faketime here (Debian: faketime)")
    clock = folder / "clock"
    clock.write_text("+0d")
    bench = SpokenBench(
        folder,
        LD_PRELOAD=str(library), FAKETIME_TIMESTAMP_FILE=str(clock), FAKETIME_NO_CACHE="1", DONT_FAKE_MONOTONIC="1",
    )  # fmt: skip
    bench.asked("ten")
    bench.asked("keep that as leg")
    clock.write_text("-400d")
    bench.asked("fifty three and five eighths")
    assert bench.asked("keep that as leg")["status"] == "done"
    bench.asked("keep that as rail")
    bench.asked("scratch that")
    began = time.monotonic()
    _kept(folder, bench)
    raw = sqlite3.connect(folder / "board.db")
    times = [moment for (moment,) in raw.execute("SELECT moment FROM events ORDER BY id")]
    raw.close()
    assert times != sorted(times), "the clock was not set back at all"
    yield f"kept, scratched and started again as if it had not been; {time.monotonic() - began:.1f} s"
    yield "nothing to tell: nothing goes by the clock"


def settings_cut_short(folder: Path) -> Iterator[str]:
    path = folder / "settings.toml"
    settings.create(path)
    settings.change(path, rate=120, volume=80)
    whole = path.read_bytes()
    places = range(0, len(whole), 5)
    for length in places:
        path.write_bytes(whole[:length])
        settings.read(path)  # whatever is left of it
    cut = whole.index(b"rate = 120") + len(b"rate =")
    path.write_bytes(whole[:cut])
    bench = SpokenBench(folder)
    assert CENTER in bench.asked("center of fifty three and five eighths")["say"]
    assert bench.ended() == 0
    assert path.read_bytes() == whole[:cut]
    took = f"{bench.seconds_to_ready:.1f} s"
    yield f"cut at each of {len(places)} places: starts with what is left, or the usual; {took}"
    yield bench.notices[0]


def killed(during: str, times: int, folder: Path) -> Iterator[str]:
    measured = kill_while_printing if during == "print" else partial(kill_and_replay, during=during)
    stood, took = measured(folder, times=times, seed=_SEED)  # type: ignore[operator]
    yield f"{stood}; started again in {took}"
    yield "ready, with the job in hand" if during != "print" else "the sheet is ready to print"


# Sound.


@contextlib.contextmanager
def _bench_with_sound(folder: Path) -> Iterator[tuple[Window, SoundCard]]:
    if shutil.which("flite") is None:
        raise CannotRun("no flite here to speak to the bench with (Debian: flite)")
    try:
        card = SoundCard()
        card.start()
    except SoundCardMissing as reason:
        raise CannotRun(str(reason)) from None
    (folder / "settings.toml").write_text('[hearing]\nattention = "open"\n')
    try:
        window = _window(folder, "--no-screen")
        try:
            window.sees("speaking")
            window.sees("listening")
            yield window, card
        finally:
            window.close()
    finally:
        card.stop()


def _window(folder: Path, *arguments: str, **environment: str) -> Window:
    return Window(
        *arguments,
        module="assistant.cli",
        ready="Ready",
        TAPEHAND_BOARD=str(folder / "board.db"),
        TAPEHAND_SETTINGS=str(folder / "settings.toml"),
        PYTHONIOENCODING="utf-8",
        **environment,
    )


def _speak(card: SoundCard, folder: Path, words: str) -> None:
    wav = folder / "said.wav"
    voice = ["flite", "-voice", "slt", "--setf", "duration_stretch=1.2"]
    subprocess.run([*voice, "-t", words, "-o", str(wav)], check=True)
    card.play_into_microphone(wav)


def _asks_aloud(window: Window, card: SoundCard, folder: Path) -> None:
    _speak(card, folder, "center of fifty three and five eighths")
    window.sees(f"{CENTER}.")


def _keys(window: Window, keys: bytes, expected: str) -> None:
    for key in keys[:-1]:
        window.types(bytes([key]))
        window.sees("\x1b[K")
    window.types(keys[-1:])
    window.sees(expected)


def _child(window: Window, module: str) -> int:
    """The process of a bench that runs one of our modules, or the browser; one that is being started is waited for."""
    pid = window.process.pid
    until = time.monotonic() + STARTED
    while time.monotonic() < until:
        for thread in Path(f"/proc/{pid}/task").iterdir():
            for child in (thread / "children").read_text().split():
                if module in Path(f"/proc/{child}/cmdline").read_text():
                    return int(child)
        time.sleep(0.05)
    raise AssertionError(f"there is no {module}")


def microphone_pulled(folder: Path) -> Iterator[str]:
    with _bench_with_sound(folder) as (window, card):
        card.drop_microphone()
        window.sees("The microphone went quiet.")
        sentence = "The microphone went quiet." + window.seen.splitlines()[0]
        _keys(window, b"53.5/8\r", "Fifty-three and five eighths.")
        began = time.monotonic()
        card.restore_microphone()
        window.sees("listening")
        took = time.monotonic() - began
        time.sleep(3)  # the answer to the keys is still being said, and until then it is deaf
        _asks_aloud(window, card, folder)
    yield f"the keys go on, and it hears again {took:.1f} s after it is back"
    yield sentence


def loudspeaker_gone(folder: Path) -> Iterator[str]:
    with _bench_with_sound(folder) as (window, card):
        subprocess.run(["pactl", "suspend-sink", "muffs", "1"], check=True)
        _keys(window, b"53.5/8\r", "Fifty-three and five eighths.")
        window.sees("* ")
        sentence = window.seen.splitlines()[0]
        subprocess.run(["pactl", "suspend-sink", "muffs", "0"], check=True)
        began = time.monotonic()
        _heard_aloud(window, card)
    yield f"the answers are shown, and heard again {time.monotonic() - began:.1f} s after it is back"
    yield sentence


def _heard_aloud(window: Window, card: SoundCard) -> None:
    """Ask by key again and again until the answer is heard from the loudspeaker."""
    for _ in range(20):
        with card.record_loudspeaker() as recording:
            window.types(b".")
            time.sleep(2)
        if any(abs(sample) > 1000 for sample in memoryview(recording.pcm).cast("h")):
            return
    raise AssertionError("nothing is heard any more")


def recogniser_killed(folder: Path) -> Iterator[str]:
    with _bench_with_sound(folder) as (window, card):
        os.kill(_child(window, "vosk_process"), signal.SIGKILL)
        began = time.monotonic()
        _asks_aloud(window, card, folder)
        took = time.monotonic() - began
    yield f"the next thing said is heard; answered {took:.1f} s after the kill, 3 s of it speech"
    yield "nothing to tell: nothing was lost"


def recogniser_killed_while_hearing(folder: Path) -> Iterator[str]:
    with _bench_with_sound(folder) as (window, card):
        wav = folder / "said.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", "center of fifty three and five eighths", "-o", str(wav)])
        player = subprocess.Popen(["paplay", "--device=air", str(wav)])
        window.sees("hearing")
        time.sleep(0.5)
        os.kill(_child(window, "vosk_process"), signal.SIGKILL)
        player.wait()
        window.sees("I lost that")
        sentence = "I lost that" + window.seen.splitlines()[0]
        window.sees("listening")
        began = time.monotonic()
        _asks_aloud(window, card, folder)
    yield f"asks for it again; answered {time.monotonic() - began:.1f} s later, 3 s of it speech"
    yield sentence


def voice_process(what: signal.Signals, folder: Path) -> Iterator[str]:
    with _bench_with_sound(folder) as (window, card):
        child = _child(window, "voice_process")
        os.kill(child, what)
        with card.record_loudspeaker() as recording:
            began = time.monotonic()
            _keys(window, b"53.5/8\r", "Fifty-three and five eighths.")
            window.sees("speaking")
            window.sees("listening")
            took = time.monotonic() - began
        assert any(abs(sample) > 1000 for sample in memoryview(recording.pcm).cast("h")), "nothing was said"
        assert not Path(f"/proc/{child}").exists()
    yield f"the next answer is said all the same, to its end {took:.1f} s after it was asked for"
    yield "nothing to tell: the answer is said"


# Screen.


def port_taken(folder: Path) -> Iterator[str]:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        began = time.monotonic()
        window = _window(folder, "--no-voice", "--no-open", "--port", str(port))
        took = time.monotonic() - began
        with contextlib.closing(window):
            window.sees(f"Port {port} is taken.")
            sentence = f"Port {port} is taken." + window.seen.splitlines()[0]
            _keys(window, b"53.5/8\r", "Fifty-three and five eighths.")
            window.types(b"\x03")
            assert window.ends() == 0
    yield f"the keys and the terminal do the job; ready after {took:.1f} s"
    yield sentence


def browser_closed(folder: Path) -> Iterator[str]:
    program = next(filter(None, map(shutil.which, ("chromium", "google-chrome"))), None)
    if program is None:
        raise CannotRun("no chromium on this computer")
    folder_with_it = folder / "bin"
    folder_with_it.mkdir()
    # The real one without a display, under a name that is started for root too.
    browser = folder_with_it / "firefox"
    switches = f"--headless --no-sandbox --disable-gpu --user-data-dir={folder / 'profile'}"
    browser.write_text(f'#!/bin/sh\nexec {program} {switches} "$@"\n')
    browser.chmod(0o755)
    port = _free_port()
    window = _window(
        folder, "--no-voice", "--port", str(port),
        DISPLAY=":0", PATH=str(folder_with_it),
    )  # fmt: skip
    with contextlib.closing(window):
        _keys(window, b"53.5/8\r", "Fifty-three and five eighths.")
        began = time.monotonic()
        os.kill(_child(window, "--kiosk"), signal.SIGKILL)
        window.sees("The window of the screen was closed.")
        sentence = "The window of the screen was closed." + window.seen.splitlines()[0]
        took = time.monotonic() - began
        time.sleep(0.1)  # the same key sooner would be a bounce
        window.types(b"\r")
        window.sees(CENTER)
        window.types(b"\x03")
        assert window.ends() == 0
    yield f"goes on; told after {took:.1f} s"
    yield sentence


def _free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


@contextlib.contextmanager
def _small_disk(folder: Path) -> Iterator[Path]:
    """A disk of one megabyte."""
    disk = folder / "disk"
    disk.mkdir()
    if os.geteuid() != 0:
        raise CannotRun("only root may mount a small disk")
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tapehand", str(disk)]
    if subprocess.run(mount, capture_output=True).returncode:
        raise CannotRun("no disk can be mounted here")
    try:
        yield disk
    finally:
        subprocess.run(["umount", "--lazy", str(disk)], check=True)


FAULTS: dict[str, Callable[[Path], Iterator[str]]] = {
    "disk full": disk_full,
    "no file may grow": file_limit,
    "read-only disk": read_only_disk,
    "database locked": locked,
    "database locked at the start": locked_at_the_start,
    "database of a newer version": newer_database,
    "clock set back 400 days": clock_set_back,
    "settings cut short": settings_cut_short,
    "microphone pulled and plugged": microphone_pulled,
    "loudspeaker gone and back": loudspeaker_gone,
    "recogniser killed": recogniser_killed,
    "recogniser killed while hearing": recogniser_killed_while_hearing,
    "voice killed": partial(voice_process, signal.SIGKILL),
    "voice hung": partial(voice_process, signal.SIGSTOP),
    "browser closed": browser_closed,
    "port taken": port_taken,
}
"""All but the pulled plugs, which may be few or many."""


def row(name: str, fault: Callable[[Path], Iterator[str]]) -> tuple[Row, bool]:
    """Bring it about. The row of the table, and whether it held."""
    with tempfile.TemporaryDirectory(prefix="tapehand-fault-") as folder:
        try:
            went_on, told = fault(Path(folder))
        except CannotRun as reason:
            return Row("faults", name, f"not run: {reason}", ""), True
        except (AssertionError, OSError, subprocess.SubprocessError) as error:
            return Row("faults", name, f"FAILED: {' '.join(str(error).split())[-300:]}", ""), False
    return Row("faults", name, went_on, told), True


def main() -> int:
    options = argparse.ArgumentParser()
    options.add_argument("--quick", action="store_true")
    options.add_argument("--only", default="")
    wanted = options.parse_args()
    times = _QUICK if wanted.quick else _LONG
    plugs = {
        f"plug pulled during {during}": partial(killed, during, times // 4 + (times % 4 > at))
        for at, during in enumerate(("keep", "undo", "walk", "print"))
    }
    load = "load {:.1f}, {:.1f}, {:.1f}".format(*os.getloadavg())
    rows, held = [Row("measured on", f"{described()}, {os.cpu_count()} cores, {load}", "")], True
    for name, fault in {**plugs, **FAULTS}.items():
        if wanted.only in name:
            came, well = row(name, fault)
            rows.append(came)
            held = held and well
            print(f"{name}: {came.measured}", file=sys.stderr, flush=True)
    print("\n".join(lines(rows)).replace("| measured | target |", "| what came of it | what is told |", 1))
    return 0 if held else 1


if __name__ == "__main__":
    os.chdir(ROOT)
    sys.exit(main())
