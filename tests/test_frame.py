"""What holds for the repository as a whole."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def test_the_top_level_holds_the_frame_and_nothing_else():
    frame = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "lessons",
        "hoofcalc",
        "tests",
        "exercises",
        "datasets",
    }
    here = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert here - {"build", "dist"} - {p.name for p in ROOT.glob("*.egg-info")} == frame


def test_the_version_stands_once():
    import hoofcalc

    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert hoofcalc.__version__ == settings["project"]["version"]


def test_importing_hoofcalc_loads_numpy_and_nothing_heavier():
    heavy = [
        "scipy",
        "matplotlib",
        "ipywidgets",
        "anywidget",
        "nbgrader",
        "nbformat",
        "IPython",
        "pandas",
    ]
    code = (
        "import sys, hoofcalc, hoofcalc.angles, hoofcalc.columns; "
        f"print([name for name in {heavy} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


#: Arrows point downwards only: what each floor of the house may import.
FORMULAS = [
    "angles",
    "columns",
    "horn",
    "ground_force",
    "landing",
    "profile",
    "capsule",
    "loadpath",
    "cycle",
    "reading",
]


#: The floors above the formulas, from the top down.
FLOORS = ["cli", "desk", "classroom", "explorers", "records", "pictures"]


def imported_by(path: Path) -> set[str]:
    """The modules that a file imports, wherever in it."""
    imported = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(node.module)
            if node.module == "hoofcalc":
                imported |= {f"hoofcalc.{alias.name}" for alias in node.names}
    return imported


@pytest.mark.parametrize("name", FORMULAS)
def test_formulas_know_no_notebook_no_plot_and_no_file(name):
    for module in imported_by(ROOT / "hoofcalc" / f"{name}.py"):
        top = module.split(".")
        assert top[0] in {"__future__", "numpy", "scipy", "hoofcalc"} | sys.stdlib_module_names
        if top[0] == "hoofcalc" and len(top) > 1:
            floor = top[1]
            assert floor in {"_inputs", "_constants"} or FORMULAS.index(floor) < FORMULAS.index(
                name
            ), module


@pytest.mark.parametrize("floor", FLOORS[1:])
def test_no_floor_imports_from_a_floor_above_it(floor):
    above = FLOORS[: FLOORS.index(floor)]
    for path in (ROOT / "hoofcalc" / floor).rglob("*.py"):
        for module in imported_by(path):
            assert module.removeprefix("hoofcalc.").split(".")[0] not in above, f"{path}: {module}"


@pytest.mark.slow
def test_the_wheel_carries_the_course_and_no_keys(tmp_path):
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "-w", tmp_path, ROOT],
        check=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert "hoofcalc/py.typed" in names
    assert any(re.fullmatch(r"hoofcalc/_course/lessons/.+\.ipynb", name) for name in names)
    assert any(re.fullmatch(r"hoofcalc/_course/exercises/.+\.ipynb", name) for name in names)
    assert any(name.startswith("hoofcalc/_course/datasets/") for name in names)
    assert not [name for name in names if "key" in Path(name).name or "/keys/" in name]

    # installed without a checkout, the course opens
    site = tmp_path / "site"
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", site, wheel],
        check=True,
    )
    code = (
        "import sys, hoofcalc; from hoofcalc.cli import main; "
        "assert 'site' in hoofcalc.__file__, hoofcalc.__file__; sys.exit(main())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "lessons", "--check", "--folder", tmp_path / "own"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "All is well" in done.stdout
