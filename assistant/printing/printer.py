"""Where sheets go: a PDF in a folder, and from there to the printer of this computer, where it has one.

The names of the files and all that is told to the printer are our own: nothing that was said, keyed or sent by a
page is in them.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterable
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Protocol

from assistant.environment import for_helpers
from assistant.errors import CannotPrint
from assistant.language.speak import cap_first, speak_whole
from assistant.session.effects import Effect, Show, instead
from assistant.session.on_paper import PutOnPaper

__all__ = ["NoPrinter", "Printer", "ToFolder", "printed"]

_PATIENCE = 5.0
"""Seconds for a print queue to take a sheet. It only has to be handed over."""


class Printer(Protocol):
    """What puts a sheet on paper."""

    def put(self, sheet: PutOnPaper) -> str:
        """Where the sheet is now, in a sentence.

        Raises:
            CannotPrint: with what to do instead.
        """


class NoPrinter:
    """The stand-in where nothing is to be written."""

    def put(self, sheet: PutOnPaper) -> str:
        raise CannotPrint("Nothing is printed from here. Print it at the bench, or type tapehand print.")


class ToFolder:
    """Sheets as files in one folder, numbered, each handed to the printer as well."""

    def __init__(self, folder: Path, paper: str = "letter") -> None:
        """``paper`` is a name of ``assistant.printing.paper.PAPERS``."""
        self._folder = folder
        self._paper = paper

    def put(self, sheet: PutOnPaper) -> str:
        from assistant.printing.paper import PAPERS  # reportlab takes longer to load than a request to answer
        from assistant.printing.sheets import drawn

        pdf = drawn(sheet, PAPERS[self._paper])
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            path, number = self._kept(pdf, sheet.sheet.value)
        except OSError as error:
            raise CannotPrint(
                f"The {sheet.sheet.value} cannot be kept in {self._folder}: {error.strerror}. "
                "Make room there, or name another folder in the settings."
            ) from None
        named = f"{cap_first(sheet.sheet.value)} {speak_whole(number)}"
        kept = f"{named} is in the folder {self._folder.name}."
        if not _to_printer(path, self._paper, kept):
            return f"There is no printer here. {kept}"
        return f"{named} is at the printer."

    def _kept(self, pdf: bytes, name: str) -> tuple[Path, int]:
        """The file it is in: one that has it already, or else the next."""
        for number in count(1):
            path = self._folder / f"{name.replace(' ', '-')}-{number}.pdf"
            try:
                with path.open("xb") as file:
                    file.write(pdf)
            except FileExistsError:
                if path.stat().st_size != len(pdf) or path.read_bytes() != pdf:
                    continue
            except OSError:
                path.unlink(missing_ok=True)  # half a sheet is none
                raise
            return path, number
        raise AssertionError


def printed(effects: Iterable[Effect], printer: Printer) -> list[Effect]:
    """The effects that are left once sheets are printed; the answer says where they are, or why they are not."""
    rest: list[Effect] = []
    told = None
    for effect in effects:
        if isinstance(effect, PutOnPaper):
            try:
                told = ("done", printer.put(effect))
            except CannotPrint as error:
                told = ("refused", str(error))
        else:
            rest.append(effect)
    if told is None:
        return rest
    answer = next(effect.answer for effect in rest if isinstance(effect, Show))
    return instead(rest, replace(answer, status=told[0], say=told[1]))


def _to_printer(path: Path, paper: str, kept: str) -> bool:
    """Hand a file to the usual printer, at full size. False where this computer has none.

    Raises:
        CannotPrint: where there is one and it does not take it; ``kept`` tells where the sheet is all the same.
    """
    program = shutil.which("lp")  # POSIX.1-2017, lp; the options are those of CUPS
    if program is None:
        return False
    how = ["-s", "-o", "print-scaling=none", "-o", f"media={paper}", "-t", path.stem]
    try:
        done = subprocess.run(
            [program, *how, "--", str(path.resolve())],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            env=for_helpers(LC_ALL="C"),
            timeout=_PATIENCE,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        raise CannotPrint(f"The printer does not answer. {kept}") from None
    if done.returncode and b"no default destination" in done.stderr.lower():
        return False
    if done.returncode:
        raise CannotPrint(f"The printer did not take it. {kept}")
    return True
