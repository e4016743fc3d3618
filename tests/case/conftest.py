"""A case of the invented yard, laid out from its files, without a screen."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.case.case import TABLES, points_csv
from hoofcalc.case.landmarks import PlacedPicture, save_picture
from hoofcalc.case.plan import StoredPlan, save_plan
from hoofcalc.case.storage import as_csv
from hoofcalc.case.tracking import MarkedFilm, save_film
from hoofcalc.cli import main

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


@pytest.fixture
def placed_case(case, level_side) -> Path:
    """The case with the last visit's three photographs, film and plan placed, in pixels."""
    day = DAYS[1]
    # in the numbers of the typed outline, so that the two views fit each other
    side = datasets.foot(HORSE, FOOT, 4).landmarks
    places = {name: (1560 + 8.0 * x, 2400 - 8.0 * z) for name, (x, z) in side.items()}
    frame = {k: at for k, at in level_side.placings[0].items() if k.startswith(("scale", "level"))}
    twice = {name: (x + 3.0, y - 2.0) for name, (x, y) in places.items()}
    save_picture(case, day, replace(level_side, placings=(places | frame, twice | frame)))
    front = {"inner_coronet": (1500.0, 1970.0), "inner_ground": (1400.0, 2400.0)}
    front |= {"outer_coronet": (2300.0, 1960.0), "outer_ground": (2400.0, 2400.0)}
    save_picture(case, day, replace(level_side, view="front", placings=(front | frame,)))
    outline = datasets.outline(HORSE, FOOT, 1)[::12]
    middle = [0.0, float(outline[:, 0].max())]
    below = {
        f"edge_{k:02d}": (2000 + 8.0 * left, 2000 - 8.0 * forward)
        for k, (forward, left) in enumerate(outline, 1)
    }
    below |= {"middle_heel": (2000.0, 2000 - 8 * middle[0])}
    below |= {"middle_toe": (2000.0, 2000 - 8 * middle[1])}
    below |= {name: at for name, at in frame.items() if name.startswith("scale")}
    save_picture(case, day, replace(level_side, view="below", placings=(below,)))
    film = datasets.track("trot", "fore")
    path = np.asarray(film["positions_mm"])
    travel = path[:, 0] - path[:, 0].min()
    save_film(
        case,
        day,
        MarkedFilm(
            file="trot.mov",
            true_fps=float(1 / np.median(np.diff(film["times_s"]))),
            width_px=4000,
            height_px=2000,
            scale={
                "scale_start": (100.0, 1900.0),
                "scale_end": (500.0, 1900.0),
                "level_start": (0.0, 1800.0),
                "level_end": (4000.0, 1800.0),
            },
            frames=np.arange(len(path), dtype=float),
            places_px=np.column_stack([10 + 0.4 * travel, 1800 - 0.4 * path[:, 1]]),
            by=("followed",) * len(path),
            confidence=np.ones(len(path)),
        ),
    )
    save_plan(case, day, StoredPlan(work="Heel lowered.", next_visit=date(2026, 11, 26)))
    return case


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
