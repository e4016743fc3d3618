"""What figures of the foot in space share: the turning foot, and the push unrolled round its rim.

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
    "CAPSULE_SERIES",
    "PUSH_SERIES",
    "moved_to",
    "push_round_rim",
    "turn_slider",
    "turning_foot",
    "unrolled_rim",
]

_NONE = np.empty((0, 2))
_BELOW = np.array([0.0, 9.0])  # where a word stands [mm]
_HIDDEN_MM = 15.0  # a place further behind the middle of the foot than this gets no word
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


def turning_foot(shown: Capsule, turn_deg: float, look_down_deg: float) -> dict[str, Any]:
    """A foot as a solid of strips, coloured by how steep they stand.

    Parameters
    ----------
    shown
        The foot, moved to where it turns.
    turn_deg, look_down_deg
        From where it is seen [degrees].

    Returns
    -------
    dict
        What `CAPSULE_SERIES` shows.
    """
    slope = np.degrees(np.arcsin(shown.tubules[:, 2]))
    tiles, slopes = foot_tiles(shown, slope, turn_deg, look_down_deg)
    at_toe = len(slope) // 2
    place, far = flat(shown.ground[[at_toe, 0, -1]], turn_deg, look_down_deg)
    toe, heel = place[0], (place[1] + place[2]) / 2
    toe_near, heel_near = far[0] < _HIDDEN_MM, (far[1] + far[2]) / 2 < _HIDDEN_MM
    return {
        "tiles": tiles,
        "slopes": slopes,
        "toe_says_at": (toe - _BELOW)[None] if toe_near else _NONE,
        "toe_says": "toe",
        "heel_says_at": (heel - _BELOW)[None] if heel_near else _NONE,
        "heel_says": "heels",
    }


#: How `turning_foot` is drawn.
CAPSULE_SERIES = (
    Series(
        "tiles",
        "tiles",
        values="slopes",
        scale=Scale(
            title="tubule's angle from\nthe ground (degrees)",
            bounds=(25.0, 32.0, 39.0, 46.0, 53.0, 60.0, 67.0),
        ),
        style=Style(colour="horn-line", width=0.5),
    ),
    *(
        Series(
            "words",
            f"{place}_says_at",
            words=f"{place}_says",
            style=Style(colour="ink", size=14, align="centre"),
        )
        for place in ("toe", "heel")
    ),
)


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


def unrolled_rim(most: float) -> Panel:
    """The panel of the unrolled rim, right of the foot; `most` is the greatest value shown."""
    ticks = tuple(np.arange(0.0, most + 0.5, 0.5 if most < 4 else 1.0).tolist())
    return Panel(
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
        y_ticks=ticks,
        fixed=(level_line((-110, 110), 1, width=1.5, dash=(3, 3)),),
    )


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
