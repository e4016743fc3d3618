"""Points placed in a photograph: kept in pixels, turned into millimetres, with their errors.

A photograph of a visit has two files beside the others of that visit: ``side.toml`` says which
photograph it is and how its size is known, ``side_points.csv`` holds the points (likewise
``front`` and ``below``). Pixels are those of the upright picture in its original size, to the
right and down from the upper left corner.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray
from hoofcalc.case.allowance import other_readings
from hoofcalc.case.calibration import Plane, by_length, by_square
from hoofcalc.case.hand import for_few
from hoofcalc.case.storage import (
    CaseError,
    Column,
    as_csv,
    as_toml,
    fields_of,
    in_picture,
    kept,
    optional,
    put_all,
    read_record,
    read_rows,
    read_table,
    said_in,
    take_away,
)
from hoofcalc.profile import EVERY_MEASURE, Profile

VIEWS = ("side", "front", "below")
#: How the size of things in a photograph is known.
WAYS = ("square", "length")
LANDMARKS = tuple(name for name in Profile.__dataclass_fields__)
_NEEDED = LANDMARKS[:4]
#: No foot of a horse or pony stands on a shorter or longer line from heel to toe [mm].
BEARING_MM = (30.0, 300.0)
#: Lines along the horn that may be traced in the side view: region, lower and upper end.
WALL_LINES = {
    region: (f"{region}_line_low", f"{region}_line_high") for region in ("toe", "quarter", "heel")
}
#: Points of the side view that lie on the side nearer to the camera.
NEARER = frozenset(
    (
        *("heel_ground", "heel_coronet", "bulb", "widest_point"),
        *(*WALL_LINES["quarter"], *WALL_LINES["heel"]),
    )
)
_EDGE = tuple(f"edge_{number:02d}" for number in range(1, 61))
#: Fewest points of the bearing edge that tell its shape.
_FEWEST_EDGE = 7
_BY_WAY = {
    "length": ("scale_start", "scale_end", "level_start", "level_end"),
    "square": ("square_1", "square_2", "square_3", "square_4"),
}
_BY_VIEW = {
    "side": (*LANDMARKS, *(end for ends in WALL_LINES.values() for end in ends)),
    "front": ("inner_coronet", "inner_ground", "outer_coronet", "outer_ground"),
    "below": ("middle_heel", "middle_toe", *_EDGE),
}
#: Every point that a view may have, in the order in which they are placed.
POINTS: dict[str, tuple[str, ...]] = {
    view: (*_BY_WAY["length"], *_BY_WAY["square"], *names) for view, names in _BY_VIEW.items()
}
#: Points that may be left out.
OPTIONAL = frozenset((*_BY_VIEW["side"], *_EDGE[_FEWEST_EDGE:])) - set(_NEEDED)

_LARGEST_PX = 100_000
#: So often may the points of a photograph be placed.
MOST_TIMES = 3
POINT_COLUMNS = (
    Column("placing", "1 for the first time the points were placed, 2 and 3 for others", 3),
    Column("point", "which point"),
    Column("right_px", "its place to the right of the picture's left edge", _LARGEST_PX),
    Column("down_px", "its place below the picture's upper edge", _LARGEST_PX),
)
#: Fewest points placed twice from which a person's own error is taken.
_FEWEST_TWICE = 4
#: No hand is finer than this [px]; two placings that agree to the last digit prove nothing.
_FINEST_PX = 0.25
#: Step of the differences by which errors are carried on [px]: far below what a hand can do, far
#: above rounding.
_STEP_PX = 0.5


@dataclass(frozen=True, kw_only=True)
class PlacedPicture:
    """One photograph and the points placed in it: the fields of side.toml, and the points.

    Parameters
    ----------
    view
        "side", "front" or "below".
    placings
        The points by name, each to the right and down [px]; once, twice or three times.
    """

    view: str
    file: str = kept("Which photograph of this visit.", "IMG_0412.jpg")
    width_px: int = kept("Width of the upright picture.", 4032, between=(16, _LARGEST_PX))
    height_px: int = kept("Height of the upright picture.", 3024, between=(16, _LARGEST_PX))
    way: str = kept(
        "How sizes are known: square (the printed square) or length (a known length and the "
        "ground line).",
        "square",
        choices=WAYS,
    )
    known_mm: float | None = optional(
        "The known length, or the side of the printed square.", 100.0, between=(10, 3000)
    )
    corner_error_px: float | None = optional(
        "How finely the square's corners are known, where they were drawn to their sharp edges: "
        "standard deviation of each coordinate, in pixels.",
        0.3,
        between=(0.05, 50),
    )
    placings: tuple[Mapping[str, tuple[float, float]], ...] = ({},)

    def mean_px(self) -> dict[str, FloatArray]:
        """Each point of the first placing, averaged with the others where it was placed again."""
        return {
            name: np.mean([places[name] for places in self.placings if name in places], axis=0)
            for name in self.placings[0]
        }

    def times(self, name: str) -> int:
        """How often a point was placed."""
        return sum(name in places for places in self.placings)


PICTURE_FIELDS = fields_of(PlacedPicture)


@dataclass(frozen=True, kw_only=True, eq=False)
class SideView:
    """The foot from the side, in millimetres, with standard errors.

    Parameters
    ----------
    profile
        The landmarks, foot looking forward [mm].
    errors
        Standard error of each measure of the foot, in the unit of its name: of the placed points,
        of those that tell size and level, and an allowance for how the photograph was taken. That
        of the known length itself is not in it.
    parts
        The same by source (`hoofcalc.case.allowance.SOURCES`), for each measure; their squares
        add up to that of the error.
    point_error_mm
        Standard deviation of each coordinate of a landmark [mm].
    twice
        Whether that was told by placing the points twice.
    wall_regions, wall_lines_mm
        Traced lines: names, and ends, shape (n, 2, 2), in the axes of the profile [mm].
    lifted_mm
        By how much the points of the nearer side were lifted, so that the heel stands on the
        ground like the toe [mm]: see `from_the_side`.
    """

    profile: Profile
    errors: Mapping[str, float]
    parts: Mapping[str, Mapping[str, float]]
    point_error_mm: float
    twice: bool
    wall_regions: tuple[str, ...]
    wall_lines_mm: FloatArray
    lifted_mm: float


# ---- files -----------------------------------------------------------------------------------


def read_picture(folder: Path, visit: str, view: str) -> PlacedPicture | None:
    """The photograph of a view and the points placed in it.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit, such as "2026-04-07".
    view
        "side", "front" or "below".

    Returns
    -------
    PlacedPicture or None
        None where no photograph was chosen for this view. Points may still be missing: see
        `missing_points`.

    Raises
    ------
    CaseError
        If a file cannot be, with line and field.
    """
    place = f"visits/{visit}/{view}"
    if not (folder / f"{place}.toml").exists():
        return None
    found = read_record(folder, f"{place}.toml", PICTURE_FIELDS)
    points = f"{place}_points.csv"
    rows = read_table(folder, points, POINT_COLUMNS)
    return PlacedPicture(view=view, placings=_placings(rows, points, view, found), **found)


def _placings(
    rows: list[tuple[int, dict[str, Any]]], called: str, view: str, picture: Mapping[str, Any]
) -> tuple[dict[str, tuple[float, float]], ...]:
    """The points by placing, or a CaseError that names line and field."""
    placings: list[dict[str, tuple[float, float]]] = [{} for _ in range(MOST_TIMES)]
    for line, row in rows:
        where, name = f"{called}, line {line}", row["point"]
        if row["placing"] not in range(1, MOST_TIMES + 1):
            raise CaseError(f"{where}, field placing: must be 1, 2 or 3 (got {row['placing']:g})")
        if name not in POINTS[view]:
            raise CaseError(
                f"{where}, field point: {name!r:.40} is not known in the {view} view; known are "
                f"{names_in_words(view)}"
            )
        places = placings[int(row["placing"]) - 1]
        if name in places:
            raise CaseError(f"{where}, field point: {name} stands there twice")
        places[name] = in_picture(row, where, picture)
    for number, places in enumerate(placings[1:], 2):
        for name in sorted(set(places) - set(placings[0])):
            raise CaseError(
                f"{called}, field point: {name} was placed in placing {number} but not in 1"
            )
    return (placings[0], *filter(None, placings[1:]))


def save_picture(folder: Path, visit: str, placed: PlacedPicture) -> list[str]:
    """Write a photograph's points; what stood there before is kept.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    placed
        The photograph and its points.

    Returns
    -------
    list of str
        What was written, relative to the case; empty where nothing changed.

    Raises
    ------
    CaseError
        If a value cannot be; the files are then as before.
    """
    place = f"visits/{visit}/{placed.view}"
    from_where = placed.view if placed.view == "below" else f"the {placed.view}"
    heading = f"The photograph from {from_where}; its points stand in {placed.view}_points.csv"
    fields = as_toml(vars(placed), PICTURE_FIELDS, heading)
    rows = [
        (str(number), name, *map(float, places[name]))
        for number, places in enumerate(placed.placings, 1)
        for name in POINTS[placed.view]
        if name in places
    ]
    points = as_csv(POINT_COLUMNS, rows)
    called = f"{place}_points.csv"
    again = read_rows(points.decode(), called, POINT_COLUMNS)
    _placings(again, called, placed.view, vars(placed))  # refused before it is written
    home = folder / f"{place}.toml"
    if not home.exists() or home.read_bytes() != fields:
        # Points of another photograph must never stand beside this one, not for a moment.
        take_away(folder, called)
    return put_all(folder, {f"{place}.toml": fields, called: points})


def names_in_words(view: str) -> str:
    """Every point of a view, the many of the bearing edge in short."""
    return ", ".join(POINTS[view]).replace(", ".join(_EDGE), f"{_EDGE[0]} to {_EDGE[-1]}")


# ---- pixels to millimetres -------------------------------------------------------------------


def missing_points(placed: PlacedPicture) -> list[str]:
    """Points that are needed and not placed yet, in their order.

    Parameters
    ----------
    placed
        The photograph and its points.

    Returns
    -------
    list of str
        Empty when the view can be measured; "known_mm" where the size is still to be given.
    """
    needed = [*_BY_WAY[placed.way], *_BY_VIEW[placed.view]]
    if placed.view == "below" and placed.way == "length":
        needed = [name for name in needed if not name.startswith("level_")]
    missing = [name for name in needed if name not in OPTIONAL and name not in placed.placings[0]]
    return missing if placed.known_mm is not None else [*missing, "known_mm"]


def frame_of(placed: PlacedPicture) -> tuple[str, ...]:
    """The points that tell size and level."""
    return _BY_WAY[placed.way]


def own_point_error_px(placed: PlacedPicture, names: tuple[str, ...] | None = None) -> float | None:
    """The person's own error, from placing the same points more than once.

    Parameters
    ----------
    placed
        The photograph and its points.
    names
        Only from these; all where left out.

    Returns
    -------
    float or None
        Standard deviation of one coordinate placed once [px]; None where fewer than four points
        were placed twice.

    References
    ----------
    Pooled standard deviation about the mean of each point; of two placings sqrt(sum d^2 / 2n)
    (Dahlberg's formula, from memory).
    """
    again = [name for name in placed.placings[0] if names is None or name in names]
    again = [name for name in again if placed.times(name) > 1]
    if len(again) < _FEWEST_TWICE:
        return None
    squares = [
        np.sum((np.array([each[name] for each in placed.placings if name in each]) - mean) ** 2)
        for name, mean in placed.mean_px().items()
        if name in again
    ]
    freedom = 2 * sum(placed.times(name) - 1 for name in again)
    return max(float(np.sqrt(np.sum(squares) / freedom)), _FINEST_PX)


def plane_of(placed: PlacedPicture) -> Plane:
    """From pixels to millimetres, by the points that tell size and level.

    Parameters
    ----------
    placed
        A photograph without missing points.

    Returns
    -------
    Plane
        Pixels to millimetres; of the view from below only the size counts.

    Raises
    ------
    CaseError
        If these points cannot tell it, or the camera stood too far off.
    """
    return _plane(placed, placed.mean_px())


def _plane(placed: PlacedPicture, at: Mapping[str, FloatArray]) -> Plane:
    names = _BY_WAY[placed.way]
    if placed.known_mm is None:
        what = "side of the square" if placed.way == "square" else "known length"
        raise CaseError(f"{placed.view}.toml, field known_mm: the {what} is still to be given")
    with said_in(f"{placed.view}_points.csv: "):
        if placed.way == "square":
            middle = placed.width_px / 2, placed.height_px / 2
            return by_square(np.array([at[name] for name in names]), placed.known_mm, middle)
        scale = np.array([at[name] for name in names[:2]])
        level = scale if placed.view == "below" else np.array([at[name] for name in names[2:]])
        return by_length(scale, placed.known_mm, level)


def from_the_side(placed: PlacedPicture, facing: str, stated_error_mm: float) -> SideView:
    """The foot from the side, with errors carried on from every placed point.

    Angles are counted from the ground line, not from the line between the two ground points: the
    heel that is seen stands half a foot's width nearer to the camera than the toe, and a camera
    above the ground sees it too low. Assumed is that toe and heel stand on one level ground, so
    the points of the nearer side are lifted together until the heel does. Slopes stay true, since
    planes that are parallel look alike; lengths at the heel read too long, by 45 mm in
    1.5 m or 3 %.

    Parameters
    ----------
    placed
        The photograph and its points.
    facing
        Which way the toe looks: "right" or "left".
    stated_error_mm
        Standard deviation of a placed point [mm], used where points were placed once only.

    Returns
    -------
    SideView
        Landmarks and lines in millimetres, standard errors of all measures.

    Raises
    ------
    CaseError
        If points are missing or make no foot, in words.

    References
    ----------
    Law of propagation of uncertainty: JCGM 100:2008, Guide to the expression of uncertainty in
    measurement, eq. 10 (from memory); slopes by central differences.
    """
    at = _complete(placed)
    way = _BY_WAY[placed.way]
    marks = tuple(name for name in LANDMARKS if name in at)
    plane = _plane(placed, at)
    seen = {name: plane.to_mm(at[name]) for name in at}
    places = _on_the_ground(seen)
    profile = profile_of(
        {name: places[name] for name in marks},
        facing,
        lambda _name: "side_points.csv",
        "Is the known length right?",
    )
    centre = np.mean([at[name] for name in marks], axis=0)
    mm_per_px = _mm_per_px(plane, centre)
    stated = stated_error_mm / mm_per_px
    known = _for_bands_px(placed, _BY_VIEW["side"])
    mark_px = stated if known is None else known
    frame_px = _for_bands_px(placed, way)
    frame_px = mark_px if frame_px is None else frame_px
    if placed.way == "square" and placed.corner_error_px is not None:
        frame_px = placed.corner_error_px
    parts = _parts_of_errors(placed, at, plane, marks, facing, mark_px, frame_px)
    once = mark_px / np.sqrt(min(placed.times(name) for name in _NEEDED))
    regions = [region for region, ends in WALL_LINES.items() if all(end in places for end in ends)]
    mirror = np.array([1.0 if facing == "right" else -1.0, 1.0])
    lines = [[places[end] for end in WALL_LINES[region]] for region in regions]
    return SideView(
        profile=profile,
        errors={name: float(np.linalg.norm([*each.values()])) for name, each in parts.items()},
        parts=parts,
        point_error_mm=float(once * mm_per_px),
        twice=known is not None,
        wall_regions=tuple(regions),
        wall_lines_mm=np.array(lines, dtype=np.float64).reshape(-1, 2, 2) * mirror,
        lifted_mm=float(places["heel_ground"][1] - seen["heel_ground"][1]),
    )


def _on_the_ground(places_mm: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    """The points of the nearer side lifted together until the heel is as low as the toe."""
    low = places_mm["toe_ground"][..., 1] - places_mm["heel_ground"][..., 1]
    lift = np.stack([np.zeros_like(low), low], axis=-1)
    return {name: at + lift if name in NEARER else at for name, at in places_mm.items()}


def _for_bands_px(placed: PlacedPicture, names: tuple[str, ...]) -> float | None:
    """The person's own error, widened because few points tell it only roughly [px]."""
    told = own_point_error_px(placed, names)
    if told is None:
        return None
    return told * for_few(2 * sum(placed.times(name) - 1 for name in names if placed.times(name)))


def profile_of(
    places_mm: Mapping[str, ArrayLike], facing: str, where: Callable[[str], str], hint: str
) -> Profile:
    """The landmarks as a foot looking forward, or what is wrong with them in terms of the case.

    Parameters
    ----------
    places_mm
        Landmarks by name, each to the right and up in the picture [mm].
    facing
        Which way the toe looks: "right" or "left".
    where
        Says where a landmark stands, for messages; an empty name stands for the whole file.
    hint
        What to look at where the foot has an impossible size.

    Returns
    -------
    Profile
        One foot.

    Raises
    ------
    CaseError
        If the points make no foot, in words.
    """
    try:
        profile = Profile.from_points(facing=facing, **places_mm)
    except ValueError as problem:
        named = [name for name in LANDMARKS if name in str(problem)]
        said = str(problem)
        if "from_points" in said:  # say it in terms of the file
            other = "left" if facing == "right" else "right"
            said = (
                "the toe must lie in front of the heel. Are toe_ground and heel_ground exchanged, "
                f'or is facing = "{other}" meant in visit.toml?'
            )
        raise CaseError(f"{where(named[0] if named else '')}: {said}") from problem
    low, high = BEARING_MM
    if not low <= profile.bearing_length_mm <= high:
        raise CaseError(
            f"{where('toe_ground')}: toe_ground lies {profile.bearing_length_mm:.4g} mm from "
            f"heel_ground, and no foot has that length ({low:g} to {high:g} mm). {hint}"
        )
    return profile


def _mm_per_px(plane: Plane, at: FloatArray) -> float:
    """Length of a pixel near `at`: the root of the area that a pixel covers [mm]."""
    corners = plane.to_mm(at + np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    across, down = corners[1] - corners[0], corners[2] - corners[0]
    return float(np.sqrt(abs(across[0] * down[1] - across[1] * down[0])))


def _parts_of_errors(
    placed: PlacedPicture,
    at: Mapping[str, FloatArray],
    plane: Plane,
    marks: tuple[str, ...],
    facing: str,
    mark_px: float,
    frame_px: float,
) -> dict[str, dict[str, float]]:
    """Standard error of every measure by its source: placed pixels to first order, and the rest."""
    marks_px = np.array([at[name] for name in marks])
    steps = _STEP_PX * np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]])
    frame = _BY_WAY[placed.way]
    by_frame = [
        _plane(placed, {**at, name: at[name] + step}).to_mm(marks_px)
        for name in frame
        for step in steps
    ]
    one_by_one = np.eye(len(marks))[:, np.newaxis, :, np.newaxis] * steps[:, np.newaxis]
    by_mark = plane.to_mm(marks_px + one_by_one).reshape(-1, len(marks), 2)
    others = _other_readings(placed, at, marks)
    feet = np.concatenate([[plane.to_mm(marks_px)], by_frame, by_mark, *others.values()])
    many = Profile.from_points(
        facing=facing, **_on_the_ground({mark: feet[:, k] for k, mark in enumerate(marks)})
    )
    spread = np.array([frame_px] * len(frame) + [mark_px] * len(marks))
    sizes = np.repeat(spread / np.sqrt([placed.times(name) for name in (*frame, *marks)]), 2)
    placings = 1 + 2 * len(sizes)
    ends = placings + np.cumsum([0, *(len(each) for each in others.values())])
    found = {}
    for measure in EVERY_MEASURE:
        try:
            value = np.asarray(getattr(many, measure))
        except ValueError:  # it needs a landmark that was not placed
            continue
        moved = sizes * (value[1:placings:2] - value[2:placings:2]) / (2 * _STEP_PX)
        parts = {
            "points": float(np.linalg.norm(moved[2 * len(frame) :])),
            "frame": float(np.linalg.norm(moved[: 2 * len(frame)])),
        }
        for source, begin, end in zip(others, ends, ends[1:], strict=False):
            parts[source] = float(np.sqrt(np.mean((value[begin:end] - value[0]) ** 2)))
        if np.linalg.norm([*parts.values()]) > 0:  # the line on the ground is level as assumed
            found[measure] = parts
    return found


def _other_readings(
    placed: PlacedPicture, at: Mapping[str, FloatArray], names: Sequence[str]
) -> dict[str, FloatArray]:
    """The same points read as if the photograph had been taken otherwise."""
    known = None
    if placed.way == "length":
        ends = _BY_WAY["length"]
        known = ends[:2] * 2 if placed.view == "below" else ends
    return other_readings(
        at,
        names,
        [name in NEARER for name in names],
        lambda places: _plane(placed, places),
        (placed.width_px, placed.height_px),
        known,
    )


def from_the_front(
    placed: PlacedPicture, stated_error_mm: float
) -> tuple[dict[str, float], float, float]:
    """Heights and widths from the front.

    Parameters
    ----------
    placed
        The photograph and its points.
    stated_error_mm
        Standard deviation of a placed point [mm], used where points were placed once only.

    Returns
    -------
    dict of str to float
        Heights of the hairline above the ground and widths, by their names in a visit [mm].
    float
        Standard deviation of each coordinate of a point, as averaged [mm].
    float
        Allowance for how the photograph was taken, in the difference of the two heights [mm].

    Raises
    ------
    CaseError
        If points are missing or cannot be.
    """
    at = _complete(placed)
    plane = _plane(placed, at)
    inner_top, inner, outer_top, outer = (plane.to_mm(at[name]) for name in _BY_VIEW["front"])
    own = _for_bands_px(placed, _BY_VIEW["front"])
    centre = np.mean([at[name] for name in _BY_VIEW["front"]], axis=0)
    once = stated_error_mm if own is None else own * _mm_per_px(plane, centre)
    times = min(placed.times(name) for name in _BY_VIEW["front"])
    found = {
        "medial_height_mm": float(inner_top[1] - inner[1]),
        "lateral_height_mm": float(outer_top[1] - outer[1]),
        "ground_width_mm": float(abs(outer[0] - inner[0])),
        "coronet_width_mm": float(abs(outer_top[0] - inner_top[0])),
    }
    for name, value in found.items():
        if not 5 <= value <= 400:
            raise CaseError(
                f"front_points.csv: {name} comes out as {value:.4g}, and no foot has that (5 to "
                "400). Are points exchanged, or is the known length wrong?"
            )
    return found, float(once / np.sqrt(times)), _side_allowance(placed, at)


def _side_allowance(placed: PlacedPicture, at: Mapping[str, FloatArray]) -> float:
    """How far the difference of the two heights parts by how the photograph was taken [mm]."""
    names = _BY_VIEW["front"]
    up = _plane(placed, at).to_mm(np.array([at[name] for name in names]))[:, 1]
    signs = np.array([1.0, -1.0, -1.0, 1.0])
    others = _other_readings(placed, at, names).values()
    return float(np.sqrt(sum(np.mean((each[..., 1] @ signs - up @ signs) ** 2) for each in others)))


def from_below(placed: PlacedPicture) -> FloatArray:
    """The bearing edge, forward and to the horse's left of the mid-line.

    Parameters
    ----------
    placed
        The photograph and its points.

    Returns
    -------
    array, shape (n, 2)
        The edge from one heel round the toe to the other [mm].

    Raises
    ------
    CaseError
        If points are missing or cannot be.
    """
    at = _complete(placed)
    plane = _plane(placed, at)
    heel, toe = plane.to_mm(at["middle_heel"]), plane.to_mm(at["middle_toe"])
    length = float(np.hypot(*(toe - heel)))
    low, high = BEARING_MM
    if not low <= length <= high:
        raise CaseError(
            f"below_points.csv: the mid-line is {length:.4g} mm long, and no foot has that length "
            f"({low:g} to {high:g} mm). Is the known length right?"
        )
    forward = (toe - heel) / length
    # A sole seen with the toe upwards shows the horse's left on the right-hand side.
    left = np.array([forward[1], -forward[0]])
    edge = np.array([plane.to_mm(at[name]) for name in _EDGE if name in at]) - heel
    return np.column_stack([edge @ forward, edge @ left])


def _complete(placed: PlacedPicture) -> dict[str, FloatArray]:
    missing = missing_points(placed)
    if missing:
        raise CaseError(
            f"{placed.view}_points.csv, field point: {', '.join(missing)} still to be placed"
        )
    return placed.mean_px()
