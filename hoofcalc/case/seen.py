"""What the photographs and the film of a visit tell, worked out anew from their placed points."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from hoofcalc.case.allowance import ASKEW
from hoofcalc.case.hand import Hand, read_hand
from hoofcalc.case.landmarks import (
    LANDMARKS,
    PlacedPicture,
    SideView,
    from_below,
    from_the_front,
    from_the_side,
    missing_points,
    read_picture,
)
from hoofcalc.case.storage import CaseError, home_of, said_in
from hoofcalc.case.tracking import MarkedFilm, read_film, stance_times, track_of, unbroken

#: From this lean of the line between the ground points on it is worth a word [degrees].
_LEAN_DEG = 1.5
_FROM = {"front": "the front", "below": "below"}


def what_is_seen(folder: Path, visit: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """What photographs and film of a visit tell, by the names of `hoofcalc.case.records.Visit`.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.
    values
        The fields of visit.toml.

    Returns
    -------
    dict
        Only what is on file; remarks are those on what could not be used.

    Raises
    ------
    CaseError
        If points cannot be, in words; if none is placed in a photograph from the side.
    """
    place = f"visits/{visit}"
    hand = read_hand(home_of(folder))
    stated_mm = values["point_error_mm"] if hand is None else hand.stated_mm
    scale = values["scale_error_percent"] / 100
    seen: dict[str, Any] = {}
    remarks: list[str] = []
    errors: dict[str, float] = {}
    side = read_picture(folder, visit, "side")
    if side is not None:
        if not side.placings[0]:
            raise CaseError(f"{place}: no point is placed yet in the photograph from the side")
        with said_in(f"{place}/"):
            foot = from_the_side(side, values["facing"], stated_mm)
        parts = _parts(foot, side, hand, scale)
        errors = {name: float(np.linalg.norm([*each.values()])) for name, each in parts.items()}
        seen |= _by_name(foot, side, hand) | {"parts": parts}
        remarks += [*_lean(foot), *([] if hand is None else [hand.in_words()])]
    front = _usable(folder, visit, "front", remarks)
    if front is not None:
        with said_in(f"{place}/"):
            sizes, point_mm, allowance_mm = from_the_front(front, stated_mm)
        seen |= sizes
        # of two heights, each from two points; and the known length on top
        apart = scale * (sizes["medial_height_mm"] - sizes["lateral_height_mm"])
        errors["side_difference_mm"] = float(np.linalg.norm([2 * point_mm, allowance_mm, apart]))
    below = _usable(folder, visit, "below", remarks)
    if below is not None:
        with said_in(f"{place}/"):
            seen["outline_mm"] = from_below(below)
    film = read_film(folder, visit)
    if film is not None:
        seen |= _film(film, remarks)
    return {**seen, "errors": errors or None, "remarks": tuple(remarks)}


def _by_name(foot: SideView, side: PlacedPicture, hand: Hand | None) -> dict[str, Any]:
    seen: dict[str, Any] = {
        "profile": foot.profile,
        "point_error_mm": foot.point_error_mm,
        "placed_twice": foot.twice or hand is not None,
        "lifted_mm": foot.lifted_mm,
        "askew": ASKEW if side.way == "length" else "",
    }
    if foot.wall_regions:
        seen |= {"wall_regions": foot.wall_regions, "wall_lines_mm": foot.wall_lines_mm}
    return seen


def _parts(
    foot: SideView, side: PlacedPicture, hand: Hand | None, scale: float
) -> dict[str, dict[str, float]]:
    """The parts of every error, with the person's own hand where it is known."""
    parts = {name: dict(each) for name, each in foot.parts.items()}
    if hand is not None:
        times = min(side.times(name) for name in LANDMARKS[:4])
        found = side.way == "square" and side.corner_error_px is not None
        parts = {name: hand.parts(each, name, times, found=found) for name, each in parts.items()}
    for name, each in parts.items():  # how sure the known length itself is comes on top
        if name.endswith("_mm"):
            each["known"] = scale * abs(float(getattr(foot.profile, name)))
    return parts


def _lean(foot: SideView) -> list[str]:
    lean = float(np.degrees(np.arctan2(foot.lifted_mm, foot.profile.bearing_length_mm)))
    if abs(lean) <= _LEAN_DEG:
        return []
    return [
        f"In the photograph the ground points of toe and heel do not lie level, by "
        f"{abs(lean):.1f} degrees. A camera above the ground sees the nearer heel too low, "
        "so angles are counted from the ground line. If the foot itself did not stand "
        "level, photograph it again; a camera on the ground, 1.5 m away or more, is best."
    ]


def _usable(folder: Path, visit: str, view: str, remarks: list[str]) -> PlacedPicture | None:
    """A photograph with all its points; a begun one is remarked on."""
    picture = read_picture(folder, visit, view)
    if picture is None or not picture.placings[0]:
        return None
    missing = missing_points(picture)
    if not missing:
        return picture
    remarks.append(
        f"The photograph from {_FROM[view]} is not used: {', '.join(missing)} still to be placed."
    )
    return None


def _film(film: MarkedFilm, remarks: list[str]) -> dict[str, Any]:
    seen: dict[str, Any] = {"film_times": stance_times(film), "film_placed": True}
    try:
        seen["track"] = track_of(film)
        piece = film.frames[unbroken(film)]
        if len(piece) < len(film.frames):
            remarks.append(
                "The mark was followed in pieces. The landing is read from frames "
                f"{piece[0]:.0f} to {piece[-1]:.0f}."
            )
    except CaseError as problem:
        remarks.append(f"The path of the mark is not used: {problem}.")
    return seen
