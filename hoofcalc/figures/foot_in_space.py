"""What figures of the foot in space share: how it is turned, and the push round its rim.

The mechanics are those of `hoofcalc.capsule` and `hoofcalc.loadpath`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule
from hoofcalc.figures.scene import Panel, Scale, Series, Style, level_line
from hoofcalc.figures.solid_foot import flat, foot_tiles
from hoofcalc.figures.spec import Slider
from hoofcalc.loadpath import weakest_place

__all__ = [
    "LOOK_DOWN",
    "PUSH_SERIES",
    "moved_to",
    "push_panels",
    "push_round_rim",
    "turn_slider",
]

_SOME = 20  # about so many of the strips' pushes are drawn


def turn_slider(start: float) -> Slider:
    """The slider that turns the foot.

    Parameters
    ----------
    start
        From where it is seen at first [degrees].

    Returns
    -------
    Slider
        Called ``turn_deg``.
    """
    return Slider(
        name="turn_deg",
        label="Turn",
        unit="degrees",
        minimum=-180,
        maximum=175,  # 180 is -180 again
        step=5,
        start=start,
    )


#: The slider that looks down on the foot.
LOOK_DOWN = Slider(
    name="look_down_deg",
    label="Look down",
    unit="degrees",
    minimum=-75,
    maximum=75,
    step=5,
    start=20,
)


def moved_to(foot: Capsule, middle_mm: ArrayLike) -> Capsule:
    """The same foot, moved to where it turns about a point.

    Parameters
    ----------
    foot
        One foot.
    middle_mm
        The point, forward, left and up [mm].

    Returns
    -------
    Capsule
        With that point at the origin.
    """
    middle = np.asarray(middle_mm)
    return Capsule(foot.ground - middle, foot.coronet - middle, foot.thickness_mm, heel_open=True)


def push_round_rim(
    foot: Capsule,
    middle_mm: FloatArray,
    force: FloatArray,
    centre_mm: FloatArray,
    strips: FloatArray,
    times: FloatArray,
    reference: FloatArray,
    *,
    turn_deg: float,
    look_down_deg: float,
    mm_per_n: float,
    mm_per_strip_n: float,
) -> dict[str, Any]:
    """The push on a turning foot, and how hard its wall works round the unrolled rim.

    Parameters
    ----------
    foot
        One foot.
    middle_mm
        About which point it turns [mm].
    force
        The whole push, forward, left and up [N].
    centre_mm
        Where it acts, forward and left [mm].
    strips
        The share of each strip, shape (n, 3) [N].
    times, reference
        How many times as hard each strip works as the heels of a reference foot, shape (n,) [no
        unit], and the same of the reference foot itself.
    turn_deg, look_down_deg
        From where the foot is seen [degrees].
    mm_per_n, mm_per_strip_n
        Length of the arrow, and of the strips' strokes, for each newton [mm/N].

    Returns
    -------
    dict
        What `PUSH_SERIES` shows, and the numbers for a sentence.
    """
    view = (turn_deg, look_down_deg)
    hardest = weakest_place(foot, times)
    tiles, values = foot_tiles(moved_to(foot, middle_mm), times, *view)
    at = np.append(centre_mm, 0.0) - middle_mm
    arrow = np.stack([at - mm_per_n * force, at])
    some = slice(None, None, max(1, len(strips) // _SOME))
    low = (foot.ground - middle_mm)[some]
    comb = np.full((3 * len(low), 2), np.nan)
    comb[0::3] = flat(low - mm_per_strip_n * strips[some], *view)[0]
    comb[1::3] = flat(low, *view)[0]
    places = np.linspace(-100.0, 100.0, len(strips))
    number = int(hardest.strip)
    place, most = float(places[number]), float(times[number])
    return {
        "tiles": tiles,
        "times": values,
        "arrow": flat(arrow, *view)[0],
        "strips": comb,
        "hard_at": flat(foot.ground[number] - middle_mm, *view)[0][None],
        "work": np.column_stack([places, times]),
        "reference": np.column_stack([np.linspace(-100.0, 100.0, len(reference)), reference]),
        "hardest": np.array([[place, most]]),
        "hardest_says_at": np.array([[np.clip(place, -55.0, 55.0), 1.04 * most]]),
        "hardest_says": f"{most:.1f} times",
        "place": str(hardest.name),
        "most": most,
        "wall_n": float(strips[:, 2].sum()),
        "lifted_percent": 100 * float(np.mean(strips[:, 2] == 0)),
    }


def push_panels(reach_mm: float, most: float) -> tuple[Panel, Panel]:
    """The foot with its push, and beside it the unrolled rim.

    Parameters
    ----------
    reach_mm
        How far the foot reaches from the point about which it turns [mm].
    most
        The greatest work shown [times the reference foot's heels].

    Returns
    -------
    tuple of Panel
        For `PUSH_SERIES`.
    """
    foot = Panel(
        title="The foot and the push, in true direction",
        x_limits=(-1.25 * reach_mm, 2.1 * reach_mm),
        y_limits=(-1.7 * reach_mm, 1.4 * reach_mm),
        equal=True,
        axes=False,
        width=480,
        height=460,
        legend="upper right",
    )
    rim = Panel(
        title="The rim unrolled",
        x_limits=(-100, 100),
        y_limits=(0, 1.35 * most),
        x_label="place on the rim (evenly along its length)",
        y_label="work of the wall (times the reference foot's heels)",
        legend="upper center",
        width=460,
        height=460,
        x_ticks=(
            (-100, "right\nheel"),
            (-50, "right\nquarter"),
            (0, "toe"),
            (50, "left\nquarter"),
            (100, "left\nheel"),
        ),
        y_ticks=tuple(np.arange(0.0, most + 0.5, 0.5 if most < 4 else 1.0).tolist()),
        fixed=(level_line((-110, 110), 1, width=1.5, dash=(3, 3)),),
    )
    return foot, rim


#: How `push_round_rim` is drawn: the foot in panel 0, the unrolled rim in panel 1.
PUSH_SERIES = (
    Series("line", "strips", style=Style(colour="blue", width=2)),
    Series(
        "tiles",
        "tiles",
        values="times",
        scale=Scale(
            title="times the reference\nfoot's heels", bounds=(0.25, 0.5, 1.0, 1.5, 2.0, 3.0)
        ),
        style=Style(colour="black", width=0.8),
    ),
    Series("arrow", "arrow", style=Style(colour="vermillion", width=6)),
    Series(
        "points",
        "hard_at",
        style=Style(colour="vermillion", mark="square", size=13),
        label="works hardest",
    ),
    Series(
        "line",
        "reference",
        panel=1,
        style=Style(colour="blue", width=3, dash=(8, 4)),
        label="the reference foot",
    ),
    Series("line", "work", panel=1, style=Style(colour="black", width=4), label="this foot"),
    Series("points", "hardest", panel=1, style=Style(colour="vermillion", mark="square", size=13)),
    Series(
        "words",
        "hardest_says_at",
        words="hardest_says",
        panel=1,
        style=Style(colour="black", size=15, align="centre", rise="above"),
    ),
)
