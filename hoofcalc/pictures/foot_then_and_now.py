"""The picture of an owner's page: a foot as it stands now, and over it how it stood before."""

from __future__ import annotations

import numpy as np

from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

_WIDE = 520


def foot_then_and_now(
    now: Profile, now_words: str, then: Profile | None = None, then_words: str = ""
) -> StillPicture:
    """One foot from the side with its two angles; dashed over it, the foot at another visit.

    Parameters
    ----------
    now
        The foot to draw.
    now_words
        What to call it, such as the day.
    then
        The same foot at another visit; laid on it by the place where the heel meets the ground.
    then_words
        What to call that.

    Returns
    -------
    StillPicture
        The drawing, in true proportion.
    """
    shift = -now.heel_ground
    here = Profile(**{name: at + shift for name, at in now.landmarks.items()})
    toe, heel = f"{float(now.toe_angle_deg):.0f}°", f"{float(now.heel_angle_deg):.0f}°"
    both = [now] if then is None else [now, then]  # the larger one must have its place as well
    length = max(float(foot.bearing_length_mm) for foot in both)
    height = max(float(foot.toe_height_mm) for foot in both)
    angle = Style(colour="black", size=22, align="centre")
    results = {
        **foot_from_side(here),
        "toe_at": (here.toe_ground + np.array([-0.10, -0.09]) * length)[None],
        "toe": f"toe {toe}",
        "heel_at": (here.heel_ground + np.array([0.08, -0.09]) * length)[None],
        "heel": f"heel {heel}",
        "now_at": np.array([[-0.80 * length, -0.24 * length]]),
        "now": f"filled: {now_words}",
        "then_at": np.array([[-0.80 * length, -0.36 * length]]),
        "then": f"dashed: {then_words}" if then is not None else "",
        "outline": np.empty((0, 2)),
    }
    series = [
        *side_series(),
        Series(kind="line", data="outline", style=Style(colour="vermillion", width=3, dash=(7, 5))),
        Series(kind="words", data="toe_at", words="toe", style=angle),
        Series(kind="words", data="heel_at", words="heel", style=angle),
        Series(kind="words", data="now_at", words="now", style=Style(colour="black", size=20)),
        Series(
            kind="words", data="then_at", words="then", style=Style(colour="vermillion", size=20)
        ),
    ]
    said = f"The foot from the side, toe to the right: toe {toe}, heel {heel} from the ground."
    if then is not None:
        corners = (then.heel_ground, then.toe_ground, then.toe_coronet, then.heel_coronet)
        results["outline"] = np.vstack([*corners, then.heel_ground]) - then.heel_ground
        said += (
            f" Dashed over it its outline {then_words}: toe "
            f"{float(then.toe_angle_deg):.0f}°, heel {float(then.heel_angle_deg):.0f}°."
        )
    tall = (1.62 * height + 0.44 * length) / (2.04 * length)
    drawing = Drawing(
        [
            Panel(
                title="",
                x_limits=(-0.86 * length, 1.18 * length),
                y_limits=(-0.44 * length, 1.62 * height),
                equal=True,
                axes=False,
                width=_WIDE,
                height=round(_WIDE * tall) + 20,
            )
        ],
        series,
    )
    drawing.show(results)
    return StillPicture(png=drawing.png(), width=_WIDE, caption=said, alt=said)
