"""Python for the browser comes from anywhere, is checked, and is never half there."""

from __future__ import annotations

import hashlib
import io
import json
import re
import tarfile
import zipfile
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.cli import main
from hoofcalc.site import build, runtime
from hoofcalc.site.lessons import SiteError

SMALL = {
    "pyodide.js": b"// small",
    "numpy-9.whl": b"not a wheel, but the pinned bytes",
    "late.zip": b"late",
}


@pytest.fixture
def pinned(monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    """Three small files in place of thirty megabytes, and no way out to any network."""
    found = tuple(
        runtime.Part(name, len(content), hashlib.sha256(content).hexdigest())
        for name, content in SMALL.items()
    )

    def nowhere(found: dict[str, bytes], tell: Any) -> None:
        del found, tell

    monkeypatch.setattr(runtime, "parts", lambda: found)
    monkeypatch.setattr(runtime, "_from_distribution", nowhere)
    monkeypatch.setattr(runtime, "_from_index", nowhere)
    return SMALL


def folder_of(place: Path, files: dict[str, bytes]) -> Path:
    (place / "deep" / "down").mkdir(parents=True)
    for name, content in files.items():
        (place / "deep" / "down" / name).write_bytes(content)
    return place


def zip_of(place: Path, files: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(place, "w") as archive:
        for name, content in files.items():
            archive.writestr(f"package/assets/{name}", content)
    return place


def tar_of(place: Path, files: dict[str, bytes], kind: str) -> Path:
    with tarfile.open(place, f"w:{kind}") as tape:
        for name, content in files.items():
            about = tarfile.TarInfo(f"pyodide/{name}")
            about.size = len(content)
            tape.addfile(about, io.BytesIO(content))
    return place


def test_a_folder_a_zip_and_a_tar_all_do(pinned, tmp_path):
    places = [
        folder_of(tmp_path / "folder", pinned),
        zip_of(tmp_path / "wheel.whl", pinned),
        tar_of(tmp_path / "full.tar.bz2", pinned, "bz2"),
        tar_of(tmp_path / "npm.tgz", pinned, "gz"),
    ]
    for place in places:
        assert runtime.collect(place, cache=tmp_path / "cache") == pinned


def test_what_is_missing_is_said_in_one_sentence_with_where_to_get_it(pinned, tmp_path):
    some = {name: content for name, content in pinned.items() if name != "late.zip"}
    with pytest.raises(runtime.RuntimeFilesError) as said:
        runtime.collect(zip_of(tmp_path / "some.zip", some))
    words = str(said.value)
    assert "late.zip" in words
    assert "pyodide.js" not in words
    assert "--runtime" in words
    assert "github.com/pyodide" in words
    assert words.count(". ") == 0


def test_other_bytes_than_the_pinned_ones_are_not_taken(pinned, tmp_path):
    for wrong in (b"", b"// smalL", b"// small and more"):
        place = tmp_path / hashlib.sha256(wrong).hexdigest()
        with pytest.raises(runtime.RuntimeFilesError, match=r"pyodide\.js"):
            runtime.collect(folder_of(place, {**pinned, "pyodide.js": wrong}))


def test_the_cache_is_used_and_mended(pinned, tmp_path, monkeypatch):
    def index(found: dict[str, bytes], tell: Any) -> None:
        asked.append(1)
        found.update(pinned)

    asked: list[int] = []
    monkeypatch.setattr(runtime, "_from_index", index)
    cache = tmp_path / "cache"
    for _ in range(2):
        assert runtime.collect(cache=cache, tell=lambda line: None) == pinned
    assert len(asked) == 1
    (cache / "pyodide.js").write_bytes(b"broken")
    assert runtime.collect(cache=cache, tell=lambda line: None) == pinned
    assert len(asked) == 2
    assert (cache / "pyodide.js").read_bytes() == pinned["pyodide.js"]


def test_a_file_that_is_no_archive_is_refused_in_words(tmp_path):
    place = tmp_path / "some.txt"
    place.write_text("hello")
    with pytest.raises(runtime.RuntimeFilesError, match="no folder, zip, wheel or tar"):
        runtime.collect(place)
    with pytest.raises(runtime.RuntimeFilesError, match="cannot be read"):
        runtime.collect(tmp_path / "is not there")


def test_never_half_a_site(pinned, tmp_path, monkeypatch, capsys):
    def breaks(folder: Path, course: Any, found: Any) -> list[str]:
        (folder / "index.html").write_text("half")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(build, "read_course", lambda tell: None)
    monkeypatch.setattr(build, "_write", breaks)
    given = folder_of(tmp_path / "given", pinned)
    place = tmp_path / "there" / "site"
    assert main(["site", str(place), "--runtime", str(given)]) == 1
    assert "No space left" in capsys.readouterr().err
    assert list(place.parent.iterdir()) == []

    # and the site of before stays as it was
    place.mkdir()
    (place / build.MARK).write_text("{}")
    (place / "index.html").write_text("of before")
    assert main(["site", str(place), "--runtime", str(given)]) == 1
    assert (place / "index.html").read_text() == "of before"
    assert len(list(place.parent.iterdir())) == 1


def test_nobodys_other_files_are_replaced(pinned, tmp_path):
    (tmp_path / "holiday.jpg").write_bytes(b"")
    with pytest.raises(SiteError, match="holds other files"):
        build.write_site(tmp_path, parts=pinned)
    with pytest.raises(SiteError, match="is a file"):
        build.write_site(tmp_path / "holiday.jpg", parts=pinned)


def test_the_lock_file_names_what_is_pinned():
    lock = json.loads(runtime.lock_file())
    assert lock["info"]["version"] == runtime.version()
    late = {part.package for part in runtime.parts() if part.late}
    assert set(lock["packages"]) == late
    for part in runtime.parts():
        assert re.fullmatch("[0-9a-f]{64}", part.sha256)
        assert set(part.depends) <= {one.package for one in runtime.parts()}
        if part.late:
            assert set(lock["packages"][part.package]["depends"]) <= late
            assert lock["packages"][part.package]["sha256"] == part.sha256


@pytest.mark.slow
def test_every_file_is_the_pinned_one_and_brings_its_licence(parts):
    assert set(parts) == {part.name for part in runtime.parts()}
    texts = runtime.licences(parts)
    known = {"MPL-2.0.txt", "Python.txt", "Emscripten.txt", "OpenBLAS.txt"}
    assert known | {"numpy.txt", "scipy.txt"} == set(texts)
    assert b"Mozilla Public License" in texts["MPL-2.0.txt"]
