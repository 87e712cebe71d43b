"""``tapehand model``: what is added from folders, ZIP files and a web server, and what is refused with nothing changed.

The models are made of the one that ships: as it is, and without what makes it ours, so that it takes its grammar at
run time as other people's models do. No source: what is asked for is what the command's help says.
"""

from __future__ import annotations

import shutil
import stat
import threading
import wave
import zipfile
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from assistant import models
from assistant.errors import ModelNotFetched, ModelUnusable, TapehandError
from assistant.hearing.parcel import unpacked
from tests.cli.conftest import REPOSITORY, Tapehand

pytest.importorskip("vosk", reason="the voice parts are not installed")

OURS = REPOSITORY / "models" / "en"


def zipped(target: Path, keep: Callable[[str], bool] = lambda name: True, top: str = "small-model") -> Path:
    with zipfile.ZipFile(target, "w") as archive:
        for path in sorted(OURS.rglob("*")):
            name = path.relative_to(OURS).as_posix()
            if path.is_file() and keep(name):
                archive.write(path, f"{top}/{name}")
    return target


@pytest.fixture(scope="module")
def parcels(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("parcels")
    strict = zipped(folder / "strict.zip", top="en")
    zipped(folder / "foreign.zip", lambda name: name not in ("tapehand.json", "graph/Gr.fst", "graph/lexicon.txt"))
    zipped(folder / "headless.zip", lambda name: name != "am/final.mdl")
    zipped(folder / "no-grammar.zip", lambda name: name != "graph/HCLr.fst")
    (folder / "truncated.zip").write_bytes(strict.read_bytes()[:-200_000])
    (folder / "spoiled.zip").write_bytes(_spoiled(strict.read_bytes()))
    (folder / "text.zip").write_text("no ZIP at all")
    zipped(folder / "damaged.zip", lambda name: name != "am/final.mdl")
    with zipfile.ZipFile(folder / "damaged.zip", "a") as archive:
        archive.writestr("small-model/am/final.mdl", (OURS / "am" / "final.mdl").read_bytes()[:1_000_000])
    for name, inside in (("up", "../../up.txt"), ("rooted", "/tmp/up.txt"), ("drive", "C:\\up.txt")):
        shutil.copy(folder / "headless.zip", folder / f"{name}.zip")
        with zipfile.ZipFile(folder / f"{name}.zip", "a") as archive:
            archive.writestr(inside, "outside")
    link = zipfile.ZipInfo("small-model/am")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(folder / "link.zip", "w") as archive:
        archive.writestr(link, "/etc")
    return folder


def _spoiled(content: bytes) -> bytes:
    """A ZIP file with a byte changed in the middle of its largest file."""
    at = len(content) // 2
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]


@pytest.fixture(scope="module")
def web(parcels: Path) -> Iterator[str]:
    """Serves the parcels: under /half/ only half of what it promises, under /away/ it sends on to a file."""

    class Server(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            *way, name = self.path.strip("/").split("/")
            if way == ["away"]:
                self.send_response(302)
                self.send_header("Location", (parcels / name).as_uri())
                self.end_headers()
                return
            if not (parcels / name).is_file():
                self.send_error(404)
                return
            content = (parcels / name).read_bytes()
            self.send_response(200)
            self.send_header("Content-Length", "900000000" if way == ["endless"] else str(len(content)))
            self.end_headers()
            self.wfile.write(content[: len(content) // 2] if way == ["half"] else content)

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Server)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()
    thread.join()


def used(tapehand: Tapehand) -> list[str]:
    """As the list has it, read here: a command of its own takes a second."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPEHAND_MODELS", str(tapehand.models))
        return [model.name for model in models.models(tapehand.settings) if model.used]


def test_ours_is_listed_and_used(tapehand: Tapehand) -> None:
    listed = tapehand("model")
    assert listed.status == 0
    assert listed.out.startswith("* en, ours: ")
    assert "knows all" in listed.out


def test_one_from_the_web_is_tried_kept_and_used(tapehand: Tapehand, web: str) -> None:
    """As another person's model: it takes its grammar at run time, and hears with it."""
    added = tapehand("model", "add", f"{web}/foreign.zip")
    assert (added.status, added.err) == (0, "")
    assert "* small-model, added: " in added.out
    assert "knows all" in added.out
    assert "spoken samples right" in added.out or "no voice" in added.out
    assert [path.name for path in tapehand.models.iterdir()] == ["small-model"]
    assert used(tapehand) == ["small-model"]
    silence = tapehand.folder / "silence.wav"
    _write_silence(silence)
    assert tapehand("hear", str(silence), "--json").object["engine"] == "vosk"
    kept = sorted(tapehand.models.rglob("*"))
    failed = tapehand("model", "add", f"{web}/damaged.zip")  # of the same name
    assert failed.status == 2
    assert "damaged" in failed.err
    assert sorted(tapehand.models.rglob("*")) == kept
    assert used(tapehand) == ["small-model"]
    assert tapehand("model", "use", "en").status == 0
    assert used(tapehand) == ["en"]


def _write_silence(path: Path) -> None:
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(16000)
        out.writeframes(bytes(32000))


def test_one_with_our_own_graph_from_a_zip_file(tapehand: Tapehand, parcels: Path) -> None:
    ran = tapehand("model", "add", str(parcels / "strict.zip"), "--json")
    added = {key: ran.object[key] for key in ("name", "used", "ours")}
    assert added == {"name": "en-added", "used": True, "ours": False}  # its own name is that of the one that ships
    assert used(tapehand) == ["en-added"]
    assert [path.name for path in tapehand.models.iterdir()] == ["en-added"]


def test_a_folder_is_copied_whole_and_followed_nowhere(tmp_path: Path) -> None:
    source = tmp_path / "mine"
    shutil.copytree(OURS, source / "deep")
    (source / "deep" / "elsewhere").symlink_to("/etc", target_is_directory=True)
    (tmp_path / "here").mkdir()
    found = unpacked(str(source), tmp_path / "here")
    assert found == tmp_path / "here" / "deep"
    ours = {path.relative_to(OURS) for path in OURS.rglob("*") if path.is_file()}
    assert {path.relative_to(found) for path in found.rglob("*") if path.is_file()} == ours


@pytest.mark.parametrize(
    ("source", "status", "sentence"),
    [
        ("{parcels}/truncated.zip", 2, "cut short or damaged. Get it again."),
        ("{parcels}/headless.zip", 2, "has no am/final.mdl"),
        ("{parcels}/up.zip", 2, "would write outside its own folder"),
        ("{web}/gone.zip", 1, "the server says 404. Check the address."),
        ("http://127.0.0.1:1/model.zip", 1, "cannot be reached. Check the address and the network."),
    ],
)
def test_what_cannot_be_had_or_used_costs_a_sentence(
    tapehand: Tapehand, parcels: Path, web: str, source: str, status: int, sentence: str
) -> None:
    ran = tapehand("model", "add", source.format(parcels=parcels, web=web))
    assert (ran.status, ran.out) == (status, "")
    assert sentence in ran.err
    assert ran.err.count("\n") == 1
    assert list(tapehand.models.iterdir()) == []  # nothing half done is left
    assert used(tapehand) == ["en"]
    assert not (tapehand.folder.parent / "up.txt").exists()


@pytest.mark.parametrize(
    ("source", "error", "sentence"),
    [
        ("{parcels}/spoiled.zip", ModelUnusable, "cut short or damaged. Get it again."),
        ("{parcels}/text.zip", ModelUnusable, "is no ZIP file"),
        ("{parcels}/no-grammar.zip", ModelUnusable, "has no graph/HCLr.fst. Use one of the small Vosk models"),
        ("{parcels}/rooted.zip", ModelUnusable, "would write outside its own folder"),
        ("{parcels}/drive.zip", ModelUnusable, "would write outside its own folder"),
        ("{parcels}/link.zip", ModelUnusable, "would write outside its own folder"),
        ("{parcels}", ModelUnusable, "has no am/final.mdl"),
        ("{parcels}/gone.zip", ModelNotFetched, "There is no folder or file"),
        ("{web}/truncated.zip", ModelUnusable, "cut short or damaged. Get it again."),
        ("{web}/half/strict.zip", ModelNotFetched, "broke off half way. Try again."),
        ("{web}/endless/text.zip", ModelUnusable, "is too big"),
        ("{web}/away/strict.zip", ModelNotFetched, "Check the address"),
        ("http://[/model.zip", ModelNotFetched, "cannot be reached. Check the address and the network."),
        ("ftp://127.0.0.1/model.zip", ModelUnusable, "is no web address"),
        ("file:///etc/passwd", ModelUnusable, "is no web address"),
    ],
)
def test_every_other_way_it_goes_wrong(
    tmp_path: Path,
    parcels: Path,
    web: str,
    monkeypatch: pytest.MonkeyPatch,
    source: str,
    error: type[TapehandError],
    sentence: str,
) -> None:
    monkeypatch.setenv("TAPEHAND_MODELS", str(tmp_path / "models"))
    with pytest.raises(error) as caught:
        models.add(source.format(parcels=parcels, web=web), tmp_path / "settings.toml")
    assert sentence in str(caught.value)
    assert type(caught.value) is error
    assert [path.name for path in tmp_path.iterdir()] == ["models"]
    assert list((tmp_path / "models").iterdir()) == []


def test_one_nobody_knows_is_not_used(tapehand: Tapehand) -> None:
    ran = tapehand("model", "use", "other")
    assert ran.status == 2
    assert "There is no model other. Choose one of: en." in ran.err


def test_one_that_has_been_damaged_since_is_said_and_not_used(tapehand: Tapehand) -> None:
    (tapehand.models / "old" / "am").mkdir(parents=True)
    (tapehand.models / "old" / "am" / "final.mdl").write_bytes(b"")
    assert "  old, added: The speech model in" in tapehand("model").out
    ran = tapehand("model", "use", "old")
    assert ran.status == 2
    assert "has no conf/model.conf" in ran.err
    assert used(tapehand) == ["en"]


def test_a_place_that_cannot_be_written(tapehand: Tapehand, parcels: Path) -> None:
    tapehand.models.write_text("a file where the folder should be")
    ran = tapehand("model", "add", str(parcels / "strict.zip"))
    assert ran.status == 1
    assert "cannot be written" in ran.err
