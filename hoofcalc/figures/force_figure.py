"""Lesson 02's figure: the push of the ground through a stance, and the foot's travel before it.

Take hold of the arrow, or play the stance. Arrow and curves are drawn in the horse's own weight,
so that no gait leaves the picture; the numbers are in newtons. The forces are those of
`hoofcalc.ground_force`. The foot, its film and so its path of travel are the invented yard's; the
limb above the foot is a sketch.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._inputs import FloatArray
from hoofcalc.figures.foot import foot_from_side
from hoofcalc.figures.limb import ASIDE, PUSH, TRAVEL, UP, foot_and_limb, foot_and_limb_series
from hoofcalc.figures.said import digits
from hoofcalc.figures.scene import (
    Fixed,
    Narrow,
    Panel,
    Series,
    Style,
    fixed_words,
    level_line,
    rectangle,
)
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
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

_MM_PER_WEIGHT = 165.0  # the arrow's scale
_HIGHEST, _LOWEST = 2.85, -2.05  # of the curves, in the horse's weight
_ZERO = -1.0  # where the lower strip has its zero, on the upper strip's scale
_MAGNIFIED = 3.0  # the lower strip's scale over the upper's
_HAND_MM = 1.5  # so far the hand pulls the arrow's tip for each per cent of the stance
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

    estimate, measured, error_percent = _peaks_n(gait, limb, mass_kg, duty_factor)
    weight_n = mass_kg * GRAVITY_M_S2

    toe, pitch = _pose(film, moment)
    foot, parts = _foot()
    drawn = foot_and_limb(
        foot, toe, pitch, _LIMB_SWING_DEG * (1 - 2 * min(moment, 1.0)), parts=parts
    )
    back_and_up = np.column_stack([-aside, up])
    lean = float(tilt_deg(up[-1], aside[-1])) if loaded else 0.0
    stance_s = duty_factor * film["stride_s"]
    return {
        **(dict.fromkeys(drawn, _NONE) if unseen else drawn),
        "path": film["path"],
        "ghost": film["ghost"],
        "path_says": (f"path: {film['descent_deg']:.0f}°" if film["filmed"] else "not filmed"),
        "path_says_at": np.array([[-322.0, 30.0]]),
        **_arrow(_acts_at(foot, pitch), back_and_up / weight_n, moment_percent, loaded=loaded),
        **_said_beside(float(np.hypot(up[-1], aside[-1])), lean, loaded=loaded, aloft=aloft),
        "moment_says": f"{moment_percent:g} per cent of the stance",
        **_estimated(estimate / weight_n, peak / weight_n, measured, weight_n),
        **_curves(back_and_up / weight_n, moment_percent, stance_s),
        "loaded": loaded,
        "filmed": film["filmed"],
        "up_n": float(up[-1]),
        "aside_n": float(aside[-1]),
        "lean_deg": lean,
        "peak_n": peak,
        "peak_sure": force.how_sure,
        "weight_n": weight_n,
        "stance_s": stance_s,
        "estimate_n": estimate,
        "error_percent": error_percent,
        "measured_n": measured,
        "travel_deg": _travel_deg(film, moment),
        "lands_deg": film["descent_deg"],
        "in_impact": not aloft and moment * stance_s <= IMPACT_PHASE_S[1],
        "usual": film["usual"],
        "duty_factor": duty_factor,
        "no_such_gait": asked != duty_factor,
    }


def _arrow(
    at: FloatArray, push: FloatArray, moment_percent: float, *, loaded: bool
) -> dict[str, Any]:
    """The push at its place: its fan through the stance, itself with its parts, and its words.

    The pushes, back and up, are in parts of the weight: through the stance, in the fan, and now.
    """
    tips = at + _MM_PER_WEIGHT * push[len(_MOMENTS) :]
    fan = np.full((3 * len(_FAN), 2), np.nan)
    fan[0::3], fan[1::3] = at, tips[:-1]
    tip, standing = tips[-1], np.array([[at[0], 0.0], [at[0], tips[-1, 1]]])
    beside = np.array([[max(tip[0], at[0]) + 18, np.clip(tip[1] - 8, 60, 430)]])
    if not loaded:
        beside = np.array([[at[0] + 18, 150.0]])
    # where no arrow is drawn, the hand still moves along with the moment
    hand_mm = _HAND_MM * (moment_percent - np.clip(moment_percent, 20, 80))
    return {
        "fan": fan if moment_percent >= 0 else _NONE,
        "standing": standing if loaded else _NONE,
        "aside": np.array([standing[1], tip]) if loaded else _NONE,
        "push": np.array([at, tip]) if loaded else _NONE,
        "push_says_at": beside,
        "push_says_too_at": beside - [0, 30],
        "push_at": tip[None] if loaded else at[None] + [[hand_mm, 60.0]],
    }


def _estimated(
    estimate: float, peak: float, measured: tuple[float, ...] | None, weight_n: float
) -> dict[str, Any]:
    """The estimate's half sine and the measured peaks, in parts of the weight."""
    top = max(peak, estimate, *(one / weight_n for one in measured or (0.0,)))
    return {
        "half_sine": np.column_stack([100 * _MOMENTS, estimate * np.sin(np.pi * _MOMENTS)]),
        "measured": (
            rectangle(28.0, 72.0, measured[0] / weight_n, measured[2] / weight_n)
            if measured
            else _NONE
        ),
        "estimate_at": np.array([[99.0, top + 0.4] if top < _HIGHEST - 0.75 else [84.0, 0.5]]),
        "estimate_says": "dashed: estimate" + (", box: 2 in 3 measured" if measured else ""),
    }


def _curves(push: FloatArray, moment_percent: float, stance_s: float) -> dict[str, Any]:
    """Both parts of the push through the stance and now, in parts of the weight; the impact."""
    back, up = push.T
    wave = _ZERO - _MAGNIFIED * back
    many, percent = len(_MOMENTS), 100 * _MOMENTS
    sure, impact = (100 * time / stance_s for time in IMPACT_PHASE_S)
    aloft, here = moment_percent < 0, 100 * np.clip(moment_percent / 100, 0.0, 1.0)
    return {
        "impact": _box(0.0, impact),
        "impact_sure": _box(0.0, sure),
        "impact_says": "impact: not drawn",
        "impact_at": np.array([[1.0, _HIGHEST - 0.12]]),
        "vertical": np.column_stack([percent, up[:many]]),
        "fore_aft": np.column_stack([percent, wave[:many]]),
        "now": np.array([[moment_percent, _LOWEST], [moment_percent, _HIGHEST]]),
        "now_up": _NONE if aloft else np.array([[here, up[-1]]]),
        "now_aside": _NONE if aloft else np.array([[here, wave[-1]]]),
        "now_at": np.array([[moment_percent, 0.0 if aloft else up[-1]]]),
    }


def _peaks_n(
    gait: str, limb: str, mass_kg: float, duty_factor: float
) -> tuple[float, tuple[float, ...], float]:
    """The estimated peak, what two in three measured lie between, and the estimate's error [%]."""
    pair = "fore" if limb.endswith("fore") else "hind"
    share = FORE_PAIR_SHARES[gait] if pair == "fore" else 1 - FORE_PAIR_SHARES[gait]
    estimate = float(peak_vertical_n(mass_kg, duty_factor, share))
    error = PEAK_ESTIMATE_ERROR.get(gait)
    if gait == "canter" and pair == "fore":
        error = PEAK_ESTIMATE_ERROR[f"canter {limb.split()[0]}"]
    if error is None:
        return estimate, (), 0.0
    # estimate = measured x (1 + error); two in three within one spread
    off = error.percent + np.array([1, 0, -1]) * error.spread_percent
    return estimate, tuple(float(value) for value in estimate / (1 + off / 100)), error.percent


def _said_beside(push_n: float, lean_deg: float, *, loaded: bool, aloft: bool) -> dict[str, str]:
    """The two lines beside the arrow."""
    if loaded:
        return {"push_says": f"{digits(push_n)} N", "push_says_too": _lean_words(lean_deg)}
    if aloft:
        return {"push_says": "in the air:", "push_says_too": "no push"}
    return {"push_says": "hardly", "push_says_too": "any push"}


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
    moment, gait = values["moment_percent"], values["gait"]
    if results["no_such_gait"]:
        return (
            f"No {gait} is known in which a foot stands for {values['duty_factor']:g} of the "
            f"stride: drawn for **{results['duty_factor']:.3g}**."
        )
    if moment < 0:
        if not results["filmed"]:
            return "The foot is in the air and **nothing pushes on it**; no gallop was filmed."
        return (
            f"In the air the foot travels {results['travel_deg']:.0f}° forward of straight down, "
            "and **nothing pushes on it**."
        )
    if not results["loaded"]:
        ends = "touches" if moment < 50 else "leaves"
        return (
            f"The foot just {ends}: there is **hardly any push**, too little to have a direction."
        )
    total = digits(np.hypot(results["up_n"], results["aside_n"]))
    lean = _lean_words(results["lean_deg"], long=True)
    if results["in_impact"]:
        return (
            f"{moment:g}\u00a0% into the stance the impact is on: **don't trust** this arrow of "
            f"{total}\u00a0N, {lean}."
        )
    does = "the limb brakes" if results["aside_n"] > 0 else "the limb pushes off"
    if abs(results["lean_deg"]) < _UPRIGHT_DEG:
        does = "between braking and pushing off"
    when = f"{moment:g}\u00a0% into the stance"
    return f"{when} the ground pushes with {total}\u00a0N, **{lean}**: {does}."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers of the moment, of the whole stance and of the estimate.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Forces, lean, peak and its estimate with its published error, times.
    """
    rows = []
    if values["moment_percent"] >= 0:
        lean = f"{results['lean_deg']:+z.1f}" if results["loaded"] else "none worth stating"
        rows = [
            Row("push, up", digits(results["up_n"]), unit="N"),
            Row("push, back (forward below zero)", digits(results["aside_n"]), unit="N"),
            Row("lean, back (forward below zero)", lean, unit="degrees"),
        ]
    low, high = results["usual"]
    measured = results["measured_n"]
    interval = "not published"
    if measured:
        interval = f"two in three measured: {digits(measured[0])} to {digits(measured[2])}"
    elif values["gait"] == "gallop":
        interval = "published peaks up to a fifth apart"
    rows += [
        Row.sure("greatest push up, drawn", results["peak_sure"]),
        Row(
            "the same",
            digits(results["peak_n"] / results["weight_n"]),
            unit="times the horse's weight",
        ),
        Row(
            "greatest push, estimated from the duty factor",
            digits(results["estimate_n"]),
            interval=interval,
            unit="N",
        ),
        Row(
            "duty factor",
            f"{results['duty_factor']:.3g}",
            interval=f"usual: {low:.2f} to {high:.2f}",
        ),
        Row("stance", f"{1000 * results['stance_s']:.0f}", unit="ms"),
        Row(
            "direction of travel at contact, forward of straight down",
            f"{results['lands_deg']:.0f}" if results["filmed"] else "not filmed",
            unit="degrees" if results["filmed"] else "",
        ),
    ]
    return (*rows, *in_and_out(results["peak_sure"]))


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
            f"a foot on the ground with an arrow of {digits(results['up_n'])} newtons up "
            f"from it, {_lean_words(results['lean_deg'], long=True)}, and its two parts; behind "
            "the foot the dashed grey path on which it came in"
        )
    humps = "with two humps" if values["gait"] == "walk" else "as a single hill"
    return (
        f"Left: {shows}. Right: over the stance, the vertical force {humps} up to "
        f"{digits(results['peak_n'])} newtons beside the dashed half-sine of the estimate; below "
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


def _lean_words(lean_deg: float, *, long: bool = False) -> str:
    """A lean in words."""
    if abs(lean_deg) < _UPRIGHT_DEG:
        return "straight up" if long else "upright"
    side = "back" if lean_deg > 0 else "forward"
    if long:
        return f"leaning {abs(lean_deg):.0f}° {side}"
    return f"{abs(lean_deg):.1f}° {side}"


def _box(left: float, right: float) -> FloatArray:
    """A part of the stance over both strips."""
    return rectangle(left, right, _LOWEST, _HIGHEST)


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
        label=gait.capitalize(),
        note=limb.removesuffix(" fore"),
        values={"gait": gait, "limb": limb, "duty_factor": _TYPICAL[gait, limb]},
    )
    for gait, limb in _TYPICAL
)

_FOOT_PX, _HIGH_PX = 331, 330


def _corner_words() -> tuple[Fixed, ...]:
    """What the two strips show, at the thing."""
    return (
        fixed_words("up", _BEFORE + 1, 0.18, colour="ink", size=14),
        fixed_words("back: brakes", 99, _ZERO + 0.75, colour="ink", size=14, align="right"),
        fixed_words("forward: pushes off", 99, _ZERO - 0.85, colour="ink", size=14, align="right"),
    )


GROUND_FORCE = Figure(
    name="ground-force",
    title="The push of the ground through a stance, and the travel before it",
    sliders=(
        Slider(
            name="moment_percent",
            label="Through the stance",
            unit="%",
            minimum=_BEFORE,
            maximum=100,
            step=1,
            start=26,
            says=lambda moment: f"{moment:g}\u00a0%" if moment >= 0 else "in the air",
        ),
        Slider(
            name="duty_factor",
            label="Duty factor",
            unit="of the stride",
            minimum=0.18,
            maximum=0.7,
            step=0.005,
            start=0.38,
            says=lambda duty: f"{duty:.3g}",
        ),
        Slider("mass_kg", "Mass of the horse", "kg", 150, 750, step=10, start=500),
    ),
    play="moment_percent",
    choices={"gait": "trot", "limb": "fore"},
    presets=_PRESETS,
    presets_label="Gait and limb",
    handles=(
        Handle(
            name="push",
            label="The push of the ground",
            kind="along x",
            x="moment_percent",
            at="push_at",
            says="moment_says",
            per=_HAND_MM,
        ),
        Handle(
            name="moment",
            label="The moment on the curve",
            kind="along x",
            x="moment_percent",
            at="now_at",
            says="moment_says",
            panel=1,
        ),
    ),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(
        Panel(
            x_limits=(-330, 150),
            y_limits=(-28, 462),
            equal=True,
            axes=False,
            width=_FOOT_PX,
            height=_HIGH_PX,
            narrow=Narrow(height=240, x_limits=(-330, 200), y_limits=(-28, 420)),
            fixed=(Fixed("ground", ((-330.0, 0.0), (200.0, 0.0))),),
        ),
        Panel(
            x_limits=(_BEFORE - 5, 100),
            y_limits=(_LOWEST, _HIGHEST),
            x_label="part of the stance (%)",
            y_label="push (horse's weight = 1)",
            width=778 - 11 - _FOOT_PX,
            height=_HIGH_PX,
            narrow=Narrow(hide=True),
            x_ticks=(0, 25, 50, 75, 100),
            y_ticks=(
                *((_ZERO + _MAGNIFIED * at, f"{abs(at):g}") for at in (-0.2, 0.0, 0.2)),
                *((float(at), f"{at}") for at in (0, 1, 2)),
            ),
            fixed=(
                level_line((_BEFORE, 100), 0),
                level_line((_BEFORE, 100), 1.0, dash=(2, 4)),
                level_line((_BEFORE, 100), _ZERO),
                *_corner_words(),
            ),
        ),
    ),
    series=(
        *foot_and_limb_series(),
        Series("line", "path", style=TRAVEL),
        Series("line", "ghost", style=Style(colour="grey", width=2, dash=(5, 4))),
        Series("line", "fan", style=Style(colour="sky", width=1.5)),
        Series("line", "standing", style=UP),
        Series("line", "aside", style=ASIDE),
        Series("arrow", "push", style=PUSH),
        Series("words", "path_says_at", words="path_says", style=Style(colour="quiet", bold=False)),
        *(
            Series(
                "words",
                f"push_says{line}_at",
                words=f"push_says{line}",
                style=Style(colour="ink", size=16),
            )
            for line in ("", "_too")
        ),
        Series(
            "area",
            "impact",
            panel=1,
            style=Style(colour="pale", width=0, fill="pale", fill_strength=0.5),
        ),
        Series(
            "area",
            "impact_sure",
            panel=1,
            style=Style(colour="pale", width=0, fill="pale", fill_strength=0.9),
        ),
        Series(
            "words",
            "impact_at",
            words="impact_says",
            panel=1,
            style=Style(colour="quiet", bold=False),
            wide_only=True,
        ),
        Series(
            "area",
            "measured",
            panel=1,
            style=Style(colour="green", width=1, fill="green", fill_strength=0.3),
        ),
        Series("line", "half_sine", panel=1, style=Style(colour="green", width=2.5, dash=(7, 4))),
        Series(
            "words",
            "estimate_at",
            words="estimate_says",
            panel=1,
            style=Style(colour="quiet", align="right", bold=False),
            wide_only=True,
        ),
        Series("line", "vertical", panel=1, style=UP),
        Series("line", "fore_aft", panel=1, style=ASIDE),
        Series("line", "now", panel=1, style=Style(colour="ink", width=1.5)),
        *(
            Series(
                "points", f"now_{part}", panel=1, style=Style(colour="ink", mark="square", size=11)
            )
            for part in ("up", "aside")
        ),
    ),
    note=(
        "Foot, film and path are invented, of the yard Brackenfold; the limb is a sketch. The "
        "arrow is in true direction. The curve along the ground is drawn three times larger. At "
        "canter the sizes of the force along the ground are assumed, at walk and gallop taken "
        "over from the trot: trust their signs only. Grey: the impact, some 30 to 50 ms, which "
        "these curves leave out."
    ),
)
