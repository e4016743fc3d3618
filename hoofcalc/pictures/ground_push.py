"""The pictures of lesson 02: the limb above the foot, and travel and force side by side.

The limb is a sketch: pastern, fetlock and cannon of a common horse around the foot that
`hoofcalc.pictures.foot` draws. Axes: x forward and z up, in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from scipy.interpolate import CubicSpline

from hoofcalc._inputs import FloatArray
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.foot import SIDE_PARTS, foot_from_side, side_series
from hoofcalc.pictures.scene import COLOURS, Panel, Series, Style
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

__all__ = [
    "ASIDE",
    "PUSH",
    "TRAVEL",
    "UP",
    "foot_and_limb",
    "foot_and_limb_series",
    "travel_and_force",
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
    limb = Series(kind=kind, data=f"{prefix}_limb", panel=panel, style=style)
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


def travel_and_force() -> StillPicture:
    """A foot that travels in, and the push of the ground at three moments of the stance.

    Returns
    -------
    StillPicture
        A drawing of principle; the leans are drawn about twice as large as they are.
    """
    foot = _common_foot()
    titles = ("1  In the air: it travels", "2  It brakes", "3  Upright", "4  It pushes off")
    says = ("path of travel, no push", "the push leans back", "the push is upright",
            "the push leans forward")  # fmt: skip
    panels = [
        Panel(
            title=title,
            x_limits=(-255, 105),
            y_limits=(-50, 335),
            equal=True,
            axes=False,
            width=250,
            height=320,
            draw=_ground_and_words(words),
        )
        for title, words in zip(titles, says, strict=True)
    ]
    toe = np.array([-46.0, 108.0])
    results = foot_and_limb(foot, toe, 2.0, 22.0, "foot0")
    results |= foot_and_limb(foot, np.zeros(2), 0.0, 18.0, "foot1")
    results |= foot_and_limb(foot, np.zeros(2), 0.0, 0.0, "foot2")
    results |= foot_and_limb(foot, np.zeros(2), -12.0, -18.0, "foot3")
    heel = toe + np.array([-116.0, -4.0])
    way = np.array([(-150, 48), (-75, 32), (0, 0), (32, -55), (44, -102)])
    results["travel"] = _smooth(heel + way)
    results["place"] = results["foot2_wall"][[*range(len(results["foot2_wall"])), 0]]
    series = [
        *(one for number in range(4) for one in foot_and_limb_series(number, f"foot{number}")),
        Series(kind="line", data="travel", style=TRAVEL),
        Series(kind="line", data="place", style=TRAVEL),
    ]
    for number, at, tilt in ((1, -60.0, 16.0), (2, -60.0, 0.0), (3, -12.0, -13.0)):
        lean = np.radians(tilt)
        tip = np.array([at, 0.0]) + 235 * np.array([-np.sin(lean), np.cos(lean)])
        results |= {
            f"push{number}": np.array([[at, 0.0], tip]),
            f"up{number}": np.array([[at, 0.0], [at, tip[1]]]) if tilt else np.empty((0, 2)),
            f"aside{number}": np.array([[at, tip[1]], tip]) if tilt else np.empty((0, 2)),
            f"says{number}": np.array([[(at + tip[0]) / 2, tip[1] + 22]]),
        }
        texts = {f"word{number}": "back" if tilt > 0 else "forward" if tilt < 0 else ""}
        results |= texts  # type: ignore[arg-type]
        series += [
            Series(kind="line", data=f"up{number}", panel=number, style=UP),
            Series(kind="line", data=f"aside{number}", panel=number, style=ASIDE),
            Series(kind="arrow", data=f"push{number}", panel=number, style=PUSH),
            Series(
                kind="words",
                data=f"says{number}",
                words=f"word{number}",
                panel=number,
                style=Style(colour="vermillion", align="centre"),
            ),
        ]
    drawing = Drawing(panels, series)
    drawing.show(results)
    return StillPicture(
        png=drawing.png(),
        width=4 * 250,
        caption=(
            "In the air the foot has a direction of travel and no push from the ground. On the "
            "ground it stands still, and the push has a direction: leaning back while the limb "
            "brakes, upright in the middle, leaning forward while it pushes off. Each push (black) "
            "is made of a part up (blue) and a part along the ground (red, dashed). (A drawing of "
            "principle: the push leans about twice as far as it does at trot.)"
        ),
        alt=(
            "Four drawings of a foot and the limb above it, from the side, facing right. First, in "
            "the air: a dashed grey path runs forward and down to the place where the foot will "
            "stand, and there is no arrow. Second, standing, limb leaning back: a black arrow from "
            "the ground up and back, with its two parts, up and back. Third: the arrow straight "
            "up. Fourth, heel lifting, limb leaning forward: the arrow up and forward, with its "
            "two parts."
        ),
    )


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
    return np.vstack([_smooth(knots), _smooth(rear), band])


def _smooth(knots: FloatArray) -> FloatArray:
    """A smooth line through all knots."""
    way = np.append(0.0, np.cumsum(np.hypot(*np.diff(knots, axis=0).T) ** 0.5))
    return np.asarray(CubicSpline(way, knots)(np.linspace(0.0, way[-1], 30)))


def _common_foot() -> Profile:
    """A common foot: toe 52, heel 44 degrees."""
    return Profile.from_points(
        toe_ground=(0, 0),
        toe_coronet=(-51, 66),
        heel_ground=(-116, 0),
        heel_coronet=(-143, 26),
        pastern_low=(-95, 66),
        pastern_high=(-134, 116),
    )


def _ground_and_words(words: str) -> Any:
    """Draws the ground and a line of words under it."""

    def draw(axes: Any) -> None:
        axes.plot([-250, 100], [0, 0], color=COLOURS["grey"], linewidth=3)
        axes.text(-75, -26, words, ha="center", va="center", fontsize=13)

    return draw
