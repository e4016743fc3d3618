"""A mark on the hoof through a film: kept in pixels, turned into a track in millimetres.

``film.toml`` says which film it is, at how many frames a second it was really taken and how
sizes are known; ``film_points.csv`` holds the mark, a row for each frame, and the ends of the
known length and of the ground line; ``film_stances.csv`` the frames of contact and of leaving
that a person marked. Pixels are those of the upright picture, frames are counted from 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from operator import attrgetter
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.case.calibration import Plane, by_length
from hoofcalc.case.storage import (
    CaseError,
    Column,
    as_csv,
    as_toml,
    fields_of,
    in_picture,
    kept,
    put_all,
    read_record,
    read_rows,
    read_table,
    take_away,
)
from hoofcalc.landing import Track, duty_factor

SCALE_POINTS = ("scale_start", "scale_end", "level_start", "level_end")
_LARGEST_PX = 100_000
_LARGEST_FRAME = 1_000_000
FILM_COLUMNS = (
    Column("frame", "number of the frame, counted from 0", _LARGEST_FRAME),
    Column("point", "mark, or " + ", ".join(SCALE_POINTS)),
    Column("right_px", "its place to the right of the picture's left edge", _LARGEST_PX),
    Column("down_px", "its place below the picture's upper edge", _LARGEST_PX),
    Column("by", "hand or followed: who placed it"),
    Column("confidence", "how surely it was followed, 0 to 1; 1 by hand", 1.0),
)
STANCE_COLUMNS = (
    Column("down_frame", "frame in which the foot comes down, may lie between two", _LARGEST_FRAME),
    Column("up_frame", "frame in which it leaves the ground", _LARGEST_FRAME),
)


@dataclass(frozen=True, kw_only=True, eq=False)
class MarkedFilm:
    """One film and what was marked in it: the fields of film.toml, and the marks.

    Parameters
    ----------
    scale
        Ends of the known length and of the ground line, each to the right and down [px].
    frames, places_px
        The mark: number of the frame, shape (n,), and its place, shape (n, 2) [px].
    by
        Who placed it in each frame: "hand" or "followed".
    confidence
        How surely, 0 to 1, shape (n,).
    stances
        Frames of contact and of leaving, as marked by the person.
    """

    file: str = kept("Which film of this visit.", "VID_0031.mov")
    true_fps: float = kept(
        "How many frames the camera really took in a second (a slow-motion film often plays them "
        "eight times slower).",
        240.0,
        between=(10, 5000),
    )
    width_px: int = kept("Width of the upright picture.", 1920, between=(16, _LARGEST_PX))
    height_px: int = kept("Height of the upright picture.", 1080, between=(16, _LARGEST_PX))
    travel: str = kept(
        "Which way the horse goes through the picture: right or left.",
        "right",
        choices=("right", "left"),
        default="right",
    )
    length_mm: float = kept("The known length.", 1000.0, between=(10, 20_000), default=1000.0)
    point_error_px: float = kept(
        "How finely the mark is known: standard deviation of each coordinate, in pixels.",
        0.5,
        between=(0.05, 50),
        default=0.5,
    )
    time_error_frames: float = kept(
        "How surely contact and leaving were seen: standard deviation, in frames.",
        1.0,
        between=(0.1, 20),
        default=1.0,
    )
    scale: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    frames: FloatArray = field(default_factory=lambda: np.empty(0))
    places_px: FloatArray = field(default_factory=lambda: np.empty((0, 2)))
    by: tuple[str, ...] = ()
    confidence: FloatArray = field(default_factory=lambda: np.empty(0))
    stances: tuple[tuple[float, float], ...] = ()


FILM_FIELDS = fields_of(MarkedFilm)


# ---- files -----------------------------------------------------------------------------------


def read_film(folder: Path, visit: str) -> MarkedFilm | None:
    """The film of a visit and what was marked in it.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.

    Returns
    -------
    MarkedFilm or None
        None where no film was chosen.

    Raises
    ------
    CaseError
        If a file cannot be, with line and field.
    """
    place = f"visits/{visit}"
    called = f"{place}/film.toml"
    if not (folder / called).exists():
        return None
    found = read_record(folder, called, FILM_FIELDS)
    points = f"{place}/film_points.csv"
    marks = _points(read_table(folder, points, FILM_COLUMNS), points, found)
    called = f"{place}/film_stances.csv"
    stances = _stances(read_table(folder, called, STANCE_COLUMNS), called)
    return MarkedFilm(**found, **marks, stances=stances)


def _points(
    rows: list[tuple[int, dict[str, Any]]], called: str, film: Mapping[str, Any]
) -> dict[str, Any]:
    """The mark and the scale, by the names of `MarkedFilm`."""
    scale: dict[str, tuple[float, float]] = {}
    marks: list[tuple[float, float, float, str, float]] = []
    for line, row in rows:
        where = f"{called}, line {line}"
        place = in_picture(row, where, film)
        if row["frame"] < 0 or row["frame"] % 1:
            raise CaseError(f"{where}, field frame: must be a whole number from 0 on")
        name = row["point"]
        if name in SCALE_POINTS:
            if name in scale:
                raise CaseError(f"{where}, field point: {name} stands there twice")
            scale[name] = place
            continue
        if name != "mark":
            known = ", ".join(("mark", *SCALE_POINTS))
            raise CaseError(f"{where}, field point: {name!r:.40} is not known; known are {known}")
        if row["by"] not in ("hand", "followed"):
            raise CaseError(f"{where}, field by: must be hand or followed (got {row['by']!r:.40})")
        if row["confidence"] < 0:
            raise CaseError(f"{where}, field confidence: must be 0 to 1")
        if marks and row["frame"] <= marks[-1][0]:
            raise CaseError(
                f"{where}, field frame: {row['frame']:g} is not later than {marks[-1][0]:g} before"
            )
        marks.append((row["frame"], *place, row["by"], row["confidence"]))
    return {
        "scale": scale,
        "frames": np.array([mark[0] for mark in marks], dtype=np.float64),
        "places_px": np.array([mark[1:3] for mark in marks], dtype=np.float64).reshape(-1, 2),
        "by": tuple(mark[3] for mark in marks),
        "confidence": np.array([mark[4] for mark in marks], dtype=np.float64),
    }


def _stances(
    rows: list[tuple[int, dict[str, Any]]], called: str
) -> tuple[tuple[float, float], ...]:
    found: list[tuple[float, float]] = []
    for line, row in rows:
        where, down, up = f"{called}, line {line}", row["down_frame"], row["up_frame"]
        if down < 0 or up <= down:
            raise CaseError(
                f"{where}, field up_frame: {up:g} is not later than {down:g}; the foot leaves the "
                "ground after it came down"
            )
        if found and down <= found[-1][1]:
            raise CaseError(
                f"{where}, field down_frame: {down:g} lies before the foot left the ground "
                f"({found[-1][1]:g})"
            )
        found.append((down, up))
    return tuple(found)


def save_film(folder: Path, visit: str, marked: MarkedFilm) -> list[str]:
    """Write what was marked in a film; what stood there before is kept.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    marked
        The film and its marks.

    Returns
    -------
    list of str
        What was written, relative to the case; empty where nothing changed.

    Raises
    ------
    CaseError
        If a value cannot be; the files are then as before.
    """
    place = f"visits/{visit}"
    heading = "The film; its marks stand beside it."
    fields = as_toml(vars(marked), FILM_FIELDS, heading)
    first = f"{marked.frames[0]:.0f}" if marked.frames.size else "0"
    rows: list[tuple[Any, ...]] = [
        (first, name, *map(float, marked.scale[name]), "hand", 1.0)
        for name in SCALE_POINTS
        if name in marked.scale
    ]
    rows += [
        (f"{frame:.0f}", "mark", float(right), float(down), by, float(sure))
        for frame, (right, down), by, sure in zip(
            marked.frames, marked.places_px, marked.by, marked.confidence, strict=True
        )
    ]
    files = {
        f"{place}/film.toml": fields,
        f"{place}/film_points.csv": as_csv(FILM_COLUMNS, rows),
        f"{place}/film_stances.csv": as_csv(STANCE_COLUMNS, marked.stances),
    }
    _, points, stances = files
    # refused before anything is written
    _points(read_rows(files[points].decode(), points, FILM_COLUMNS), points, vars(marked))
    _stances(read_rows(files[stances].decode(), stances, STANCE_COLUMNS), stances)
    which = attrgetter("file", "width_px", "height_px")
    old = read_film(folder, visit)
    if old is None or which(old) != which(marked):
        # Marks of another film must never stand beside this one, not for a moment.
        take_away(folder, points)
        take_away(folder, stances)
    return put_all(folder, files)


# ---- pixels to millimetres -------------------------------------------------------------------


def film_plane(marked: MarkedFilm) -> Plane:
    """From pixels of the film to millimetres.

    Parameters
    ----------
    marked
        A film with its scale and ground line.

    Returns
    -------
    Plane
        Pixels to millimetres.

    Raises
    ------
    CaseError
        If an end is missing or the length is none.
    """
    missing = [name for name in SCALE_POINTS if name not in marked.scale]
    if missing:
        raise CaseError(f"film_points.csv, field point: {', '.join(missing)} still to be placed")
    ends = [marked.scale[name] for name in SCALE_POINTS]
    return by_length(np.array(ends[:2]), marked.length_mm, np.array(ends[2:]))


def track_of(marked: MarkedFilm) -> Track:
    """The mark as a track in millimetres and true seconds; heights are those above the ground line.

    Where the mark was followed in pieces, the piece with a marked contact counts, or else the
    longest: neither filter nor fit may bridge a gap unseen (see `unbroken`).

    Where stances were marked, the ground reference is the mark's middle height while the foot
    stands; else the height at which the mark stays longest near the ground.

    Parameters
    ----------
    marked
        A film with its scale and its mark.

    Returns
    -------
    Track
        Ready for `hoofcalc.landing`.

    Raises
    ------
    CaseError
        If points are missing, or frames are left out or too few.
    """
    plane = film_plane(marked)
    if not marked.frames.size:
        raise CaseError("film_points.csv, field point: the mark is still to be placed")
    ground_line = np.array([marked.scale[name] for name in ("level_start", "level_end")])
    places = plane.to_mm(marked.places_px) - plane.to_mm(ground_line.mean(axis=0))
    places = places * np.array([1.0 if marked.travel == "right" else -1.0, 1.0])
    height = places[:, 1]
    middle = [
        (down + (up - down) / 3 <= marked.frames) & (marked.frames <= up - (up - down) / 3)
        for down, up in marked.stances
    ]
    standing = np.any(middle, axis=0) if middle else np.zeros(len(height), dtype=bool)
    ground = float(np.median(height[standing])) if standing.any() else _usual_low(height)
    corners = plane.to_mm(np.array([[0.0, 0.0], [1.0, 0.0]]))
    mm_per_px = float(np.hypot(*(corners[1] - corners[0])))
    piece = unbroken(marked)
    try:
        return Track(
            marked.frames[piece] / marked.true_fps,
            places[piece],
            ground_mm=ground,
            point_error_mm=marked.point_error_px * mm_per_px,
        )
    except ValueError as problem:
        raise CaseError(f"film_points.csv, field frame: {problem}") from problem


def unbroken(marked: MarkedFilm) -> slice:
    """The rows of the mark that follow each other frame by frame, from which the track is made.

    Parameters
    ----------
    marked
        The film and its marks.

    Returns
    -------
    slice
        All rows where there is no gap; else the piece that shows most of the flight before a
        marked contact and goes beyond it, or the longest piece.
    """
    ends = [*np.flatnonzero(np.diff(marked.frames) > 1) + 1, len(marked.frames)]
    pieces = [slice(int(begin), int(end)) for begin, end in pairwise([0, *ends])]

    def shows(piece: slice) -> tuple[float, int]:
        first, last = marked.frames[piece][[0, -1]]
        flights = [down - first for down, _ in marked.stances if first < down < last]
        return max(flights, default=0.0), piece.stop - piece.start

    return max(pieces, key=shows)


def _usual_low(height_mm: FloatArray) -> float:
    """Where the mark stays longest: the middle of the densest tenth of its lower half [mm]."""
    low = np.sort(height_mm[height_mm <= np.median(height_mm)])
    count = max(len(low) // 5, 1)
    widths = low[count:] - low[: len(low) - count]
    if not widths.size:
        return float(low[0])
    start = int(np.argmin(widths))
    return float(np.median(low[start : start + count + 1]))


def stance_times(marked: MarkedFilm) -> dict[str, float]:
    """Contact, stride and duty factor from the frames that a person marked.

    Parameters
    ----------
    marked
        The film and its marks.

    Returns
    -------
    dict
        stance_s; with two stances also stride_s and duty_factor; each with its standard error
        under the same name and ``_error``. Empty without stances. Several stances are averaged.
        No duty factor where `hoofcalc.landing.duty_factor` refuses it.

    References
    ----------
    Definition of the duty factor, as in `hoofcalc.landing.duty_factor`. Two moments that err by
    themselves: root of the sum of squares.
    """
    if not marked.stances:
        return {}
    error_s = marked.time_error_frames / marked.true_fps
    stances = np.array(marked.stances) / marked.true_fps
    times = stances[:, 1] - stances[:, 0]
    stance = float(times.mean())
    stance_error = float(np.sqrt(2.0 / len(times)) * error_s)
    found = {"stance_s": stance, "stance_s_error": stance_error}
    if len(stances) > 1:
        strides = [later[0] - before[0] for before, later in pairwise(stances)]
        stride = float(np.mean(strides))
        # first and last contact only: those between cancel in the mean
        stride_error = float(np.sqrt(2.0) * error_s / len(strides))
        found |= {"stride_s": stride, "stride_s_error": stride_error}
        try:
            found |= with_duty_factor(found)
        except ValueError:  # no horse's: a stance in between is not marked, or of another foot
            return found
    return found


def with_duty_factor(times: Mapping[str, float]) -> dict[str, float]:
    """The duty factor of a stance and a stride with its standard error, beside them.

    A ValueError where `hoofcalc.landing.duty_factor` refuses it.
    """
    beta = float(duty_factor(times["stance_s"], times["stride_s"]))
    parts = [times[f"{name}_s_error"] / times[f"{name}_s"] for name in ("stance", "stride")]
    return {**times, "duty_factor": beta, "duty_factor_error": beta * float(np.linalg.norm(parts))}
