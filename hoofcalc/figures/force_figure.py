"""Lesson 02's figure: the push of the ground through a stance, and the foot's travel before it.

The forces are those of `hoofcalc.ground_force`. The foot, its film and so its path of travel are
the invented yard's; the limb above the foot is a sketch.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import foot_from_side
from hoofcalc.figures.limb import (
    ASIDE,
    PUSH,
    TRAVEL,
    UP,
    foot_and_limb,
    foot_and_limb_series,
)
from hoofcalc.figures.scene import (
    Fixed,
    Panel,
    Series,
    Style,
    box,
    fixed_words,
    level_line,
    scale_bar,
)
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.ground_force import (
    DUTY_FACTORS,
    FORE_PAIR_SHARES,
    IMPACT_PHASE_S,
    PEAK_ESTIMATE_ERROR,
    gallop_timing,
    peak_vertical_n,
    stance_force,
    tilt_deg,
)
from hoofcalc.profile import Profile

_MM_PER_N = 0.04  # the arrow's scale
_HIGHEST_N = 12_000.0  # of the curves' upper strip
_ZERO_N = -4_700.0  # where the lower strip has its zero, on the upper strip's scale
_MAGNIFIED = 3.0  # the lower strip's scale over the upper's
_BEFORE = -20.0  # first moment shown [% of a stance]
_MOMENTS = np.linspace(0.0, 1.0, 61)
_FAN = np.linspace(0.1, 0.9, 9)
_LIMB_SWING_DEG = 20.0  # sketch: the cannon leans so far back at contact, forward at lift-off
_UPRIGHT_DEG = 1.0  # less lean than this is called upright
_NONE = np.empty((0, 2))


def compute(
    *, moment_percent: float, mass_kg: float, duty_factor: float, gait: str, limb: str
) -> dict[str, Any]:
    """Foot, push and curves at one moment.

    Parameters
    ----------
    moment_percent
        Part of the stance gone by, below 0 before contact [per cent of the stance].
    mass_kg
        Mass carried [kg].
    duty_factor
        Part of the stride on the ground [-].
    gait, limb
        As for `hoofcalc.ground_force.stance_force`.

    Returns
    -------
    dict
        Points for every series [mm, or per cent and N], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If gait or limb is unknown.
    """
    moment = moment_percent / 100
    aloft = moment < 0
    film = _film(gait, limb)
    unseen = aloft and not film["filmed"]
    now = np.clip(moment, 0.0, 1.0)
    known = DUTY_FACTORS[gait]
    asked, duty_factor = duty_factor, float(np.clip(duty_factor, known.least, known.most))
    force = stance_force(gait, limb, mass_kg, duty_factor, np.concatenate([_MOMENTS, _FAN, [now]]))
    up, aside = force.vertical_n, force.fore_aft_n
    many = len(_MOMENTS)
    peak = float(up[:many].max())
    loaded = not aloft and bool(force.loaded[-1])

    pair = "fore" if limb.endswith("fore") else "hind"
    share = FORE_PAIR_SHARES[gait] if pair == "fore" else 1 - FORE_PAIR_SHARES[gait]
    estimate = float(peak_vertical_n(mass_kg, duty_factor, share))
    error = PEAK_ESTIMATE_ERROR.get(gait)
    if gait == "canter" and pair == "fore":
        error = PEAK_ESTIMATE_ERROR[f"canter {limb.split()[0]}"]
    measured: tuple[float, ...] = ()
    if error is not None:  # estimate = measured x (1 + error); two in three within one spread
        off = error.percent + np.array([1, 0, -1]) * error.spread_percent
        measured = tuple(float(value) for value in estimate / (1 + off / 100))

    toe, pitch = _pose(film, moment)
    foot, parts = _foot()
    drawn = foot_and_limb(
        foot, toe, pitch, _LIMB_SWING_DEG * (1 - 2 * min(moment, 1.0)), parts=parts
    )
    at = _acts_at(foot, pitch)
    tips = at + _MM_PER_N * np.column_stack([-aside, up])
    fan = np.full((3 * len(_FAN), 2), np.nan)
    fan[0::3], fan[1::3] = at, tips[many:-1]
    lean = float(tilt_deg(up[-1], aside[-1])) if loaded else 0.0
    tip, standing = tips[-1], np.array([[at[0], 0.0], [at[0], tips[-1, 1]]])
    beside = np.array([[max(tip[0], at[0]) + 20, np.clip(tip[1] - 8, 100, 475)]])
    stance_s = duty_factor * film["stride_s"]
    impact = [100 * time / stance_s for time in IMPACT_PHASE_S]
    percent = 100 * _MOMENTS
    wave = _ZERO_N + _MAGNIFIED * aside
    here = 100 * now
    return {
        **(dict.fromkeys(drawn, _NONE) if unseen else drawn),
        "path": film["path"],
        "ghost": film["ghost"],
        "path_says": "path of travel:" if film["filmed"] else "path of travel",
        "path_says_too": (
            f"lands {film['descent_deg']:.0f}° forward" if film["filmed"] else "not filmed"
        ),
        "path_says_at": np.array([[-394.0, 50.0]]),
        "path_says_too_at": np.array([[-394.0, 23.0]]),
        "fan": fan if not aloft else _NONE,
        "standing": standing if loaded else _NONE,
        "aside": np.array([standing[1], tip]) if loaded else _NONE,
        "push": np.array([at, tip]) if loaded else _NONE,
        "push_says_at": beside if loaded else np.array([[-20.0, 300.0]]),
        "push_says_too_at": (beside if loaded else np.array([[-20.0, 300.0]])) - [0, 27],
        "push_says": (
            f"{_digits(np.hypot(up[-1], aside[-1]))} N"
            if loaded
            else "in the air:"
            if aloft
            else "hardly"
        ),
        "push_says_too": _lean_words(lean) if loaded else "no push" if aloft else "any push",
        "impact": _box(0.0, impact[1]),
        "impact_sure": _box(0.0, impact[0]),
        "half_sine": np.column_stack(
            [percent, np.minimum(estimate * np.sin(np.pi * _MOMENTS), _HIGHEST_N)]
        ),
        "measured": (
            np.minimum(_rectangle(28.0, 72.0, measured[0], measured[2]), [[100.0, _HIGHEST_N]])
            if measured
            else _NONE
        ),
        "vertical": np.column_stack([percent, np.minimum(up[:many], _HIGHEST_N)]),
        "fore_aft": np.column_stack([percent, wave[:many]]),
        "now": np.array([[moment_percent, _ZERO_N - 3_900], [moment_percent, _HIGHEST_N]]),
        "now_up": np.array([[here, min(up[-1], _HIGHEST_N)]]) if not aloft else _NONE,
        "now_aside": np.array([[here, wave[-1]]]) if not aloft else _NONE,
        "beyond_at": np.array([[50.0, _HIGHEST_N - 700]]) if peak > _HIGHEST_N else _NONE,
        "beyond": f"peak {_digits(peak)} N",
        "loaded": loaded,
        "filmed": film["filmed"],
        "up_n": float(up[-1]),
        "aside_n": float(aside[-1]),
        "lean_deg": lean,
        "peak_n": peak,
        "estimate_n": estimate,
        "error_percent": 0.0 if error is None else error.percent,
        "measured_n": measured,
        "travel_deg": _travel_deg(film, moment),
        "lands_deg": film["descent_deg"],
        "in_impact": not aloft and moment * stance_s <= IMPACT_PHASE_S[1],
        "usual": film["usual"],
        "duty_factor": duty_factor,
        "no_such_gait": asked != duty_factor,
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
        Some short sentences.
    """
    moment, duty = values["moment_percent"], values["duty_factor"]
    where = f"{values['gait'].capitalize()}, {values['limb']} limb, "
    if moment < 0 and not results["filmed"]:
        says = [
            f"{where}{-moment:g} % of a stance before contact: the foot is in the air, and the "
            "ground does not push. The yard has no film of a gallop, so no path of travel is drawn."
        ]
    elif moment < 0:
        says = [
            f"{where}{-moment:g} % of a stance before contact: the foot is in the air, and the "
            f"ground does not push. It travels {results['travel_deg']:.0f} degrees forward of "
            f"straight down, at contact {results['lands_deg']:.0f}. Travel has a direction; there "
            "is no force yet."
        ]
    elif not results["loaded"]:
        ends = "it just touches" if moment < 50 else "it just leaves"
        says = [
            f"{where}{moment:g} % of the stance: {ends}. It hardly carries, and so little force "
            "has no direction worth stating."
        ]
    else:
        lean, aside = results["lean_deg"], results["aside_n"]
        total = float(np.hypot(results["up_n"], aside))
        does = "it brakes" if aside > 0 else "it pushes off"
        if abs(lean) < _UPRIGHT_DEG:
            does = "between braking and pushing off"
        says = [
            f"{where}{moment:g} % of the stance: {does}. The ground pushes up with "
            f"{_digits(results['up_n'])}\u00a0N and {'back' if aside > 0 else 'forward'} with "
            f"{_digits(abs(aside))}\u00a0N: together {_digits(total)}\u00a0N (as "
            f"{_digits(total / GRAVITY_M_S2, 2)}\u00a0kg weigh), {_lean_words(lean, long=True)}."
        ]
        if results["in_impact"]:
            says.append("The impact falls here and is not in these curves: do not trust this yet.")
    says.append(_about_the_peak(values, results))
    low, high = results["usual"]
    if results["no_such_gait"]:
        says.append(
            f"(A {values['gait']} with a duty factor of {duty:g} is not known: drawn for "
            f"{results['duty_factor']:.3g}. Usual: {low:.2f} to {high:.2f}.)"
        )
    elif not low <= duty <= high:
        says.append(f"(Usual at {values['gait']}: {low:.2f} to {high:.2f}.)")
    return " ".join(says)


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
    if values["moment_percent"] < 0 and not results["filmed"]:
        shows = "the bare ground, because no gallop was filmed"
    elif values["moment_percent"] < 0:
        shows = "a foot in the air, on a dashed grey path that comes down forward; no arrow"
    elif not results["loaded"]:
        shows = "a foot on the ground without an arrow"
    else:
        shows = (
            f"a foot on the ground with a black arrow of {_digits(results['up_n'])} newtons up "
            f"from it, {_lean_words(results['lean_deg'], long=True)}, and its two parts; behind "
            "the foot the dashed grey path on which it came in"
        )
    humps = "with two humps" if values["gait"] == "walk" else "as a single hill"
    return (
        f"Left: {shows}. Right: over the stance, the vertical force {humps} up to "
        f"{_digits(results['peak_n'])} newtons beside the dashed half-sine of the estimate; below "
        "it the fore-aft force, first backward, then forward. A line marks the moment at "
        f"{values['moment_percent']:g} per cent."
    )


@lru_cache(maxsize=16)
def _film(gait: str, limb: str) -> dict[str, Any]:
    """How the foot moves in the yard's film: toe and pitch by moment, path, landing, times."""
    usual = datasets.published("gait_timing", "duty_factor", f"{gait}, typical")[0]
    filmed = gait != "gallop"
    # no gallop was filmed: while it stands, the foot is drawn as at canter
    seen = (gait, limb) if filmed else ("canter", f"leading {limb}")
    truth = datasets.track_truth(*seen)
    track = datasets.track(*seen, 1000)
    toe_mark, heel_mark = (np.asarray(track[name]) for name in ("positions_mm", "second_mm"))
    along = toe_mark - heel_mark
    pitch = np.degrees(np.arctan2(along[:, 1], along[:, 0]))
    moment = (np.asarray(track["times_s"]) - truth.contact_s) / (truth.lift_off_s - truth.contact_s)
    # the tip of the toe lies 8 mm in front of its mark and 10 mm below it, turned with the foot
    turn = np.radians(pitch)
    tip = np.column_stack(
        [8 * np.cos(turn) + 10 * np.sin(turn), 8 * np.sin(turn) - 10 * np.cos(turn)]
    )
    toe = toe_mark + tip
    kept = (moment > -0.6) & (moment < 1.005)
    film = {
        "filmed": filmed,
        "moment": moment[kept],
        "toe": toe[kept],
        "pitch": pitch[kept],
        "descent_deg": truth.descent_deg,
        "stride_s": (truth.stride_s if filmed else float(gallop_timing(17.0, limb).stride_s)),
        "usual": (usual.low, usual.high),
        "path": _NONE,
        "ghost": _NONE,
    }
    if filmed:
        foot, parts = _foot()
        coming = np.linspace(-0.6, 0.0, 121)
        places = [_pose(film, part) for part in coming]
        heels = np.array([_placed(foot.heel_ground, *place) for place in places])
        film["path"] = heels[heels[:, 0] > -395.0]
        away = np.array([place[0][0] for place in places])
        outline = np.vstack([parts["foot_wall"], parts["foot_wall"][:1]])
        film["ghost"] = _placed(outline, *places[int(np.argmin(np.abs(away + 250.0)))])
    return film


@lru_cache(maxsize=1)
def _foot() -> tuple[Profile, dict[str, FloatArray]]:
    """The yard's foot in line, and its drawing."""
    foot = Profile(**datasets.story_feet()["in line"].landmarks)
    return foot, foot_from_side(foot)


def _pose(film: Results, moment: float) -> tuple[FloatArray, float]:
    """Where the tip of the toe is [mm], and how far the toe is up [degrees]."""
    times, toe = film["moment"], film["toe"]
    place = np.array([np.interp(moment, times, toe[:, axis]) for axis in (0, 1)])
    return place, float(np.interp(moment, times, film["pitch"]))


def _placed(points: FloatArray, toe: FloatArray, pitch_deg: float) -> FloatArray:
    """Points of the foot where the foot is."""
    foot, _ = _foot()
    cosine, sine = np.cos(np.radians(pitch_deg)), np.sin(np.radians(pitch_deg))
    turn = np.array([[cosine, sine], [-sine, cosine]])
    return np.asarray((points - foot.toe_ground) @ turn + toe)


def _acts_at(foot: Profile, pitch_deg: float) -> FloatArray:
    """Where the arrow starts: under the middle of the foot, near the toe once the heel lifts."""
    lifted = np.clip(-pitch_deg / 8.0, 0.0, 1.0)
    return np.array([-float(foot.bearing_length_mm) * (0.5 - 0.42 * lifted), 0.0])


def _travel_deg(film: Results, moment: float) -> float:
    """Direction of travel: 0 straight down, 90 level forward [degrees]."""
    ahead, before = (_pose(film, min(moment + step, 0.0))[0] for step in (0.004, -0.004))
    forward, up = ahead - before
    return float(np.degrees(np.arctan2(forward, -up)))


def _about_the_peak(values: Values, results: Results) -> str:
    """What the duty factor says of the peak, and how far off that is."""
    says = (
        f"Duty factor {results['duty_factor']:.3g} says peak "
        f"{_digits(results['estimate_n'])}\u00a0N; "
    )
    if values["gait"] == "gallop":
        return (
            f"{says}weight is shared evenly between front and hind here, and published peaks at "
            "one speed lie up to a fifth apart."
        )
    if not results["measured_n"]:
        return f"{says}how far off that is here nobody has published."
    low, _, high = results["measured_n"]
    error, gait = results["error_percent"], values["gait"]
    side = "high" if error > 0 else "low"
    whose = f"at {gait}" if gait != "canter" else f"for this limb at {gait}"
    return (
        f"{says}{whose} that is {abs(error):g}\u00a0% too {side} on average, and about two in "
        f"three measured peaks would lie between {_digits(low)} and {_digits(high)}\u00a0N."
    )


def _lean_words(lean_deg: float, *, long: bool = False) -> str:
    """A lean in words."""
    if abs(lean_deg) < _UPRIGHT_DEG:
        return "upright within a degree" if long else "upright"
    side = "back" if lean_deg > 0 else "forward"
    if long:
        return f"leaning {abs(lean_deg):.1f} degrees {side}"
    return f"{abs(lean_deg):.1f}° {side}"


def _digits(number: float, digits: int = 3) -> str:
    """A number with so many digits that count."""
    return f"{float(f'{number:.{digits}g}'):g}"


def _rectangle(left: float, right: float, low: float, high: float) -> FloatArray:
    return np.array([[left, low], [right, low], [right, high], [left, high]])


def _box(left: float, right: float) -> FloatArray:
    """A part of the stance over both strips."""
    return _rectangle(left, right, _ZERO_N - 3_900, _HIGHEST_N)


#: The presets, trot first; the films' duty factors, at gallop those of 17 m/s on half a hundredth.
_TYPICAL = {
    ("trot", "fore"): 0.38,
    ("trot", "hind"): 0.33,
    ("walk", "fore"): 0.62,
    ("walk", "hind"): 0.60,
    ("canter", "leading fore"): 0.36,
    ("canter", "trailing fore"): 0.34,
    ("gallop", "fore"): 0.185,
    ("gallop", "hind"): 0.225,
}
_PRESETS = tuple(
    Preset(
        label=f"{gait.capitalize()}, {limb}",
        values={"gait": gait, "limb": limb, "duty_factor": _TYPICAL[gait, limb]},
    )
    for gait, limb in _TYPICAL
)

GROUND_FORCE = Figure(
    name="ground-force",
    title="The push of the ground through a stance, and the travel before it",
    sliders=(
        Slider(
            name="moment_percent",
            label="Moment",
            unit="%",
            minimum=_BEFORE,
            maximum=100,
            step=1,
            start=26,
        ),
        Slider(
            name="duty_factor",
            label="Duty factor",
            unit="of stride",
            minimum=0.18,
            maximum=0.7,
            step=0.005,
            start=0.38,
        ),
        Slider(
            name="mass_kg",
            label="Mass",
            unit="kg",
            minimum=150,
            maximum=750,
            step=10,
            start=500,
        ),
    ),
    choices={"gait": "trot", "limb": "fore"},
    page_sliders=("moment_percent",),
    presets=_PRESETS,
    presets_label="Gait and limb:",
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="Foot and push, in true direction",
            x_limits=(-400, 150),
            y_limits=(-45, 510),
            equal=True,
            axes=False,
            width=470,
            height=500,
            fixed=(
                level_line((-400, 150), 0, width=3),
                *scale_bar(-395, -24, 100),
                Fixed(
                    kind="line",
                    points=((-20, -24), (-20 + 2000 * _MM_PER_N, -24)),
                    style=Style(colour="black", width=4.5),
                ),
                fixed_words("2000 N", -10 + 2000 * _MM_PER_N, -25),
            ),
        ),
        Panel(
            title="The two parts of the push",
            x_limits=(_BEFORE, 100),
            y_limits=(_ZERO_N - 3_900, _HIGHEST_N + 4_400),
            x_label="part of the stance (%)",
            y_label="force (thousands of N)",
            legend="upper right",
            width=490,
            height=500,
            x_ticks=tuple(range(-20, 101, 20)),
            y_ticks=(
                *((1000.0 * at, f"{at}") for at in range(0, 13, 2)),
                *((_ZERO_N + 1000.0 * _MAGNIFIED * at, f"{at}") for at in (1, 0, -1)),
            ),
            fixed=(
                box(
                    (_BEFORE, 0),
                    (_ZERO_N - 3_900, _HIGHEST_N + 4_400),
                    "pale",
                    strength=0.5,
                ),
                level_line((_BEFORE, 100), 0),
                level_line((_BEFORE, 100), _ZERO_N),
                fixed_words("up", 99, _HIGHEST_N - 700, colour="blue", align="right"),
                fixed_words("in the air", _BEFORE / 2, 3_200, align="centre"),
                fixed_words("back: brakes", 99, _ZERO_N + 3_150, colour="rust", align="right"),
                fixed_words(
                    "forward: pushes off", 99, _ZERO_N - 3_500, colour="rust", align="right"
                ),
            ),
        ),
    ),
    series=(
        *foot_and_limb_series(),
        Series(kind="line", data="path", style=TRAVEL),
        Series(kind="line", data="ghost", style=Style(colour="grey", width=2, dash=(5, 4))),
        Series(kind="line", data="fan", style=Style(colour="sky", width=1.5)),
        Series(kind="line", data="standing", style=UP),
        Series(kind="line", data="aside", style=ASIDE),
        Series(kind="arrow", data="push", style=PUSH),
        Series(
            kind="words",
            data="path_says_at",
            words="path_says",
            style=Style(colour="grey"),
        ),
        Series(
            kind="words",
            data="path_says_too_at",
            words="path_says_too",
            style=Style(colour="grey"),
        ),
        Series(
            kind="words",
            data="push_says_at",
            words="push_says",
            style=Style(colour="black", size=16),
        ),
        Series(
            kind="words",
            data="push_says_too_at",
            words="push_says_too",
            style=Style(colour="black", size=16),
        ),
        Series(
            kind="area",
            data="impact",
            panel=1,
            style=Style(colour="grey", width=0, fill="yellow", fill_strength=0.25),
        ),
        Series(
            kind="area",
            data="impact_sure",
            panel=1,
            style=Style(colour="grey", width=0, fill="yellow", fill_strength=0.3),
            label="impact, 30 to 50 ms: not in the curves",
        ),
        Series(
            kind="area",
            data="measured",
            panel=1,
            style=Style(colour="green", width=1, fill="green", fill_strength=0.3),
            label="measured peaks, about 2 in 3",
        ),
        Series(
            kind="line",
            data="half_sine",
            panel=1,
            style=Style(colour="green", width=2.5, dash=(7, 4)),
            label="half-sine from the duty factor",
        ),
        Series(kind="line", data="vertical", panel=1, style=UP),
        Series(kind="line", data="fore_aft", panel=1, style=ASIDE),
        Series(kind="line", data="now", panel=1, style=Style(colour="black", width=1.5)),
        Series(
            kind="points",
            data="now_up",
            panel=1,
            style=Style(colour="black", mark="square", size=12),
        ),
        Series(
            kind="points",
            data="now_aside",
            panel=1,
            style=Style(colour="black", mark="square", size=12),
        ),
        Series(
            kind="words",
            data="beyond_at",
            words="beyond",
            panel=1,
            style=Style(colour="blue", align="centre"),
        ),
    ),
    note=(
        "Foot, film and path are invented, of the yard Brackenfold; the limb is a sketch. The "
        "arrow is to scale and in true direction, the fore-aft curve is drawn three times larger "
        "than the vertical one. At canter the sizes of the fore-aft force are assumed, at walk and "
        "gallop taken over from the trot: trust their signs only."
    ),
)
