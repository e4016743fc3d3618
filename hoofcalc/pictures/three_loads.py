"""The picture of lesson 04: one tube pressed on its end, leaning, and on its side."""

from __future__ import annotations

from typing import Any

import numpy as np

from hoofcalc.figures.scene import COLOURS, Panel
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture

_LEAN = np.radians(12.0)


def three_loads() -> StillPicture:
    """One tube under one load, three ways: where its wall is pressed, pulled and bent.

    Returns
    -------
    StillPicture
        A drawing of principle, without numbers.
    """
    panels = [
        Panel(
            title=title,
            x_limits=(-60, 60),
            y_limits=(-45, 110),
            equal=True,
            axes=False,
            width=270,
            height=330,
        )
        for title in ("1  On its end", "2  Leaning", "3  On its side")
    ]
    return StillPicture(
        png=Drawing(panels, [], extra=(_on_end, _leaning, _on_side)).png(),
        width=3 * 270,
        parts=3,
        caption=(
            "On its end every part of the tube is pressed alike. Leaning, one edge of the foot is "
            "pressed harder and the other is pulled. On its side the wall is bent flat at four "
            "places. (A drawing of principle, not to scale.)"
        ),
        alt=(
            "Three drawings of one tube. First, upright: a load arrow on top and three equal "
            "arrows of pressure at the foot. Second, leaning to the right: the same load arrow, a "
            "long arrow of pressure at the right edge of the foot and a dashed arrow of pull at "
            "the left edge. Third, lying, seen from its end: a ring squeezed to an oval between "
            "load and table, with four marked places where its wall folds."
        ),
    )


def _arrow(axes: Any, tail: Any, head: Any, colour: str) -> None:
    axes.annotate(
        "",
        xy=head,
        xytext=tail,
        arrowprops={
            "arrowstyle": "-|>,head_length=0.5,head_width=0.25",
            "mutation_scale": 20,
            "color": COLOURS[colour],
            "linewidth": 3.5,
            "shrinkA": 0,
            "shrinkB": 0,
        },
    )


def _table(axes: Any, level: float) -> None:
    axes.plot([-55, 55], [level, level], color=COLOURS["grey"], linewidth=2)


def _tube(axes: Any, lean: float) -> None:
    """The tube from its side, with the two edges of its bore."""
    axis = np.array([np.sin(lean), np.cos(lean)])
    side = np.array([np.cos(lean), -np.sin(lean)])
    corners = np.array([-14 * side, -14 * side + 70 * axis, 14 * side + 70 * axis, 14 * side])
    axes.fill(*corners.T, facecolor="#BFE0F5", edgecolor=COLOURS["blue"], linewidth=2)
    for edge in (-10, 10):
        line = np.array([edge * side, edge * side + 70 * axis])
        axes.plot(*line.T, color=COLOURS["blue"], linewidth=1, linestyle=(0, (4, 3)))


def _on_end(axes: Any) -> None:
    _tube(axes, 0.0)
    _arrow(axes, (0, 106), (0, 72), "black")
    for place in (-12, 0, 12):
        _arrow(axes, (place, -26), (place, -2), "vermillion")
    axes.text(0, -34, "pressed evenly", ha="center", va="top", fontsize=13)


def _leaning(axes: Any) -> None:
    _tube(axes, _LEAN)
    top = 70 * np.array([np.sin(_LEAN), np.cos(_LEAN)])
    _arrow(axes, (top[0], 106), (top[0], top[1] + 2), "black")
    _arrow(axes, (13, -34), (13, -5), "vermillion")
    _arrow(axes, (-13, 1), (-13, -20), "blue")
    axes.text(17, -26, "pressed hard", ha="left", va="center", fontsize=12)
    axes.text(-18, -26, "pulled", ha="right", va="center", fontsize=12)


def _on_side(axes: Any) -> None:
    angle = np.linspace(0, 2 * np.pi, 200)
    for grow, width in ((1.0, 2.0), (0.86, 1.0)):
        axes.plot(
            34 * grow * np.cos(angle),
            20 + 22 * (grow - (1 - grow) * 0.3) * np.sin(angle),
            color=COLOURS["blue"],
            linewidth=width,
        )
    axes.plot(
        28 * np.cos(angle), 25 + 28 * np.sin(angle), color=COLOURS["grey"], linestyle=(0, (4, 3))
    )
    places = np.array([(0, 40.6), (0, -0.6), (32, 20), (-32, 20)])
    axes.plot(*places.T, "X", color=COLOURS["vermillion"], markersize=11, markeredgecolor="white")
    _arrow(axes, (0, 92), (0, 56), "black")
    _table(axes, -3)
    axes.text(0, -34, "folds at four places", ha="center", va="top", fontsize=13)
