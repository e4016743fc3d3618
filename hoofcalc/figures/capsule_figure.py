"""Lesson 06's figure: the foot in 3-D from two views, and its lines laid over a photograph.

The foot is that of `hoofcalc.capsule`; the feet, their photographs and the lines traced on
them are the invented yard's.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import build_capsule
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.foot_in_space import CAPSULE_SERIES, moved_to, turn_slider, turning_foot
from hoofcalc.figures.scene import Panel, Series, Style, scale_bar
from hoofcalc.figures.solid_foot import seen_from
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.profile import Profile, line_departures

_REGIONS = ("toe", "quarter", "heel")
_MIDDLE = np.array([42.0, 0.0, 36.0])  # of the turning foot [mm]
_NONE = np.empty((0, 2))
_PER_SIDE = 24


def compute(
    *,
    toe_angle_deg: float,
    heel_angle_deg: float,
    taper: float,
    turn_deg: float,
    look_down_deg: float,
    story: str,
) -> dict[str, Any]:
    """The model of one foot, seen from somewhere, and its lines beside the traced ones.

    Parameters
    ----------
    toe_angle_deg, heel_angle_deg
        Angles of the model's two walls from the ground [degrees].
    taper
        Width at the coronary band as a part of the width at the ground [-].
    turn_deg, look_down_deg
        From where it is seen [degrees].
    story
        Which of the three feet.

    Returns
    -------
    dict
        Points for every series [mm], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the measures make no foot.
    """
    seen = _photograph(story)
    own: Profile = seen["profile"]
    model = Profile.from_measures(
        toe_angle_deg,
        heel_angle_deg,
        own.toe_length_mm,
        own.heel_length_mm,
        own.bearing_length_mm,
    )
    foot = build_capsule(model, seen["outline"], taper, per_side=_PER_SIDE)
    lines: dict[str, FloatArray] = {}
    steeper: dict[str, float | None] = {}
    for region, (start, end) in seen["lines"].items():
        try:
            field = line_departures(model, start, end)
        except ValueError:  # the traced line lies where the model has no wall
            lines[region], steeper[region] = _NONE, None
            continue
        half = 0.7 * np.hypot(*(end - start).T)  # a little longer than the traced line
        angle = np.radians(field.model_deg)
        along = half[:, None] * np.column_stack([-np.cos(angle), np.sin(angle)])
        middle = (start + end) / 2
        lines[region] = _strokes(middle - along, middle + along)
        steeper[region] = float(np.mean(field.departure_deg))
    wall = np.array([model.toe_ground, model.toe_coronet, model.heel_coronet, model.heel_ground])
    widest = int(np.argmax(foot.ground[:, 1]))
    low, high = foot.ground[widest], foot.coronet[widest]
    return {
        **seen["drawn"],
        **turning_foot(moved_to(foot, _MIDDLE), turn_deg, look_down_deg),
        "traced": seen["traced"],
        "model_wall": wall,
        **{f"model_{region}": lines[region] for region in _REGIONS},
        "steeper": steeper,
        "volume_cm3": float(foot.volume_mm3) / 1000,
        "side_lean_deg": float(np.degrees(np.arctan2(low[1] - high[1], high[2]))),
        "ground_mm": float(np.ptp(foot.ground[:, 1])),
        "coronet_mm": float(np.ptp(foot.coronet[:, 1])),
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
        Four short sentences.
    """
    record = _photograph(values["story"])["record"]
    seen = seen_from(values["turn_deg"], values["look_down_deg"])
    gap = values["toe_angle_deg"] - values["heel_angle_deg"]
    heel = f"{abs(gap):.3g} degrees {'flatter' if gap > 0 else 'steeper'} than" if gap else "as"
    said = (
        f"{record.horse}, {record.foot}, as a model: the heel's wall stands at"
        f" {values['heel_angle_deg']:g} degrees, {heel} the toe's {values['toe_angle_deg']:g}."
    )
    parts = []
    for region in _REGIONS:
        off = results["steeper"][region]
        if off is None:
            parts.append(f"at the {region} they leave the model")
        elif abs(off) < 0.05:
            parts.append(f"at the {region} the same")
        else:
            parts.append(f"at the {region} {abs(off):.1f} {'steeper' if off > 0 else 'flatter'}")
    lines = f"Against the model the traced lines lie, in degrees: {', '.join(parts)}."
    lean = results["side_lean_deg"]
    wide = (
        f"{results['coronet_mm']:.0f} mm wide at the coronary band, {results['ground_mm']:.0f} mm"
    )
    way = "upright" if abs(lean) < 0.5 else f"{abs(lean):.0f} degrees {'in' if lean > 0 else 'out'}"
    band = f"It is {wide} at the ground: the side wall leans {way} on its way up."
    if way == "upright":
        band = f"It is {wide} at the ground: the side wall stands upright."
    return f"{said} {lines} {band} It holds {results['volume_cm3']:.0f} cm³. {seen}."


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
    far = [off for off in results["steeper"].values() if off is None or abs(off) > 4]
    fit = "part from" if far else "lie close to"
    seen = seen_from(values["turn_deg"], values["look_down_deg"])
    return (
        f"Left: a hoof as a solid of straight strips from ground to coronary band, "
        f"{seen.lower()}; each strip is the darker the steeper it stands. Right: a "
        f"drawn photograph of the foot from the side, with short black lines traced along its "
        f"horn; the model's orange dashed lines {fit} them."
    )


def _strokes(start: FloatArray, end: FloatArray) -> FloatArray:
    """Short lines as one row of points with breaks."""
    gap = np.full_like(start, np.nan)
    return np.stack([start, end, gap], axis=1).reshape(-1, 2)[:-1]


@lru_cache(maxsize=3)
def _photograph(story: str) -> dict[str, Any]:
    """A story foot laid level: its landmarks, outline, traced lines, and how it is drawn."""
    record = datasets.story_feet()[story]
    placed = Profile(**record.landmarks)
    heel, toe = placed.heel_ground, placed.toe_ground
    along = (toe - heel) / np.hypot(*(toe - heel))
    frame = np.column_stack([along, [-along[1], along[0]]])
    level = Profile(**{name: (at - heel) @ frame for name, at in record.landmarks.items()})
    lines = {
        region: tuple((ends[end] - heel) @ frame for end in ("start", "end"))
        for region, ends in datasets.wall_lines(record.horse, record.foot).items()
    }
    return {
        "record": record,
        "profile": level,
        "outline": datasets.outline(record.horse, record.foot),
        "lines": lines,
        "traced": np.vstack(
            [np.vstack([_strokes(*lines[region]), [[np.nan, np.nan]]]) for region in _REGIONS]
        ),
        "drawn": foot_from_side(level),
    }


def _measures(story: str) -> dict[str, Any]:
    own = _photograph(story)["profile"]
    return {
        "story": story,
        "toe_angle_deg": round(2 * float(own.toe_angle_deg)) / 2,
        "heel_angle_deg": round(2 * float(own.heel_angle_deg)) / 2,
        "taper": {"in line": 0.86, "run under": 0.9, "too upright": 0.74}[story],
    }


_MODEL = Style(colour="vermillion", width=2, dash=(9, 3))

CAPSULE = Figure(
    name="capsule",
    title="The foot in 3-D from two views, and its lines on the photograph",
    sliders=(
        Slider(
            name="toe_angle_deg",
            label="Toe angle",
            unit="degrees",
            minimum=42,
            maximum=68,
            step=0.5,
            start=_measures("in line")["toe_angle_deg"],
        ),
        Slider(
            name="heel_angle_deg",
            label="Heel angle",
            unit="degrees",
            minimum=18,
            maximum=74,
            step=0.5,
            start=_measures("in line")["heel_angle_deg"],
        ),
        Slider(
            name="taper",
            label="Taper",
            unit="of width",
            minimum=0.6,
            maximum=1.1,
            step=0.01,
            start=_measures("in line")["taper"],
        ),
        turn_slider(35),
        Slider(
            name="look_down_deg",
            label="Look down",
            unit="degrees",
            minimum=-60,
            maximum=75,
            step=5,
            start=20,
        ),
    ),
    choices={"story": "in line"},
    presets=tuple(
        Preset(label=story.capitalize(), values=_measures(story))
        for story in ("in line", "run under", "too upright")
    ),
    presets_label="Foot:",
    page_sliders=("heel_angle_deg",),
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="The model, in true proportion",
            x_limits=(-105, 165),
            y_limits=(-105, 145),
            equal=True,
            axes=False,
            width=480,
            height=480,
            legend="upper right",
            fixed=scale_bar(105, -92, 50),
        ),
        Panel(
            title="Drawn photograph, from the side",
            x_limits=(-75, 140),
            y_limits=(-20, 195),
            equal=True,
            axes=False,
            width=430,
            height=480,
            legend="upper right",
        ),
    ),
    series=(
        *CAPSULE_SERIES,
        *side_series(panel=1),
        Series(
            kind="line",
            data="model_wall",
            panel=1,
            style=Style(colour="vermillion", width=2, dash=(2, 3)),
            label="walls and band of the model",
        ),
        Series(
            kind="line",
            data="traced",
            panel=1,
            style=Style(colour="black", width=5),
            label="lines traced on the photograph",
        ),
        *(
            Series(
                kind="line",
                data=f"model_{region}",
                panel=1,
                style=_MODEL,
                label="the model's lines there" if region == "toe" else "",
            )
            for region in _REGIONS
        ),
    ),
    note=(
        "Feet, photographs and traced lines are invented, of the yard Brackenfold. The model is "
        "filled: band, ground and the gap between the heels are drawn pale. Each strip is one of "
        "48 between 49 tubules."
    ),
)
