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
from hoofcalc.figures.foot_in_space import LOOK_DOWN, turn_slider
from hoofcalc.figures.scene import Narrow, Panel, Series, Style, scale_bar
from hoofcalc.figures.solid_foot import seen_from
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values
from hoofcalc.figures.story_capsule import story_taper
from hoofcalc.figures.whole_foot import (
    WHOLE_FOOT_SERIES,
    WholeFoot,
    pastern_axis,
    seen_whole,
    whole_foot,
)
from hoofcalc.profile import Profile, line_departures

_TURN_MM, _KNOB_MM = 0.5, -90.0  # the knob that turns the foot: mm for a degree, and its height
_REGIONS = ("toe", "quarter", "heel")
_MIDDLE = np.array([30.0, 0.0, 48.0])  # of the turning foot [mm]
_NONE = np.empty((0, 2))
_PER_SIDE = 24
#: Named ways to look at it: turn and look down [degrees].
_LOOKS = (
    ("the side", 0.0, 0.0),
    ("the front", 90.0, 10.0),
    ("behind", -90.0, 15.0),
    ("below", 90.0, -75.0),
)


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
    model, whole = _model(story, toe_angle_deg, heel_angle_deg, taper)
    foot = whole.foot
    lines, steeper = _lines_on_model(story, toe_angle_deg, heel_angle_deg, taper)
    wall = np.array([model.toe_ground, model.toe_coronet, model.heel_coronet, model.heel_ground])
    widest = int(np.argmax(foot.ground[:, 1]))
    low, high = foot.ground[widest], foot.coronet[widest]
    knob = np.array([_TURN_MM * turn_deg, _KNOB_MM])
    return {
        **seen["drawn"],
        "turn_handle": knob[None],
        "turn_says": seen_from(turn_deg, look_down_deg),
        "heel_handle": model.heel_ground[None],
        "heel_top": model.heel_coronet[None],
        "heel_says": f"heel {heel_angle_deg:g} degrees from the ground",
        "toe_handle": model.toe_coronet[None],
        "toe_ground_at": model.toe_ground[None],
        "toe_says_angle": f"toe {toe_angle_deg:g} degrees from the ground",
        **seen_whole(whole, _MIDDLE, turn_deg, look_down_deg),
        "traced": seen["traced"],
        "model_wall": wall,
        **{f"model_{region}": lines[region] for region in _REGIONS},
        "steeper": steeper,
        "volume_cm3": float(foot.volume_mm3) / 1000,
        "side_lean_deg": float(np.degrees(np.arctan2(low[1] - high[1], high[2]))),
        "ground_mm": float(np.ptp(foot.ground[:, 1])),
        "coronet_mm": float(np.ptp(foot.coronet[:, 1])),
    }


@lru_cache(maxsize=4)
def _lines_on_model(
    story: str, toe_angle_deg: float, heel_angle_deg: float, taper: float
) -> tuple[dict[str, FloatArray], dict[str, float | None]]:
    """The model's lines where the photograph has traced ones, and how much steeper those lie."""
    model, _ = _model(story, toe_angle_deg, heel_angle_deg, taper)
    lines: dict[str, FloatArray] = {}
    steeper: dict[str, float | None] = {}
    for region, (start, end) in _photograph(story)["lines"].items():
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
    return lines, steeper


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in one sentence with one finding.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        At most 25 words; the finding stands between pairs of asterisks.
    """
    horse = _photograph(values["story"])["record"].horse
    off, lean = results["steeper"]["heel"], results["side_lean_deg"]
    if off is None:
        lies = "**off the model**"
    elif abs(off) < 0.05:
        lies = "**as the model's**"
    else:
        lies = f"**{abs(off):.1f}° {'steeper' if off > 0 else 'flatter'}** than the model's"
    sides = f"sides {abs(lean):.0f}° {'in' if lean > 0 else 'out'}"
    down = values["look_down_deg"]
    look = f"{abs(down):g}° {'down' if down > 0 else 'up'}" if down else "level"
    gap = values["toe_angle_deg"] - values["heel_angle_deg"]
    seen = f"turned {values['turn_deg']:g}°, {look}"
    view = f"(gap {gap:z.0f}°, {sides}; {seen})".replace("-", "\u2212")
    return f"{horse}'s heel lines lie {lies} {view}."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Angles, departures of the traced lines, widths, lean, volume.
    """
    rows = [
        Row("toe wall", f"{values['toe_angle_deg']:g}", unit="degrees"),
        Row("heel wall", f"{values['heel_angle_deg']:g}", unit="degrees"),
    ]
    for region in _REGIONS:
        off = results["steeper"][region]
        value = "they leave the model" if off is None else f"{off:+z.1f}"
        rows.append(
            Row(
                f"traced lines over the model's, {region}",
                value,
                interval="± 2 a line",
                unit="degrees",
            )
        )
    return (
        *rows,
        Row("width at the hairline", f"{results['coronet_mm']:.0f}", unit="mm"),
        Row("width at the ground", f"{results['ground_mm']:.0f}", unit="mm"),
        Row("side wall leans in", f"{results['side_lean_deg']:.1f}", unit="degrees"),
        Row("volume, filled", f"{results['volume_cm3']:.0f}", unit="cm³"),
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
    far = [off for off in results["steeper"].values() if off is None or abs(off) > 4]
    fit = "part from" if far else "lie close to"
    seen = seen_from(values["turn_deg"], values["look_down_deg"])
    return (
        f"Left: a foot in space with its wall, bulbs and the start of the pastern, "
        f"{seen.lower()}; tubules run along the wall, three of them marked with their angle. "
        f"Right: a drawn photograph of the foot from the side, with short black lines traced "
        f"along its horn; the model's orange dashed lines {fit} them."
    )


def _strokes(start: FloatArray, end: FloatArray) -> FloatArray:
    """Short lines as one row of points with breaks."""
    gap = np.full_like(start, np.nan)
    return np.stack([start, end, gap], axis=1).reshape(-1, 2)[:-1]


@lru_cache(maxsize=4)  # turning and looking down leave the model as it is
def _model(
    story: str, toe_angle_deg: float, heel_angle_deg: float, taper: float
) -> tuple[Profile, WholeFoot]:
    """The model of a story foot, from the side and in space."""
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
    return model, whole_foot(foot, model, seen["axis"])


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
        "axis": pastern_axis(level),
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
        "toe_angle_deg": round(float(own.toe_angle_deg), 1),
        "heel_angle_deg": round(float(own.heel_angle_deg), 1),
        "taper": round(story_taper(story), 2),
    }


_MODEL = Style(colour="vermillion", width=1.8, dash=(7, 4))

CAPSULE = Figure(
    name="capsule",
    title="The foot in 3-D from two views, and its lines on the photograph",
    sliders=(
        Slider(
            "toe_angle_deg",
            "Toe",
            "degrees",
            42,
            68,
            step=0.1,
            start=_measures("run under")["toe_angle_deg"],
        ),
        Slider(
            "heel_angle_deg",
            "Heel",
            "degrees",
            18,
            74,
            step=0.1,
            start=_measures("run under")["heel_angle_deg"],
        ),
        Slider(
            "taper", "Taper", "of width", 0.6, 1.1, step=0.01, start=_measures("run under")["taper"]
        ),
        turn_slider(35),
        LOOK_DOWN,
    ),
    choices={"story": "run under"},
    presets=(
        *(
            Preset(label=_photograph(story)["record"].horse, note=story, values=_measures(story))
            for story in ("in line", "run under", "too upright")
        ),
        *(
            Preset(label=f"From {where}", values={"turn_deg": turn, "look_down_deg": down})
            for where, turn, down in _LOOKS
        ),
    ),
    presets_label="Which foot, and from where",
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    more=("look_down_deg",),
    handles=(
        Handle(
            name="turn",
            label="Turn the foot",
            kind="along x",
            x="turn_deg",
            per=_TURN_MM,
            at="turn_handle",
            says="turn_says",
        ),
        Handle(
            name="toe",
            label="The hairline at the toe",
            kind="angle",
            x="toe_angle_deg",
            at="toe_handle",
            about="toe_ground_at",
            says="toe_says_angle",
            zero_deg=180.0,
            turns=-1,
            panel=1,
        ),
        Handle(
            name="heel",
            label="The hairline at the heel",
            kind="angle",
            x="heel_angle_deg",
            at="heel_top",
            about="heel_handle",
            says="heel_says",
            zero_deg=180.0,
            turns=-1,
            panel=1,
        ),
    ),
    panels=(
        Panel(
            x_limits=(-132, 132),
            y_limits=(-102, 93),
            equal=True,
            axes=False,
            width=400,
            height=290,
            fixed=scale_bar(76, 76, 20),
            narrow=Narrow(height=262, x_limits=(-100, 100), y_limits=(-164, 138), share=0.5),
            turned_by=("turn_deg", "look_down_deg"),
        ),
        Panel(
            x_limits=(-75, 150),
            y_limits=(-14, 150),
            equal=True,
            axes=False,
            width=360,
            height=290,
            narrow=Narrow(height=262, y_limits=(-116, 224), share=0.5),
        ),
    ),
    series=(
        *WHOLE_FOOT_SERIES,
        *side_series(panel=1),
        Series(
            "line", "model_wall", panel=1, style=Style(colour="vermillion", width=2, dash=(2, 3))
        ),
        Series("line", "traced", panel=1, style=Style(colour="black", width=3.5)),
        *(Series("line", f"model_{region}", panel=1, style=_MODEL) for region in _REGIONS),
    ),
    note=(
        "Feet, photographs and traced lines are invented, of the yard Brackenfold. The model is "
        "filled; its wall, rim and tubules are calculated, 49 of them. Bulbs, frog, bars, sole and "
        "pastern are drawn after a common foot, not measured."
    ),
)
