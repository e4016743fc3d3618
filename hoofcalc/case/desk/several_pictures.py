"""Feet of one horse side by side, and one foot over all its visits: the pictures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from hoofcalc._counted import counted
from hoofcalc.case.records import Visit
from hoofcalc.case.several import angle_of
from hoofcalc.figures.angles_in_time import LOOKS, angle_in_time
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style
from hoofcalc.pictures.drawing import Drawing
from hoofcalc.pictures.still import StillPicture
from hoofcalc.profile import Profile

_WIDE = 720


def feet_picture(feet: Mapping[str, Visit]) -> StillPicture:
    """Every foot from the side, all to one scale: fore above hind, left beside right.

    Parameters
    ----------
    feet
        Visits by the name of the foot.

    Returns
    -------
    StillPicture
        The drawing in true proportion, with its words.
    """
    length = max(float(visit.profile.bearing_length_mm) for visit in feet.values())
    limbs = [limb for limb in ("fore", "hind") if any(name.endswith(limb) for name in feet)]
    wide, tall = 2.1 * length, 1.75 * length
    results: dict[str, Any] = {}
    series: list[Series] = []
    said = []
    for number, (name, visit) in enumerate(feet.items()):
        side, limb = name.split()
        corner = np.array([wide * (side == "right"), -tall * limbs.index(limb)])
        profile = visit.profile
        shift = corner - profile.heel_ground
        placed = Profile(**{at: place + shift for at, place in profile.landmarks.items()})
        results |= foot_from_side(placed, f"foot{number}", horn_lines=7)
        angles = ", ".join(f"{end} {angle_of(visit, end)[0]:.0f}°" for end in ("toe", "heel"))
        results[f"words{number}"] = f"{name}: {angles}"
        results[f"at{number}"] = (corner + np.array([-0.6, -0.24]) * length)[None]
        series += side_series(prefix=f"foot{number}")
        series.append(
            Series(
                "words",
                f"at{number}",
                words=f"words{number}",
                style=Style(colour="black", size=17),
            )
        )
        said.append(f"{name}: {angles}")
    low = -tall * (len(limbs) - 1) - 0.42 * length
    high, left, right = 1.25 * length, -0.85 * length, 2 * wide - 0.85 * length
    panel = Panel(
        x_limits=(left, right),
        y_limits=(low, high),
        equal=True,
        axes=False,
        width=_WIDE,
        height=round(_WIDE * (high - low) / (right - left)) + 20,
    )
    drawing = Drawing([panel], series)
    drawing.show(results)
    alt = f"The feet from the side, all to one scale, toe to the right. {'; '.join(said)}."
    return StillPicture(png=drawing.png(), width=_WIDE, caption="", alt=alt)


def series_picture(visits: Sequence[Visit]) -> StillPicture:
    """Toe and heel of one foot over its visits, each with the band in which it truly lies.

    Parameters
    ----------
    visits
        At least one, oldest first.

    Returns
    -------
    StillPicture
        Lines join visits of the same moment; a visit's band is 19 times in 20.
    """
    first = visits[0].date
    results: dict[str, Any] = {}
    series: list[Series] = []
    for moment, hollow in (("before trim", False), ("after trim", True)):
        alike = [visit for visit in visits if visit.moment == moment]
        weeks = np.array([(visit.date - first).days / 7 for visit in alike])
        for end, (line, fill, mark) in LOOKS.items() if alike else ():
            name, colour = f"{end}_{moment.split()[0]}", line.colour
            middle, low, high = np.array([angle_of(visit, end) for visit in alike]).T
            gaps = np.full(len(alike), np.nan)
            results |= angle_in_time(name, weeks, np.c_[low, middle, high], (0.0, 180.0))
            results[f"{name}_bars"] = np.c_[np.repeat(weeks, 3), np.c_[low, high, gaps].ravel()]
            band = Style(colour=colour, fill=fill, fill_strength=0.3, width=0)
            bars = Style(colour=colour, width=2)
            marks = Style(colour=colour, mark=mark, size=11, hollow=hollow)
            label = "" if hollow else end
            if len(alike) > 1:
                series.append(Series("area", f"{name}_band", style=band))
            series += [
                Series("line", f"{name}_bars", style=bars),
                Series("line", f"{name}_line", style=line),
                Series("points", f"{name}_line", style=marks, label=label),
            ]
    last = max((visits[-1].date - first).days / 7, 1.0)
    angles = np.array([angle_of(visit, end) for visit in visits for end in LOOKS])
    low, high = 5 * np.floor(angles.min() / 5), 5 * np.ceil(angles.max() / 5)
    panel = Panel(
        x_limits=(-0.06 * last, 1.06 * last),
        y_limits=(float(low), float(high + 0.25 * (high - low))),
        x_label="day of the visit",
        y_label="angle from the ground (degrees)",
        legend="upper right",
        width=_WIDE,
        height=400,
        x_ticks=_days(visits),
        y_ticks=tuple(np.arange(low, high + 1, 5.0).tolist()),
    )
    drawing = Drawing([panel], series)
    drawing.show(results)
    alt = (
        f"Toe (blue circles) and heel (orange-red squares) at {counted(len(visits), 'visit')}, "
        "each in the band in which the truth lies 19 times in 20; hollow marks were measured after "
        "the trim."
    )
    return StillPicture(png=drawing.png(), width=_WIDE, caption=alt, alt=alt)


def _days(visits: Sequence[Visit]) -> tuple[tuple[float, str], ...]:
    """The days under the picture, as many as have room."""
    days = sorted({visit.date for visit in visits})
    by = max(1, -(-len(days) // 7))
    return tuple(((day - days[0]).days / 7, f"{day.day} {day:%b}\n{day:%Y}") for day in days[::by])
