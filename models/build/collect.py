"""Training speech out of archives or folders: ``python -m models.build collect LIST OUT SOURCE...``.

LIST is a table (name, transcript, speaker, set, licence, note; tab-separated) of the clips to take: those of LibriSpeech
(openslr.org/12), Speech Commands (by its release archive) and speechocean762 (openslr.org/101) among them, by file name
without its ending; one-word clips, whose names repeat, by WORD_NAME. A SOURCE is a folder, or a tar archive as published.
OUT gets SET/NAME.flac, 16 kHz mono, and manifest.tsv; what LIST names and no source has is counted.
"""

from __future__ import annotations

import csv
import io
import tarfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

import soundfile

from models.build.pack import RATE, read

_SOUND = (".flac", ".wav")


def name_of(path: PurePosixPath) -> str:
    """A clip's name in the list."""
    return f"{path.parent.name}_{path.stem}" if "_nohash_" in path.stem else path.stem


def clips(source: Path) -> Iterator[tuple[str, Path | io.BytesIO]]:
    """Each sound of a folder or a tar archive, by its name in the list."""
    if source.is_dir():
        for path in sorted(source.rglob("*")):
            if path.suffix.lower() in _SOUND:
                yield name_of(PurePosixPath(path.as_posix())), path
        return
    with tarfile.open(source) as archive:
        for member in archive:
            path = PurePosixPath(member.name)
            if member.isfile() and path.suffix.lower() in _SOUND:
                held = archive.extractfile(member)
                if held is not None:
                    yield name_of(path), io.BytesIO(held.read())


def main(listed: str, out: str, *sources: str) -> None:
    with Path(listed).open(encoding="utf-8") as table:
        want = {row["name"]: row for row in csv.DictReader(table, delimiter="\t", quoting=csv.QUOTE_NONE)}
    columns = ("path", "transcript", "speaker", "seconds", "set", "licence", "note")
    found: set[str] = set()
    Path(out).mkdir(parents=True, exist_ok=True)
    with (Path(out) / "manifest.tsv").open("w", encoding="utf-8") as manifest:
        manifest.write("\t".join(columns) + "\n")
        for source in sources:
            for name, clip in clips(Path(source)):
                if name not in want or name in found:
                    continue
                found.add(name)
                row, sound = want[name], read(clip)
                path = f"{row['set']}/{name}.flac"
                (Path(out) / row["set"]).mkdir(exist_ok=True)
                soundfile.write(Path(out) / path, sound, RATE, subtype="PCM_16")
                values = {**row, "path": path, "seconds": f"{len(sound) / RATE:.2f}"}
                manifest.write("\t".join(values.get(column) or "" for column in columns) + "\n")
    print(len(found), "of", len(want), "clips")
