"""The speech models: ours and those a person has added, which one is used, and what was found about each.

An added model stands in the user's data folder, under a name, with what was found about it beside its files. It is
brought into a hidden folder beside its place, tried there, and put in its place by renaming: whatever goes wrong
before, the model that was used goes on being used.
"""

from __future__ import annotations

import json
import os
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import platformdirs

from assistant import resources, settings
from assistant.errors import ModelNotFetched, ModelUnusable, TapehandError, VoiceUnavailable
from assistant.hearing.choose import model_folders
from assistant.hearing.parcel import tidy, unpacked
from assistant.hearing.prepared import prepare
from assistant.hearing.sound import RATE
from assistant.hearing.usage import usually_said
from assistant.hearing.vosk_engine import Vosk, check_folder, lacking
from assistant.language.grammar import SEARCHED, Grammar, load_english
from assistant.language.understand import understand
from assistant.speaking.sound import join, silence
from assistant.speaking.voice import PyttsxVoice

__all__ = ["SAMPLES", "Model", "NoSuchModel", "add", "added_folder", "models", "use"]

SAMPLES = (
    "fifty three and five eighths",
    "twelve and a quarter",
    "six foot four and a half",
    "center of ninety and three quarters",
    "divide sixty by seven",
    "take off an eighth each end",
)
"""Said to a model by the voice at hand before it is taken."""
_ABOUT = "found.json"
_LEAD_MS, _TAIL_MS = 300, 500
_FEW = 5
"""Words named; of more only the number is said."""


class NoSuchModel(TapehandError):
    """No model goes by that name."""


@dataclass(frozen=True, slots=True)
class Model:
    name: str
    folder: Path
    ours: bool
    used: bool
    found: str
    """What is known about it, in one sentence or two."""


def added_folder() -> Path:
    """Where added models stand: TAPEHAND_MODELS, else the user's data folder."""
    named = os.environ.get("TAPEHAND_MODELS")
    return Path(named).expanduser() if named else platformdirs.user_data_path("tapehand", appauthor=False) / "models"


def models(settings_file: Path) -> list[Model]:
    """Ours, the added ones by name, and one the settings name that stands elsewhere."""
    grammar = load_english()
    chosen = settings.read(settings_file)[0].model
    ours = model_folders(resources.folder("models"))
    used = Path(chosen).expanduser() if chosen else next(iter(ours), None)
    listed = [Model(f.name, f, True, f == used, _looked_at(grammar, f)) for f in ours]
    listed += [Model(f.name, f, False, f == used, _remembered(f)) for f in model_folders(added_folder())]
    if used is not None and not any(model.used for model in listed):
        listed.append(Model(str(used), used, False, True, _looked_at(grammar, used)))
    return listed


def add(source: str, settings_file: Path) -> Model:
    """Bring a model here, try it, keep it and use it from now on.

    ``source``: a folder, a ZIP file, or the http or https address of one.

    Raises:
        ModelNotFetched, ModelUnusable: with nothing changed.
        SettingsUnreadable: the model is kept, and not used.
    """
    place = added_folder()
    try:
        place.mkdir(parents=True, exist_ok=True)
        hall = tempfile.TemporaryDirectory(dir=place, prefix=".coming-", ignore_cleanup_errors=True)
    except OSError as error:
        raise ModelNotFetched(f"{place} cannot be written: {error.strerror}. Make room on the disk.") from None
    with hall as coming:
        folder = unpacked(source, Path(coming))
        found = _tried(source, folder)
        (folder / _ABOUT).write_text(json.dumps({"from": source, "found": found}) + "\n", encoding="utf-8")
        name = tidy(folder.name)
        if any(name == ours.name for ours in model_folders(resources.folder("models"))):
            name += "-added"
        _put(folder, place / name, Path(coming))
    settings.change(settings_file, model=str(place / name))
    return Model(name, place / name, False, True, found)


def use(name: str, settings_file: Path) -> Model:
    """Use one of the models from now on.

    Raises:
        NoSuchModel, ModelUnusable, SettingsUnreadable: with nothing changed.
    """
    known = models(settings_file)
    model = next((model for model in known if model.name == name), None)
    if model is None:
        raise NoSuchModel(f"There is no model {name}. Choose one of: {', '.join(model.name for model in known)}.")
    check_folder(model.folder)
    first_of_ours = next(iter(model_folders(resources.folder("models"))), None)
    settings.change(settings_file, model="" if model.folder == first_of_ours else str(model.folder))
    return model


def _put(folder: Path, place: Path, coming: Path) -> None:
    """Into its place; one of that name that is there already goes, and comes back should this fail."""
    before = coming / ".before"
    try:
        if place.exists():
            os.replace(place, before)
        try:
            os.replace(folder, place)
        except OSError:
            with suppress(OSError):
                os.replace(before, place)
            raise
    except OSError as error:
        raise ModelNotFetched(f"{place} cannot be written: {error.strerror}. Check who may write there.") from None


def _tried(source: str, folder: Path) -> str:
    """What is found about a model that has come. ModelUnusable where it will not do."""
    missing = lacking(folder)
    if missing:
        raise ModelUnusable(f"The model in {source} has no {missing}. Use one of the small Vosk models, whole.")
    grammar = load_english()
    prepare(grammar)
    try:
        engine = Vosk(grammar, SEARCHED, folder, partial(usually_said, grammar))
    except ModelUnusable:
        raise ModelUnusable(f"The model in {source} can't be loaded: a file of it is damaged. Get it again.") from None
    try:
        right = _heard_right(engine, grammar)
    finally:
        engine.close()
    if right == 0:
        raise ModelUnusable(f"The model in {source} understands nothing of what the voice says. Use another.")
    return f"{_size(folder)}; {_vocabulary(grammar, engine.missing)}; {_spoken(right)}"


def _heard_right(engine: Vosk, grammar: Grammar) -> int | None:
    """How many of SAMPLES are heard as they are meant; None where there is no voice to say them."""
    from assistant.demo import ASKER, in_a_room  # and with it the whole session, which nothing else here needs

    voice = PyttsxVoice(ASKER)
    try:
        right = 0
        for words in SAMPLES:
            said = join([silence(_LEAD_MS, RATE), voice.render(words), silence(_TAIL_MS, RATE)], RATE)
            engine.start(SEARCHED[0])
            engine.accept(in_a_room(said).pcm)
            right += understand(grammar, engine.finish().words)[1] == understand(grammar, words)[1]
        return right
    except VoiceUnavailable:
        return None
    finally:
        voice.close()


def _looked_at(grammar: Grammar, folder: Path) -> str:
    """What can be told without trying it."""
    try:
        check_folder(folder)
        listed = {line.split()[0] for line in (folder / "graph" / "words.txt").read_text("utf-8").splitlines() if line}
    except ModelUnusable as error:
        return str(error)
    except (OSError, ValueError, IndexError):
        return f"{_size(folder)}; its words are not listed"
    return f"{_size(folder)}; {_vocabulary(grammar, grammar.words - listed)}"


def _remembered(folder: Path) -> str:
    """What was found when it came; what is wrong with it since."""
    try:
        check_folder(folder)
        about = json.loads((folder / _ABOUT).read_text(encoding="utf-8"))
        return str(about["found"])
    except ModelUnusable as error:
        return str(error)
    except (OSError, ValueError, KeyError, TypeError):
        return "never tried: it was not added with tapehand model add"


def _size(folder: Path) -> str:
    size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
    return f"{max(1, round(size / 1e6))} MB"


def _vocabulary(grammar: Grammar, missing: frozenset[str]) -> str:
    if not missing:
        return f"knows all {len(grammar.words)} words"
    named = f" ({', '.join(sorted(missing))})" if len(missing) <= _FEW else ""
    return f"lacks {len(missing)} of {len(grammar.words)} words{named}"


def _spoken(right: int | None) -> str:
    if right is None:
        return "not tried by ear: there is no voice on this computer"
    return f"heard {right} of {len(SAMPLES)} spoken samples right"
