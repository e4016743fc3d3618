"""The side view of one visit: what was measured, laid over its photograph."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._counted import counted
from hoofcalc._inputs import FloatArray
from hoofcalc.case.desk.measured_side import CIRCLE, SideDrawing, TracedLine, measured_side
from hoofcalc.case.landmarks import NEARER, PlacedPicture, plane_of, read_picture
from hoofcalc.case.measure import Measurement
from hoofcalc.case.photograph import Photograph, open_photograph
from hoofcalc.case.storage import files_of
from hoofcalc.figures.foot import foot_from_side
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile, line_departures

#: A circle of so many standard errors holds a point 19 times in 20, whose coordinates err apart.
_POINT_REACH = float(np.sqrt(-2 * np.log(0.05)))
_ROUND = 0.45  # so much of the foot's size is shown round it
_LARGEST_PX = 1200  # of the part of the photograph that is shown


@dataclass(frozen=True, kw_only=True)
class HornLine:
    """A traced line of the horn against the model's.

    Parameters
    ----------
    region
        Where it was traced.
    angle_deg, model_deg
        The line's angle to the bearing surface, and the model's there [degrees].
    error_deg
        Standard error of their difference: of the line's two ends, and of the model's line by
        that of toe and heel [degrees].
    """

    region: str
    angle_deg: float
    model_deg: float
    error_deg: float

    @property
    def departure_deg(self) -> float:
        """How much steeper the traced line stands than the model's [degrees]."""
        return self.angle_deg - self.model_deg

    @property
    def exceeds(self) -> bool:
        """Whether that is more than its error."""
        return abs(self.departure_deg) > ERRORS_FOR_95 * self.error_deg

    @property
    def words(self) -> str:
        """In words."""
        by = self.departure_deg
        way = "steeper" if by >= 0 else "flatter"
        seen = "more than" if self.exceeds else "within"
        return (
            f"{self.region[:30]} {self.angle_deg:.1f}°: {abs(by):.1f} ± "
            f"{ERRORS_FOR_95 * self.error_deg:.1f}° {way} than the model, {seen} its error"
        )


def departures(found: Measurement) -> tuple[HornLine, ...]:
    """Each traced line of a visit against the model's.

    Parameters
    ----------
    found
        The visit, measured.

    Returns
    -------
    tuple of HornLine
        In the order in which they were traced; empty where none was.
    """
    lines = found.visit.wall_lines_mm
    if lines is None or not found.horn_lines:
        return ()
    back = np.reshape(line_departures(found.visit.profile, lines[:, 0], lines[:, 1]).fraction, -1)
    toe, heel = (found.errors[f"{end}_angle_deg"] for end in ("toe", "heel"))
    return tuple(
        HornLine(
            region=str(line["region"]),
            angle_deg=float(line["angle_deg"]),
            model_deg=float(line["model_deg"]),
            error_deg=float(
                np.sqrt(line["error_deg"] ** 2 + ((1 - at) * toe) ** 2 + (at * heel) ** 2)
            ),
        )
        for line, at in zip(found.horn_lines, back.tolist(), strict=True)
    )


def side_of(folder: Path, found: Measurement) -> StillPicture:
    """The side view of a visit, over its photograph where there is one.

    Parameters
    ----------
    folder
        The folder of the case.
    found
        The visit, measured.

    Returns
    -------
    StillPicture
        The drawing with its words.

    Raises
    ------
    CaseError
        If the photograph or its points cannot be read, in words.
    """
    visit = found.visit.name
    placed = read_picture(folder, visit, "side")
    if placed is None:
        return side_picture(found)
    photograph = open_photograph(files_of(folder, "pictures", visit) / placed.file)
    return side_picture(found, placed, photograph)


def side_picture(
    found: Measurement,
    placed: PlacedPicture | None = None,
    photograph: Photograph | None = None,
) -> StillPicture:
    """Landmarks, angles, the model's tubules and the traced lines of a visit.

    Parameters
    ----------
    found
        The visit, measured.
    placed, photograph
        The photograph from the side and its points; left out, the plain foot is drawn.

    Returns
    -------
    StillPicture
        The drawing with its words.

    Raises
    ------
    CaseError
        If the points do not tell size and level.
    """
    drawn = side_drawing(found, placed, photograph)
    over = drawn.photograph is not None
    toe, heel = (words.partition(" ")[2].removesuffix("°") for _, words in drawn.walls.values())
    said = [f"The toe stands at {toe} degrees, the heel at {heel}.", _gap(found)]
    none = "No line of the horn was traced, so the model's lines are not checked."
    lines = "; ".join(line.words for line in drawn.traced)
    said.append(f"Traced lines of the horn: {lines}." if lines else none)
    said += [found.visit.askew] if found.visit.askew else []
    where = "the photograph" if over else "a plain drawing of the foot"
    way = "left" if over and found.visit.facing == "left" else "right"
    alt = (
        f"The foot from the side, toe to the {way}, over {where}: the toe line (blue, unbroken) "
        f"and the heel line (orange-red, dashed), thin ones for the model's lines of the horn"
        f"{', thick black lines traced along the horn' if drawn.traced else ''}, and a cross with "
        f"a ring at each of {counted(len(drawn.marks), 'placed point')}. {' '.join(said)}"
    )
    return measured_side(drawn, " ".join(said), alt)


def side_drawing(
    found: Measurement,
    placed: PlacedPicture | None = None,
    photograph: Photograph | None = None,
) -> SideDrawing:
    """What the side picture shows, in pixels of the photograph or in millimetres without one.

    Parameters
    ----------
    found, placed, photograph
        As for `side_picture`.

    Returns
    -------
    SideDrawing
        All lines and points.

    Raises
    ------
    CaseError
        If the points do not tell size and level.
    """
    profile, visit = found.visit.profile, found.visit
    over = placed is not None and photograph is not None
    mirror = np.array([-1.0 if over and visit.facing == "left" else 1.0, 1.0])
    plane = plane_of(placed) if placed is not None and over else None

    def at(places_mm: FloatArray, near: FloatArray | float | None = None) -> FloatArray:
        """Where a place of the foot stands in the drawing; `near`: 0 mid-line, 1 nearer side."""
        if plane is None:
            return places_mm
        gap = np.isnan(places_mm)  # between one line and the next
        places = np.where(gap, 0.0, places_mm)
        # the nearer side was lifted on to the ground; in the picture it stands where it was seen
        part = np.asarray(_how_near(profile, places) if near is None else near)
        seen = places - np.array([0.0, visit.lifted_mm]) * part[..., None]
        return np.where(gap, np.nan, plane.to_px(seen * mirror))

    parts = foot_from_side(profile)
    tubules = parts.pop("foot_horn")
    plain = {} if over else parts
    marks = np.array(list(profile.landmarks.values()))
    sides = np.array([float(name in NEARER) for name in profile.landmarks])
    reach = _POINT_REACH * visit.point_error_mm
    walls = {}
    for end in ("toe", "heel"):
        low, high = (getattr(profile, f"{end}_{place}") for place in ("ground", "coronet"))
        name = f"{end}_angle_deg"
        words = f"{end} {found.values[name]:.1f} ± {ERRORS_FOR_95 * found.errors[name]:.1f}°"
        walls[end] = (at(np.array([low, high + 0.12 * (high - low)])), words)
    lines = departures(found)
    traced = [
        TracedLine(
            ends=at(ends, float(region != "toe")),
            model_ends=at(_along(ends, line.model_deg, found), float(region != "toe")),
            words=line.words,
        )
        for region, ends, line in zip(
            visit.wall_regions if lines else (),
            visit.wall_lines_mm if lines and visit.wall_lines_mm is not None else (),
            lines,
            strict=True,
        )
    ]
    shape = np.vstack([at(marks, sides), *(at(place) for place in plain.values())])
    box, seen = _framed(shape, photograph if over else None)
    return SideDrawing(
        box=box,
        photograph=seen,
        foot=plain,
        walls=walls,
        bearing=at(np.array([profile.heel_ground, profile.toe_ground])),
        tubules=at(tubules),
        marks=at(marks, sides),
        reaches=[at(mark + reach * CIRCLE, side) for mark, side in zip(marks, sides, strict=True)],
        traced=traced,
    )


def _how_near(profile: Profile, places_mm: FloatArray) -> FloatArray:
    """How far a place on the wall lies from the toe's line (0) to the nearer heel's (1).

    The place lies on the line between a point of the ground and one of the hairline that divide
    the way from toe to heel alike; that is a quadratic equation for the part.
    """

    def cross(a: FloatArray, b: FloatArray) -> FloatArray:
        return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])

    toe, heel = profile.toe_ground, profile.heel_ground
    toe_wall = profile.toe_coronet - toe
    turn = profile.heel_coronet - heel - toe_wall
    ground = heel - toe
    away = places_mm - toe
    square = -cross(turn, ground)
    linear = cross(turn, away) - cross(toe_wall, ground)
    rest = cross(toe_wall, away)
    root = np.sqrt(np.maximum(linear**2 - 4 * square * rest, 0.0))
    # this form of the solution stays true where the two walls are parallel and `square` is none
    part = 2 * rest / (-linear + root)
    return np.asarray(np.clip(part, 0.0, 1.0))


def _gap(found: Measurement) -> str:
    gap, reach = found.values["angle_gap_deg"], ERRORS_FOR_95 * found.errors["angle_gap_deg"]
    way = "flatter" if gap >= 0 else "steeper"
    return f"The heel is {abs(gap):.1f} ± {reach:.1f} degrees {way} than the toe."


def _along(ends: FloatArray, model_deg: float, found: Measurement) -> FloatArray:
    """The model's line through the middle of a traced one, a little longer than that."""
    profile = found.visit.profile
    forward = profile.toe_ground - profile.heel_ground
    angle = np.arctan2(forward[1], forward[0]) + np.pi - np.radians(model_deg)
    half = 0.7 * np.hypot(*(ends[1] - ends[0])) * np.array([np.cos(angle), np.sin(angle)])
    middle = ends.mean(axis=0)
    return np.array([middle - half, middle + half])


def _framed(
    shape: FloatArray, photograph: Photograph | None
) -> tuple[tuple[float, float, float, float], np.ndarray | None]:
    """The part that is shown: left, right, lower and upper edge; and that of the photograph."""
    low, high = shape.min(axis=0), shape.max(axis=0)
    if photograph is None:
        wide = 0.12 * (high - low)
        (left, down), (right, up) = low - wide, high + wide
        return (float(left), float(right), float(down), float(up)), None
    room = _ROUND * float(np.max(high - low))
    size = np.array([photograph.width_px, photograph.height_px])
    left, top = np.clip(np.floor(low - room), 0, size - 1).astype(int).tolist()
    right, bottom = np.clip(np.ceil(high + room), 1, size).astype(int).tolist()
    cut = photograph.pixels[top:bottom, left:right]
    smaller = min(1.0, _LARGEST_PX / max(cut.shape[:2]))
    if smaller < 1:
        wide, tall = (max(1, round(smaller * length)) for length in (right - left, bottom - top))
        picture = Image.fromarray(np.ascontiguousarray(cut)).resize(
            (wide, tall), Image.Resampling.BOX
        )
        cut = np.asarray(picture)
    return (float(left), float(right), float(bottom), float(top)), cut
