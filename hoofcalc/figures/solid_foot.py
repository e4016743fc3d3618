"""The foot in 3-D on a flat page: turned, looked down on, and cut into tiles to be coloured.

Parallel rays, so that a length is the same near and far and proportions stay true.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray, numbers, points
from hoofcalc.capsule import Capsule

__all__ = ["flat", "foot_tiles", "seen_from"]


def flat(places_mm: ArrayLike, turn_deg: float, look_down_deg: float) -> tuple[FloatArray, ...]:
    """Where points in space stand on the page, and how far behind it.

    Parameters
    ----------
    places_mm
        Points forward, left and up [mm], shape (..., 3).
    turn_deg
        From where: 0 from the foot's right side, toe to the right; 90 from the front.
    look_down_deg
        How steeply the eye looks down [degrees]; below 0 it looks up from under the ground.

    Returns
    -------
    tuple of arrays
        Places across and up [mm], shape (..., 2), and the way into the page [mm], shape (...).

    Raises
    ------
    ValueError
        If a number is not finite.
    """
    x, y, z = np.moveaxis(points("places_mm", places_mm, 3), -1, 0)
    turn, down = (
        np.radians(numbers("turn_deg", turn_deg)),
        np.radians(numbers("look_down_deg", look_down_deg)),
    )
    across = x * np.cos(turn) + y * np.sin(turn)
    behind = y * np.cos(turn) - x * np.sin(turn)
    up = z * np.cos(down) + behind * np.sin(down)
    return np.stack([across, up], axis=-1), behind * np.cos(down) - z * np.sin(down)


def foot_tiles(
    capsule: Capsule,
    values: ArrayLike,
    turn_deg: float,
    look_down_deg: float,
    *,
    wall_only: bool = False,
) -> tuple[FloatArray, FloatArray]:
    """The sides of the filled capsule that face the eye, the furthest first.

    Parameters
    ----------
    capsule
        One foot.
    values
        A value for each tubule, shape (n,); a piece of wall between two tubules takes the
        greater of their two. Top, ground and the open heel have none.
    turn_deg, look_down_deg
        As for `flat`.
    wall_only
        True leaves out top, ground and the open heel.

    Returns
    -------
    tuple of arrays
        Outlines [mm] parted by NaN, shape (m, 2), and the value of each, NaN for none: what a
        series of tiles takes.

    Raises
    ------
    ValueError
        If a number is not finite.
    """
    ground, far_low = flat(capsule.ground, turn_deg, look_down_deg)
    coronet, far_high = flat(capsule.coronet, turn_deg, look_down_deg)
    walls = np.stack(
        [ground, np.roll(ground, -1, axis=0), np.roll(coronet, -1, axis=0), coronet], axis=1
    )
    far = (far_low + np.roll(far_low, -1) + far_high + np.roll(far_high, -1)) / 4
    worth = np.asarray(values, dtype=np.float64)
    found = np.append(np.maximum(worth[:-1], worth[1:]), np.nan)  # the last one closes the heel
    outlines = [*walls, coronet, ground[::-1]]
    far = np.append(far, [far_high.mean(), far_low.mean()])
    found = np.append(found, [np.nan, np.nan])
    # an outline that runs counter-clockwise on the page faces the eye
    area = np.append(_area(walls), [_area(outline) for outline in outlines[-2:]])
    faces = np.flatnonzero((area > 1e-6) & ~(wall_only & np.isnan(found)))
    # as far as each other, to a millionth of a millimetre: in their own order on every machine
    order = faces[np.argsort(-far[faces].round(6), kind="stable")]
    gap = np.full((1, 2), np.nan)
    parts = [part for number in order for part in (outlines[number], gap)]
    return np.vstack(parts[:-1]), found[order]


def seen_from(turn_deg: float, look_down_deg: float) -> str:
    """From where the eye looks, in words.

    Parameters
    ----------
    turn_deg, look_down_deg
        As for `flat`.

    Returns
    -------
    str
        The beginning of a sentence, without its stop.
    """
    sides = {0: "the right side", 90: "the front", 180: "the left side", -90: "behind"}
    off = {at: (turn_deg - at + 180) % 360 - 180 for at in sides}
    near = min(sides, key=lambda at: abs(off[at]))
    turned = f", turned by {abs(off[near]):g} degrees" if off[near] else ""
    if off[near]:  # turning on goes right side, front, left side, behind
        onward = {0: "the front", 90: "the left side", 180: "behind", -90: "the right side"}
        back = {0: "behind", 90: "the right side", 180: "the front", -90: "the left side"}
        turned += f" towards {(onward if off[near] > 0 else back)[near]}"
    height = "level"
    if look_down_deg:
        height = f"{abs(look_down_deg):g} degrees from {'above' if look_down_deg > 0 else 'below'}"
    return f"Seen from {sides[near]}{turned}, {height}"


def _area(outlines: FloatArray) -> FloatArray:
    """Twice the area inside each outline, below 0 where it runs clockwise."""
    x, y = np.moveaxis(outlines, -1, 0)
    twice = x * np.roll(y, -1, axis=-1) - np.roll(x, -1, axis=-1) * y
    return np.asarray(twice.sum(axis=-1))
