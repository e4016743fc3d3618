"""The picture of lesson 05: strips loose and glued under one load, and horn cut across."""

from __future__ import annotations

from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray
from hoofcalc.figures.scene import COLOURS, Panel
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture

_LONG, _THICK = 100.0, 7.0  # of one strip
_SAG = 18.0  # of the loose stack; glued, three strips give a ninth
_STAND, _REST = 36.0, -12.0  # the supports: to each side, and height of their tips
_WOOD, _HORN, _BETWEEN = "#F3D9A4", "#F3C98A", "#F7F0B0"


def glued_bundle() -> StillPicture:
    """Three strips loose and glued under the same load, and a piece of wall cut across.

    Returns
    -------
    StillPicture
        A drawing of principle; the sag of the two stacks is in true proportion to one another.
    """
    bent = {"x_limits": (-66, 66), "y_limits": (-62, 62)}
    panels = [
        Panel(
            title=title,
            equal=True,
            axes=False,
            width=300,
            height=320,
            **limits,
        )
        for title, limits in (
            ("1  Loose: they slide", bent),
            ("2  Glued: they cannot", bent),
            ("3  Horn, cut across", {"x_limits": (-0.62, 0.62), "y_limits": (-0.62, 0.55)}),
        )
    ]
    return StillPicture(
        png=Drawing(panels, [], extra=(_loose, _glued, _cut)).png(),
        width=3 * 300,
        parts=3,
        caption=(
            "Three loose strips slide along one another and each bends by itself. Glued, they "
            "bend as one and give a ninth as much under the same load. Horn is built like that: "
            "tubules, with horn between that glues them. (A drawing of principle; sizes of the "
            "tubules are typical ones, from memory.)"
        ),
        alt=(
            "Three drawings. First, three strips on two supports under a load in the middle sag "
            "deeply, and their ends stand in steps. Second, the same strips glued sag a ninth as "
            "much, and their ends are flush. Third, a piece of wall cut across and magnified: "
            "oval tubules with a small hollow each, in rows, and horn that fills all the room "
            "between them."
        ),
    )


def _stack(axes: Any, sag: float, *, glued: bool) -> None:
    """Three strips bent to arcs; loose ones keep their length, glued ones their square ends."""
    radius = _LONG**2 / 8 / sag
    along = np.linspace(-_LONG / 2, _LONG / 2, 60)

    def line(height: float, middle: float) -> FloatArray:
        turn = along / (radius if glued else radius - middle)
        return np.column_stack(
            [(radius - height) * np.sin(turn), radius - (radius - height) * np.cos(turn)]
        )

    # the lowest edge rests on the supports
    lift = _REST - float(np.interp(_STAND, *line(-1.5 * _THICK, -_THICK).T))
    for middle in (-_THICK, 0.0, _THICK):
        edges = [line(middle + side * _THICK / 2, middle) for side in (-1, 1)]
        body = np.vstack([edges[0], edges[1][::-1]])
        body[:, 1] += lift
        axes.fill(*body.T, facecolor=_WOOD, edgecolor="#6B4E16", linewidth=1.5)
        if glued and middle < _THICK:
            axes.plot(edges[1][:, 0], edges[1][:, 1] + lift, color=COLOURS["blue"], linewidth=3.5)
    top = 1.5 * _THICK + lift
    axes.annotate(
        "",
        xy=(0, top + 1),
        xytext=(0, top + 32),
        arrowprops={
            "arrowstyle": "-|>,head_length=0.5,head_width=0.25",
            "mutation_scale": 20,
            "color": COLOURS["black"],
            "linewidth": 3.5,
            "shrinkA": 0,
            "shrinkB": 0,
        },
    )
    for side in (-1, 1):
        across = side * _STAND + np.array([0.0, -6.0, 6.0])
        axes.fill(
            across,
            _REST - np.array([0.0, 12.0, 12.0]),
            facecolor="#D9DCE0",
            edgecolor=COLOURS["grey"],
            linewidth=1.5,
        )


def _loose(axes: Any) -> None:
    _stack(axes, _SAG, glued=False)
    axes.text(0, -50, "each bends by itself", ha="center", va="center", fontsize=13)


def _glued(axes: Any) -> None:
    _stack(axes, _SAG / 9, glued=True)
    axes.text(0, -50, "bend as one: a ninth the sag", ha="center", va="center", fontsize=13)


def _cut(axes: Any) -> None:
    """Tubules of 0.22 by 0.14 mm, 16 to a square millimetre, in the horn between them."""
    from matplotlib.patches import Ellipse, Rectangle

    frame = Rectangle((-0.5, -0.42), 1.0, 0.9, facecolor=_BETWEEN, edgecolor="#6B4E16", linewidth=2)
    axes.add_patch(frame)

    def inside(thing: Any) -> None:
        thing.set_clip_path(frame)

    x = np.linspace(-0.5, 0.5, 80)
    for level in np.arange(-0.4, 0.5, 0.035):  # the lie of the horn between
        (line,) = axes.plot(
            x, level + 0.012 * np.sin(2 * np.pi * x / 0.3), color="#B8A04A", linewidth=0.6
        )
        inside(line)
    for row in range(-3, 4):
        for column in range(-3, 4):
            at = (0.3 * column + 0.15 * (row % 2), 0.207 * row + 0.03)
            for grow, width in ((1.0, 1.5), (0.72, 0.7), (0.47, 0.7)):
                ring = Ellipse(
                    at, 0.22 * grow, 0.14 * grow, facecolor=_HORN, edgecolor="#6B4E16", zorder=3
                )
                ring.set_linewidth(width)
                inside(axes.add_patch(ring))
            inside(axes.add_patch(Ellipse(at, 0.05, 0.04, facecolor="#3D3D3D", zorder=3)))
    look = {"zorder": 5, "arrowstyle": "-", "color": COLOURS["black"], "linewidth": 1.5}
    for words, at, place in (
        ("tubule", (-0.3, -0.37), (-0.36, -0.49)),
        ("horn between", (0.15, -0.32), (0.17, -0.49)),
    ):
        axes.annotate(words, xy=at, xytext=place, fontsize=13, ha="center", va="center",
                      arrowprops=look)  # fmt: skip
    axes.plot([0.3, 0.5], [-0.585, -0.585], color="#000000", linewidth=3, solid_capstyle="butt")
    axes.text(0.27, -0.588, "0.2 mm", fontsize=12, ha="right", va="center")
