"""The picture of lesson 01: a foot just before contact, its speed and the angle of descent."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style, level_line
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

__all__ = ["coming_down"]

#: The foot of the worked example: 90 mm down and 40 mm forward in 0.05 s.
_DOWN_MM, _FORWARD_MM = 90.0, 40.0
_MARK = np.array([98.0, 110.0])

_CAPTION = (
    "In the last 0.05 s before contact the mark on the toe moves 90 mm down and 40 mm "
    "forward. The angle of descent is counted from straight down. (A drawing of "
    "principle: the path is drawn straight; in truth it bends a little.)"
)
_ALT = (
    "A foot from the side, in the air, facing right. From a mark on its toe a blue arrow "
    "runs down and a little forward to the ground. Dashed lines split it into 90 "
    "millimetres straight down and 40 millimetres forward; an arc between the upright and "
    "the arrow is labelled 24 degrees, angle of descent."
)


def coming_down() -> StillPicture:
    """A foot in the air, its mark's way in the last frames, and the two parts of its speed.

    Returns
    -------
    StillPicture
        One drawing in true proportion.
    """
    foot = Profile(
        toe_ground=np.array([106.0, 100.0]),
        toe_coronet=np.array([55.0, 166.0]),
        heel_ground=np.array([-9.0, 96.0]),
        heel_coronet=np.array([-37.0, 124.0]),
        pastern_low=np.array([-2.0, 166.0]),
        pastern_high=np.array([-42.0, 216.0]),
    )
    black = Style(colour="black", size=14)

    def words(name: str, align: str = "left") -> Series:
        style = replace(black, align=align)
        return Series(kind="words", data=f"{name}_at", words=f"{name}_says", style=style)

    panel = Panel(
        title="The last twentieth of a second",
        x_limits=(-100, 300),
        y_limits=(-28, 262),
        equal=True,
        axes=False,
        width=540,
        height=400,
        fixed=(level_line((-95, 295), 10, width=3),),
    )
    drawing = Drawing(
        [panel],
        [
            *(one for one in side_series() if one.data != "foot_ground"),
            Series(kind="line", data="down", style=Style(colour="black", dash=(6, 4), width=2)),
            Series(
                kind="line", data="forward", style=Style(colour="vermillion", dash=(6, 4), width=3)
            ),
            Series(kind="arrow", data="travel", style=Style(colour="blue", width=4)),
            Series(kind="line", data="arc", style=Style(colour="black", width=3)),
            Series(kind="points", data="mark", style=Style(colour="blue", size=10)),
            *(words(name) for name in ("forward", "arc", "mark")),
            words("down", "right"),
        ],
    )
    drawing.show({**foot_from_side(foot), **_way()})
    return StillPicture(
        png=drawing.png(),
        width=540,
        caption=_CAPTION,
        alt=_ALT,
    )


def _way() -> dict[str, Any]:
    """The way of the mark, its two parts, the angle between, and their words."""
    end = _MARK + np.array([_FORWARD_MM, -_DOWN_MM])
    corner = _MARK + np.array([0.0, -_DOWN_MM])
    turn = np.linspace(0.0, np.arctan2(_FORWARD_MM, _DOWN_MM), 20)
    arc = _MARK + 62 * np.column_stack([np.sin(turn), -np.cos(turn)])
    return {
        "travel": np.array([_MARK, end]),
        "down": np.array([_MARK, corner]),
        "forward": np.array([corner, end]),
        "arc": arc,
        "mark": _MARK[None],
        "down_at": corner[None] + [-6, 38],
        "down_says": "90 mm down",
        "forward_at": corner[None] + [-14, -26],
        "forward_says": "40 mm forward",
        "arc_at": _MARK[None] + [58, -50],
        "arc_says": "24°: angle of descent",
        "mark_at": _MARK[None] + [12, 8],
        "mark_says": "mark on the toe",
    }
