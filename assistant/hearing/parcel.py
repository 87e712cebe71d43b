"""A speech model as it comes: a folder, a ZIP file or the address of one, brought into a folder of ours.

Nothing that comes from outside is trusted. Only http and https addresses are followed, a redirection included; a ZIP
file may write nothing outside its folder; and both have an end.
"""

from __future__ import annotations

import http.client
import os
import re
import shutil
import stat
import urllib.error
import urllib.request
import zipfile
import zlib
from pathlib import Path, PurePath, PurePosixPath

from assistant.errors import ModelNotFetched, ModelUnusable

__all__ = ["tidy", "unpacked"]

LARGEST_FETCHED = 500_000_000
"""Bytes. The small models that take a grammar come as ZIP files of 40 to 130 million."""
LARGEST_UNPACKED = 1_500_000_000
MOST_FILES = 1000
"""A model has about twenty."""
DEEPEST = 3
"""Folders a model may stand in, as ZIP files have them."""
SILENT_SECONDS = 30.0
"""An address that sends nothing for so long has gone."""
_PIECE = 1 << 20
_LONGEST_NAME = 80
_MODEL_FILE = "am/final.mdl"


def tidy(name: str) -> str:
    """A name fit for a folder anywhere: of letters, digits, dots, dashes and underscores, not beginning with a dot."""
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name).lstrip(".-")[:_LONGEST_NAME] or "model"


def unpacked(source: str, into: Path) -> Path:
    """The model's own folder, in ``into``, which must be there and empty.

    Raises:
        ModelNotFetched: the source cannot be reached or read, or there is no room for it.
        ModelUnusable: what came holds no speech model, or what no speech model holds.
    """
    if "://" in source:
        file = into / ".fetched"
        _fetch(source, file)
        return _unzipped(file, source, into)
    path = Path(source).expanduser()
    if path.is_dir():
        return _copied(path, into)
    if not path.exists():
        raise ModelNotFetched(f"There is no folder or file {source}. Check the name.")
    return _unzipped(path, source, into)


def _opener() -> urllib.request.OpenerDirector:
    """Of what urllib can open, the web alone: no files and no FTP, not even by redirection."""
    opener = urllib.request.OpenerDirector()
    for handler in (
        urllib.request.ProxyHandler(),
        urllib.request.HTTPHandler(),
        urllib.request.HTTPSHandler(),
        urllib.request.HTTPDefaultErrorHandler(),
        urllib.request.HTTPRedirectHandler(),
        urllib.request.HTTPErrorProcessor(),
        urllib.request.UnknownHandler(),
    ):
        opener.add_handler(handler)
    return opener


def _fetch(address: str, file: Path) -> None:
    if address.partition("://")[0].lower() not in ("http", "https"):
        raise ModelUnusable(f"{address} is no web address. Give one that begins with https:// or http://.")
    try:
        with _opener().open(address, timeout=SILENT_SECONDS) as answer, file.open("wb") as out:
            promised = int(answer.headers.get("Content-Length") or -1)
            came = 0
            while piece := answer.read(_PIECE):
                came += len(piece)
                if max(came, promised) > LARGEST_FETCHED:
                    raise ModelUnusable(f"{address} is too big. Use one of the small models, under 500 MB.")
                out.write(piece)
    except urllib.error.HTTPError as error:
        error.close()
        raise ModelNotFetched(f"{address} is not there: the server says {error.code}. Check the address.") from None
    except (urllib.error.URLError, http.client.HTTPException, ConnectionError, TimeoutError, ValueError):
        raise ModelNotFetched(f"{address} cannot be reached. Check the address and the network.") from None
    except OSError as error:
        raise _not_kept(address, error) from None
    if 0 <= came < promised:
        raise ModelNotFetched(f"{address} broke off half way. Try again.")


def _unzipped(file: Path, source: str, into: Path) -> Path:
    broken = ModelUnusable(f"{source} is no ZIP file, or it is cut short or damaged. Get it again.")
    target = into / tidy(PurePath(source.partition("?")[0]).stem)
    try:
        with zipfile.ZipFile(file) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_FILES or sum(entry.file_size for entry in entries) > LARGEST_UNPACKED:
                raise ModelUnusable(f"{source} is too big for a small speech model. Use one of those.")
            places = [_place(entry, source) for entry in entries]
            for entry, place in zip(entries, places, strict=True):
                if entry.is_dir():
                    continue
                at = target / place
                at.parent.mkdir(parents=True, exist_ok=True)
                with archive.open(entry) as packed, at.open("wb") as out:
                    shutil.copyfileobj(packed, out, _PIECE)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError):
        raise broken from None  # RuntimeError: it wants a password
    except FileExistsError:
        raise broken from None  # one name as file and as folder
    except OSError as error:
        raise _not_kept(source, error) from None
    return _model_in(target, source)


def _place(entry: zipfile.ZipInfo, source: str) -> PurePosixPath:
    """Where an entry goes, below the folder it is unpacked in."""
    place = PurePosixPath(entry.filename)
    outside = place.is_absolute() or ".." in place.parts or any(c in entry.filename for c in ":\\\0")
    if outside or stat.S_ISLNK(entry.external_attr >> 16):
        raise ModelUnusable(f"{source} would write outside its own folder. Do not use it; get a model elsewhere.")
    return place


def _copied(folder: Path, into: Path) -> Path:
    """The model in a person's folder, copied without following links to other folders."""
    found = _model_in(folder, str(folder))
    target = into / tidy(found.resolve().name)
    size = count = 0
    try:
        for place, _, names in os.walk(found):
            for path in filter(Path.is_file, (Path(place, name) for name in names)):
                size, count = size + path.stat().st_size, count + 1
                if size > LARGEST_UNPACKED or count > MOST_FILES:
                    raise ModelUnusable(f"{folder} is too big for a small speech model. Use one of those.")
                at = target / path.relative_to(found)
                at.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(path, at)
    except OSError as error:
        raise _not_kept(str(folder), error) from None
    return target


def _model_in(folder: Path, source: str) -> Path:
    """The folder that holds the model: this one, or the first a few folders down."""
    for depth in range(DEEPEST + 1):
        for found in sorted(folder.glob("*/" * depth + _MODEL_FILE)):
            return found.parent.parent
    raise ModelUnusable(f"{source} has no {_MODEL_FILE}: it holds no speech model in Vosk's format. Get another.")


def _not_kept(source: str, error: OSError) -> ModelNotFetched:
    why = error.strerror or "it cannot be read"
    return ModelNotFetched(f"{source} cannot be brought here: {why}. Check who may read it, and the room on the disk.")
