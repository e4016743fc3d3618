"""Lesson 07's figure: take hold of the push and of the place where it acts; see the rim work.

The mechanics are those of `hoofcalc.loadpath`. The feet are the invented yard's; the size of the
push is a published one.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._curves import running_fit
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule
from hoofcalc.figures.foot_in_space import moved_to
from hoofcalc.figures.said import lean_says
from hoofcalc.figures.scene import Narrow, Panel, Scale, Series, Style, level_line
from hoofcalc.figures.solid_foot import flat, foot_tiles
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
from hoofcalc.figures.story_capsule import story_capsule
from hoofcalc.figures.whole_foot import SKIN_SERIES, pastern_axis, seen_skin, whole_foot
from hoofcalc.horn import Horn, horn_at
from hoofcalc.loadpath import (
    PARTS,
    along_across,
    force_vector,
    obliquity_deg,
    share_on_hard_ground,
    share_out,
    wall_stress,
    worked_parts,
)
from hoofcalc.profile import Profile, error_of

#: A fore foot's peak at the trot, 11.59 N/kg for 500 kg (Merkens et al. 1993).
PUSH_N = 5795.0
#: Water in the horn [%]; in the middle of the published natural values.
WATER_PERCENT = 25.0
#: Where the push acts at first, from heels to toe, and what frog, bars and sole carry [parts].
CENTRE, OTHERS = 0.6, 0.2

_STORIES = ("in line", "run under", "too upright")
_VIEW = (-30.0, 15.0)  # from where the foot in space is seen [degrees]
_MIDDLE = np.array([50.0, 0.0, 14.0])  # of that foot [mm]
_ARROW_MM, _MM_PER_DEG = 70.0, 3.0  # the push; its tail leans further than it does, to be seen
_SMOOTH = 9  # strips, of 49, over which the curve of the rim is smoothed
_HALF_WORD = 16.0  # a name on the rim's curve reaches so far to each side [places]
_MOST = 5.6  # the strip of work ends here [times]
_COVERS, _LEAVES_OUT = "placing the points", "how the camera and the foot stood"
_SCALE = Scale(title="work, times Fernlow's heel", bounds=(1.0, 1.5, 2.0, 2.5, 3.0))


def compute(
    *,
    story: str,
    tilt_deg: float,
    other_percent: float,
    hard_percent: float,
    aside_mm: float,
    forward_mm: float,
) -> dict[str, Any]:
    """The push shared out round the rim, its parts, and how hard the wall works.

    Parameters
    ----------
    story
        Which of the three feet.
    tilt_deg
        Lean of the push from the vertical, positive back (braking) [degrees].
    other_percent
        Part of the push that frog, bars and sole carry [%].
    hard_percent
        How the ground shares it: 0 evenly, 100 as flat, hard ground does [%].
    aside_mm, forward_mm
        Where it acts: right of the mid-line, and in front of the heels [mm].

    Returns
    -------
    dict
        Points for every series, and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the push acts outside the foot.
    """
    foot = story_capsule(story)
    force = force_vector(PUSH_N, tilt_deg)
    heel = float(foot.ground[0, 0])
    centre = np.array([heel + forward_mm, -aside_mm])
    strips = share_out(foot, force, centre, other_percent / 100)
    if hard_percent:
        hard = share_on_hard_ground(foot, force, centre, _horn(), other_percent / 100)
        strips = strips + hard_percent / 100 * (hard - strips)
    one = _fernlows_heel_mpa()
    rough = wall_stress(foot, strips, _horn()).worked_mpa / one
    times = np.maximum(running_fit(rough, _SMOOTH), 0.0)
    parts = worked_parts(foot, strips, _horn()) / one
    along, across = along_across(foot, np.broadcast_to(force, foot.ground.shape))
    whole = float(np.linalg.norm(force))
    places = np.linspace(-100.0, 100.0, len(times))
    return {
        **_from_above(story, times, aside_mm, forward_mm),
        **_in_space(story, times, tilt_deg, centre),
        "along": np.column_stack([places, 100 * along / whole]),
        "across": np.column_stack([places, 100 * across / whole]),
        **_beside_at_toe(along[len(along) // 2] / whole, across[len(across) // 2] / whole),
        "along_words": "along",
        "across_words": "across",
        "work": np.column_stack([places, times]),
        "work_area": np.vstack([[-100.0, 0.0], np.column_stack([places, times]), [100.0, 0.0]]),
        **_part_words(parts, places, times),
        "times": dict(zip(PARTS, parts.tolist(), strict=True)),
        **_why(obliquity_deg(foot, force)),
        "wall_n": float(strips[:, 2].sum()),
        "heel_percent": (100 * along[0] / whole, 100 * across[0] / whole),
        "lifted_percent": 100 * float(np.mean(strips[:, 2] <= 0)),
        "centre_percent": 100 * forward_mm / float(np.ptp(foot.ground[:, 0])),
    }


def _from_above(
    story: str, times: FloatArray, aside_mm: float, forward_mm: float
) -> dict[str, Any]:
    """The foot from above, toe up: rim coloured by its work, frog, and the centre of force."""
    foot = story_capsule(story)
    origin = np.array([foot.ground[0, 0], 0.0])
    outer = foot.ground[:, :2] - origin
    inner = 2 * (foot.bearing_points_mm - origin) - outer
    page = np.array([[0.0, 1.0], [-1.0, 0.0]])  # forward goes up, left stays left
    outer, inner = outer @ page, inner @ page
    quads = np.stack([outer[:-1], outer[1:], inner[1:], inner[:-1]], axis=1)
    gap = np.full((len(quads), 1, 2), np.nan)
    long, wide = float(np.ptp(outer[:, 1])), float(np.ptp(outer[:, 0]))
    frog = np.array([[-0.2, 0.0], [-0.13, 0.25], [0.0, 0.6], [0.13, 0.25], [0.2, 0.0], [0, 0.08]])
    bar = np.array([[0.0, 0.0], [0.0, 0.0], [np.nan, np.nan], [0.0, 0.0], [0.0, 0.0]])
    bar[0], bar[1] = inner[0], [0.16 * wide, 0.38 * long]
    bar[3], bar[4] = inner[-1], [-0.16 * wide, 0.38 * long]
    where = "on the mid-line"
    if aside_mm:
        where = f"{abs(aside_mm):.0f} mm to the {'right' if aside_mm > 0 else 'left'}"
    return {
        "sole": inner,
        "frog": frog * [wide, long],
        "bar_lines": bar,
        "rim": np.concatenate([quads, gap], axis=1).reshape(-1, 2)[:-1],
        "rim_times": np.maximum(times[:-1], times[1:]),
        "centre": np.array([[aside_mm, forward_mm]]),
        "centre_says": f"{forward_mm:.0f} mm in front of the heels, {where}",
        "centre_words_at": np.array([[aside_mm, forward_mm - 20]]),
        "centre_words": "centre",
    }


def _in_space(
    story: str, times: FloatArray, tilt_deg: float, centre_mm: FloatArray
) -> dict[str, Any]:
    """The foot in space with the push as an arrow; its tail is taken hold of."""
    tiles, values = foot_tiles(_turned_foot(story), times, *_VIEW, wall_only=True)
    tip = flat(np.append(centre_mm, 0.0) - _MIDDLE, *_VIEW)[0]
    tail = tip + np.array([_MM_PER_DEG * tilt_deg, -_ARROW_MM])
    lean = lean_says(tilt_deg)
    return {
        **_skin(story),
        "tiles": tiles,
        "tile_times": values,
        "push": np.stack([tail, tip]),
        "push_handle": tail[None],
        "push_says": f"leans {lean}",
        "push_at": np.array([[-126.0, -52.0]]),
        "push_words": lean,
    }


def _why(angle_deg: FloatArray) -> dict[str, Any]:
    """What makes the rim's curve rise and fall: how far the horn stands off the push."""
    back = len(angle_deg) // 2
    at = {"heel": 0, "quarter": back // 2, "toe": back}
    angles = ", ".join(f"{part} {angle_deg[strip]:.0f}°" for part, strip in at.items())
    return {
        "angle": angle_deg,
        "why_at": np.array([[100.0, _MOST + 1.7]]),
        "why_words": f"horn off the push: {angles}",
    }


def _beside_at_toe(along: float, across: float) -> dict[str, Any]:
    """Where the names of the two curves stand, at the toe: over the upper, under the lower."""
    upper, lower = 100 * max(along, across), 100 * min(along, across)
    over = upper + 14.0 if upper < 84.0 else upper - 15.0
    places = {along >= across: over, along < across: lower - 14.0}
    return {
        "along_at": np.array([[0.0, places[True]]]),
        "across_at": np.array([[0.0, places[False]]]),
    }


def _part_words(parts: FloatArray, places: FloatArray, times: FloatArray) -> dict[str, Any]:
    """Toe, quarter and heel on the unrolled rim, each with its number."""
    found: dict[str, Any] = {}
    most = int(parts.argmax())
    for number, (part, place) in enumerate(zip(PARTS, (0.0, 48.0, 86.0), strict=True)):
        words = f"{part} {parts[number]:.1f}×"
        near = times[np.abs(places - place) <= _HALF_WORD]
        at = np.array([[place, float(near.max()) + 1.0]])
        found |= {f"{part}_at": at, f"{part}_words": words}
        found[f"{part}_hardest_at"] = at if number == most else np.empty((0, 2))
        if number == most:
            found[f"{part}_at"] = np.empty((0, 2))
    return found


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
    horse, times = _horse(values["story"]), results["times"]
    part = max(times, key=times.__getitem__)
    hardest = f"**{part}: {times[part]:.1f} times** Fernlow's heel"
    across = f"{results['heel_percent'][1]:.0f} parts of 100 go across"
    said = f"{horse}'s wall works hardest at the {hardest}"
    if part == "heel":
        return f"{said}, and {across} there; the toe {times['toe']:.1f} times."
    return f"{said}. At its own heel it is {times['heel']:.1f}, and {across}."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Work, angles, parts of the push, load.
    """
    angle, (along, across) = results["angle"], results["heel_percent"]
    toe, heel = (
        HowSure.from_error(float(angle[strip]), error, "degrees", _COVERS, _LEAVES_OUT)
        for strip, error in zip((len(angle) // 2, 0), _angle_errors(values["story"]), strict=True)
    )
    steep, flat_ = np.radians([max(heel.low, 0.0), min(heel.high, 90.0)])
    parts = {
        "along, heel": (along, np.cos(flat_), np.cos(steep)),
        "across, heel": (across, np.sin(steep), np.sin(flat_)),
    }
    sure = {"push to tubules, toe": toe, "push to tubules, heel": heel} | {
        name: HowSure(value, 100 * low, 100 * high, "% of the push", _COVERS, _LEAVES_OUT)
        for name, (value, low, high) in parts.items()
    }
    unit = "times Fernlow's heel, push straight up"
    one = "no interval: one push, one horn"
    yours = "no interval: you set it"
    centre, lifted = f"{results['centre_percent']:.0f}", f"{results['lifted_percent']:.0f}"
    return (
        *(
            Row(f"work at the {part}", f"{times:.2f}", interval=one, unit=unit)
            for part, times in results["times"].items()
        ),
        *(Row.sure(name, each) for name, each in sure.items()),
        Row("centre of force, from heels to toe", centre, interval=yours, unit="% of the length"),
        Row("carried by the wall", f"{results['wall_n']:.0f}", interval=yours, unit="N"),
        Row("rim that has lifted", lifted, interval=one, unit="%"),
        *in_and_out(toe),
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
        Three sentences.
    """
    works = ", ".join(f"{part} {times:.1f}" for part, times in results["times"].items())
    return (
        f"{_horse(values['story'])}'s foot from above with the centre of force "
        f"{results['centre_says']}, and in space with the push, which {results['push_says']}. "
        "Beside it the rim unrolled from right heel over toe to left heel: how much of the push "
        "goes along the tubules and how much across. Below, how hard the wall works round the "
        f"rim, in times Fernlow's heel: {works}."
    )


@cache
def _turned_foot(story: str) -> Capsule:
    """The foot, moved to where it is seen in space."""
    return moved_to(story_capsule(story), _MIDDLE)


@cache
def _skin(story: str) -> dict[str, Any]:
    """The foot's skin, bulbs and the start of its pastern, which no push changes."""
    profile = Profile(**datasets.story_feet()[story].landmarks)
    whole = whole_foot(story_capsule(story), profile, pastern_axis(profile))
    return seen_skin(whole, _MIDDLE, *_VIEW)


@cache
def _angle_errors(story: str) -> tuple[float, float]:
    """Errors of the angles of toe and heel; the push meets the tubules there no less surely."""
    foot = datasets.story_feet()[story]
    profile = Profile(**foot.landmarks)
    toe, heel = (
        float(error_of(profile, f"{end}_angle_deg", foot.point_error_mm)) for end in ("toe", "heel")
    )
    return toe, heel


@cache
def _horse(story: str) -> str:
    return str(datasets.story_feet()[story].horse)


def heel_work_by_lean(tilts_deg: FloatArray) -> FloatArray:
    """How hard Otterby's heel works under leaning pushes, all at one place.

    Parameters
    ----------
    tilts_deg
        Leans of the push, positive back [degrees].

    Returns
    -------
    array
        Times Fernlow's heel under a push straight up.
    """
    foot = story_capsule("run under")
    centre = (float(foot.ground[0, 0]) + _centre_mm("run under"), 0.0)
    strips = share_out(foot, force_vector(PUSH_N, tilts_deg), centre, OTHERS)
    times: FloatArray = worked_parts(foot, strips, _horn())[:, 2] / _fernlows_heel_mpa()
    return times


@cache
def _fernlows_heel_mpa() -> float:
    """How hard the heel in line is worked under a push straight up: the measure of all."""
    foot = story_capsule("in line")
    heel, toe = float(foot.ground[:, 0].min()), float(foot.ground[:, 0].max())
    centre = (heel + CENTRE * (toe - heel), 0.0)
    strips = share_out(foot, force_vector(PUSH_N, 0.0), centre, OTHERS)
    return float(worked_parts(foot, strips, _horn())[2])


@cache
def _horn() -> Horn:
    """Horn of the middle wall."""
    return horn_at(water_percent=WATER_PERCENT).central


def _centre_mm(story: str) -> float:
    return float(round(CENTRE * float(np.ptp(story_capsule(story).ground[:, 0]))))


_RIM_TICKS = (
    (-100, "right heel"),
    (-50, "quarter"),
    (0, "toe"),
    (50, "quarter"),
    (100, "left heel"),
)
_INK = Style(colour="ink", size=15, align="centre")
_QUIET = Style(colour="ink", size=14, bold=False, align="centre")
_APART = (("", replace(_QUIET, apart=True)), ("_hardest", replace(_INK, apart=True)))


def _ground(percent: float) -> str:
    return {0.0: "gives", 100.0: "flat and hard"}.get(percent, f"{percent:g} % hard")


LOAD_PATH = Figure(
    name="load-path",
    title="Where the push goes along the tubules and where across, and what the wall makes of it",
    sliders=(
        Slider("tilt_deg", "The push leans", "degrees", -8, 8, step=1, start=0, says=lean_says),
        Slider(
            name="other_percent",
            label="Frog and sole carry",
            unit="% of the push",
            minimum=10,
            maximum=40,
            step=5,
            start=20,
            says=lambda percent: f"{percent:g} %",
        ),
        Slider("hard_percent", "The ground", "% hard", 0, 100, step=10, start=0, says=_ground),
    ),
    choices={"story": "run under"},
    presets=tuple(
        Preset(
            label=_horse(story),
            note=story,
            values={"story": story, "aside_mm": 0.0, "forward_mm": _centre_mm(story)},
        )
        for story in _STORIES
    ),
    presets_label="Which foot",
    handles=(
        Handle(
            name="centre",
            label="The centre of force",
            x="aside_mm",
            y="forward_mm",
            at="centre",
            says="centre_says",
            x_limits=(-10.0, 10.0),
            y_limits=(46.0, 86.0),
            start=(0.0, _centre_mm("run under")),
        ),
        Handle(
            name="push",
            label="The push",
            kind="along x",
            x="tilt_deg",
            per=_MM_PER_DEG,
            at="push_handle",
            says="push_says",
            panel=1,
        ),
    ),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(
        Panel(
            x_limits=(-78, 78),
            y_limits=(-12, 132),
            equal=True,
            axes=False,
            width=220,
            height=182,
            narrow=Narrow(height=138),
        ),
        Panel(
            x_limits=(-130, 100),
            y_limits=(-94, 116),
            equal=True,
            axes=False,
            width=240,
            height=182,
            narrow=Narrow(hide=True),
        ),
        Panel(
            x_limits=(-100, 100),
            y_limits=(0, 100),
            x_label="round the rim (evenly)",
            y_label="push along and across (%)",
            width=296,
            height=182,
            x_ticks=((-100, "right heel"), (0, "toe"), (100, "left heel")),
            y_ticks=(0, 50, 100),
            narrow=Narrow(hide=True),
        ),
        Panel(
            title="work of the rim (times Fernlow's heel)",
            x_limits=(-100, 100),
            y_limits=(0, _MOST),
            x_label="",
            width=778,
            height=128,
            stretch=True,
            x_ticks=_RIM_TICKS,
            y_ticks=(0, 2, 4),
            fixed=(level_line((-100, 100), 1.0, width=1.5, dash=(3, 3)),),
            narrow=Narrow(height=124),
        ),
    ),
    series=(
        Series("area", "sole", style=Style(colour="edge", fill="skin", width=1)),
        Series("area", "frog", style=Style(colour="quiet", fill="bulb", width=1)),
        Series("line", "bar_lines", style=Style(colour="horn-line", width=3)),
        Series(
            "tiles", "rim", values="rim_times", scale=_SCALE, style=Style(colour="ink", width=0.5)
        ),
        Series("points", "centre", style=Style(colour="blue", mark="ring", size=22, width=3)),
        Series("words", "centre_words_at", words="centre_words", style=_QUIET),
        *SKIN_SERIES,
        Series(
            "tiles",
            "tiles",
            values="tile_times",
            scale=_SCALE,
            panel=1,
            style=Style(colour="horn-line", width=0.4),
        ),
        Series("arrow", "push", panel=1, style=Style(colour="ink", width=5)),
        Series(
            "words",
            "push_at",
            words="push_words",
            panel=1,
            style=Style(colour="ink", size=14, bold=False),
        ),
        Series("line", "along", panel=2, style=Style(colour="blue", width=3)),
        Series("line", "across", panel=2, style=Style(colour="vermillion", width=3, dash=(8, 4))),
        Series("words", "along_at", words="along_words", panel=2, style=_INK),
        Series("words", "across_at", words="across_words", panel=2, style=_INK),
        Series(
            "area",
            "work_area",
            panel=3,
            style=Style(colour="sky", fill="sky", fill_strength=0.25, width=0),
        ),
        Series("line", "work", panel=3, style=Style(colour="ink", width=3)),
        Series(
            "words",
            "why_at",
            words="why_words",
            panel=3,
            style=Style(colour="quiet", size=14, bold=False, align="right"),
            wide_only=True,
        ),
        *(
            Series("words", f"{part}{which}_at", words=f"{part}_words", panel=3, style=style)
            for part in PARTS
            for which, style in _APART
        ),
    ),
    note=(
        "Invented feet of the yard Brackenfold under one push of 5795 N, a fore foot's peak at "
        "the trot for 500 kg; only its direction and place change. The arrow's lean is drawn "
        "larger than it is. Work: stress in the horn, pressing and bending together, over that of "
        "Fernlow's heel under a push straight up; darker means more. The curve is smoothed over a "
        "fifth of the rim. It compares; it does not foretell."
    ),
)
