"""Lesson 03's figure: a drawn photograph of a foot to be measured by hand, and what comes out.

The foot is drawn from known landmarks, those behind the yard's two readers
(`hoofcalc.datasets.readings`, invented), through the camera of `hoofcalc.profile.seen_points`.
The learner's points become a `Profile`; its angles and their errors stand beside the truth.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray
from hoofcalc.angles import perspective_scale
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Narrow, Panel, Series, Style, box, fixed_words, upright_line
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
from hoofcalc.profile import Profile, error_of, seen_points

#: The true foot: as behind `datasets.readings()`, to a tenth of a millimetre.
TRUTH = Profile.from_points(
    toe_ground=(120.3, 0.0),
    toe_coronet=(61.1, 76.6),
    heel_ground=(0.0, 0.0),
    heel_coronet=(-35.4, 34.1),
    pastern_low=(-2.9, 75.8),
    pastern_high=(-87.3, 185.2),  # on the pastern's line, but above the upper edge of the picture
    bulb=(-45.5, 26.9),
)
#: The stick: upright in front of the toe, 100 mm long.
STICK_MM = np.array([[142.0, 0.0], [142.0, 100.0]])
_STICK_LENGTH_MM = 100.0
_AIM_MM = (45.0, 50.0)  # what the camera is aimed at: the middle of the picture
_PICTURE_X, _PICTURE_Y = (-100.0, 180.0), (-42.0, 148.0)
#: A dot of the camera, seen from one metre, and how well a hand hits a spot: to so many dots,
#: and no better than so many millimetres because hair and horn do not end in a sharp line.
#: Typical values, ours.
_DOT_MM_AT_1_M = 0.25
_HAND_DOTS, _BLUR_MM = 2.0, 0.6
#: The middle 95 % of a normal error, and the disc that holds 95 % in both directions at once.
_DISC_95 = 2.448
_ROWS = (
    ("toe_angle_deg", "toe", 3.0),
    ("heel_angle_deg", "heel", 2.0),
    ("coronet_angle_deg", "coronet", 1.0),
)
_SHOWN_DEG = 20.0
_MARKS = ("toe_ground", "toe_coronet", "heel_coronet", "heel_ground")
_CIRCLE = np.column_stack(
    [np.cos(np.linspace(0, 2 * np.pi, 25)), np.sin(np.linspace(0, 2 * np.pi, 25))]
)


def _stick_ticks() -> FloatArray:
    """The centimetre marks across the stick."""
    up = np.arange(10.0, 100.0, 10.0)
    ends = np.where(up == 50.0, 6.0, 3.0)
    left = np.column_stack([np.full(9, STICK_MM[0, 0] - 6.0), up])
    right = left + np.column_stack([2.0 * ends, np.zeros(9)])
    return np.stack([left, right, np.full((9, 2), np.nan)], axis=1).reshape(-1, 2)[:-1]


#: What stands before the camera, in the foot's own axes [mm]: the same at every move.
_PLANE = {
    **foot_from_side(TRUTH),
    "foot_ground": np.array([[-500.0, 0.0], [600.0, 0.0]]),
    "spots": np.array([getattr(TRUTH, mark) for mark in _MARKS]),
}
_STICK = {
    "stick": STICK_MM[0] + np.array([[-6.0, 0.0], [6.0, 0.0], [6.0, 100.0], [-6.0, 100.0]]),
    "stick_ticks": _stick_ticks(),
    "stick_spots": STICK_MM,
    "stick_words_at": STICK_MM[1:] + np.array([[0.0, 11.0]]),
}


def point_error_mm(distance_m: float) -> float:
    """How far a placed point is off, by the camera's distance: hand and blur together.

    Parameters
    ----------
    distance_m
        From the camera to the foot [m].

    Returns
    -------
    float
        Standard deviation of each coordinate [mm].
    """
    return float(np.hypot(_HAND_DOTS * _DOT_MM_AT_1_M * distance_m, _BLUR_MM))


def compute(
    *,
    yaw_deg: float,
    look_down_deg: float,
    roll_deg: float,
    distance_m: float,
    stick_nearer_mm: float,
    **offsets_mm: float,
) -> dict[str, Any]:
    """The photograph, the placed points, and the angles that follow from them.

    Parameters
    ----------
    yaw_deg, look_down_deg, roll_deg
        How the camera stands [degrees], as in `hoofcalc.profile.seen_points`.
    distance_m
        From the camera to the foot [m].
    stick_nearer_mm
        How much nearer to the camera than the middle of the foot the stick stands [mm].
    offsets_mm
        How far each point stands from the spot that it should mark, as `<point>_x_mm` and
        `<point>_y_mm` in the picture [mm].

    Returns
    -------
    dict
        Points for every series, and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the points are no foot.
    """
    camera = {
        "yaw_deg": yaw_deg,
        "look_down_deg": look_down_deg,
        "roll_deg": roll_deg,
        "distance_mm": 1000.0 * distance_m,
        "aim_mm": _AIM_MM,
    }
    # the foot lies behind the plane of the stick, so the stick looks too large beside it
    behind = float(perspective_scale(1000.0 * distance_m - stick_nearer_mm, stick_nearer_mm))
    seen = {
        **_photographed(_PLANE, camera),
        **_photographed(_STICK, {**camera, "scale_error": 1.0 / behind - 1.0}),
    }
    spots = dict(zip(_MARKS, seen["spots"], strict=True))
    ends = dict(zip(("stick_a", "stick_b"), seen["stick_spots"], strict=True))
    points = {
        name: at + np.array([offsets_mm[f"{name}_x_mm"], offsets_mm[f"{name}_y_mm"]])
        for name, at in (spots | ends).items()
    }
    stick = np.array([points.pop(name) for name in ends])
    length = float(np.hypot(*(stick[1] - stick[0])))  # its ends' limits keep it well above 0
    scale = _STICK_LENGTH_MM / length
    try:
        foot = Profile(**{name: scale * at for name, at in points.items()})
    except ValueError:
        raise ValueError(
            "these four points are no foot: see that each stands where its name says"
        ) from None
    error, dot = point_error_mm(distance_m), _DOT_MM_AT_1_M * distance_m
    return {
        **seen,
        "floor": _floor(seen["foot_ground"], roll_deg, look_down_deg),
        "point_error_mm": error,
        "foot": foot,
        # what the camera does by itself: every point on its spot
        **_readings(foot, Profile(**spots), scale * error),
        **_placed(points, stick, error, dot),
        "dots": length / dot,
        "dot_mm": scale * dot,
    }


def _placed(
    points: dict[str, FloatArray], stick: FloatArray, error_mm: float, dot_mm: float
) -> dict[str, Any]:
    """The learner's points in the picture: said in dots, drawn with their discs and lines."""
    heel, toe = points["heel_ground"], points["toe_ground"]
    along = (toe - heel) / np.hypot(*(toe - heel))
    disc = _DISC_95 * error_mm * _CIRCLE
    found: dict[str, Any] = {
        "level": np.array([heel - 45.0 * along, toe + 25.0 * along]),
        "walls": _lines((toe, points["toe_coronet"]), (heel, points["heel_coronet"])),
        "coronet": np.array([points["heel_coronet"], points["toe_coronet"]]),
        "measured_stick": stick,
        "ends": stick,
        "stick_words": "100 mm",
        "discs": _lines(*(at + disc for at in points.values())),
        "points": np.array(list(points.values())),
    }
    for place, (name, at) in enumerate(points.items(), 1):
        found |= {f"number_{place}_at": at[None] + _BESIDE[name], f"number_{place}": str(place)}
    corner = np.array([_PICTURE_X[0], _PICTURE_Y[0]])
    for name, at in (*points.items(), ("stick_a", stick[0]), ("stick_b", stick[1])):
        across, up = (at - corner) / dot_mm
        found[f"{name}_at"] = at[None]
        found[f"{name}_says"] = f"{across:.0f} dots across, {up:.0f} dots up"
    return found


def _readings(foot: Profile, square: Profile, error_mm: float) -> dict[str, Any]:
    """Each angle as it is read, how far off it is and how far that may be, drawn and in words."""
    found: dict[str, Any] = {}
    bars, second, marks = [], [], []
    for measure, name, row in _ROWS:
        value, true = float(getattr(foot, measure)), float(getattr(TRUTH, measure))
        off = value - true
        reach = ERRORS_FOR_95 * float(error_of(foot, measure, error_mm))
        bars.append(_bar(off, reach, row, 0.09))
        second.append(_bar(off, np.sqrt(2.0) * reach, row, 0.05))
        if abs(off) <= _SHOWN_DEG:
            marks.append([off, row])
        found |= {
            f"{name}_deg": value,
            f"{name}_true_deg": true,
            f"{name}_camera_deg": float(getattr(square, measure)) - true,
            f"{name}_reach_deg": reach,
            f"{name}_counts_deg": np.sqrt(2.0) * reach,
            f"{name}_words_at": np.array([[-19.4, row + 0.4]]),
            f"{name}_words": f"{name} {value:.1f} ± {reach:.1f}, true {true:.1f}"
            + ("" if abs(off) <= _SHOWN_DEG else " (off)"),
        }
    return found | {
        "bars": np.vstack(bars),
        "second": np.vstack(second),
        "marks": np.array(marks) if marks else np.empty((0, 2)),
    }


#: Where the number of each point stands from it [mm].
_BESIDE = {
    "toe_ground": np.array([[9.0, -9.0]]),
    "toe_coronet": np.array([[9.0, 9.0]]),
    "heel_coronet": np.array([[-11.0, 7.0]]),
    "heel_ground": np.array([[-4.0, -12.0]]),
}


def sentence(values: Values, results: Results) -> str:
    """What comes out of the points, in one sentence with one finding.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        At most 25 words; the finding stands between pairs of asterisks.
    """
    del values
    foot: Profile = results["foot"]
    heel = f"{results['heel_deg']:.1f}° ± {results['heel_reach_deg']:.1f}"
    said = (
        f"Your heel reads **{heel}** and is {results['heel_true_deg']:.1f}°; your toe wall "
        f"reads {float(foot.toe_length_mm):.0f}\u00a0mm and is "
        f"{float(TRUTH.toe_length_mm):.0f}"
    )
    tilt = float(foot.bearing_tilt_deg)
    if abs(tilt) >= 0.5:
        said += f"; your ground line leans {abs(tilt):.0f}°"
    return f"{said}."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers that follow from the points.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Each angle with its error, the truth, what the camera does by itself, and the scale.
    """
    del values
    foot: Profile = results["foot"]
    rows: list[Row] = []
    for _, name, _ in _ROWS:
        camera = f"{results[f'{name}_camera_deg']:+z.1f}".replace("-", "\u2212")
        value, reach = results[f"{name}_deg"], results[f"{name}_reach_deg"]
        sure = HowSure(
            value,
            value - reach,
            value + reach,
            "degrees",
            "placing the points",
            "the camera's place",
        )
        rows += [
            Row.sure(f"{name} angle, as you read it", sure),
            Row("its truth", f"{results[f'{name}_true_deg']:.1f}", unit="degrees"),
            Row("the camera alone adds", camera, unit="degrees"),
            Row(
                "between two such photographs, real from",
                f"{results[f'{name}_counts_deg']:.1f}",
                unit="degrees",
            ),
        ]
    return (
        *rows,
        Row("stick", f"{results['dots']:.0f}", unit="dots"),
        Row("one dot", f"{results['dot_mm']:.2f}", unit="mm"),
        Row("toe wall, as you read it", f"{float(foot.toe_length_mm):.0f}", unit="mm"),
        Row("its truth", f"{float(TRUTH.toe_length_mm):.0f}", unit="mm"),
        Row(
            "your hand misses a spot by",
            f"{results['point_error_mm']:.1f}",
            interval="typical, ours",
            unit="mm",
        ),
        *in_and_out(sure),
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
    rows = "; ".join(
        f"{name} {results[f'{name}_deg'] - results[f'{name}_true_deg']:+.1f} degrees off the truth,"
        f" bar {results[f'{name}_reach_deg']:.1f} to each side"
        for _, name, _ in _ROWS
    )
    return (
        "Left: a drawn photograph of a foot from the side, its toe to the right, with an upright "
        "stick of 100 millimetres in front of it. Four rings mark the placed points, two more the "
        "ends of the stick; dashed lines join them along toe, heel, coronary band and ground. "
        f"Camera {values['distance_m']:g} metres away. Right: three rows with a mark and two error "
        f"bars each: {rows}."
    )


def _photographed(things: dict[str, FloatArray], camera: dict[str, Any]) -> dict[str, FloatArray]:
    """Points and lines of the foot's plane in the photograph; a NaN still breaks a line."""
    every = np.vstack(list(things.values()))
    broken = np.isnan(every)
    picture = np.where(broken, np.nan, seen_points(np.where(broken, 0.0, every), **camera))
    ends = np.cumsum([len(place) for place in things.values()])[:-1]
    return dict(zip(things, np.split(picture, ends), strict=True))


def _floor(ground: FloatArray, roll_deg: float, look_down_deg: float) -> FloatArray:
    """The yard's floor: before the foot's ground line, and behind it as far as one looks down."""
    turn = np.radians(roll_deg)
    up = np.array([-np.sin(turn), np.cos(turn)])
    behind = ground + 140.0 * np.sin(np.radians(look_down_deg)) * up
    return np.vstack([behind, (ground - 400.0 * up)[::-1]])


def _bar(middle: float, reach: float, row: float, cap: float) -> FloatArray:
    """One error bar with its caps, and a break behind it."""
    low, high = middle - reach, middle + reach
    return np.array(
        [
            [low, row - cap],
            [low, row + cap],
            [low, row],
            [high, row],
            [high, row - cap],
            [high, row + cap],
            [np.nan, np.nan],
        ]
    )


def _lines(*lines: Any) -> FloatArray:
    """Several lines as one, with breaks between."""
    gap = np.full((1, 2), np.nan)
    return np.vstack([part for line in lines for part in (np.asarray(line), gap)])[:-1]


def _handle(
    name: str, label: str, start: tuple[float, float], reach: tuple[float, float]
) -> Handle:
    return Handle(
        name=name,
        label=label,
        x=f"{name}_x_mm",
        y=f"{name}_y_mm",
        x_limits=(-reach[0], reach[0]),
        y_limits=(-reach[1], reach[1]),
        start=start,
        step=0.25,
        at=f"{name}_at",
        says=f"{name}_says",
    )


_HURRIED = {
    "toe_ground": (5.0, 1.0),
    "toe_coronet": (-3.0, 5.0),
    "heel_coronet": (8.0, -4.0),
    "heel_ground": (6.0, 2.0),
    "stick_a": (0.0, 3.0),
    "stick_b": (1.0, -5.0),
}
#: Each reader's fifth placing in `datasets.readings()`, as far as it is from the truth.
READERS = {
    "first": {
        "toe_ground": (-0.2, -0.4),
        "toe_coronet": (0.7, -1.1),
        "heel_coronet": (0.3, -0.8),
        "heel_ground": (-0.5, -0.6),
    },
    "second": {
        "toe_ground": (-2.8, 0.4),
        "toe_coronet": (1.0, -1.5),
        "heel_coronet": (5.0, -0.4),
        "heel_ground": (-0.5, -0.1),
    },
}


def _offsets(placed: dict[str, tuple[float, float]]) -> dict[str, float]:
    """A placing as values; the ends of the stick are hit where nothing is said."""
    whole = {"stick_a": (0.0, 0.0), "stick_b": (0.0, 0.0), **placed}
    return {
        f"{name}_{axis}_mm": value
        for name, at in whole.items()
        for axis, value in zip("xy", at, strict=True)
    }


_CAREFUL = _offsets(dict.fromkeys(_MARKS, (0.0, 0.0)))
_STRAIGHT = {
    "yaw_deg": 0.0,
    "look_down_deg": 0.0,
    "roll_deg": 0.0,
    "distance_m": 1.0,
    "stick_nearer_mm": 0.0,
}
_RING = Style(colour="blue", mark="ring", size=22, width=2)

MEASURING = Figure(
    name="measuring",
    title="A drawn photograph to measure: scale, level, four points, and what they are worth",
    sliders=(
        Slider("yaw_deg", "Camera turned", "degrees", -30, 30, step=1, start=0),
        Slider("look_down_deg", "Looking down", "degrees", 0, 40, step=1, start=0),
        Slider("roll_deg", "Held crooked", "degrees", -10, 10, step=0.5, start=0),
        Slider("distance_m", "Distance", "m", 0.5, 4, step=0.1, start=1),
        Slider("stick_nearer_mm", "Stick nearer", "mm", 0, 100, step=5, start=0),
    ),
    handles=(
        _handle("toe_ground", "1 Toe at the ground", _HURRIED["toe_ground"], (25, 20)),
        _handle("toe_coronet", "2 Toe at the hairline", _HURRIED["toe_coronet"], (25, 25)),
        _handle("heel_coronet", "3 Heel at the hairline", _HURRIED["heel_coronet"], (25, 25)),
        _handle("heel_ground", "4 Heel at the ground", _HURRIED["heel_ground"], (25, 20)),
        _handle("stick_a", "Foot of the stick", _HURRIED["stick_a"], (15, 15)),
        _handle("stick_b", "Top of the stick", _HURRIED["stick_b"], (15, 15)),
    ),
    presets=(
        Preset(label="In a hurry", values=_offsets(_HURRIED)),
        Preset(label="With care", values=_CAREFUL),
        Preset(label="Reader one", values=_offsets(READERS["first"])),
        Preset(label="Reader two", values=_offsets(READERS["second"])),
        Preset(label="Camera square", values=_STRAIGHT),
        Preset(
            label="Standing up",
            values={**_STRAIGHT, "look_down_deg": 35.0, "distance_m": 1.6},
        ),
    ),
    presets_label="Points or camera",
    more=("roll_deg", "stick_nearer_mm"),
    table=table,
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            x_limits=_PICTURE_X,
            y_limits=_PICTURE_Y,
            equal=True,
            axes=False,
            width=386,
            height=262,
            narrow=Narrow(height=243),
            fixed=(
                box(
                    _PICTURE_X,
                    _PICTURE_Y,
                    "paper",
                    edge="grey",
                    width=3,
                ),
            ),
        ),
        Panel(
            x_limits=(-_SHOWN_DEG, _SHOWN_DEG),
            y_limits=(0.25, 4.9),
            x_label="off the truth (degrees)",
            y_label="angles read (degrees)",
            width=381,
            height=262,
            x_ticks=(-20, -10, 0, 10, 20),
            y_ticks=tuple((row, "") for _, _, row in _ROWS),
            grid=False,
            narrow=Narrow(hide=True),
            fixed=(
                upright_line(0, (0.25, 4.3), colour="ink", width=2, dash=(10, 6)),
                upright_line(-5, (0.25, 4.0), width=1.5, dash=(2, 4)),
                upright_line(5, (0.25, 4.0), width=1.5, dash=(2, 4)),
                fixed_words(
                    "thick: your hand, once; thin: against a second time",
                    -19.4,
                    4.62,
                    colour="quiet",
                    size=14,
                ),
                fixed_words("truth", 0.5, 0.45, colour="quiet", size=14),
            ),
        ),
    ),
    series=(
        Series(
            "area", "floor", style=Style(colour="grey", fill="grey", fill_strength=0.25, width=0)
        ),
        *side_series(),
        Series(
            "area",
            "stick",
            style=Style(colour="black", fill="yellow", fill_strength=0.8, width=1.5),
        ),
        Series("line", "stick_ticks", style=Style(colour="black", width=1.5)),
        Series(
            "words",
            "stick_words_at",
            words="stick_words",
            style=Style(colour="ink", size=14, align="centre"),
        ),
        Series("line", "level", style=Style(colour="vermillion", width=2, dash=(8, 4))),
        Series("line", "walls", style=Style(colour="vermillion", width=2.5)),
        Series("line", "coronet", style=Style(colour="vermillion", width=2, dash=(3, 3))),
        Series("line", "measured_stick", style=Style(colour="vermillion", width=2)),
        Series("area", "discs", style=Style(colour="blue", width=0, fill="sky", fill_strength=0.8)),
        Series("points", "points", style=_RING),
        Series("points", "ends", style=_RING),
        *(
            Series(
                "words",
                f"number_{place}_at",
                words=f"number_{place}",
                style=Style(colour="ink", size=16, align="centre"),
            )
            for place in range(1, 5)
        ),
        Series("line", "second", panel=1, style=Style(colour="grey", width=1.5)),
        Series("line", "bars", panel=1, style=Style(colour="blue", width=4)),
        Series("points", "marks", panel=1, style=Style(colour="vermillion", size=13)),
        *(
            Series(
                "words",
                f"{name}_words_at",
                words=f"{name}_words",
                panel=1,
                style=Style(colour="ink", size=14),
            )
            for _, name, _ in _ROWS
        ),
    ),
    note=(
        "Drawn by us, so that the truth is known; the foot is invented. The disc in each ring "
        "holds 19 of 20 placings of a steady hand, as the bars do (typical values, ours)."
    ),
)
