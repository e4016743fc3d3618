"""The pictures of lessons 06 and 07: one tubule in two views, and a push in two parts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.figures.scene import COLOURS, Panel
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

_FOOT = (50.0, 30.0, 90.0, 45.0, 110.0)  # round figures: angles [degrees] and lengths [mm]
_PICKED = 11  # one of the 41 tubules, on the right quarter


def _foot() -> Capsule:
    return build_capsule(Profile.from_measures(*_FOOT), per_side=20)


def two_views() -> StillPicture:
    """The outline from below says where a tubule begins, the side view at what angle it rises.

    Returns
    -------
    StillPicture
        Both views of one foot, with the same tubule marked in each.
    """
    foot = _foot()
    panels = [
        Panel(
            title="From below: where it begins",
            x_limits=(-60, 125),
            y_limits=(-78, 88),
            equal=True,
            axes=False,
            width=390,
            height=390,
        ),
        Panel(
            title="From the side: how it rises",
            x_limits=(-60, 125),
            y_limits=(-20, 146),
            equal=True,
            axes=False,
            width=390,
            height=390,
        ),
    ]
    back = float(foot.back_fraction[_PICKED])
    slope = float(foot.slopes_deg[_PICKED])
    return StillPicture(
        png=Drawing(
            panels, [], extra=[partial(_below, foot=foot), partial(_side, foot=foot)]
        ).png(),
        width=2 * 390,
        parts=2,
        caption=(
            f"The marked tubule begins {back:.2f} of the way back from the toe. From the side the "
            f"toe stands at {_FOOT[0]:g} degrees and the heel at {_FOOT[1]:g}, so it rises at "
            f"{slope:.0f}. (Drawn to scale.)"
        ),
        alt=(
            "Left the outline of a hoof from below, the toe to the right, with one place on the "
            "quarter marked by a square. Right the hoof from the side with its tubules as thin "
            "lines, steep at the toe and flatter towards the heel; the one that begins below the "
            "square is drawn thick."
        ),
    )


def _below(axes: Any, foot: Capsule) -> None:
    # seen from below, toe to the right, the right side of the foot lies above
    x, y = foot.ground[:, 0], -foot.ground[:, 1]
    axes.fill(x, y, facecolor="#F2E0B5", edgecolor=COLOURS["black"], linewidth=2.5)
    axes.plot(x[_PICKED], y[_PICKED], "s", color=COLOURS["vermillion"], markersize=15)
    axes.plot([x[_PICKED]] * 2, [-78, y[_PICKED]], color=COLOURS["vermillion"], dashes=(4, 3))
    axes.text(117, 0, "toe", fontsize=15, rotation=270, va="center")
    axes.text(-4, 0, "heels", fontsize=15, rotation=90, va="center", ha="right")


def _side(axes: Any, foot: Capsule) -> None:
    low, high = foot.ground[:21, ::2], foot.coronet[:21, ::2]
    corners = np.array([low[0], low[-1], high[-1], high[0]])
    axes.fill(*corners.T, facecolor="#F2E0B5", edgecolor=COLOURS["black"], linewidth=2.5)
    for start, end in zip(low, high, strict=True):
        axes.plot(*np.array([start, end]).T, color=COLOURS["grey"], linewidth=1)
    axes.plot([-58, 123], [0, 0], color=COLOURS["grey"], linewidth=3)
    picked = np.array([low[_PICKED], high[_PICKED]])
    axes.plot(*picked.T, color=COLOURS["vermillion"], linewidth=5)
    axes.plot(*picked[0], "s", color=COLOURS["vermillion"], markersize=15)
    axes.text(88, 56, f"{_FOOT[0]:g}°", fontsize=16)
    axes.text(-44, 6, f"{_FOOT[1]:g}°", fontsize=16)
    axes.text(30, 66, "coronary band", fontsize=14, rotation=27, ha="center")


def along_and_across() -> StillPicture:
    """The same upright push at toe and heel, in its part along the tubule and its part across.

    Returns
    -------
    StillPicture
        Toe and heel of one foot.
    """
    panels = [
        Panel(
            title=f"{name}: wall at {stands:g} degrees",
            x_limits=(-105, 75),
            y_limits=(-24, 144),
            equal=True,
            axes=False,
            width=390,
            height=390,
        )
        for name, stands in zip(("Toe", "Heel"), _FOOT, strict=False)
    ]
    toe, heel = (_in_parts(stands) for stands in _FOOT[:2])
    return StillPicture(
        png=Drawing(panels, [], extra=[_Split(stands) for stands in _FOOT[:2]]).png(),
        width=2 * 390,
        parts=2,
        caption=(
            f"An upright push of 100 N. At the toe {toe[0]:.0f} N run along the tubule and "
            f"{toe[1]:.0f} N across it, at the heel {heel[0]:.0f} N along and {heel[1]:.0f} N "
            "across. The two parts are the sides of a right angle, so they add up to more than "
            "100. (Drawn to scale, in the side view.)"
        ),
        alt=(
            "Two drawings. In each a thick black arrow pushes straight up, and a sloping tubule "
            "rises to the left from the ground. A blue arrow along the tubule and an orange "
            "dashed line square to it lead to the same point as the black arrow. At the toe the "
            "blue one is the longer, at the flatter heel the orange one."
        ),
    )


def _in_parts(stands_deg: float) -> tuple[float, float]:
    """Parts of an upright push of 100 N along and across a tubule in the side view [N]."""
    lean = np.radians(90.0 - stands_deg)
    return 100 * float(np.cos(lean)), 100 * float(np.sin(lean))


@dataclass(frozen=True)
class _Split:
    """Draws a push in its two parts at a tubule that stands at an angle."""

    stands_deg: float

    def __call__(self, axes: Any) -> None:
        angle = np.radians(self.stands_deg)
        tubule = np.array([-np.cos(angle), np.sin(angle)])
        along, across = _in_parts(self.stands_deg)
        axes.plot([-103, 73], [0, 0], color=COLOURS["grey"], linewidth=3)
        axes.plot(*np.array([[0, 0], 118 * tubule]).T, color="#E3C27A", linewidth=14)
        for end, colour, thick in (
            (np.array([0.0, 100.0]), COLOURS["black"], 5),
            (along * tubule, COLOURS["blue"], 4),
        ):
            axes.annotate(
                "",
                end,
                (0, 0),
                arrowprops={"arrowstyle": "-|>,head_width=0.4", "color": colour, "lw": thick,
                            "shrinkA": 0, "shrinkB": 0},
            )  # fmt: skip
        square = np.array([along * tubule, [0.0, 100.0]])
        axes.plot(*square.T, color=COLOURS["vermillion"], linewidth=4, dashes=(3, 1.5))
        axes.text(5, 62, "push 100 N", fontsize=15)
        axes.text(
            float(along / 2 * tubule[0]),
            -13.0,
            f"along {along:.0f}",
            fontsize=15,
            color=COLOURS["blue"],
            ha="center",
        )
        axes.text(
            *(square.mean(axis=0) + np.array([-14.0, 10.0])),
            f"across {across:.0f}",
            fontsize=15,
            color="#8A3400",
            ha="right",
        )
