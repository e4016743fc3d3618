"""What Python reads in the browser: sifted, and compiled where there is something to do it with."""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from hoofcalc.site import bundle

MODULES = {
    "thing/__init__.py": b'"""A thing."""\nfrom thing.part import double\n',
    "thing/part.py": b'def double(x):\n    """Twice."""\n    return 2 * x\n',
    "thing/broken.py": b"def (\n",
    "thing/table.csv": b"1,2\n",
}
ASKS = "import thing; print(thing.double(21), thing.double.__doc__, thing.__file__)"


def names(archive: bytes) -> set[str]:
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        return set(opened.namelist())


def run(archive: bytes, place: Path) -> str:
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        opened.extractall(place)
    done = subprocess.run(
        [sys.executable, "-c", ASKS], cwd=place, capture_output=True, text=True, check=True
    )
    return done.stdout


def test_without_such_a_python_modules_travel_as_they_are(tmp_path, monkeypatch):
    monkeypatch.setattr(bundle, "same_python", lambda: None)
    archive = bundle.packed(MODULES)
    assert names(archive) == set(MODULES)
    assert run(archive, tmp_path).startswith("42 Twice. ")


@pytest.mark.parametrize(("words", "says"), [(True, "42 Twice. "), (False, "42 None ")])
def test_compiled_modules_run_without_their_source(words, says, tmp_path, monkeypatch):
    monkeypatch.setattr(bundle, "same_python", lambda: sys.executable)
    archive = bundle.packed(MODULES, words=words)
    assert names(archive) == {
        "thing/__init__.pyc", "thing/part.pyc", "thing/broken.py", "thing/table.csv",
    }  # fmt: skip
    assert archive == bundle.packed(MODULES, words=words), "the same bytes each time"
    assert run(archive, tmp_path).startswith(says)


def test_a_python_of_another_kind_is_not_taken(monkeypatch):
    monkeypatch.setattr(bundle.runtime, "python_version", lambda: "2.999.1")
    bundle.same_python.cache_clear()
    assert bundle.same_python() is None
    bundle.same_python.cache_clear()


def test_only_what_runs_stays_in_a_pinned_archive(monkeypatch):
    monkeypatch.setattr(bundle, "same_python", lambda: None)
    kept = {"numpy/__init__.py": b"", "numpy/core.so": b"\0", "numpy-2.dist-info/LICENSE.txt": b""}
    left = {"numpy/a.pyi": b"", "numpy/include/a.h": b"", "numpy/f2py/crackfortran.py": b""}
    content = bundle.packed(kept | left)
    assert names(bundle.repacked("numpy-2.whl", content)) == set(kept)
    assert bundle.repacked("openblas-0.3.zip", content) == content
    assert bundle.repacked("pyodide.asm.wasm", b"\0asm") == b"\0asm"
