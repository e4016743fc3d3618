"""A case of the invented yard, laid out from its files, without a screen."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.cli import main
from hoofcalc.records.case import TABLES, points_csv
from hoofcalc.records.keeping import as_csv
from hoofcalc.records.placed import PlacedPicture

HORSE, FOOT = "Otterby", "right fore"
DAYS = ("2026-04-09", "2026-10-01")
NUMBERS = (1, 4)


@pytest.fixture(scope="session")
def tables(tmp_path_factory) -> dict[str, Path]:
    """CSV files of one foot (invented), as a person would bring them."""
    home = tmp_path_factory.mktemp("tables")
    for number in NUMBERS:
        record = datasets.foot(HORSE, FOOT, number)
        marks = {name: tuple(map(float, at)) for name, at in record.landmarks.items()}
        (home / f"points-{number}.csv").write_bytes(points_csv(marks))
    film = datasets.track("trot", "fore")
    rows = np.column_stack([film["times_s"], film["positions_mm"], film["second_mm"]])
    columns = [column.name for column in TABLES["track.csv"]]
    (home / "track.csv").write_bytes(as_csv(columns, rows))
    (home / "outline.csv").write_bytes(
        as_csv(["forward_mm", "left_mm"], datasets.outline(HORSE, FOOT, 1))
    )
    lines = [
        ("toe", 109.0, 11.0, 72.6, 55.7),
        ("quarter", 60.0, 9.0, 25.0, 40.0),
        ("heel", 8.0, 5.0, -17.0, 20.0),
    ]
    (home / "wall_lines.csv").write_bytes(
        as_csv([column.name for column in TABLES["wall_lines.csv"]], lines)
    )
    return {path.stem: path for path in home.iterdir()}


def _lay_out(folder: Path, tables: dict[str, Path]) -> Path:
    """A case with two visits, the last with film, outline and traced lines."""
    call = ["case", str(folder)]
    made = ["new", "--horse", HORSE, "--foot", FOOT, "--mass-kg", "505", "--invented"]
    assert main([*call, *made]) == 0
    assert main([*call, "add-visit", DAYS[0], "--points", str(tables["points-1"])]) == 0
    last = ["add-visit", DAYS[1], "--points", str(tables["points-4"])]
    for name in ("track", "outline"):
        last += [f"--{name}", str(tables[name])]
    last += ["--wall-lines", str(tables["wall_lines"])]
    last += ["--film-ground-mm", "10", "--film-point-error-mm", "1", "--point-error-mm", "0.8"]
    assert main([*call, *last]) == 0
    return folder


@pytest.fixture
def case(tmp_path, tables) -> Path:
    return _lay_out(tmp_path / "case", tables)


@pytest.fixture
def level_side() -> PlacedPicture:
    """The points of one foot in a level photograph of 8 px to the millimetre."""
    marks = {"toe_ground": (110, 0), "toe_coronet": (58, 67), "heel_ground": (0, 0)}
    marks |= {"heel_coronet": (-27, 22), "scale_start": (0, 120), "scale_end": (100, 120)}
    marks |= {"level_start": (-100, 0), "level_end": (200, 0)}
    places = {name: (1560 + 8.0 * x, 2400 - 8.0 * z) for name, (x, z) in marks.items()}
    return PlacedPicture(
        view="side",
        file="side.jpg",
        width_px=4032,
        height_px=3024,
        way="length",
        known_mm=100.0,
        placings=(places,),
    )


@pytest.fixture(scope="session")
def lay_out():
    return _lay_out


@pytest.fixture(scope="session")
def files():
    return _files


def _files(folder: Path) -> dict[str, bytes]:
    """Every file of a case, by its place."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }
