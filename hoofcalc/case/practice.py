"""Cases of the invented yard: one with drawn photographs and film to practise on, and any horse's.

`practice_case` lays out the example of `hoofcalc.case.example` as a case; the truth lies beside
it. `yard_case` lays out the records of one foot of the yard, as they stand in ``datasets``.
"""

from __future__ import annotations

import csv
import shutil
import tempfile
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.case.case import (
    add_file,
    add_visit,
    new_case,
    points_csv,
    visit_name,
)
from hoofcalc.case.example import EXAMPLE_HORSE, EXAMPLE_VISITS, example_case
from hoofcalc.case.landmarks import POINTS, PlacedPicture, save_picture
from hoofcalc.case.records import Case
from hoofcalc.case.storage import CaseError, as_csv
from hoofcalc.case.tracking import SCALE_POINTS, MarkedFilm, save_film

#: How finely the points of a case that is placed already were placed [px]: a careful hand.
_HAND_PX, _FOLLOWER_PX = 3.0, 0.3


def practice_case(
    folder: Path, *, placed: bool = False, progress: Callable[[float], None] | None = None
) -> list[str]:
    """An invented case with drawn photographs and film, ready to be opened and measured.

    Parameters
    ----------
    folder
        The folder of the case; made if it does not exist.
    placed
        True places all points too, twice, as a careful hand would (the same each time).
    progress
        Called with the part that is done, 0 to 1.

    Returns
    -------
    list of str
        The visits.

    Raises
    ------
    CaseError
        If there is a case in the folder already.
    """
    (horse,) = (each for each in datasets.horses() if each.name == EXAMPLE_HORSE)
    new_case(
        folder,
        Case(
            horse=horse.name,
            foot="right fore",
            mass_kg=horse.mass_kg,
            invented=True,
            note="Drawn to practise on. What is true of it lies in the folder truth.",
        ),
    )
    with tempfile.TemporaryDirectory(dir=folder, prefix=".being-written-") as scratch:
        raw = example_case(Path(scratch) / "raw", progress)
        for visit in EXAMPLE_VISITS:
            add_visit(folder, visit, {"note": "invented"})
            for (day, _), path in raw.photographs.items():
                if day == visit:
                    add_file(folder, visit, "pictures", path)
            if raw.film.name.startswith(visit):
                add_file(folder, visit, "film", raw.film)
            if placed:
                _place(folder, visit, raw.folder)
        truth = folder / "truth"
        truth.mkdir(exist_ok=True)
        for path in raw.folder.iterdir():
            if path.name.startswith(("true", "read")):
                shutil.copyfile(path, truth / path.name)
    return list(EXAMPLE_VISITS)


def _place(folder: Path, visit: str, raw: Path) -> None:
    """Place the points of one visit where they truly are, but for the error of a hand."""
    truth = tomllib.loads((raw / "true.toml").read_text(encoding="utf-8"))
    places: dict[str, dict[str, tuple[float, float]]] = {}
    for row in _rows(raw / "true_points.csv"):
        at = float(row["right_px"]), float(row["down_px"])
        places.setdefault(row["file"], {})[row["point"]] = at
    rng = np.random.default_rng([12, int(visit.replace("-", ""))])
    for about in truth["photograph"]:
        if about["visit"] != visit:
            continue
        known = [
            (name, at)
            for name, at in places[about["file"]].items()
            if name in POINTS[about["view"]] and not name.startswith(("scale_", "level_"))
        ]
        save_picture(
            folder,
            visit,
            PlacedPicture(
                view=about["view"],
                file=about["file"],
                width_px=about["width_px"],
                height_px=about["height_px"],
                way="square",
                known_mm=about["square_mm"],
                placings=tuple(
                    {name: _near(at, _HAND_PX, rng) for name, at in known} for _ in range(2)
                ),
            ),
        )
    if truth["film"]["visit"] == visit:
        _place_mark(folder, raw, truth, places[truth["film"]["file"]], rng)


def _place_mark(
    folder: Path,
    raw: Path,
    truth: Mapping[str, Any],
    places: Mapping[str, tuple[float, float]],
    rng: np.random.Generator,
) -> None:
    """Place the mark and the scale of the film, as a follower and a hand would."""
    film = truth["film"]
    marks = [
        (float(row["right_px"]), float(row["down_px"])) for row in _rows(raw / "true_mark.csv")
    ]
    scale = {name: places[name] for name in SCALE_POINTS}
    from hoofcalc.case.film import open_film  # here: it loads the film library

    opened = open_film(raw / film["file"])
    save_film(
        folder,
        film["visit"],
        MarkedFilm(
            file=film["file"],
            true_fps=film["true_fps"],
            width_px=opened.width_px,
            height_px=opened.height_px,
            travel=film["travel"],
            length_mm=film["length_mm"],
            scale=scale,
            frames=np.arange(len(marks), dtype=np.float64),
            places_px=np.array([_near(at, _FOLLOWER_PX, rng) for at in marks]),
            by=("hand", *("followed",) * (len(marks) - 1)),
            confidence=np.ones(len(marks)),
            stances=tuple(
                (round(each["down_frame"]), round(each["up_frame"])) for each in truth["stance"]
            ),
            point_error_px=_FOLLOWER_PX,
        ),
    )


def _rows(path: Path) -> list[dict[str, str]]:
    lines = path.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def _near(
    at: tuple[float, float], spread_px: float, rng: np.random.Generator
) -> tuple[float, float]:
    right, down = np.asarray(at) + rng.normal(0.0, spread_px, 2)
    return round(float(right), 1), round(float(down), 1)


def yard_case(folder: Path, horse: str, foot: str) -> list[str]:
    """A case with the records of one foot of the invented yard, points typed in millimetres.

    Parameters
    ----------
    folder
        The folder of the case; made if it does not exist.
    horse, foot
        Which, such as "Marrowfen" and "right fore".

    Returns
    -------
    list of str
        The visits: each day's before the trim, and after it where the yard has that.

    Raises
    ------
    CaseError
        If there is a case in the folder already, or no such horse or foot in the yard.
    """
    known = {each.name: each for each in datasets.horses()}
    if horse not in known:
        raise CaseError(f"{horse} is no horse of the yard; they are {', '.join(known)}")
    numbers = datasets.visits(horse)
    try:
        datasets.foot(horse, foot)
    except ValueError as problem:
        raise CaseError(f"the yard has no such record: {problem}") from problem
    new_case(folder, Case(horse=horse, foot=foot, mass_kg=known[horse].mass_kg, invented=True))
    return [
        _lay_record(folder, datasets.foot(horse, foot, number, moment))
        for number in numbers
        for moment in ("before trim", "after trim")
    ]


def _outline(record: datasets.Foot) -> FloatArray | None:
    """The bearing edge of that visit, before its trim; None where the yard has none."""
    try:
        return datasets.outline(record.horse, record.foot, record.visit)
    except ValueError:
        return None


def _lay_record(folder: Path, record: datasets.Foot) -> str:
    """One visit of the yard as a visit of the case."""
    outline = _outline(record) if record.moment == "before trim" else None
    visit = visit_name(folder, record.date, record.moment)
    marks = {name: tuple(map(float, at)) for name, at in record.landmarks.items()}
    tables = {"points.csv": points_csv(marks)}
    if outline is not None:
        tables["outline.csv"] = as_csv(("forward_mm", "left_mm"), outline)
    with tempfile.TemporaryDirectory() as scratch:
        for name, content in tables.items():
            (Path(scratch) / name).write_bytes(content)
        add_visit(
            folder,
            visit,
            {
                "moment": record.moment,
                "point_error_mm": float(record.point_error_mm),
                "scale_error_percent": 1.0,
                "note": f"invented: {record.note}" if record.note else "invented",
            },
            {name: Path(scratch) / name for name in tables},
        )
    return visit
