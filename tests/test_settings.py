"""The settings file: what a person wrote stays, what is broken costs a sentence and never the rest."""

from __future__ import annotations

import os
import re
from dataclasses import asdict, replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as how_often
from hypothesis import strategies as st

from assistant.errors import SettingsUnreadable
from assistant.settings import BoardAddress, Settings, board_address, change, create, read, settings_path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "settings.toml"


def test_no_file_is_a_new_machine(path: Path) -> None:
    assert read(path) == (Settings(), [])
    assert not path.exists()


def test_the_file_that_is_made_says_what_it_means(path: Path) -> None:
    create(path)
    assert read(path) == (Settings(), [])
    lines = path.read_text(encoding="utf-8").splitlines()
    for name in asdict(Settings()):
        (at,) = [i for i, line in enumerate(lines) if line.startswith(f"# {name} = ")]
        assert lines[at - 1].startswith("# ")


def test_what_it_shows_are_the_usual_values(path: Path) -> None:
    create(path)
    path.write_text(re.sub(r"(?m)^# (\w+ = )", r"\1", path.read_text(encoding="utf-8")))
    assert read(path) == (Settings(), [])


def test_a_change_takes_the_place_of_the_note(path: Path) -> None:
    create(path)
    before = path.read_text(encoding="utf-8")
    change(path, rate=120)
    assert path.read_text(encoding="utf-8") == before.replace("# rate = 160", "rate = 120")


def test_making_it_leaves_a_file_that_is_there(path: Path) -> None:
    change(path, rate=99)
    create(path)
    assert read(path)[0].rate == 99


def test_a_change_keeps_what_a_person_wrote(path: Path) -> None:
    path.parent.mkdir()
    path.write_text("# Ours, by the band saw\n[speaking]\nrate = 120   # he is hard of hearing\n", encoding="utf-8")
    assert change(path, rate=110, tape="eighths") == replace(Settings(), rate=110, tape="eighths")
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# Ours, by the band saw\n[speaking]\nrate = 110   # he is hard of hearing\n")
    assert read(path) == (replace(Settings(), rate=110, tape="eighths"), [])
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("[speaking\nrate = 5", "Line 1 of {path} is not a setting. Put it right."),
        ("[speaking]\nrate = 120\nrate = 130", "is not a settings file. Put it right or move it away."),
        ("[measuring]\ntape = ", "Line 2 of {path} is not a setting. Put it right."),
        ("a = " + "[" * 5000, "{path}"),
        ("\x00\x00\x00\x00", "Line 1 of {path} is not a setting. Put it right."),
        ("# " + "x" * 1_000_000, "{path} is too big to be a settings file. Move it away."),
    ],
)
def test_a_broken_file_gives_the_usual_settings_and_stays(path: Path, text: str, problem: str) -> None:
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    settings, problems = read(path)
    assert settings == Settings()
    (told,) = problems
    assert problem.format(path=path) in told
    assert told.endswith("The usual settings are used until then.")
    with pytest.raises(SettingsUnreadable):
        change(path, rate=120)
    assert path.read_text(encoding="utf-8") == text


def test_bytes_that_are_no_text(path: Path) -> None:
    path.parent.mkdir()
    path.write_bytes(b"\xff\xfe\x00rate")
    assert "is not a settings file" in read(path)[1][0]


def test_a_folder_in_its_place(path: Path) -> None:
    path.mkdir(parents=True)
    assert read(path)[1][0].startswith(f"Cannot read {path}: ")
    with pytest.raises(SettingsUnreadable, match="Cannot read"):
        change(path, rate=100)


@pytest.mark.parametrize(
    ("section", "line"),
    [
        ("speaking", 'rate = "fast"'),
        ("speaking", "rate = true"),
        ("speaking", "rate = 79"),
        ("speaking", "volume = 201"),
        ("speaking", "voice = 3"),
        ("measuring", 'tape = "sevenths"'),
        ("measuring", "tape = [1]"),
        ("measuring", 'plus = "1/63"'),
        ("measuring", "plus = false"),
        ("measuring", 'feet = "sometimes"'),
        ("hearing", "headset = 1"),
        ("hearing", "follow_up = 8.5"),
        ("hearing", "attention = 1979-05-27"),
        ("hearing", 'microphone = "a\\u0000b"'),
    ],
)
def test_one_bad_value_costs_only_itself(path: Path, section: str, line: str) -> None:
    path.parent.mkdir()
    other = "pitch = 7\n" if section == "speaking" else ""
    path.write_text(f"[{section}]\n{line}\n{other}")
    settings, problems = read(path)
    assert settings == (replace(Settings(), pitch=7) if other else Settings())
    (told,) = problems
    name = line.split(" ")[0]
    assert told.startswith(f"Put {name} right in {path}: ")
    assert told.endswith(f"Until then it is {getattr(Settings(), name) or (False if name == 'headset' else '')!r}.")


def test_names_that_are_none_of_ours_are_told(path: Path) -> None:
    path.parent.mkdir()
    path.write_text("loud = 3\n[speaking]\nspeed = 3\ntape = 'eighths'\n")
    settings, problems = read(path)
    assert settings == Settings()
    assert [problem.split(".")[0] for problem in problems] == [
        'No section is called "loud", or it is outside one',
        'There is no setting "speed" in [speaking]',
        'There is no setting "tape" in [speaking]',
    ]


def test_a_plus_may_be_written_as_a_number(path: Path) -> None:
    path.parent.mkdir()
    path.write_text("[measuring]\nplus = 0\n")
    assert read(path) == (replace(Settings(), plus=Fraction(0)), [])


everything = st.builds(
    Settings,
    voice=st.text(st.characters(categories=("L", "N", "P", "S")), max_size=30),
    rate=st.integers(80, 300),
    pitch=st.integers(0, 99),
    volume=st.integers(0, 200),
    tape=st.sampled_from(["eighths", "sixteenths", "thirty-seconds", "millimeters"]),
    plus=st.sampled_from([None, Fraction(0), Fraction(1, 64), Fraction(1, 32)]),
    attention=st.sampled_from(["wake", "push", "open"]),
    feet=st.sampled_from(["said", "always", "never"]),
    follow_up=st.integers(0, 60),
    headset=st.booleans(),
    microphone=st.sampled_from(["", "USB mic", 'the "good" one', "C:\\a\\b"]),
    loudspeaker=st.just(""),
    model=st.just("C:\\models\\en"),
)


@how_often(max_examples=50, deadline=None)
@given(first=everything, then=everything)
def test_whatever_is_set_is_read_back(
    tmp_path_factory: pytest.TempPathFactory, first: Settings, then: Settings
) -> None:
    path = tmp_path_factory.mktemp("settings") / "settings.toml"
    for settings in (first, then):
        change(path, **asdict(settings))
        assert read(path) == (settings, [])


@pytest.mark.skipif(os.name != "posix", reason="who may write a folder is POSIX here")
def test_a_disk_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(SettingsUnreadable, match=r"Cannot (read|write) .*settings\.toml: "):
        change(tmp_path / "file" / "settings.toml", rate=100)


def test_where_they_are(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("TAPEHAND_SETTINGS", "TAPEHAND_BOARD", "DATABASE_URL"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert settings_path().name == "settings.toml"
    assert Path(board_address().file).name == "board.db"
    usual = board_address().file
    if os.name == "posix" and os.uname().sysname == "Linux":  # XDG Base Directory Specification 0.8
        assert settings_path() == tmp_path / "config" / "tapehand" / "settings.toml"
        assert board_address().file == str(tmp_path / "data" / "tapehand" / "board.db")
    monkeypatch.setenv("DATABASE_URL", "postgresql://bench/board")
    assert board_address() == BoardAddress(usual, "postgresql://bench/board")
    monkeypatch.setenv("TAPEHAND_BOARD", "b.db")
    assert board_address() == BoardAddress("b.db", "postgresql://bench/board")
    assert board_address("c.db") == BoardAddress("c.db")
    assert board_address("postgres://bench/two") == BoardAddress(usual, "postgres://bench/two")
    monkeypatch.setenv("DATABASE_URL", "sqlite:///d.db")
    assert board_address() == BoardAddress("b.db")
    monkeypatch.delenv("TAPEHAND_BOARD")
    assert board_address() == BoardAddress("sqlite:///d.db")
    monkeypatch.setenv("TAPEHAND_SETTINGS", "s.toml")
    assert settings_path() == Path("s.toml")
    assert settings_path("t.toml") == Path("t.toml")
