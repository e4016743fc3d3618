"""The picture of lesson 09: both walls grow, one wears, and the whole foot tips."""

from __future__ import annotations

import numpy as np

from hoofcalc.cycle import grow
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

#: The foot of the worked example, and what happens to it.
_FOOT = Profile.from_measures(52, 40, 85, 35, 110)
_DAYS, _GROWTH, _HEEL_WEAR = 56, 0.25, 0.12

_CAPTION = (
    "Eight weeks on a shoe: the toe gains 14 mm, the heel only 7, because it wears on the "
    "shoe. Left: the new horn (thick) below the old ground, and the line on which the "
    "foot will stand (dashed). Right: the same foot standing on that line. The toe has "
    "fallen from 52.0 to 48.8 degrees, and no horn has bent. (An invented foot, in true "
    "proportion.)"
)
_ALT = (
    "Two drawings of one foot from the side. Left: thick lines prolong the toe wall by 14 "
    "millimetres and the heel wall by 7 below the ground, and a dashed line through their "
    "ends falls towards the toe. Right: the same foot stood on that line; its toe now "
    "stands at 48.8 degrees in place of 52.0."
)


def growth_turns() -> StillPicture:
    """Toe and heel grow by what they grow less what they wear; then the foot stands on them.

    Returns
    -------
    StillPicture
        Two drawings of one foot in true proportion.
    """
    toe, heel = _FOOT.toe_ground, _FOOT.heel_ground
    gains = (_GROWTH * _DAYS, (_GROWTH - _HEEL_WEAR) * _DAYS)
    ends = [
        end + gain * (end - top) / np.hypot(*(end - top))
        for end, top, gain in (
            (toe, _FOOT.toe_coronet, gains[0]),
            (heel, _FOOT.heel_coronet, gains[1]),
        )
    ]
    after = grow(_FOOT, _DAYS, heel_wear_mm_day=_HEEL_WEAR)
    beyond = 0.25 * (ends[0] - ends[1])
    panels = [
        Panel(
            title=title,
            x_limits=(-78, 142),
            y_limits=(-36, 146),
            equal=True,
            axes=False,
            width=410,
            height=385,
        )
        for title in ("Each wall gains along its own line", "Stood up on its new ground points")
    ]
    drawing = Drawing(panels, _series())
    angle = (float(_FOOT.toe_angle_deg), float(after.toe_angle_deg))
    drawing.show(
        {
            **foot_from_side(_FOOT, "one"),
            **foot_from_side(after, "two"),
            "toe_gain": np.array([toe, ends[0]]),
            "heel_gain": np.array([heel, ends[1]]),
            "new_ground": np.array([ends[1] - beyond, ends[0] + beyond]),
            "toe_at": np.array([[104.0, -30.0]]),
            "toe_words": f"+{gains[0]:.0f} mm",
            "heel_at": np.array([[4.0, -24.0]]),
            "heel_words": f"+{gains[1]:.0f} mm",
            "was_at": np.array([[82.0, 6.0]]),
            "was": f"{angle[0]:.1f}°",
            "now_at": np.array([[86.0, 6.0]]),
            "now": f"{angle[1]:.1f}°",
        }
    )
    return StillPicture(
        png=drawing.png(),
        width=sum(panel.width for panel in panels),
        parts=len(panels),
        caption=_CAPTION,
        alt=_ALT,
    )


def _series() -> list[Series]:
    """How foot, new horn, ground and numbers are drawn."""
    new_horn = Style(colour="vermillion", width=6)
    words = Style(colour="vermillion", size=14, align="centre")
    number = Style(colour="black", size=16, align="centre")
    return [
        *side_series(0, "one"),
        *side_series(1, "two"),
        Series(kind="line", data="toe_gain", panel=0, style=new_horn),
        Series(kind="line", data="heel_gain", panel=0, style=new_horn),
        Series(
            kind="line",
            data="new_ground",
            panel=0,
            style=Style(colour="blue", width=2.5, dash=(7, 4)),
        ),
        Series(kind="words", data="toe_at", words="toe_words", panel=0, style=words),
        Series(kind="words", data="heel_at", words="heel_words", panel=0, style=words),
        Series(kind="words", data="was_at", words="was", panel=0, style=number),
        Series(kind="words", data="now_at", words="now", panel=1, style=number),
    ]
