"""The wheel: built once, installed apart from the checkout, and used from there."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from hoofcalc import datasets

ROOT = Path(__file__).resolve().parent.parent
pytestmark = pytest.mark.slow


def pip(*words: str | Path) -> None:
    subprocess.run([sys.executable, "-m", "pip", *words, "--quiet", "--no-deps"], check=True)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    pip("wheel", "-w", folder, ROOT)
    (wheel,) = folder.glob("*.whl")
    return wheel


@pytest.fixture(scope="module")
def site(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the wheel is installed."""
    site = tmp_path_factory.mktemp("installed") / "site"
    pip("install", "--no-index", "--target", site, wheel)
    return site


def in_place(site: Path, folder: Path, code: str, *words: str) -> str:
    """What a fresh interpreter says, elsewhere and with the installed wheel."""
    done = subprocess.run(
        [sys.executable, "-c", code, *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_it_carries_the_course_and_no_keys(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
        assert "hoofcalc/py.typed" in names
        assert any(re.fullmatch(r"hoofcalc/_course/lessons/.+\.ipynb", name) for name in names)
        assert "hoofcalc/_course/exercises/04-columns/04-columns.ipynb" in names
        assert "hoofcalc/_course/exercises/04-columns/hints.json" in names
        assert any(name.startswith("hoofcalc/_course/datasets/") for name in names)
        assert any(name.endswith("index.html.j2") for name in names)
        assert not [name for name in names if "keys" in name or "-handins" in name]
        for name in names:
            assert b"EXERCISE = Exercise(" not in packed.read(name), name


def test_without_a_checkout_the_course_opens(site: Path, tmp_path: Path) -> None:
    code = (
        "import sys, hoofcalc; from hoofcalc.cli import main; "
        "assert 'site' in hoofcalc.__file__, hoofcalc.__file__; sys.exit(main())"
    )
    own = str(tmp_path / "own")
    assert "All is well" in in_place(site, tmp_path, code, "lessons", "--check", "--folder", own)


def test_it_carries_the_data(site: Path, tmp_path: Path) -> None:
    code = (
        "import json, hoofcalc; from hoofcalc import datasets, _where\n"
        "print(json.dumps([hoofcalc.__file__, str(_where.course_folder('datasets')),\n"
        "    len(datasets.horses()), datasets.story_feet()['run under'].note,\n"
        "    len(datasets.track('trot', 'fore')['times_s']),\n"
        "    datasets.published('growth', 'growth')[0].value]))"
    )
    package, folder, *facts = json.loads(in_place(site, tmp_path, code))
    assert Path(package).is_relative_to(site)
    assert Path(folder) == site / "hoofcalc" / "_course" / "datasets"
    here = datasets.story_feet()["run under"]
    frames = len(datasets.track("trot", "fore")["times_s"])
    assert facts == [9, here.note, frames, 0.25]
