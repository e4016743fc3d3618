"""The picture of lesson 03: the same unsteady hand on a short line and on a long one."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc.angles import slope_error_deg
from hoofcalc.figures.scene import COLOURS, Panel
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture

_POINT_ERROR_MM = 1.5
_RING_95 = 2.448  # the ring that holds 95 % in both directions at once
_LINES = (("heel wall", 44.0, 49.0), ("toe wall", 52.0, 97.0))


def short_line() -> StillPicture:
    """A short line swings more than a long one when its ends are missed by as much.

    Returns
    -------
    StillPicture
        Heel wall and toe wall, drawn to one scale, each with its error.
    """
    panels = [
        Panel(
            title=f"{name.capitalize()}, {length:g} mm long",
            x_limits=(-88, 22),
            y_limits=(-16, 92),
            equal=True,
            axes=False,
            width=390,
            height=400,
        )
        for name, _, length in _LINES
    ]
    heel, toe = (_swing_deg(length) for _, _, length in _LINES)
    return StillPicture(
        png=Drawing(
            panels,
            [],
            extra=[
                partial(_line, angle_deg=angle, length_mm=length) for _, angle, length in _LINES
            ],
        ).png(),
        width=2 * 390,
        parts=2,
        caption=(
            "Both ends of each line are set by the same hand, to 1.5 mm (the rings hold 19 of 20 "
            f"placings). The short heel line may then swing {heel:.1f} degrees to each side, the "
            f"long toe line {toe:.1f}. (Drawn to scale.)"
        ),
        alt=(
            "Two drawings to one scale. Left a short line that rises to the left from the ground, "
            "right a line twice as long. Rings of one size stand round both ends of each line, "
            "and two dashed lines show how far each can swing: the short one about twice as far."
        ),
    )


def _swing_deg(length_mm: float) -> float:
    return ERRORS_FOR_95 * float(slope_error_deg(_POINT_ERROR_MM, length_mm))


def _line(axes: Any, angle_deg: float, length_mm: float) -> None:
    """One wall on the ground, its two rings, and how far it can swing about its middle."""
    axes.plot([-86, 20], [0, 0], color=COLOURS["grey"], linewidth=3)
    swing = _swing_deg(length_mm)
    middle = length_mm / 2 * _back_and_up(angle_deg)
    for turn in (-swing, swing):
        reach = 0.5 * length_mm + 8
        ends = middle + np.outer([-reach, reach], _back_and_up(angle_deg + turn))
        axes.plot(*ends.T, color=COLOURS["vermillion"], linewidth=2, linestyle=(0, (5, 3)))
    ends = np.outer([0, length_mm], _back_and_up(angle_deg))
    axes.plot(*ends.T, color=COLOURS["black"], linewidth=4, solid_capstyle="round")
    around = np.linspace(0, 2 * np.pi, 60)
    ring = _RING_95 * _POINT_ERROR_MM * np.column_stack([np.cos(around), np.sin(around)])
    for end in ends:
        axes.plot(*(end + ring).T, color=COLOURS["blue"], linewidth=2)
    axes.text(
        *(ends[1] + [6, 10]),
        f"± {swing:.1f}°",
        fontsize=20,
        color=COLOURS["vermillion"],
        va="center",
    )


def _back_and_up(angle_deg: float) -> Any:
    return np.array([-np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))])
