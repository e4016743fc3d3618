"""The picture of lesson 00: one angle, read from the ground and read from the upright."""

from __future__ import annotations

from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

#: The foot of the worked example: its toe 75 mm high and 60 mm long on the ground.
_HEIGHT_MM, _RUN_MM = 75.0, 60.0
_FOOT = Profile(
    toe_ground=np.array([118.0, 0.0]),
    toe_coronet=np.array([118.0 - _RUN_MM, _HEIGHT_MM]),
    heel_ground=np.array([3.0, 0.0]),
    heel_coronet=np.array([-28.0, 32.0]),
    pastern_low=np.array([-1.0, 75.0]),
    pastern_high=np.array([-44.0, 128.0]),
    bulb=np.array([-39.0, 25.0]),
)


def reading_an_angle() -> StillPicture:
    """The toe angle read from the ground, with its two lengths; and the slip beside it.

    Returns
    -------
    StillPicture
        Two drawings of one foot in true proportion.
    """
    panels = [
        Panel(
            title=title,
            x_limits=(-85, 175),
            y_limits=(-26, 160),
            equal=True,
            axes=False,
            width=400,
            height=330,
        )
        for title in ("From the ground: 51 degrees", "The slip: from the upright")
    ]
    notes = {**_from_ground(), **_from_upright()}
    drawing = Drawing(
        panels,
        [
            *side_series(0, "one"),
            *side_series(1, "two"),
            _line("height", 0, Style(colour="black", dash=(5, 4), width=2)),
            _line("run", 0, Style(colour="black", width=3)),
            _line("ground_arc", 0, Style(colour="vermillion", width=4)),
            _line("upright", 1, Style(colour="black", dash=(5, 4), width=2)),
            _line("upright_arc", 1, Style(colour="blue", dash=(3, 4), width=4)),
            _note("height", 0, "right"),
            _note("run", 0, "centre"),
            _note("ground_arc", 0, "centre"),
            _note("upright", 1, "left"),
            _note("upright_arc", 1, "left"),
        ],
    )
    drawing.show({**foot_from_side(_FOOT, "one"), **foot_from_side(_FOOT, "two"), **notes})
    return StillPicture(
        png=drawing.png(),
        width=sum(panel.width for panel in panels),
        parts=len(panels),
        caption=(
            "Left: the angle opens from the ground at the back up to the wall. Height over run "
            "gives it: 75 over 60, which is 51 degrees. Right: the same wall against an upright "
            "line: 39 degrees. That isn't wrong, but nobody who reads your book will take it for "
            "the toe angle. (An invented foot, in true proportion.)"
        ),
        alt=(
            "Two drawings of the same foot from the side. Left: an upright dashed line from the "
            "coronary band at the toe down to the ground, 75 millimetres high, and a line along "
            "the ground from there forward to the toe, 60 millimetres long; an arc at the toe from "
            "the ground up to the wall, 51 degrees. Right: an upright dashed line at the toe and a "
            "dotted arc between it and the wall, 39 degrees, marked as from the upright."
        ),
    )


def _from_ground() -> dict[str, Any]:
    """Height, run and the angle from the ground, each with its words."""
    toe, top = _FOOT.toe_ground, _FOOT.toe_coronet
    angle = float(_FOOT.toe_angle_deg)
    return {
        "height": np.array([top, [top[0], 0.0]]),
        "height_at": np.array([[top[0] - 3.0, 36.0]]),
        "height_words": f"height {_HEIGHT_MM:g} mm",
        "run": np.array([[top[0], -8.0], [toe[0], -8.0]]),
        "run_at": np.array([[top[0] + _RUN_MM / 2, -18.0]]),
        "run_words": f"run {_RUN_MM:g} mm",
        "ground_arc": _arc(0.0, angle, 30.0),
        "ground_arc_at": np.array([[toe[0] - 42.0, 11.0]]),
        "ground_arc_words": f"{angle:.0f}°",
    }


def _from_upright() -> dict[str, Any]:
    """An upright at the toe and the angle between it and the wall, each with its words."""
    toe = _FOOT.toe_ground
    angle = float(_FOOT.toe_angle_deg)
    return {
        "upright": np.array([toe, (toe[0], 82.0)]),
        "upright_at": np.array([(toe[0] + 4.0, 80.0)]),
        "upright_words": "upright",
        "upright_arc": _arc(angle, 90.0, 56.0),
        "upright_arc_at": np.array([(toe[0] + 4.0, 52.0)]),
        "upright_arc_words": f"{90 - angle:.0f}°",
    }


def _arc(start_deg: float, end_deg: float, radius_mm: float) -> FloatArray:
    """An arc round the toe's ground point, from the back upwards."""
    turn = np.radians(np.linspace(start_deg, end_deg, 40))
    return np.asarray(_FOOT.toe_ground + radius_mm * np.column_stack([-np.cos(turn), np.sin(turn)]))


def _line(name: str, panel: int, style: Style) -> Series:
    return Series(kind="line", data=name, panel=panel, style=style)


def _note(name: str, panel: int, align: str) -> Series:
    style = Style(colour="black", size=14, align=align)
    return Series(kind="words", data=f"{name}_at", words=f"{name}_words", panel=panel, style=style)
