"""Which recogniser: Vosk with the first model that works, else pocketsphinx. Says which, and why.

The model the settings name comes first, then ours: where the one that was named cannot be had, ours hears more of
what is said than pocketsphinx does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from assistant.errors import ModelUnusable
from assistant.hearing.likeliest import Sense, words_alone
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
    sense: Callable[[str, str], Sense] = words_alone,
) -> Chosen:
    """A recogniser for a grammar's public rules.

    ``models`` is searched for model folders; ``named`` (from the settings) goes before them. ``Vosk`` has what ``said``
    and ``sense`` are.

    Raises:
        ModelUnusable: where there is none at all, with what to do.
    """

    def second() -> Recogniser:
        return Pocketsphinx(grammar, roots, pronunciations, usage)

    trouble = ""
    for folder in dict.fromkeys([*([named] if named else []), *model_folders(models)]):
        try:
            engine = Vosk(grammar, roots, folder, said, sense)
        except ModelUnusable as error:
            trouble = trouble or str(error)
        else:
            until = f"{trouble} Until then I hear with {folder.name}." if trouble else ""
            less = ", without its speech enhancer: less well in noise" if engine.unenhanced else ""
            return Chosen(engine, f"the model in {folder}{less}", until, second)
    until = f"{trouble} Until then I hear less well." if trouble else ""
    return Chosen(second(), "pocketsphinx and its own English model", until)
