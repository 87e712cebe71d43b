"""A plain terminal: answers scroll by, and one line at the bottom tells the state and what is being keyed."""

from __future__ import annotations

import shutil
from typing import TextIO

from assistant.screen.large import large
from assistant.session.answer import Answer, ShownMark, ShownValue

__all__ = ["TerminalView"]

_SIGNS = {"plus": " +", "minus": " -", "on": ""}
"""After the figures; the word stands below them, so that the sign is never all there is."""


class TerminalView:
    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._live = out.isatty()
        encoding = (getattr(out, "encoding", None) or "ascii").lower()
        self._ink = "█" if encoding.startswith("utf") else "#"
        self._state = ""
        self._entry = ""
        self._hearing = ""
        self._bottom = False

    def answer(self, answer: Answer) -> None:
        lines = [""]
        if answer.heard:
            lines.append(f"> {answer.heard}")
        shown = _first(answer)
        if shown:
            lines += self._drawn(shown)
        lines += answer.say.splitlines()
        if answer.status != "done":  # it was read with the answer it belongs to
            lines += [f"! {caution}" for caution in answer.cautions if caution not in answer.say]
        lines += [f"  {choice.key}  {choice.say}" for choice in answer.choices]
        self._print(lines)

    def entry(self, words: str) -> None:
        self._entry = words
        self._show_bottom()

    def state(self, words: str) -> None:
        if words != self._state:
            self._state = words
            self._show_bottom()

    def hearing(self, words: str) -> None:
        if words != self._hearing:
            self._hearing = words
            self._show_bottom()

    def level(self, loudness: float) -> None:
        pass  # a line of text that never rests is no help

    def notice(self, sentence: str) -> None:
        if sentence:
            self._print([f"* {sentence}"])

    def close(self) -> None:
        if self._live:
            self._write("\r\x1b[K")

    def _drawn(self, shown: ShownMark | ShownValue) -> list[str]:
        figures = large(shown.tape + _SIGNS[shown.lean.value], self._ink)
        if not figures or len(figures[0]) >= shutil.get_terminal_size().columns:
            figures = [shown.tape]
        lean = f" {shown.lean.value}" if shown.lean.value != "on" else ""
        of = f"{shown.index} of {shown.count}: " if isinstance(shown, ShownMark) and shown.count > 1 else ""
        beside = f" ({shown.beside})" if shown.beside else ""
        return ["", *figures, "", f"{of}{shown.tape}{lean}{beside}"]

    def _print(self, lines: list[str]) -> None:
        start = "\r\x1b[K" if self._live and self._bottom else ""
        self._bottom = False
        self._write(start + "\n".join(lines) + "\n")
        self._show_bottom()

    def _show_bottom(self) -> None:
        if self._live:
            words = " | ".join(part for part in (self._state, self._entry, self._hearing) if part)
            self._bottom = True
            self._write(f"\r\x1b[K{words[: shutil.get_terminal_size().columns - 1]}")

    def _write(self, text: str) -> None:
        self._out.write(text)
        self._out.flush()


def _first(answer: Answer) -> ShownMark | ShownValue | None:
    """What to draw large: the mark he is at, else the first length of the answer."""
    if answer.at is not None and 0 < answer.at <= len(answer.marks):
        return answer.marks[answer.at - 1]
    return next((value for value in answer.values if value.tape), None)
