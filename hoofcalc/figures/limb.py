"""The limb above a foot seen from the side, and how push and travel are drawn.

The limb is a sketch: pastern, fetlock and cannon of a common horse around the foot that
`hoofcalc.figures.foot` draws. Axes: x forward and z up, in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from hoofcalc._curves import cubic_spline
from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import SIDE_PARTS, foot_from_side, side_series
from hoofcalc.figures.scene import Series, Style
from hoofcalc.profile import Profile

__all__ = [
    "ASIDE",
    "PUSH",
    "TRAVEL",
    "UP",
    "foot_and_limb",
    "foot_and_limb_series",
    "smooth_line",
]

#: How the push of the ground and its two parts are drawn, and how a path of travel.
PUSH = Style(colour="black", width=4.5)
UP = Style(colour="blue", width=3)
ASIDE = Style(colour="vermillion", width=3.5, dash=(6, 3))
TRAVEL = Style(colour="grey", width=2.5, dash=(8, 6))

_LEFT_OUT = ("ground", "pastern")  # the ground stays where it is; the limb takes in the pastern
#: Outline of fetlock and cannon around the fetlock's middle, front side upward and rear side
#: downward: up along the cannon and forward of its middle line, in bearing lengths.
_FRONT = ((0.17, 0.32), (0.45, 0.21), (1.20, 0.17), (3.60, 0.20))
_REAR = ((3.60, -0.25), (1.20, -0.22), (0.45, -0.26), (0.15, -0.36), (-0.15, -0.36))


def foot_and_limb_series(panel: int = 0, prefix: str = "foot") -> tuple[Series, ...]:
    """How foot and limb from the side are drawn; the data come from `foot_and_limb`.

    Parameters
    ----------
    panel
        Number of the panel.
    prefix
        Beginning of each result's name.

    Returns
    -------
    tuple of Series
        In the order of drawing, without the ground.
    """
    kind, style = SIDE_PARTS["pastern"]
    limb = Series(kind, f"{prefix}_limb", panel=panel, style=style)
    left_out = [f"{prefix}_{part}" for part in _LEFT_OUT]
    return (limb, *(one for one in side_series(panel, prefix) if one.data not in left_out))


def foot_and_limb(
    profile: Profile,
    toe_mm: FloatArray,
    pitch_deg: float,
    limb_lean_deg: float,
    prefix: str = "foot",
    parts: Mapping[str, FloatArray] | None = None,
) -> dict[str, FloatArray]:
    """The foot at a place and turn in space, with the limb above it.

    Parameters
    ----------
    profile
        The foot, with its pastern points.
    toe_mm
        Where the tip of the toe is [mm].
    pitch_deg
        Toe up against the ground [degrees].
    limb_lean_deg
        Lean of the cannon from upright, backward positive [degrees].
    prefix
        Beginning of each name.
    parts
        The foot's own outlines, where `foot_from_side` has been asked before.

    Returns
    -------
    dict
        Points of each series of `foot_and_limb_series` [mm].
    """
    own = foot_from_side(profile, prefix) if parts is None else parts
    turn = _rotation(pitch_deg)

    def placed(place: FloatArray) -> FloatArray:
        return np.asarray((place - profile.toe_ground) @ turn.T + toe_mm)

    left_out = [f"{prefix}_{part}" for part in _LEFT_OUT]
    drawn = {name: placed(place) for name, place in own.items() if name not in left_out}
    drawn[f"{prefix}_limb"] = _limb(profile, placed, limb_lean_deg)
    return drawn


def _rotation(pitch_deg: float) -> FloatArray:
    """Turns points so that the toe, in front, goes up."""
    cosine, sine = np.cos(np.radians(pitch_deg)), np.sin(np.radians(pitch_deg))
    return np.array([[cosine, -sine], [sine, cosine]])


def _limb(profile: Profile, placed: Any, lean_deg: float) -> FloatArray:
    """Pastern, fetlock and cannon as one outline that bends at the fetlock."""
    size = float(profile.bearing_length_mm)
    top, heel = profile.toe_coronet, profile.heel_coronet
    if profile.pastern_low is None or profile.pastern_high is None:
        raise ValueError("profile must have its pastern points")
    axis = profile.pastern_high - profile.pastern_low
    axis = axis / np.hypot(*axis)
    behind = np.array([-axis[1], axis[0]])
    fetlock = profile.pastern_high + 0.30 * size * axis
    front = top + np.array([[0.0], [0.33], [0.7]]) * (fetlock - 0.31 * size * behind - top)
    hollow = heel + 0.12 * size * np.array([-0.2, 1.0])
    back = hollow + 0.5 * (fetlock + 0.3 * size * behind - hollow)
    up = _rotation(lean_deg)  # leaning back turns the cannon to the left
    middle = placed(fetlock)

    def above(places: tuple[tuple[float, float], ...]) -> FloatArray:
        local = size * np.array([(ahead, along) for along, ahead in places])
        return np.asarray(middle + local @ up.T)

    knots = np.vstack([placed(front), above(_FRONT)])
    rear = np.vstack([above(_REAR), placed(np.array([back, hollow]))])
    band = placed(np.array([top + 0.8 * (heel - top)]))
    return np.vstack([smooth_line(knots), smooth_line(rear), band])


def smooth_line(knots: FloatArray) -> FloatArray:
    """A smooth line through all knots."""
    way = np.append(0.0, np.cumsum(np.hypot(*np.diff(knots, axis=0).T) ** 0.5))
    return cubic_spline(way, knots, np.linspace(0.0, way[-1], 30))
