"""Every way Tapehand can fail, in one tree.

    TapehandError
    ├── Slip                     what was asked cannot be: a negative length, twelve inches after feet
    ├── HardwareError
    │   ├── MicrophoneUnavailable
    │   ├── LoudspeakerUnavailable
    │   ├── KeypadUnavailable
    │   ├── ScreenUnavailable
    │   └── VoiceUnavailable
    ├── ModelUnusable            a speech model folder that cannot be loaded
    ├── ModelNotFetched          a speech model that cannot be had: no such file or address, no network, no room
    ├── SoundFileUnreadable      a recording that cannot be read
    ├── SettingsUnreadable       the settings file is broken
    ├── CannotPrint              no sheet can be written, or the printer does not take it
    └── BoardError
        ├── BoardLocked          another program holds the database
        ├── BoardReadOnly
        ├── DiskFull
        ├── BoardTooNew          written by a newer Tapehand
        └── SharedBoardAway      the server of the board that benches share

The text of every one of them is a plain sentence that says what to do next. It is fit to be shown and
spoken as it stands: nothing else about the failure ever reaches the person at the bench.
"""

from __future__ import annotations


class TapehandError(Exception):
    """Base of all our errors. ``str(error)`` is one plain sentence for the person at the bench."""


class Slip(TapehandError):
    """The request cannot be carried out as said. Nothing has changed."""


class HardwareError(TapehandError):
    """Something plugged into the computer is missing or busy. The rest keeps working."""


class MicrophoneUnavailable(HardwareError):
    """No microphone can be opened: PortAudio missing, none attached, busy, or pulled out."""


class LoudspeakerUnavailable(HardwareError):
    """Sound cannot be played."""


class KeypadUnavailable(HardwareError):
    """No keys can be read: not started from a terminal, or the terminal has gone."""


class ScreenUnavailable(HardwareError):
    """The screen cannot be put up: its port is taken, or there is no browser."""


class VoiceUnavailable(HardwareError):
    """Text cannot be turned into speech: no speech engine, or its process died."""


class ModelUnusable(TapehandError):
    """A speech model folder is missing files, is broken, or cannot take our grammar."""


class ModelNotFetched(TapehandError):
    """A speech model cannot be brought here: no such file or address, no network, no room on the disk."""


class SoundFileUnreadable(TapehandError):
    """A recording is missing, empty, or not in a format we read."""


class SettingsUnreadable(TapehandError):
    """The settings file is not valid. Defaults are used and the file is left as it is."""


class CannotPrint(TapehandError):
    """A sheet cannot be written to the disk, or the printer does not take it."""


class BoardError(TapehandError):
    """The board on disk cannot be read or written. What is in memory is kept."""


class BoardLocked(BoardError):
    """Another program is holding the database."""


class BoardReadOnly(BoardError):
    """The database, or the folder it is in, may not be written."""


class DiskFull(BoardError):
    """No room to write."""


class BoardTooNew(BoardError):
    """The database was written by a newer version of Tapehand."""


class SharedBoardAway(BoardError):
    """The server of the shared board cannot be reached, or refuses. What is kept waits in the bench's own file."""
