"""Training speech is taken out of published archives by the list, and nothing else is."""

from __future__ import annotations

import csv
import tarfile
from pathlib import Path

import numpy as np
import pytest

soundfile = pytest.importorskip("soundfile")
pytest.importorskip("scipy")

from models.build import collect  # noqa: E402

LISTED = (
    "name\ttranscript\tspeaker\tset\tlicence\tnote\n"
    "1089-134686-0000\tHE HOPED\t1089\tlibrispeech\tCC BY 4.0\t\n"
    "zero_0a_nohash_0\tzero\t0a\tspeech-commands\tCC BY 4.0\t\n"
    "not_there\tx\ty\tz\tCC0\t\n"
)


def test_listed_clips_come_from_a_folder_and_an_archive(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The names are laid out as in LibriSpeech (openslr.org/12) and Speech Commands (arXiv:1804.03209)."""
    for path in (
        "libri/test-clean/1089/134686/1089-134686-0000.flac",
        "libri/other.flac",
        "words/zero/0a_nohash_0.wav",
    ):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        soundfile.write(tmp_path / path, np.zeros(800), 8000)
    with tarfile.open(tmp_path / "words.tar.gz", "w:gz") as archive:
        archive.add(tmp_path / "words", "words")
    (tmp_path / "list.tsv").write_text(LISTED)

    collect.main(
        str(tmp_path / "list.tsv"), str(tmp_path / "out"), str(tmp_path / "libri"), str(tmp_path / "words.tar.gz")
    )

    with (tmp_path / "out" / "manifest.tsv").open() as manifest:
        rows = list(csv.DictReader(manifest, delimiter="\t"))
    assert [(row["path"], row["transcript"], row["seconds"]) for row in rows] == [
        ("librispeech/1089-134686-0000.flac", "HE HOPED", "0.10"),
        ("speech-commands/zero_0a_nohash_0.flac", "zero", "0.10"),
    ]
    assert soundfile.info(tmp_path / "out" / rows[1]["path"]).samplerate == 16000
    assert capsys.readouterr().out == "2 of 3 clips\n"
