"""What a photograph does not tell about its own taking, as a spread of what is measured in it.

Each source of error that no placed pixel shows is tried out: the same picture is read as if the
camera had stood otherwise, and how far the readings part is the allowance. How large each source
may be is a choice of ours for photographs taken by hand (common practice, no source); the proof in
``tests/case/test_proof_allowance.py`` draws views with all of them together.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import product
from statistics import NormalDist

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.case.calibration import Plane

#: How far a camera in the hand stands round to a side and looks down or up: standard deviations
#: about square on [degrees]. More than the 15 / sqrt(3) of a camera anywhere within 15 degrees, so
#: that one at the end of that range is covered too; set on other views than those of the proof.
TURN_DEG, TILT_DEG = 11.2, 7.0
#: Focal length as a part of the picture's longer side: a telephone's main lens, and twice that.
FOCAL_PART = (0.72, 1.44)
#: By which part a lens moves the corners of the picture in or out: standard deviation.
LENS_PART = 0.012
#: How much nearer or farther than the foot the known length or the square stands: standard
#: deviation [mm].
NEARER_MM = 36.5
#: How much nearer than toe and square the heel that is seen may stand [mm]; less with a known
#: length, where a turn that is not corrected shortens what this lengthens.
_HEEL_MM = {"square": (0.0, 27.0, 54.0), "length": (0.0, 20.0, 40.0)}

SOURCES = {
    "points": "placing the points",
    "hand": "your own hand, as told by placing again",
    "frame": "placing the known length and the ground line, or the square",
    "askew": "a camera that stood askew",
    "lens": "the bend of the lens",
    "nearer": "the known length or the square nearer or farther than the foot",
    "heel": "the heel that is seen nearer than the toe",
    "known": "the known length itself",
}
#: Stands wherever a photograph without the square gives a value with its error.
ASKEW = (
    "The photograph has no printed square, so a camera that stood askew is not corrected: each ± "
    "holds an allowance for one held in the hand, up to about 15 degrees askew."
)

Places = Mapping[str, FloatArray]


def other_readings(
    at: Places,
    names: Sequence[str],
    near: Sequence[bool],
    read: Callable[[Places], Plane],
    size_px: tuple[int, int],
    known: Sequence[str] | None,
) -> dict[str, FloatArray]:
    """The same picture read as if it had been taken otherwise.

    Parameters
    ----------
    at
        Every placed point by name, to the right and down [px].
    names
        The points of the foot that are read.
    near
        Whether each of them lies on the side nearer to the camera.
    read
        From placed points to the plane.
    size_px
        Width and height of the picture [px].
    known
        Names of the two ends of the known length and of the level line, where the size is known
        by these; None where it is known by a square, which tells turn and tilt.

    Returns
    -------
    dict of str to array
        By source, the points of the foot in each reading, shape (readings, names, 2) [mm]. All
        readings of a source are equally likely.

    References
    ----------
    JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3 (Type B evaluation,
    from memory).
    """
    plane = read(at)
    marks = np.array([at[name] for name in names])
    middle = np.array(size_px) / 2.0
    seen = plane.to_mm(marks)
    cameras = [_camera(plane, middle, part * max(size_px)) for part in FOCAL_PART]
    found = {"lens": _bent(at, names, read, middle)}
    centre = seen.mean(axis=0)
    parts = [sign * NEARER_MM / camera[2] for camera in cameras for sign in (-1.0, 1.0)]
    found["nearer"] = centre + (seen - centre) * (1.0 + np.array(parts)[:, None, None])
    turns = [0.0] if known is None else np.tan(np.radians([-TURN_DEG, TURN_DEG]))
    nearer = np.array(near, dtype=float)[:, None]
    found["heel"] = np.array(
        [
            seen + nearer * (camera[:2] + np.array([camera[2] * turn, 0.0]) - seen) * part
            for camera, turn in product(cameras, turns)
            for part in np.array(_HEEL_MM["square" if known is None else "length"]) / camera[2]
        ]
    )
    if known is not None:
        frame = np.array([at[name] for name in known])
        length = float(np.hypot(*np.diff(plane.to_mm(frame[:2]), axis=0)[0]))
        found["askew"] = _askew(marks, frame, length, middle, max(size_px))
    return found


def _bent(
    at: Places, names: Sequence[str], read: Callable[[Places], Plane], middle: FloatArray
) -> FloatArray:
    """The picture with its rim drawn in, and drawn out."""
    readings = []
    for part in (-LENS_PART, LENS_PART):
        straight = {}
        for name, place in at.items():
            away = place - middle
            straight[name] = middle + away * (1 + part * (away @ away) / (middle @ middle))
        readings.append(read(straight).to_mm(np.array([straight[name] for name in names])))
    return np.array(readings)


def _askew(
    marks: FloatArray, frame: FloatArray, length: float, middle: FloatArray, longest_px: int
) -> FloatArray:
    """The picture as turned and tilted cameras would have taken it, read by the known length."""
    steps = np.array([NormalDist().inv_cdf((number + 0.5) / 5) for number in range(5)])
    steps /= np.sqrt(np.mean(steps**2))
    readings = []
    for focal in np.array(FOCAL_PART) * longest_px:
        away = (np.vstack([frame, marks]) - middle) / focal
        rays = np.column_stack([away, np.ones(len(away))])
        for turn, tilt in product(TURN_DEG * steps, TILT_DEG * steps):
            turned = rays @ _turned(turn, tilt).T
            readings.append(turned[:, :2] / turned[:, 2:])
    seen = np.array(readings)
    scale, level = seen[:, 1] - seen[:, 0], seen[:, 3] - seen[:, 2]
    per = np.sign(level[:, 0]) * length / (np.hypot(*level.T) * np.hypot(*scale.T))
    right = level * per[:, None]
    up = np.stack([right[:, 1], -right[:, 0]], axis=-1)
    away = seen[:, len(frame) :] - seen[:, 2:4].mean(axis=1)[:, None]
    read: FloatArray = np.einsum("hnd,had->hna", away, np.stack([right, up], axis=1))
    return read


def _camera(plane: Plane, middle: FloatArray, focal_px: float) -> FloatArray:
    """Where the camera stood: right and up in the plane, and before it [mm].

    Hartley R. and Zisserman A., Multiple View Geometry, 2nd ed. 2004, section 8.1 (from memory).
    """
    to_px = np.linalg.inv(plane.matrix)
    inner = np.array([[focal_px, 0, middle[0]], [0, focal_px, middle[1]], [0, 0, 1.0]])
    columns = np.linalg.inv(inner) @ to_px
    columns /= np.sqrt(np.linalg.norm(columns[:, 0]) * np.linalg.norm(columns[:, 1]))
    columns *= np.sign(columns[2] @ np.append(plane.to_mm(middle), 1.0))
    first, second, place = columns.T
    axes = np.column_stack([first, second, np.cross(first, second)])
    stands: FloatArray = -np.linalg.solve(axes, place)
    stands[2] = abs(stands[2])
    return stands


def _turned(turn_deg: float, tilt_deg: float) -> FloatArray:
    """The matrix that turns a ray about the picture's upright axis, then tilts it."""
    (turn_cos, tilt_cos), (turn_sin, tilt_sin) = (
        of(np.radians([turn_deg, tilt_deg])) for of in (np.cos, np.sin)
    )
    turn = [[turn_cos, 0, turn_sin], [0, 1, 0], [-turn_sin, 0, turn_cos]]
    tilt = [[1, 0, 0], [0, tilt_cos, -tilt_sin], [0, tilt_sin, tilt_cos]]
    both: FloatArray = np.array(tilt) @ np.array(turn)
    return both
