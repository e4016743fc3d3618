"""The picture of lesson 02: travel and force side by side."""

from __future__ import annotations

import numpy as np

from hoofcalc.figures.limb import (
    ASIDE,
    PUSH,
    TRAVEL,
    UP,
    foot_and_limb,
    foot_and_limb_series,
    smooth_line,
)
from hoofcalc.figures.scene import Panel, Series, Style, fixed_words, level_line
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

_CAPTION = (
    "In the air the foot has a direction of travel and no push from the ground. On the "
    "ground it stands still, and the push has a direction: leaning back while the limb "
    "brakes, upright in the middle, leaning forward while it pushes off. Each push (thick) "
    "is made of a part up (thin) and a part along the ground (dashed). (A drawing of "
    "principle: the push leans about twice as far as it does at trot.)"
)
_ALT = (
    "Four drawings of a foot and the limb above it, from the side, facing right. First, in "
    "the air: a dashed grey path runs forward and down to the place where the foot will "
    "stand, and there is no arrow. Second, standing, limb leaning back: a black arrow from "
    "the ground up and back, with its two parts, up and back. Third: the arrow straight "
    "up. Fourth, heel lifting, limb leaning forward: the arrow up and forward, with its "
    "two parts."
)


def travel_and_force() -> StillPicture:
    """A foot that travels in, and the push of the ground at three moments of the stance.

    Returns
    -------
    StillPicture
        A drawing of principle; the leans are drawn about twice as large as they are.
    """
    foot = _common_foot()
    panels = _panels()
    toe = np.array([-46.0, 108.0])
    results = foot_and_limb(foot, toe, 2.0, 22.0, "foot0")
    results |= foot_and_limb(foot, np.zeros(2), 0.0, 18.0, "foot1")
    results |= foot_and_limb(foot, np.zeros(2), 0.0, 0.0, "foot2")
    results |= foot_and_limb(foot, np.zeros(2), -12.0, -18.0, "foot3")
    heel = toe + np.array([-116.0, -4.0])
    way = np.array([(-150, 48), (-75, 32), (0, 0), (32, -55), (44, -102)])
    results["travel"] = smooth_line(heel + way)
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
        parts=4,
        caption=_CAPTION,
        alt=_ALT,
    )


def _panels() -> list[Panel]:
    """One for each moment, its words below the ground."""
    titles = ("1  In the air: it travels", "2  It brakes", "3  Upright", "4  It pushes off")
    says = ("path of travel, no push", "the push leans back", "the push is upright",
            "the push leans forward")  # fmt: skip
    return [
        Panel(
            title=title,
            x_limits=(-255, 105),
            y_limits=(-50, 335),
            equal=True,
            axes=False,
            width=250,
            height=320,
            fixed=(
                level_line((-250, 100), 0, width=3),
                fixed_words(words, -75, -26, size=14, align="centre"),
            ),
        )
        for title, words in zip(titles, says, strict=True)
    ]


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
