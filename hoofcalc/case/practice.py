"""Cases of the invented yard: one with drawn photographs and film to practise on, and any horse's.

`practice_case` lays out the pictures of `hoofcalc.case.example` as a case; the truth lies beside
it. `yard_case` lays out the records of one foot of the yard, as they stand in ``datasets``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.case.case import add_visit, new_case, points_csv, visit_name
from hoofcalc.case.example import EXAMPLE_FOOT, EXAMPLE_HORSE, EXAMPLE_VISITS, draw_example
from hoofcalc.case.landmarks import POINTS, PlacedPicture, save_picture
from hoofcalc.case.records import Case
from hoofcalc.case.storage import CaseError, as_csv
from hoofcalc.case.tracking import MarkedFilm, save_film

if TYPE_CHECKING:
    from hoofcalc.case.synthetic.drawn_film import DrawnFilm

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
    horses = {each.name: each for each in datasets.horses()}
    note = "Drawn to practise on. What is true of it lies in the folder truth."
    mass_kg = horses[EXAMPLE_HORSE].mass_kg
    case = Case(horse=EXAMPLE_HORSE, foot=EXAMPLE_FOOT, mass_kg=mass_kg, invented=True, note=note)
    new_case(folder, case)
    for visit in EXAMPLE_VISITS:
        add_visit(folder, visit, {"note": "invented"})
    truth, points, film = draw_example(folder, progress)
    if placed:
        hands = {
            visit: np.random.default_rng([12, int(visit.replace("-", ""))])
            for visit in EXAMPLE_VISITS
        }
        for about in truth["photograph"]:
            _place(folder, about, points[about["file"]], hands[about["visit"]])
        _place_mark(folder, truth, film, hands[truth["film"]["visit"]])
    return list(EXAMPLE_VISITS)


def _place(
    folder: Path,
    about: Mapping[str, Any],
    places: Mapping[str, FloatArray],
    rng: np.random.Generator,
) -> None:
    """Place the points of a photograph where they truly are, but for the error of a hand."""
    names = [
        name
        for name in places
        if name in POINTS[about["view"]] and not name.startswith(("scale_", "level_"))
    ]
    again = [_near([places[name] for name in names], _HAND_PX, rng).tolist() for _ in range(2)]
    placed = PlacedPicture(
        view=about["view"],
        file=about["file"],
        width_px=about["width_px"],
        height_px=about["height_px"],
        way="square",
        known_mm=about["square_mm"],
        placings=tuple(dict(zip(names, map(tuple, each), strict=True)) for each in again),
    )
    save_picture(folder, about["visit"], placed)


def _place_mark(
    folder: Path, truth: Mapping[str, Any], film: DrawnFilm, rng: np.random.Generator
) -> None:
    """Place the mark and the scale of the film, as a follower and a hand would."""
    about = truth["film"]
    marked = MarkedFilm(
        file=about["file"],
        true_fps=film.fps,
        width_px=film.width_px,
        height_px=film.height_px,
        travel=film.travel,
        length_mm=film.length_mm,
        scale=film.scale_px,
        frames=np.arange(film.count, dtype=np.float64),
        places_px=_near(film.mark_px, _FOLLOWER_PX, rng),
        by=("hand", *("followed",) * (film.count - 1)),
        confidence=np.ones(film.count),
        stances=tuple(
            (round(each["down_frame"]), round(each["up_frame"])) for each in truth["stance"]
        ),
        point_error_px=_FOLLOWER_PX,
    )
    save_film(folder, about["visit"], marked)


def _near(places: ArrayLike, spread_px: float, rng: np.random.Generator) -> FloatArray:
    at = np.asarray(places, dtype=np.float64)
    return np.round(at + rng.normal(0.0, spread_px, at.shape), 1)


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
    values = {
        "moment": record.moment,
        "point_error_mm": float(record.point_error_mm),
        "scale_error_percent": 1.0,
        "note": f"invented: {record.note}" if record.note else "invented",
    }
    add_visit(folder, visit, values, tables)
    return visit
