"""Invented photographs of a hoof, drawn with a camera whose place is known.

The foot is flat: it is painted on one upright plane through its middle (the sole, in the view from
below), together with a lath on the ground line, a stick of known length and the printed square,
and this plane is seen through a pinhole camera. So the place of every point in the picture is
known exactly. A real foot is round: what its near side costs when the camera stands askew is not
in such a picture.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray, points
from hoofcalc.capsule import plain_outline
from hoofcalc.case.synthetic.painting import (
    Painting,
    Picture,
    as_light,
    as_opencv,
    grain,
    grained,
    laid,
    lit,
    speckle,
    thrice,
)
from hoofcalc.case.synthetic.pinhole import Camera
from hoofcalc.case.target import white_cells
from hoofcalc.profile import Profile, line_angle_deg

#: Length of the stick and side of the printed square [mm].
STICK_MM, SQUARE_MM = 150.0, 100.0

_HORN, _BAND, _HAIR = (76, 66, 58), (176, 150, 128), (104, 72, 50)
_SOLE, _WHITE_LINE, _FROG, _BULB = (150, 136, 118), (214, 200, 172), (88, 80, 74), (92, 78, 70)
_PAPER, _INK, _WOOD, _WALL, _GROUND = (
    (214, 214, 208),
    (28, 28, 30),
    (188, 152, 104),
    (128, 132, 128),
    (142, 128, 110),
)
#: White beside the square, and between it and the ground: as on the sheet that is printed.
_MARGIN_MM, _SQUARE_UP_MM = 13.0, 24.0
_STICK_UP_MM = 10.0
_LATH_MM = 8.0
_BEHIND_MM = 78.0  # between heel and square
_WALL_BEHIND_MM = 1500.0
_SHADOW = 0.5  # how dark, 0 to 1
_PAINTING_PX = 1.25  # pixels of the painting for one of the photograph
_LINE_PLACES = {"toe": 0.05, "quarter": 0.5, "heel": 0.94}


@dataclass(frozen=True, eq=False)
class DrawnPhotograph:
    """An invented photograph and what is true of it.

    Parameters
    ----------
    pixels
        Red, green and blue, shape (height, width, 3), 0 to 255.
    points_px
        Where each point stands, by name, to the right and down from the upper left corner [px].
    points_mm
        The same points in the plane that is photographed, to the right and up [mm].
    camera
        The camera, with the place that it was pointed at.
    """

    pixels: Picture
    points_px: Mapping[str, FloatArray]
    points_mm: Mapping[str, FloatArray]
    camera: Camera


def true_points(
    profile: Profile,
    view: str = "side",
    *,
    facing: str = "right",
    front_mm: Mapping[str, float] | None = None,
    outline_mm: ArrayLike | None = None,
    wall_lines_mm: Mapping[str, ArrayLike] | None = None,
    inner: str = "left",
) -> dict[str, FloatArray]:
    """Every point of a view that can be placed, in the plane that is photographed.

    Parameters
    ----------
    profile
        One foot.
    view
        "side", "front" or "below".
    facing
        Side view: which way the toe looks, "right" or "left".
    front_mm
        Front view: heights and half widths as `hoofcalc.datasets.front_view` gives them [mm].
    outline_mm
        View from below: bearing edge, forward and left [mm], from heel to heel, at most 60 points;
        left out, `plain_outline`.
    wall_lines_mm
        Side view: by region, lower and upper end of a line along the horn in the axes of the
        profile [mm]; left out, lines of the model.
    inner
        Front view: on which side of the picture the inner wall lies, "left" or "right".

    Returns
    -------
    dict of str to array
        Right and up [mm] by name.
    """
    if view == "side":
        return _side_points(profile, facing, wall_lines_mm)
    if view == "front":
        return _front_points(front_mm or {}, -1.0 if inner == "left" else 1.0)
    return _below_points(profile, outline_mm)


def drawn_photograph(
    profile: Profile,
    view: str = "side",
    camera: Camera | None = None,
    rng: np.random.Generator | None = None,
    *,
    facing: str = "right",
    noise: float = 3.0,
    blur_px: float = 0.6,
    uneven: float = 0.3,
    **foot: Any,
) -> DrawnPhotograph:
    """Draw an invented photograph of a foot.

    Parameters
    ----------
    profile
        One foot, standing on or near the line z = 0.
    view
        "side", "front" or "below".
    camera
        The camera; left out, one that looks square at the plane. Where it is not said what it is
        pointed at, it is pointed at the middle of what is drawn.
    rng
        Source of the random numbers; left out, always the same ones.
    facing
        As for `true_points`. With "left" a positive turn of the camera is still one to the
        picture's right, that is towards the heel.
    noise
        Standard deviation of the camera's noise, of 255.
    blur_px
        Standard deviation of the blur [px]; 0 for none.
    uneven
        By which part the light falls off over the picture, 0 to 1.
    foot
        What else `true_points` may be told of the foot.

    Returns
    -------
    DrawnPhotograph
        Picture and truth.
    """
    at_mm = true_points(profile, view, facing=facing, **foot)
    seen = camera or Camera()
    if seen.middle_mm is None:
        seen = replace(seen, middle_mm=_middle(at_mm))
    rng = rng or np.random.default_rng(0)
    finest = _PAINTING_PX * seen.focal_px / seen.distance_mm
    corners = np.array([*at_mm.values()])
    low, high = corners.min(axis=0) - 45, corners.max(axis=0) + 45
    if view != "below":
        high[1] = max(high[1], min(420.0, _highest(seen)))  # as far as the leg is in the picture
    painting = Painting(low, high, finest)
    if view == "side":
        paint_side(painting, profile, at_mm, facing, rng)
    elif view == "front":
        _paint_front(painting, at_mm, rng)
    else:
        _paint_below(painting, at_mm, rng)
    _paint_square(painting, at_mm)
    _paint_stick(painting, at_mm)
    pixels = _background(seen, view, painting, rng)
    matrix = as_opencv(_plane(seen) @ np.linalg.inv(painting.to_px))
    size = seen.width_px, seen.height_px
    seen_so = (
        cv2.warpPerspective(part, matrix, size) for part in (painting.colour, painting.alpha)
    )
    pixels = lit(laid(pixels, *seen_so), as_light(light_field(*size, uneven)))
    if blur_px > 0:
        cv2.GaussianBlur(pixels, (0, 0), blur_px, dst=pixels)
    pixels = grained(pixels, grain(size[::-1], noise, rng))
    write_invented(pixels)
    to_px = {name: seen.to_px(place) for name, place in at_mm.items()}
    return DrawnPhotograph(pixels, to_px, at_mm, seen)


# ---- where things are ------------------------------------------------------------------------


def _side_points(
    profile: Profile, facing: str, wall_lines_mm: Mapping[str, ArrayLike] | None
) -> dict[str, FloatArray]:
    flip = np.array([1.0 if facing == "right" else -1.0, 1.0])
    found = {name: place * flip for name, place in profile.landmarks.items()}
    if wall_lines_mm is None:
        wall_lines_mm = {
            region: _tubule(profile, place)[0] for region, place in _LINE_PLACES.items()
        }
    for region, ends in wall_lines_mm.items():
        low, high = points("wall_lines_mm", ends, 2) * flip
        found |= {f"{region}_line_low": low, f"{region}_line_high": high}
    toe, heel = float(profile.toe_ground[0]), float(profile.heel_ground[0])
    back = min(heel, float(profile.heel_coronet[0])) - _BEHIND_MM
    front = toe + 42.0
    ends = np.array([[back - SQUARE_MM - _MARGIN_MM - 8, 0.0], [front + 22.0, 0.0]]) * flip
    return found | _helpers(flip[0] * front, flip[0] * back, np.sort(ends, axis=0))


def _helpers(stick_mm: float, square_mm: float, level: FloatArray | None) -> dict[str, FloatArray]:
    """Stick, square and level line; the square lies on the far side of `square_mm`."""
    left = square_mm - SQUARE_MM if square_mm < stick_mm else square_mm
    low = _SQUARE_UP_MM
    sides = [(0.0, 0.0), (SQUARE_MM, 0.0), (SQUARE_MM, SQUARE_MM), (0.0, SQUARE_MM)]
    found = {
        f"square_{number}": np.array([left + across, low + up])
        for number, (across, up) in enumerate(sides, 1)
    }
    found["scale_start"] = np.array([stick_mm, _STICK_UP_MM])
    found["scale_end"] = np.array([stick_mm, _STICK_UP_MM + STICK_MM])
    if level is not None:
        found["level_start"], found["level_end"] = level
    return found


def _front_points(front_mm: Mapping[str, float], side: float) -> dict[str, FloatArray]:
    found = {}
    for name, wall, sign in (("inner", "medial", side), ("outer", "lateral", -side)):
        up = front_mm[f"{wall}_height_mm"]
        found[f"{name}_coronet"] = np.array([sign * front_mm[f"{wall}_coronet_mm"], up])
        found[f"{name}_ground"] = np.array([sign * front_mm[f"{wall}_ground_mm"], 0.0])
    widest = max(abs(float(place[0])) for place in found.values())
    level = np.array([[-widest - 40 - SQUARE_MM - _MARGIN_MM, 0.0], [widest + 60.0, 0.0]])
    return found | _helpers(widest + 38.0, -widest - 32.0, level)


def _below_points(profile: Profile, outline_mm: ArrayLike | None) -> dict[str, FloatArray]:
    length = float(profile.bearing_length_mm)
    edge = (
        plain_outline(length, 1.2 * length, 23)
        if outline_mm is None
        else points("outline_mm", outline_mm, 2)
    )
    ring = edge[:, ::-1]  # toe upwards: the horse's left lies on the right
    found = {f"edge_{number:02d}": place for number, place in enumerate(ring, 1)}
    heels = float(ring[[0, -1], 1].mean())
    found["middle_heel"] = np.array([0.0, heels + 0.10 * length])
    found["middle_toe"] = np.array([0.0, heels + 0.68 * length])
    widest = float(np.abs(ring[:, 0]).max())
    return found | _helpers(widest + 38.0, -widest - 32.0, None)


def _middle(at_mm: Mapping[str, FloatArray]) -> tuple[float, float]:
    corners = np.array([*at_mm.values()])
    across, up = (corners.min(axis=0) + corners.max(axis=0)) / 2
    return float(across), float(up)


def _highest(camera: Camera) -> float:
    """How far up the plane can be seen [mm]."""
    width, height = camera.width_px, camera.height_px
    corners = np.array([[0, 0, 1], [width, 0, 1], [0, height, 1], [width, height, 1.0]])
    _, up, far = np.linalg.solve(_plane(camera), corners.T)
    return float((up / far).max()) if (far > 0).all() else np.inf


def _plane(camera: Camera) -> FloatArray:
    """From (right, up, 1) [mm] in the plane that is photographed to pixels."""
    return camera.plane_matrix((0, 0, 0), (1, 0, 0), (0, 1, 0))


def _tubule(profile: Profile, place: float) -> tuple[FloatArray, FloatArray]:
    """The model's line at a place from toe (0) to heel (1): its traced part, and all of it [mm]."""
    toe, heel = profile.toe_ground, profile.heel_ground
    start = toe + place * (heel - toe)
    angle = np.radians(line_angle_deg(profile, place))
    forward = (toe - heel) / np.linalg.norm(toe - heel)
    way = -np.cos(angle) * forward + np.sin(angle) * np.array([-forward[1], forward[0]])
    band = profile.heel_coronet - profile.toe_coronet
    # start + s way = toe_coronet + t band
    s = np.linalg.solve(np.stack([way, -band], axis=1), profile.toe_coronet - start)[0]
    whole = np.stack([start, start + s * way])
    return start + np.array([[0.18], [0.82]]) * s * way, whole


# ---- painting --------------------------------------------------------------------------------


def paint_side(
    painting: Painting,
    profile: Profile,
    at_mm: Mapping[str, FloatArray],
    facing: str,
    rng: np.random.Generator,
    *,
    above_fetlock: bool = True,
) -> FloatArray:
    """Paint a foot from the side, and the lath behind it where there is a level line.

    Parameters
    ----------
    painting
        What is painted on.
    profile
        The foot.
    at_mm
        Points in the painting, from `true_points`.
    facing
        "right" or "left".
    rng
        Source of the random numbers.
    above_fetlock
        Whether the leg goes on above the fetlock.

    Returns
    -------
    array, shape (2,)
        Middle of the fetlock in the axes of the profile [mm].
    """
    flip = np.array([1.0 if facing == "right" else -1.0, 1.0])
    if "level_start" in at_mm:
        _paint_lath(painting, at_mm, rng)
    toe_up, heel_up = profile.toe_coronet, profile.heel_coronet
    low, high = _pastern(profile)
    way = (high - low) / np.linalg.norm(high - low)
    across = np.array([way[1], -way[0]])  # to the front
    half = float(0.46 * np.linalg.norm(toe_up - heel_up) * 0.72)
    fetlock = high + 42 * way
    leg = _leg(profile, low, high, half, above_fetlock=above_fetlock)
    hair = _hairs(leg, way, rng)
    painting.fill(
        _rounded(leg) * flip,
        _HAIR,
        streaks=[(line * flip, wide, tone) for line, wide, tone in hair],
        grain=0.06,
        shade=((low - half * across) * flip, (low + half * across) * flip, 0.5),
        rng=rng,
    )
    band = np.array(
        [toe_up, toe_up + 6 * way + 2.3 * across, heel_up + 5 * way - 1.0 * across, heel_up]
    )
    painting.fill(band * flip, _BAND, grain=0.08, rng=rng)
    wall = np.array([profile.toe_ground, toe_up, heel_up, profile.heel_ground])
    painting.fill(
        wall * flip,
        _HORN,
        streaks=_horn_streaks(profile, at_mm, flip, rng),
        grain=0.05,
        shade=(profile.heel_ground * flip, toe_up * flip, 0.45),
        rng=rng,
    )
    return np.asarray(fetlock)


def _pastern(profile: Profile) -> tuple[FloatArray, FloatArray]:
    """Two places along the pastern; in the line of the toe where none is given."""
    if profile.pastern_low is not None and profile.pastern_high is not None:
        return profile.pastern_low, profile.pastern_high
    angle = np.radians(profile.toe_angle_deg)
    way = np.array([-np.cos(angle), np.sin(angle)])
    low = (profile.toe_coronet + profile.heel_coronet) / 2 + 20 * way
    return low, low + 62 * way


def _leg(
    profile: Profile, low: FloatArray, high: FloatArray, half: float, *, above_fetlock: bool
) -> FloatArray:
    """Outline of the leg from the toe's hairline up, over the fetlock, down to the heel's."""
    toe_up, heel_up = profile.toe_coronet, profile.heel_coronet
    way = (high - low) / np.linalg.norm(high - low)
    across = np.array([way[1], -way[0]])
    fetlock = high + 42 * way
    bulb = heel_up + np.array([-12.0, -6.0]) if profile.bulb is None else profile.bulb
    front = [
        toe_up,
        toe_up + 7 * way + 2.5 * across,
        low + 12 * way + half * across,
        high + 0.92 * half * across,
        fetlock + 1.05 * half * across,
    ]
    back = [
        fetlock - 1.35 * half * across,
        high - 0.98 * half * across,
        low + 8 * way - 1.12 * half * across,
        bulb + 12 * way,
        bulb,
        bulb + np.array([3.0, -4.0]),
        heel_up,
    ]
    top = [fetlock + half * way]
    if above_fetlock:
        ends = np.array([[0.72, 460.0], [-0.80, 460.0]]) * [half, 1.0] + [fetlock[0] + 4.0, 0.0]
        knees = fetlock + np.array([[0.95 * half, 40.0], [-1.05 * half, 45.0]])
        top = [knees[0], *ends, knees[1]]
    return np.array([*front, *top, *back])


def _horn_streaks(
    profile: Profile, at_mm: Mapping[str, FloatArray], flip: FloatArray, rng: np.random.Generator
) -> list[tuple[FloatArray, float, float]]:
    """Tubules, growth rings and the traced lines of the wall from the side."""
    places = np.linspace(0.004, 0.996, 240)
    lines = [_tubule(profile, place)[1] * flip for place in places]
    streaks = _tubules(lines, rng)
    whole = np.array([_tubule(profile, place)[1] for place in np.linspace(0, 1, 25)])
    for height in np.sort(rng.uniform(0.05, 0.97, 11)):
        ring = whole[:, 0] + height * (whole[:, 1] - whole[:, 0])
        streaks.append((ring * flip, 0.6, 0.06 * rng.standard_normal()))
    for region in _LINE_PLACES:
        if f"{region}_line_low" in at_mm:
            ends = np.array([at_mm[f"{region}_line_low"], at_mm[f"{region}_line_high"]])
            streaks.append((ends, 0.7, -0.55))
    return streaks


def _tubules(
    lines: Sequence[FloatArray], rng: np.random.Generator
) -> list[tuple[FloatArray, float, float]]:
    """Lines side by side, each about as bright as the one before."""
    streaks, tone = [], 0.0
    for line in lines:
        tone = 0.7 * tone + 0.09 * rng.standard_normal()
        streaks.append((line, 0.45, tone))
    return streaks


def _both_sides(half: Sequence[tuple[float, float]]) -> FloatArray:
    """An outline from its left half, told to the left and upwards."""
    return np.vstack([np.array(half) * [-1, 1], half[::-1]])


def _paint_front(
    painting: Painting, at_mm: Mapping[str, FloatArray], rng: np.random.Generator
) -> None:
    _paint_lath(painting, at_mm, rng)
    walls = [at_mm[f"{wall}_{end}"] for wall in ("inner", "outer") for end in ("ground", "coronet")]
    left_low, left_up, right_low, right_up = walls if walls[0][0] < 0 else [*walls[2:], *walls[:2]]
    part = np.linspace(0, 1, 41)[:, None]
    arch = 0.22 * np.linalg.norm(right_up - left_up) * np.sqrt(np.clip(4 * part * (1 - part), 0, 1))
    hairline = left_up + part * (right_up - left_up) + arch * np.array([0.0, 1.0])
    width = float(right_up[0] - left_up[0])
    middle = (left_up + right_up) / 2
    half = [(0.44, 34), (0.33, 92), (0.40, 140), (0.30, 185), (0.27, 420)]
    leg = np.vstack([left_up, middle + _both_sides(half) * [width, 1.0], right_up])
    up = np.array([0.0, 1.0])
    painting.fill(
        _rounded(leg),
        _HAIR,
        streaks=_hairs(leg, up, rng),
        grain=0.06,
        shade=(right_up, left_up, 0.4),
        rng=rng,
    )
    painting.fill(np.vstack([hairline, hairline[::-1] + 6 * up]), _BAND, grain=0.08, rng=rng)
    wall = np.vstack([left_low, hairline, right_low])
    at = np.linspace(0.01, 0.99, 200)[:, None]
    tops = np.column_stack([np.interp(at[:, 0], part[:, 0], each) for each in hairline.T])
    lines = np.stack([left_low + at * (right_low - left_low), tops], axis=1)
    streaks = _tubules([*lines], rng)
    painting.fill(
        wall, _HORN, streaks=streaks, grain=0.05, shade=(right_low, left_low, 0.4), rng=rng
    )


def _paint_below(
    painting: Painting, at_mm: Mapping[str, FloatArray], rng: np.random.Generator
) -> None:
    ring = np.array([place for name, place in at_mm.items() if name.startswith("edge_")])
    centre = np.array([0.0, ring[:, 1].mean()])
    heel, tip = at_mm["middle_heel"], at_mm["middle_toe"]
    first, last = ring[0], ring[-1]
    half = np.abs(first[0] - last[0]) / 2
    bulbs = np.vstack(
        [
            [first, first + np.array([0.10 * half, -24.0])],
            heel + np.array([[-0.45, -46.0], [0.0, -30.0], [0.45, -46.0]]) * [half, 1.0],
            [last + np.array([-0.10 * half, -24.0]), last],
        ]
    )
    painting.fill(_rounded(bulbs), _BULB, grain=0.10, rng=rng)
    rays = [
        (np.stack([centre + 0.8 * (p - centre), p]), 0.4, 0.15 * rng.standard_normal())
        for p in _denser(ring, 8)
    ]
    painting.fill(ring, _HORN, streaks=rays, grain=0.06, shade=(last, first, 0.3), rng=rng)
    dense = _denser(ring, 6)
    along = np.clip((dense[:, 1:] - first[1]) / (ring[:, 1].max() - first[1]), 0, 1)
    inward = (centre - dense) / np.linalg.norm(centre - dense, axis=1)[:, None]
    painting.fill(dense + (5.5 + 4.5 * along) * inward, _WHITE_LINE, grain=0.05, rng=rng)
    painting.fill(
        dense + (8.0 + 4.5 * along) * inward, _SOLE, grain=0.10, shade=(last, first, 0.3), rng=rng
    )
    inner = heel + 0.45 * (tip - heel) + np.array([[0.30 * half, 0.0], [-0.30 * half, 0.0]])
    frog = np.vstack(
        [
            first + np.array([0.30 * half, -6.0]),
            heel + np.array([[-0.10, -4.0], [0.0, 0.0], [0.10, -4.0]]) * [half, 1.0],
            last + np.array([-0.30 * half, -6.0]),
            [inner[0], tip, inner[1]],
        ]
    )
    painting.fill(
        frog,
        _FROG,
        grain=0.12,
        rng=rng,
        streaks=[(np.stack([heel, heel + 0.4 * (tip - heel)]), 2.5, -0.5)],
    )
    for end, side in ((first, 1.0), (last, -1.0)):
        bar = np.array(
            [[2.0 * side, 6.0], [7.0 * side, 4.0], [22.0 * side, 44.0], [19.0 * side, 45.0]]
        )
        painting.fill(end + bar, _WHITE_LINE, grain=0.08, rng=rng)


def _paint_lath(
    painting: Painting, at_mm: Mapping[str, FloatArray], rng: np.random.Generator
) -> None:
    left, right = at_mm["level_start"], at_mm["level_end"]
    up = np.array([0.0, _LATH_MM])
    streaks = [
        (np.array([left, right]) + part * up, 0.3, 0.12 * rng.standard_normal())
        for part in rng.uniform(0.05, 0.95, 12)
    ]
    painting.fill([left, right, right + up, left + up], _WOOD, streaks=streaks, grain=0.04, rng=rng)


def _paint_stick(painting: Painting, at_mm: Mapping[str, FloatArray]) -> None:
    start, end = at_mm["scale_start"], at_mm["scale_end"]
    half = np.array([5.0, 0.0])
    count = 15
    for number in range(count):
        low, high = (start + (end - start) * part / count for part in (number, number + 1))
        colour = _INK if number % 2 == 0 else _PAPER
        painting.fill([low - half, low + half, high + half, high - half], colour)


def _paint_square(painting: Painting, at_mm: Mapping[str, FloatArray]) -> None:
    corners = np.array([at_mm[f"square_{number}"] for number in range(1, 5)])
    low, high = corners[0] - [_MARGIN_MM, _SQUARE_UP_MM], corners[2] + _MARGIN_MM
    painting.fill([low, [high[0], low[1]], high, [low[0], high[1]]], _PAPER)
    painting.fill(corners, _INK)
    for cell in white_cells(SQUARE_MM):
        painting.fill(corners[0] + cell, _PAPER)


def _hairs(
    outline: FloatArray, way: FloatArray, rng: np.random.Generator
) -> list[tuple[FloatArray, float, float]]:
    """Short strokes that lie along the leg; what reaches past the outline is cut off by it."""
    low, high = outline.min(axis=0), np.minimum(outline.max(axis=0), [1e9, 330.0])
    count = int(0.16 * np.prod(high - low))
    roots = rng.uniform(low, high, (count, 2))
    ends = roots - rng.uniform(6, 14, (count, 1)) * (way + rng.normal(0, 0.12, (count, 2)))
    tones = 0.22 * rng.standard_normal(count)
    strokes = np.stack([roots, ends], axis=1)
    return [(stroke, 0.25, float(tone)) for stroke, tone in zip(strokes, tones, strict=True)]


def _rounded(outline: FloatArray) -> FloatArray:
    """The outline with its corners rounded, its first and last two places as they are."""
    for _ in range(2):
        near = outline[:-1] + 0.25 * np.diff(outline, axis=0)
        far = outline[:-1] + 0.75 * np.diff(outline, axis=0)
        cut = np.stack([near, far], axis=1).reshape(-1, 2)
        outline = np.vstack([outline[:1], cut, outline[-1:]])
    return outline


def _denser(line: FloatArray, times: int) -> FloatArray:
    at = np.arange(len(line))
    dense = np.linspace(0, len(line) - 1, times * (len(line) - 1) + 1)
    return np.stack([np.interp(dense, at, line[:, axis]) for axis in (0, 1)], axis=1)


# ---- the scene -------------------------------------------------------------------------------


def _background(camera: Camera, view: str, painting: Painting, rng: np.random.Generator) -> Picture:
    """Ground and wall as the camera sees them, with the shadow of what stands there."""
    size = (camera.width_px, camera.height_px)
    per_mm = camera.focal_px / camera.distance_mm
    if view == "below":  # the ground, far behind the foot that is held up, and out of focus
        ground, fine = _surface(32, 0.06, rng), 2.0
        place = camera.plane_matrix((0, 0, -350), (1, 0, 0), (0, 1, 0))
    else:
        ground, fine = _surface(4, 0.11, rng), max(0.5, 1.0 / per_mm)
        place = camera.plane_matrix((0, 0, 0), (1, 0, 0), (0, 0, -1))
    picture: Picture = np.asarray(
        cv2.warpPerspective(
            ground, place @ np.diag([fine, fine, 1.0]), size, borderMode=cv2.BORDER_WRAP
        ),
        dtype=np.uint8,
    )
    if view == "below":
        return picture
    small = (max(16, camera.width_px // 8), max(16, camera.height_px // 8))
    shrink = np.diag([small[0] / size[0], small[1] / size[1], 1.0])
    # where the camera's rays meet the ground, and how far behind the foot that is
    down, across = np.mgrid[: small[1], : small[0]] + 0.5
    spots = np.stack([across, down, np.ones_like(down)], axis=-1)
    matrix = shrink @ camera.matrix
    rays = spots @ np.linalg.inv(matrix[:, :3]).T
    stands = -np.linalg.solve(matrix[:, :3], matrix[:, 3])
    falls = np.minimum(rays[..., 1], -1e-9)
    depth = -(stands[2] - stands[1] / falls * rays[..., 2])
    wall = (rays[..., 1] >= 0) | (depth > _WALL_BEHIND_MM)
    far = np.where(wall, 1.0, np.clip(depth / 900.0, 0, 1))
    boards = 1 + 0.05 * np.sign(np.sin(across * 40 / small[0])) + 0.10 * (down / small[1] - 0.5)
    soft = np.where(wall[..., None], boards[..., None] * np.array(_WALL), np.array(_GROUND))
    soft = cv2.GaussianBlur(soft, (0, 0), 0.008 * small[0])
    far = cv2.GaussianBlur(far, (0, 0), 0.006 * small[0])
    light = 1 - _SHADOW * _shadow(camera, painting, shrink, small)
    comes = cv2.resize(np.rint(soft * (far * light)[..., None]).astype(np.uint8), size)
    stays = cv2.resize(np.rint(255 * (1 - far) * light).astype(np.uint8), size)
    return np.asarray(cv2.add(cv2.multiply(picture, thrice(stays), scale=1 / 255), comes), np.uint8)


def _shadow(
    camera: Camera, painting: Painting, shrink: FloatArray, small: tuple[int, int]
) -> FloatArray:
    """What the light, from the upper left and from behind, throws on the ground."""
    lies = camera.plane_matrix((0, 0, 0), (1, 0, 0), (0.30, 0, 0.55))
    matrix = shrink @ lies @ np.linalg.inv(painting.to_px)
    thrown = cv2.warpPerspective(painting.alpha, matrix, small, flags=cv2.INTER_AREA)
    broad = cv2.GaussianBlur(thrown, (0, 0), 0.010 * small[0])
    near = cv2.GaussianBlur(thrown, (0, 0), 0.003 * small[0])
    return np.asarray((0.6 * broad + 0.4 * near) / 255)


def _surface(grain_px: float, strength: float, rng: np.random.Generator) -> Picture:
    """A tile of ground: coarse and fine speckle."""
    shape = (1024, 1024)
    tone = 1 + strength * (speckle(shape, grain_px, rng) + 0.7 * speckle(shape, 8 * grain_px, rng))
    return np.asarray(np.clip(tone[..., None] * np.array(_GROUND), 0, 255), dtype=np.uint8)


def light_field(width_px: int, height_px: int, uneven: float) -> NDArray[np.float32]:
    """Light that falls off from the upper left to the lower right of a picture.

    Parameters
    ----------
    width_px, height_px
        Size of the picture [px].
    uneven
        By which part it falls off, 0 to 1.

    Returns
    -------
    array, shape (height_px, width_px)
        Brightness, about 1 in the middle.
    """
    down, across = np.mgrid[:33, :33].astype(np.float32) / 32
    fall = 1 + uneven * (0.55 - 0.7 * across - 0.35 * down + 0.3 * across * down)
    large = cv2.resize(fall.astype(np.float32), (width_px, height_px))
    return np.asarray(large, dtype=np.float32)


def write_invented(pixels: NDArray[np.uint8]) -> None:
    """Write INVENTED into the lower left corner of a picture, in place.

    Parameters
    ----------
    pixels
        The picture.
    """
    height, width = pixels.shape[:2]
    size = max(0.4, width / 1300)
    place = (round(width * 0.012), round(height - width * 0.012))
    thin = max(1, round(1.2 * size))
    for colour, thick in (((20, 20, 20), 3 * thin), ((245, 245, 245), thin)):
        cv2.putText(
            pixels, "INVENTED", place, cv2.FONT_HERSHEY_SIMPLEX, size, colour, thick, cv2.LINE_AA
        )
