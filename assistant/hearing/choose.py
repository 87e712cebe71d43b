"""Which recogniser: Vosk with a model where there is one that works, else pocketsphinx. Says which, and why."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from assistant.errors import ModelUnusable
from assistant.hearing.pocketsphinx_engine import Pocketsphinx
from assistant.hearing.recogniser import GrammarSource, Recogniser
from assistant.hearing.usage import Usage, anything
from assistant.hearing.vosk_engine import Vosk

__all__ = ["Chosen", "choose", "model_folders"]


class Chosen(NamedTuple):
    recogniser: Recogniser
    because: str
    """For ``check``: "the model in models/en"."""
    trouble: str
    """A sentence where the one that was wanted could not be had; empty otherwise."""
    spare: Callable[[], Recogniser] | None = None
    """Makes the one to go on with should this one fail for good; None where there is no other."""


def model_folders(models: Path) -> list[Path]:
    """The speech models that stand under a folder, by name."""
    return sorted(path.parent.parent for path in models.glob("*/am/final.mdl"))


def choose(
    grammar: GrammarSource,
    roots: Sequence[str],
    models: Path,
    named: Path | None = None,
    pronunciations: Mapping[str, str] | None = None,
    usage: Usage = anything,
    said: Callable[[str], Sequence[str]] | None = None,
) -> Chosen:
    """A recogniser for a grammar's public rules.

    ``models`` is searched for model folders; ``named`` (from the settings) goes before them.

    Raises:
        ModelUnusable: where there is none at all, with what to do.
    """

    def second() -> Recogniser:
        return Pocketsphinx(grammar, roots, pronunciations, usage)

    trouble = ""
    for folder in [named] if named else model_folders(models):
        try:
            return Chosen(Vosk(grammar, roots, folder, said), f"the model in {folder}", trouble, second)
        except ModelUnusable as error:
            trouble = trouble or f"{error} Until then I hear less well."
    return Chosen(second(), "pocketsphinx and its own English model", trouble)
