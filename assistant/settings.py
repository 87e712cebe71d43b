"""The settings: one readable TOML file a person may edit, and where it and the board are kept.

A setting that cannot be used falls back to its usual value and costs one plain sentence; the file is left as
it is. A change is written beside the file and renamed over it, so that a power cut leaves the old file or the new
one, and whatever comments a person wrote stay.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

from assistant.errors import SettingsUnreadable
from assistant.tape import TAPES, Feet
from assistant.whole import write_whole

__all__ = [
    "BoardAddress",
    "Settings",
    "board_address",
    "change",
    "create",
    "read",
    "settings_path",
    "sheets_folder",
]

LARGEST_FILE = 1_000_000
"""Bytes. A settings file is a page of text; anything bigger is some other file."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How the hand behaves. Every field has the value it has on a new machine."""

    voice: str = ""
    """Name of the voice; empty for the clearest one found."""
    rate: int = 160
    """Words a minute."""
    pitch: int = 50
    """0 low to 99 high."""
    volume: int = 100
    """Percent of the sound as made, up to 200: above 100 its peaks are rounded off."""
    tape: str = "sixteenths"
    """As in ``assistant.tape.TAPES``."""
    plus: Fraction | None = None
    """What a plus is worth, in inches; None until he has been asked."""
    stud_marks: bool = False
    """Whether the tape that is drawn has its marks every 16 inches."""
    feet: str = "said"
    """As in ``assistant.tape.Feet``: where he said feet, "always", or "never"."""
    attention: str = "wake"
    """"wake" for the wake phrase, "push" for the talk key, "open" for always."""
    follow_up: int = 8
    """Seconds after an answer in which the wake phrase is not needed."""
    talk_key: str = " "
    """The character of the push-to-talk key, or of the pedal that types it."""
    headset: bool = False
    """With a headset, voice may cut in while it is speaking."""
    microphone: str = ""
    """Part of the device's name; empty for the computer's own choice."""
    loudspeaker: str = ""
    paper: str = "letter"
    """As in ``assistant.printing.paper.PAPERS``."""
    folder: str = ""
    """Where printed sheets are kept; empty for the folder Tapehand among the person's documents."""
    model: str = ""
    """Folder of a speech model in Vosk's format; empty for the one that ships."""


@dataclass(frozen=True, slots=True)
class _Entry:
    """How one field stands in the file."""

    section: str
    note: str
    """What it may be, for the person who edits the file."""
    convert: Callable[[Any], Any]
    """From TOML to the field. ValueError or TypeError for anything that cannot be used."""


def _text(value: Any) -> str:
    if not isinstance(value, str) or len(value) > 1000 or not value.isprintable():
        raise ValueError
    return value


def _yes_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise TypeError
    return value


def _within(least: int, most: int) -> Callable[[Any], int]:
    def convert(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise ValueError
        return value

    return convert


def _one_of(*choices: str) -> Callable[[Any], str]:
    def convert(value: Any) -> str:
        if value not in choices:
            raise ValueError
        return _text(value)

    return convert


_PLUSES = {"": None, "0": Fraction(0), "1/64": Fraction(1, 64), "1/32": Fraction(1, 32)}


def _plus(value: Any) -> Fraction | None:
    key = str(value) if value == 0 and not isinstance(value, bool) else _text(value)
    if key not in _PLUSES:
        raise ValueError
    return _PLUSES[key]


def _talk_key(value: Any) -> str:
    key = _text(value)
    if len(key) != 1 or key in "0123456789./*-+," or not key.isascii():
        raise ValueError
    return key


_TAPE_NAMES = tuple(tape.name for tape in TAPES)

_ENTRIES: dict[str, _Entry] = {
    "voice": _Entry("speaking", 'the name of a voice, or "" for the clearest one found', _text),
    "rate": _Entry("speaking", "words a minute, 80 to 300", _within(80, 300)),
    "pitch": _Entry("speaking", "0 (low) to 99 (high)", _within(0, 99)),
    "volume": _Entry("speaking", "percent, 0 to 200", _within(0, 200)),
    "loudspeaker": _Entry("speaking", "part of the device's name, or \"\" for the computer's own choice", _text),
    "tape": _Entry("measuring", "one of " + ", ".join(f'"{name}"' for name in _TAPE_NAMES), _one_of(*_TAPE_NAMES)),
    "plus": _Entry("measuring", 'what a plus is worth: "0", "1/64" or "1/32"; "" to be asked', _plus),
    "stud_marks": _Entry("measuring", "true for the marks every 16 inches on the tape that is drawn", _yes_no),
    "feet": _Entry(
        "measuring",
        'feet and inches "said" (where you say feet), "always" or "never" (inches only)',
        _one_of(*(feet.value for feet in Feet)),
    ),
    "attention": _Entry(
        "hearing",
        '"wake" (say "tape hand" first), "push" (hold the talk key) or "open" (always listening)',
        _one_of("wake", "push", "open"),
    ),
    "follow_up": _Entry("hearing", "seconds after an answer without the wake phrase, 0 to 60", _within(0, 60)),
    "talk_key": _Entry("hearing", 'the key that is held to talk, or what the pedal types: " " or a letter', _talk_key),
    "headset": _Entry("hearing", "true if a headset is worn: voice may then cut in", _yes_no),
    "microphone": _Entry("hearing", "part of the device's name, or \"\" for the computer's own choice", _text),
    "model": _Entry("hearing", 'folder of a speech model in Vosk\'s format, or "" for the one that ships', _text),
    "paper": _Entry("printing", 'the paper in the printer, "letter" or "a4"', _one_of("letter", "a4")),
    "folder": _Entry("printing", 'where printed sheets are kept, or "" for Tapehand in your documents', _text),
}


def settings_path(option: str | None = None) -> Path:
    """Where the settings are: the option, else TAPEHAND_SETTINGS, else the user's folder for settings."""
    named = option or os.environ.get("TAPEHAND_SETTINGS")
    if named:
        return Path(named).expanduser()
    import platformdirs

    return platformdirs.user_config_path("tapehand", appauthor=False) / "settings.toml"


@dataclass(frozen=True, slots=True)
class BoardAddress:
    """Where the board is."""

    file: str
    """Path of this bench's own SQLite file, or its URL."""
    server: str = field(default="", repr=False)
    """URL of the PostgreSQL database of the board it shares with other benches; empty for none. There may be a password
    in it: it is shown nowhere."""


def board_address(option: str | None = None) -> BoardAddress:
    """Where the board is.

    The option names a board and no other: a file, or a server. Else the file is TAPEHAND_BOARD's or in the user's
    folder, and DATABASE_URL may name the server, or an SQLite file where TAPEHAND_BOARD names none. A DATABASE_URL that
    is no URL counts as a server's: mistyped, with a password in it, it must not become the name of a file.
    """
    file, server = os.environ.get("TAPEHAND_BOARD") or "", os.environ.get("DATABASE_URL") or ""
    if option:
        file, server = ("", option) if _is_server(option) else (option, "")
    elif _is_server(file):
        file, server = "", file
    elif "://" in server and not _is_server(server):
        file, server = file or server, ""
    if not file:
        import platformdirs

        file = str(platformdirs.user_data_path("tapehand", appauthor=False) / "board.db")
    return BoardAddress(file, server)


def _is_server(address: str) -> bool:
    return address.partition("://")[0].partition("+")[0] in ("postgresql", "postgres") and "://" in address


def sheets_folder(chosen: Settings) -> Path:
    """Where printed sheets are kept: TAPEHAND_SHEETS, else the setting, else Tapehand among the documents."""
    named = os.environ.get("TAPEHAND_SHEETS") or chosen.folder
    if named:
        return Path(named).expanduser()
    import platformdirs

    return platformdirs.user_documents_path() / "Tapehand"


def read(path: Path) -> tuple[Settings, list[str]]:
    """The settings in the file, and a sentence for each thing in it that could not be used. No file: the usual."""
    try:
        document = _parse(path)
    except FileNotFoundError:
        return Settings(), []
    except SettingsUnreadable as error:
        return Settings(), [f"{error} The usual settings are used until then."]
    found: dict[str, Any] = {}
    problems: list[str] = []
    for section, table in document.items():
        if not isinstance(table, Mapping):
            problems.append(f'No section is called "{section}", or it is outside one. Put it right in {path}.')
            continue
        for name, value in table.items():
            entry = _ENTRIES.get(name)
            if entry is None or entry.section != section:
                problems.append(f'There is no setting "{name}" in [{section}]. Put it right in {path}.')
                continue
            try:
                found[name] = entry.convert(value)
            except (ValueError, TypeError):
                usual = _plain(getattr(Settings(), name))
                problems.append(f"Put {name} right in {path}: {entry.note}. Until then it is {usual!r}.")
    return Settings(**found), problems


def create(path: Path) -> None:
    """Write the usual settings as notes for a person to edit. A file that is there stays.

    Raises:
        SettingsUnreadable: when it cannot be written.
    """
    if not path.exists():
        _write(path, _usual())


def change(path: Path, **changes: Any) -> Settings:
    """Keep other values for some fields, in the file too.

    Raises:
        SettingsUnreadable: for a file that is broken, which is left as it is, or cannot be written.
    """
    import tomlkit

    create(path)
    document = _parse(path)
    for name, value in changes.items():
        section = _ENTRIES[name].section
        if section in document and not isinstance(document[section], Mapping):
            raise SettingsUnreadable(f"In {path}, [{section}] is not a section of settings. Put it right.")
        if name not in document.get(section, {}):
            document = tomlkit.parse(_uncommented(tomlkit.dumps(document), name))
        if section not in document:
            document[section] = {}
        document[section][name] = _plain(value)
    _write(path, tomlkit.dumps(document))
    return read(path)[0]


def _parse(path: Path) -> Any:
    """The TOML document. FileNotFoundError, or SettingsUnreadable with what to put right."""
    import tomlkit
    from tomlkit.exceptions import ParseError, TOMLKitError

    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
        if len(content) > LARGEST_FILE:
            raise SettingsUnreadable(f"{path} is too big to be a settings file. Move it away.")
        return tomlkit.parse(content.decode("utf-8"))
    except FileNotFoundError:
        raise
    except ParseError as error:
        raise SettingsUnreadable(f"Line {error.line} of {path} is not a setting. Put it right.") from None
    except (TOMLKitError, UnicodeDecodeError, ValueError, RecursionError):
        raise SettingsUnreadable(f"{path} is not a settings file. Put it right or move it away.") from None
    except OSError as error:
        raise SettingsUnreadable(f"Cannot read {path}: {error.strerror}. Check who may read it.") from None


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, Fraction):
        return next(text for text, worth in _PLUSES.items() if worth == value)
    return value


def _uncommented(text: str, name: str) -> str:
    """The file with the note that shows this setting made into the setting itself, where there is one."""
    return re.sub(rf"(?m)^# ({name} = )", r"\1", text, count=1)


def _usual() -> str:
    """A file with everything in it as a comment, so that a better usual value of a later version is not held back."""
    lines = ["# Tapehand's settings. Take away the # before a line and change it, then start Tapehand again."]
    section = ""
    for name, entry in _ENTRIES.items():
        if entry.section != section:
            section = entry.section
            lines += ["", f"[{section}]"]
        value = _plain(getattr(Settings(), name))
        written = str(value).lower() if isinstance(value, (bool, int)) else f'"{value}"'
        lines += [f"# {entry.note}", f"# {name} = {written}"]
    return "\n".join(lines) + "\n"


def _write(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, text.encode("utf-8"))
    except OSError as error:
        raise SettingsUnreadable(f"Cannot write {path}: {error.strerror}. Check the disk.") from None
