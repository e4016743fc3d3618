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
from hoofcalc.loadpath import along_across, obliquity_deg, weakest_place

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
_MOST = 6.0  # the strip of work ends here [times]
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
        kind="tiles",
        data="tiles",
        values="slopes",
        scale=Scale(
            title="tubule's angle from\nthe ground (degrees)",
            bounds=(25.0, 32.0, 39.0, 46.0, 53.0, 60.0, 67.0),
        ),
        style=Style(colour="horn-line", width=0.5),
    ),
    *(
        Series(
            kind="words",
            data=f"{place}_says_at",
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
    *,
    turn_deg: float,
    look_down_deg: float,
    mm_per_n: float,
    mm_per_strip_n: float,
) -> dict[str, Any]:
    """The push on a turning foot, its parts round the unrolled rim, and how hard the wall works.

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
    times
        How many times as hard as a reference each strip is worked, shape (n,) [no unit].
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
    along, across = along_across(foot, np.broadcast_to(force, foot.ground.shape))
    whole = float(np.linalg.norm(force))
    hardest = weakest_place(foot, times)
    angle = obliquity_deg(foot, force)
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
    place = float(places[number])
    cut = np.minimum(times, _MOST - 1.0)
    most = float(times[number])
    above = float(cut[number])
    return {
        "tiles": tiles,
        "tile_times": values,
        "arrow": flat(arrow, *view)[0],
        "strips": comb,
        "hard_at": flat(foot.ground[number] - middle_mm, *view)[0][None],
        "along": np.column_stack([places, 100 * along / whole]),
        "across": np.column_stack([places, 100 * across / whole]),
        "work": np.column_stack([places, cut]),
        "hardest": np.array([[place, above]]),
        "hardest_says_at": np.array([[np.clip(place, -70.0, 70.0), above + 0.6]]),
        "hardest_says": f"hardest: {most:.1f}×",
        "place": str(hardest.name),
        "most": most,
        "angle": float(angle[number]),
        "parts": (float(100 * along[number] / whole), float(100 * across[number] / whole)),
        "toe": float(angle[len(angle) // 2]),
        "wall_n": float(strips[:, 2].sum()),
        "lifted_percent": 100 * float(np.mean(strips[:, 2] == 0)),
    }


_RIM_TICKS = (
    (-100, "right\nheel"),
    (-50, "right\nquarter"),
    (0, "toe"),
    (50, "left\nquarter"),
    (100, "left\nheel"),
)


def unrolled_rim(reference: str) -> tuple[Panel, Panel]:
    """The panels of the unrolled rim, right of the foot and below it: push, and work.

    Parameters
    ----------
    reference
        What the work is counted in, in words.

    Returns
    -------
    tuple of Panel
        Numbers 1 and 2.
    """
    push = Panel(
        title="The rim unrolled",
        x_limits=(-100, 100),
        y_limits=(0, 130),
        x_label="place on the rim (evenly along its length)",
        y_label="part of the push (%)",
        legend="upper center",
        width=460,
        height=460,
        x_ticks=_RIM_TICKS,
        y_ticks=tuple(range(0, 101, 20)),
    )
    work = Panel(
        title=f"How hard the wall works, in times {reference}",
        x_limits=(-100, 100),
        y_limits=(0, _MOST),
        width=940,
        height=190,
        stretch=True,
        x_ticks=_RIM_TICKS,
        y_ticks=(0, 1, 2, 3, 4, 5),
        fixed=(level_line((-110, 110), 1.0, width=1.5, dash=(3, 3)),),
    )
    return push, work


#: How `push_round_rim` is drawn: the foot in panel 0, the unrolled rim in panels 1 and 2.
PUSH_SERIES = (
    Series(kind="line", data="strips", style=Style(colour="blue", width=2)),
    Series(
        kind="tiles",
        data="tiles",
        values="tile_times",
        scale=Scale(title="work (times)", bounds=(0.5, 1.0, 1.5, 2.0, 3.0)),
        style=Style(colour="black", width=0.8),
    ),
    Series(kind="arrow", data="arrow", style=Style(colour="vermillion", width=6)),
    Series(
        kind="points",
        data="hard_at",
        style=Style(colour="vermillion", mark="square", size=13),
        label="worked hardest",
    ),
    Series(
        kind="line",
        data="along",
        panel=1,
        style=Style(colour="blue", width=3),
        label="push along the tubules",
    ),
    Series(
        kind="line",
        data="across",
        panel=1,
        style=Style(colour="vermillion", width=3, dash=(8, 4)),
        label="push across them",
    ),
    Series(
        kind="line",
        data="work",
        panel=2,
        style=Style(colour="black", width=3),
    ),
    Series(
        kind="points",
        data="hardest",
        panel=2,
        style=Style(colour="vermillion", mark="square", size=13),
    ),
    Series(
        kind="words",
        data="hardest_says_at",
        words="hardest_says",
        panel=2,
        style=Style(colour="black", size=15, align="centre"),
    ),
)
