"""Lesson 00's figure: one foot from the side, from below and from the front, and its parts.

The foot is drawn by `hoofcalc.figures.foot`; its sizes are ours, those of a common front foot
of a riding horse. Coronary band, pastern and heel bulb stay where they are; the two angles say
how far forward the toe and the heel meet the ground.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from hoofcalc._inputs import FloatArray, numbers
from hoofcalc.figures.foot import (
    below_series,
    foot_from_below,
    foot_from_front,
    foot_from_side,
    front_series,
    outline_of,
    side_series,
    wall_pieces,
)
from hoofcalc.figures.scene import Panel, Series, Style, scale_bar
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.profile import Profile

_TOE_TOP, _HEEL_TOP = np.array([58.0, 75.0]), np.array([-28.0, 32.0])
_BULB = np.array([-39.0, 25.0])
_PASTERN = np.array([(-1.0, 75.0), (-44.0, 128.0)])
_WIDTH_MM = 132.0
_VIEWS = ("side", "below", "front")
_NOT_SEEN = {"side": "not seen from the side", "below": "not seen from below", "front": "not seen"}
#: Where a part's name stands in each view; behind the foot for parts at the back of it.
_NAME_AT = {"side": (168.0, 168.0), "below": (0.0, 157.0), "front": (0.0, 170.0)}
_NAME_BEHIND = (-112.0, 52.0)
_ALIGN = {"side": "right", "below": "centre", "front": "centre"}


@dataclass(frozen=True, slots=True)
class _Part:
    """A part of the foot: its name, what it is, and which outlines show it in each view."""

    name: str
    says: str
    side: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    front: tuple[str, ...] = ()
    behind: bool = False


PARTS = (
    _Part(
        name="The whole foot",
        says="nothing is picked out. Choose a part.",
    ),
    _Part(
        name="Hoof wall",
        says="the hard horn that you see on a standing foot. It carries much of the load.",
        side=("side_wall",),
        below=("below_wall",),
        front=("front_wall",),
    ),
    _Part(
        name="Toe",
        says="the front of the wall. Here the wall is thickest.",
        side=("side_toe",),
        below=("below_toe",),
        front=("front_toe",),
    ),
    _Part(
        name="Quarters",
        says="the sides of the wall, between toe and heels.",
        side=("side_quarter",),
        below=("below_quarter_right", "below_quarter_left"),
        front=("front_quarter_right", "front_quarter_left"),
    ),
    _Part(
        name="Heels",
        says="the two ends of the wall at the back. Here it is thin, and turns inward.",
        side=("side_heel",),
        below=("below_heel_right", "below_heel_left"),
        behind=True,
    ),
    _Part(
        name="Coronary band",
        says="where skin meets horn. The wall grows down from here.",
        side=("side_band",),
        front=("front_band",),
    ),
    _Part(
        name="Periople",
        says="a soft thin horn just under the coronary band. It covers the new wall.",
        side=("side_periople",),
        front=("front_periople",),
    ),
    _Part(
        name="Tubules",
        says=(
            "the fine tubes that horn is built of, from coronary band to ground. A few are drawn; "
            "there are thousands."
        ),
        side=("side_horn",),
        front=("front_horn",),
    ),
    _Part(
        name="White line",
        says="the softer horn that joins wall and sole.",
        below=("below_white_line",),
    ),
    _Part(
        name="Sole",
        says="the horn plate under the foot, inside the white line. It is a little hollow.",
        below=("below_sole",),
    ),
    _Part(
        name="Frog",
        says="the wedge of tough, springy horn between the bars. Its point looks to the toe.",
        below=("below_frog",),
    ),
    _Part(
        name="Bars",
        says="the wall turned in at the heels. They run forward beside the frog.",
        below=("below_bar_right", "below_bar_left"),
    ),
    _Part(
        name="Frog grooves",
        says="the two deep furrows between frog and bars. Dirt packs in here: clean and look.",
        below=("below_trench_right", "below_trench_left"),
    ),
    _Part(
        name="Heel bulbs",
        says="the two soft cushions behind and above the heels, covered with skin.",
        side=("side_bulb",),
        below=("below_bulb_right", "below_bulb_left"),
        behind=True,
    ),
    _Part(
        name="Pastern",
        says="the limb just above the foot. It should be looked at together with the toe.",
        side=("side_pastern",),
        front=("front_pastern",),
    ),
)
_LAST = len(PARTS) - 1


def compute(*, part: float, toe_angle_deg: float, heel_angle_deg: float) -> dict[str, Any]:
    """The foot in three views, the chosen part in each, and the two angles.

    Parameters
    ----------
    part
        Number of the part in `PARTS`.
    toe_angle_deg, heel_angle_deg
        Angles of toe and heel from the ground, opened to the back [degrees].

    Returns
    -------
    dict
        Points for every series [mm], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the part is no whole number, or an angle gives no foot.
    """
    chosen = PARTS[int(numbers("Part", part, at_least=0, at_most=_LAST, whole=True))]
    foot = Profile(
        toe_ground=_grounded(_TOE_TOP, toe_angle_deg),
        toe_coronet=_TOE_TOP,
        heel_ground=_grounded(_HEEL_TOP, heel_angle_deg),
        heel_coronet=_HEEL_TOP,
        pastern_low=_PASTERN[0],
        pastern_high=_PASTERN[1],
        bulb=_BULB,
    )
    heel = foot.heel_ground
    outline = outline_of(foot, _WIDTH_MM) + np.array([heel[0], 0.0])
    half = _WIDTH_MM / 2
    drawn = {
        **foot_from_side(foot, "side"),
        **foot_from_below(outline, "below", overhang_mm=foot.bulb_overhang_mm),
        **foot_from_front(
            foot, "front", ground_mm=(half, half), coronet_mm=(0.84 * half, 0.84 * half)
        ),
    }
    drawn |= wall_pieces(drawn)
    return {
        **drawn,
        **_spots(chosen, drawn),
        **_arc("toe", foot.toe_ground, toe_angle_deg, 40.0, 54.0),
        **_arc("heel", heel, heel_angle_deg, 24.0, 38.0),
        "part": chosen,
        "gap_deg": foot.angle_gap_deg,
        "toe_length_mm": foot.toe_length_mm,
        "bearing_length_mm": foot.bearing_length_mm,
        "axis_deg": foot.axis_deviation_deg,
    }


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in words.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Three or four short sentences.
    """
    part: _Part = results["part"]
    toe, heel = values["toe_angle_deg"], values["heel_angle_deg"]
    gap, axis = results["gap_deg"], results["axis_deg"]
    if abs(gap) < 0.25:
        how = "the two are parallel"
    else:
        how = f"the heel is {abs(gap):.3g} degrees {'flatter' if gap > 0 else 'steeper'}"
    if abs(axis) < 1.5:
        line = "the toe runs on in the line of the pastern"
    else:
        line = f"the toe is {abs(axis):.2g} degrees {'flatter' if axis > 0 else 'steeper'} than"
        line += " the pastern"
    return (
        f"{part.name}: {part.says} The toe stands at {toe:g} degrees from the ground and the heel "
        f"at {heel:g}: {how}. The foot stands on {results['bearing_length_mm']:.0f}\u00a0mm of "
        f"ground, its toe wall is {results['toe_length_mm']:.0f}\u00a0mm long, and {line}."
    )


def alt(values: Values, results: Results) -> str:
    """What is drawn, for those who cannot see it.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Two or three sentences.
    """
    part: _Part = results["part"]
    where = [view for view in _VIEWS if getattr(part, view)]
    words = {"side": "from the side", "below": "from below", "front": "from the front"}
    if where:
        seen = f"{part.name} picked out in blue " + " and ".join(words[view] for view in where)
    else:
        seen = "No part is picked out"
    return (
        "Three drawings of one horse's foot in true proportion: from the side with its toe to the "
        f"right, from below with its toe up, and from the front. {seen}. In the side view an arc "
        f"at the toe opens {values['toe_angle_deg']:g} degrees from the ground to the wall, and a "
        f"dashed arc at the heel {values['heel_angle_deg']:g} degrees."
    )


def _grounded(top: FloatArray, angle_deg: float) -> FloatArray:
    """Where a wall of that angle meets the ground below and in front of its upper end."""
    return np.array([top[0] + top[1] / np.tan(np.radians(angle_deg)), 0.0])


def _arc(
    name: str, corner: FloatArray, angle_deg: float, radius_mm: float, words_mm: float
) -> dict[str, Any]:
    """An arc from the ground behind a corner up to the wall, a stub of ground, and the number."""
    turn = np.radians(np.linspace(0.0, angle_deg, 15))
    arc = corner + radius_mm * np.column_stack([-np.cos(turn), np.sin(turn)])
    half = np.radians(angle_deg / 2)
    return {
        f"{name}_arc": np.vstack([corner, arc, corner]),
        f"{name}_arc_at": (corner + words_mm * np.array([-np.cos(half), np.sin(half)]))[None],
        f"{name}_arc_words": f"{angle_deg:g}°",
    }


def _spots(part: _Part, drawn: Mapping[str, FloatArray]) -> dict[str, Any]:
    """The chosen part laid over each view, its name, and a line from the name to it."""
    none = np.empty((0, 2))
    found: dict[str, Any] = {}
    for view in _VIEWS:
        outlines = [drawn[name] for name in getattr(part, view)]
        lines = bool(outlines) and bool(np.isnan(outlines[0]).any())
        for at, letter in enumerate("ab"):
            here = at < len(outlines) and not lines
            found[f"{view}_spot_{letter}"] = outlines[at] if here else none
        found[f"{view}_spot_lines"] = outlines[0] if lines else none
        back = view == "side" and part.behind
        name_at = np.array(_NAME_BEHIND if back else _NAME_AT[view])
        found[f"{view}_name"] = part.name if outlines else _NOT_SEEN[view]
        for kind, shown in (
            ("name_at", bool(outlines) and not back),
            ("name_behind_at", bool(outlines) and back),
            ("unseen_at", not outlines and part is not PARTS[0]),
        ):
            found[f"{view}_{kind}"] = name_at[None] if shown else none
        found[f"{view}_leader"] = none
        if outlines:
            start = name_at + np.array([6.0 if back else -30.0 if view == "side" else 0.0, -7.0])
            away = np.concatenate(outlines) - start
            # rounded, so that of two sides alike the first is taken on every machine
            nearest = np.nanargmin(np.round(np.hypot(away[:, 0], away[:, 1]), 6))
            found[f"{view}_leader"] = np.array([start, start + away[nearest]])
    return found


def _spot_series() -> tuple[Series, ...]:
    """The chosen part in blue: areas, lines, its name and the line from the name to it."""
    area = Style(colour="blue", fill="sky", fill_strength=0.75, width=3)
    rows: list[Series] = []
    for panel, view in enumerate(_VIEWS):
        rows += [
            Series(kind="area", data=f"{view}_spot_{letter}", panel=panel, style=area)
            for letter in "ab"
        ]
        rows.append(
            Series(
                kind="line",
                data=f"{view}_spot_lines",
                panel=panel,
                style=Style(colour="blue", width=2.5),
            )
        )
        rows.append(
            Series(
                kind="line",
                data=f"{view}_leader",
                panel=panel,
                style=Style(colour="blue", width=1.5, dash=(2, 3)),
            )
        )
        for place, colour, align in (
            ("name_at", "blue", _ALIGN[view]),
            ("name_behind_at", "blue", "left"),
            ("unseen_at", "grey", _ALIGN[view]),
        ):
            rows.append(
                Series(
                    kind="words",
                    data=f"{view}_{place}",
                    words=f"{view}_name",
                    panel=panel,
                    style=Style(colour=colour, size=15, align=align),
                )
            )
    return tuple(rows)


def _angle_series() -> tuple[Series, ...]:
    """The two angles of the side view: full line at the toe, dashed at the heel."""
    looks = {"toe": ("vermillion", ()), "heel": ("black", (4.0, 3.0))}
    rows: list[Series] = []
    for name, (colour, dash) in looks.items():
        rows.append(
            Series(
                kind="line", data=f"{name}_arc", style=Style(colour=colour, width=2.5, dash=dash)
            )
        )
        rows.append(
            Series(
                kind="words",
                data=f"{name}_arc_at",
                words=f"{name}_arc_words",
                style=Style(colour="black", size=16, align="centre"),
            )
        )
    return tuple(rows)


ORIENTATION = Figure(
    name="orientation",
    title="One foot in three views, its parts and its angles",
    sliders=(
        Slider(
            name="part",
            label="Part",
            unit=f"of {_LAST}",
            minimum=0,
            maximum=_LAST,
            step=1,
            start=0,
        ),
        Slider(
            name="toe_angle_deg",
            label="Toe angle",
            unit="degrees",
            minimum=40,
            maximum=65,
            step=0.5,
            start=52,
        ),
        Slider(
            name="heel_angle_deg",
            label="Heel angle",
            unit="degrees",
            minimum=35,
            maximum=70,
            step=0.5,
            start=46,
        ),
    ),
    page_sliders=("toe_angle_deg",),
    presets=tuple(
        Preset(label=part.name, values={"part": float(number)}) for number, part in enumerate(PARTS)
    ),
    presets_label="Show:",
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="From the side",
            x_limits=(-115, 170),
            y_limits=(-30, 178),
            equal=True,
            axes=False,
            width=424,
            height=350,
            fixed=scale_bar(60, -20, 100),
        ),
        Panel(
            title="From below",
            x_limits=(-83, 83),
            y_limits=(-44, 164),
            equal=True,
            axes=False,
            width=253,
            height=350,
        ),
        Panel(
            title="From the front",
            x_limits=(-85, 85),
            y_limits=(-30, 178),
            equal=True,
            axes=False,
            width=259,
            height=350,
        ),
    ),
    series=(
        *side_series(0, "side"),
        *below_series(1, "below"),
        *front_series(2, "front"),
        *_spot_series(),
        *_angle_series(),
    ),
    note=(
        "True proportions: lay a protractor on the screen and check. The foot is invented. From "
        "below and from the front the horse's left is on your right. Where the toe ends and the "
        "quarter begins is not fixed; here each is a share of the length: a quarter for the toe, "
        "half for the quarters, a quarter for the heels."
    ),
)
