"""Files that are there whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from assistant.whole import write_whole


def test_the_old_file_or_the_new_one(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    write_whole(path, b"old")
    (tmp_path / ".sheet.pdf.new").mkdir()  # nothing can be written beside it
    with pytest.raises(OSError, match=r"sheet\.pdf\.new"):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"


@pytest.mark.skipif(os.name != "posix", reason="links and named pipes are POSIX here")
def test_links_are_followed_and_what_is_no_file_is_written_to(tmp_path: Path) -> None:
    path, link, pipe = tmp_path / "real", tmp_path / "link", tmp_path / "pipe"
    path.write_bytes(b"old")
    link.symlink_to(path)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_whole(pipe, b"through")
    assert os.read(reader, 100) == b"through"
    os.close(reader)
    assert sorted(found.name for found in tmp_path.iterdir()) == ["link", "pipe", "real"]
