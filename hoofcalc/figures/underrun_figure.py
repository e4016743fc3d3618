"""Lesson 08's figure: three feet under one push and a fourth beside them, and what becomes of them.

The mechanics are those of `hoofcalc.loadpath`, the drift that of `hoofcalc.cycle`, the rules and
their probabilities those of `hoofcalc.reading`. All feet are the invented yard's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.cycle import FLOOR_DEG, steady_law, through_visits
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style, fixed_words, level_line
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.horn import Horn, horn_at
from hoofcalc.loadpath import force_vector, obliquity_deg, share_out, utilisation
from hoofcalc.profile import Profile
from hoofcalc.reading import Reading, read_foot

#: Weight of the horse that the load is a share of: 500 kg [N].
WEIGHT_N = 500 * GRAVITY_M_S2
WATER_PERCENT = 25.0
#: Where the push acts, from heels to toe, and what frog, bars and sole carry [parts].
CENTRE, OTHERS = 0.6, 0.2
VISITS = 12

_PER_SIDE = 30
_HEEL_PART = 0.75  # the heel: the hindmost quarter of the bearing length
_FLATTEST_DEG, _STEEPEST_DEG = 15.0, 85.0
_MM_PER_N = 0.0036
_CELL_MM = 220.0
_BAR_LEFT_MM, _BAR_HIGH_MM = -74.0, 7.0
_MM_PER_DEG, _MM_PER_PERCENT, _BAR_MOST_MM = 1.1, 0.4, 118.0
_MOST_PERCENT = 999.0

#: Colour and dashes of each foot; the fourth is the learner's choice.
_LOOKS = {
    "in line": ("blue", "sky", ()),
    "run under": ("vermillion", "orange", (9, 4)),
    "too upright": ("green", "green", (2, 4)),
    "chosen": ("black", "grey", (12, 4, 2, 4)),
}
_STORIES = ("in line", "run under", "too upright")
_FEET = tuple(_LOOKS)
_SLUGS = {name: name.replace(" ", "_") for name in _FEET}


def yard_feet() -> tuple[tuple[str, str], ...]:
    """Horse and foot of every foot of the yard, in the order of the slider.

    Returns
    -------
    tuple of pairs
        Horse by horse; left fore, right fore, left hind, right hind.
    """
    return tuple(
        (horse.name, foot)
        for horse in datasets.horses()
        for foot in ("left fore", "right fore", "left hind", "right hind")
    )


@dataclass(frozen=True, eq=False)
class _Ready:
    """One foot, measured before and after the last trim, with its capsule and its drawing."""

    horse: str
    foot: str
    profile: Profile
    trimmed: Profile
    point_error_mm: float
    capsule: Capsule
    parts: Mapping[str, FloatArray]


def compute(
    *, number: float, heel_turn_deg: float, tilt_deg: float, load_percent: float, weeks: float
) -> dict[str, Any]:
    """Four feet under one push: drawn, split at the heel, and followed over the visits.

    Parameters
    ----------
    number
        Which of the yard's feet stands beside the three, counted from 1.
    heel_turn_deg
        How much steeper its heel is made than it is recorded [degrees].
    tilt_deg
        Lean of the push from the vertical, positive back (braking) [degrees].
    load_percent
        Upright part of the push [% of the weight of 500 kg].
    weeks
        From visit to visit [weeks].

    Returns
    -------
    dict
        Points for every series [mm, or visits and degrees], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If the turned heel is no longer one that the figure can show.
    """
    feet = {story: _story(story) for story in _STORIES}
    feet["chosen"] = _chosen(round(number), float(heel_turn_deg))
    force = force_vector(load_percent / 100 * WEIGHT_N, tilt_deg)
    capsules = _together([foot.capsule for foot in feet.values()])
    heels, toes = capsules.ground[:, 0, 0], capsules.ground[:, _PER_SIDE, 0]
    centre = np.column_stack([heels + CENTRE * (toes - heels), 0.0 * heels])
    strips = share_out(capsules, force, centre, OTHERS)
    used = 100 * utilisation(capsules, strips, _horn())
    at_heel = capsules.back_fraction >= _HEEL_PART
    most = np.where(at_heel, used, 0.0).max(axis=-1)
    angle = obliquity_deg(capsules, force)[:, [0, -1]].mean(axis=-1)
    course = np.array(
        [*_stories_course(weeks), _chosen_course(round(number), float(heel_turn_deg), weeks)]
    )

    found: dict[str, Any] = {
        "force_n": float(load_percent / 100 * WEIGHT_N),
        "obliquity_deg": dict(zip(_FEET, angle.tolist(), strict=True)),
        "used_percent": dict(zip(_FEET, most.tolist(), strict=True)),
        "course_deg": dict(zip(_FEET, course, strict=True)),
        "chosen": feet["chosen"],
        "reading": _read(round(number), float(heel_turn_deg)),
    }
    for at, (name, foot) in enumerate(feet.items()):
        found |= _cell(at, name, foot, force, float(angle[at]), float(most[at]))
        found |= _curves(_SLUGS[name], course[at])
    return found


def sentence(values: Values, results: Results) -> str:
    """What the picture shows, in words.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Five or six short sentences.
    """
    tilt, weeks = values["tilt_deg"], values["weeks"]
    leans = "straight up"
    if tilt:
        leans = f"leaning {abs(tilt):g} degrees {'back' if tilt > 0 else 'forward'}"
    angle, used = results["obliquity_deg"], results["used_percent"]
    line, under, upright = (angle[story] for story in _STORIES)
    says = (
        f"One push of {results['force_n']:.0f}\u00a0N, {leans}. At the heel it meets the tubules "
        f"at {line:.0f} degrees (in line), {under:.0f} (run under) and {upright:.0f} (too upright) "
        f"and uses {', '.join(_used(used[story]) for story in _STORIES)} of their strength. "
    )
    foot: _Ready = results["chosen"]
    turned = ""
    if values["heel_turn_deg"]:
        turn = values["heel_turn_deg"]
        turned = f", heel made {abs(turn):g} degrees {'steeper' if turn > 0 else 'flatter'}"
    reading: Reading = results["reading"]
    rule = reading["heel underrun, five degrees"]
    place = reading["heel angle usual"].percentile
    gap, limb = float(foot.profile.angle_gap_deg), foot.foot.split()[1]
    error = 0.0 if rule.error is None else rule.error
    chance = 0.0 if rule.probability is None else rule.probability
    says += (
        f"{foot.horse}'s {foot.foot}{turned}: {angle['chosen']:.0f} degrees, "
        f"{_used(used['chosen'])}. Its heel of {foot.profile.heel_angle_deg:.1f} is {abs(gap):.1f} "
        f"degrees {'flatter' if gap >= 0 else 'steeper'} than its toe (error {error:.1f}); "
        f"{_percent(place)} of published {limb} heels are flatter. Rule of five degrees: "
        f"{'met' if rule.met else 'not met'}, true of the foot with probability "
        f"{_probability(chance)}. "
    )
    fates = ", ".join(_fate(name, results) for name in _FEET)
    return (
        says + f"After {VISITS} visits {weeks:g} weeks apart the four heels, in degrees: {fates}."
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
    foot: _Ready = results["chosen"]
    angle = results["obliquity_deg"]
    return (
        "Left: four feet from the side in true proportion, toes to the right: in line, run under, "
        f"too upright, and {foot.horse}'s {foot.foot}. An arrow pushes up under each; at each heel "
        "a thick line runs along the wall and a dashed one along the push, and two bars below "
        f"give the angle between them ({', '.join(f'{angle[name]:.0f}' for name in _FEET)} "
        "degrees) and the strength in use. Right: the heel angle of the four feet over "
        f"{VISITS} visits {values['weeks']:g} weeks apart, each with a shaded band."
    )


def _used(percent: float) -> str:
    return f"over {_MOST_PERCENT:.0f} %" if percent > _MOST_PERCENT else f"{percent:.0f}\u00a0%"


def _percent(place: float | None) -> str:
    if place is None:
        return "an unknown part"
    if place < 1:
        return "under 1 %"
    return "over 99 %" if place > 99 else f"{place:.0f} %"


def _probability(chance: float) -> str:
    if chance < 0.01:
        return "below 0.01"
    return "above 0.99" if chance > 0.99 else f"{chance:.2f}"


def _fate(name: str, results: Results) -> str:
    """Where a heel stands after the visits, in degrees, or that it has run away."""

    def one(angle: float) -> str:
        return "run away" if angle <= FLOOR_DEG + 0.05 else f"{angle:.0f}"

    middle, flatter, steeper = results["course_deg"][name][-1]
    if steeper <= FLOOR_DEG + 0.05:
        return "run away"
    return f"{one(middle)} ({one(flatter)} to {one(steeper)})"


@cache
def _horn() -> Horn:
    """Horn of the middle wall."""
    return horn_at(water_percent=WATER_PERCENT).central


@cache
def _story(story: str) -> _Ready:
    record = datasets.story_feet()[story]
    return _ready(record.horse, record.foot, 0.0)


@lru_cache(maxsize=64)
def _chosen(number: int, heel_turn_deg: float) -> _Ready:
    return _ready(*yard_feet()[number - 1], heel_turn_deg)


@lru_cache(maxsize=256)
def _read(number: int, heel_turn_deg: float) -> Reading:
    foot = _chosen(number, heel_turn_deg)
    return read_foot(foot.profile, foot.point_error_mm, limb=foot.foot.split()[1])


@cache
def _record(horse: str, foot: str) -> tuple[Profile, Profile, FloatArray, float, float]:
    """Last visit: before and after its trim, outline, taper from the front, point error [mm]."""
    before = datasets.foot(horse, foot)
    after = datasets.foot(horse, foot, moment="after trim")
    view = datasets.front_view(horse, foot)
    taper = (view["medial_coronet_mm"] + view["lateral_coronet_mm"]) / (
        view["medial_ground_mm"] + view["lateral_ground_mm"]
    )
    return (
        _level(Profile(**before.landmarks)),
        _level(Profile(**after.landmarks)),
        datasets.outline(horse, foot),
        taper,
        before.point_error_mm,
    )


def _ready(horse: str, foot: str, heel_turn_deg: float) -> _Ready:
    """A foot of the yard at its last visit; its heel may be turned about its hairline."""
    before, after, outline, taper, point_error_mm = _record(horse, foot)
    profile = _turned(before, heel_turn_deg)
    lengthwise = float(profile.bearing_length_mm) / float(np.ptp(outline[:, 0]))
    return _Ready(
        horse=horse,
        foot=foot,
        profile=profile,
        trimmed=_turned(after, heel_turn_deg),
        point_error_mm=point_error_mm,
        capsule=build_capsule(profile, outline * [lengthwise, 1.0], taper, per_side=_PER_SIDE),
        parts=foot_from_side(profile, horn_lines=7),
    )


def _level(profile: Profile) -> Profile:
    """The foot with its heel's ground point at the origin and its bearing surface level."""
    forward = profile.toe_ground - profile.heel_ground
    forward = forward / np.hypot(*forward)
    frame = np.array([forward, [-forward[1], forward[0]]])
    return Profile(
        **{name: frame @ (at - profile.heel_ground) for name, at in profile.landmarks.items()}
    )


def _turned(profile: Profile, by_deg: float) -> Profile:
    """The foot with its heel's ground point moved along the ground, its hairline kept."""
    if not by_deg:
        return profile
    angle = float(profile.heel_angle_deg) + by_deg
    if not _FLATTEST_DEG <= angle <= _STEEPEST_DEG:
        raise ValueError(
            f"its heel would stand at {angle:.0f} degrees; the figure shows heels from "
            f"{_FLATTEST_DEG:g} to {_STEEPEST_DEG:g}"
        )
    back_mm = float(profile.heel_height_mm) / np.tan(np.radians(angle))
    forward_mm = back_mm - float(profile.heel_overhang_mm)
    return replace(profile, heel_ground=profile.heel_ground + np.array([forward_mm, 0.0]))


def _together(capsules: list[Capsule]) -> Capsule:
    """Several feet of as many strips as one."""
    return Capsule(
        np.stack([foot.ground for foot in capsules]),
        np.stack([foot.coronet for foot in capsules]),
        np.stack([foot.thickness_mm for foot in capsules]),
        heel_open=True,
    )


@lru_cache(maxsize=16)
def _stories_course(weeks: float) -> FloatArray:
    return _course([_story(story).trimmed for story in _STORIES], weeks)


@lru_cache(maxsize=256)
def _chosen_course(number: int, heel_turn_deg: float, weeks: float) -> FloatArray:
    course: FloatArray = _course([_chosen(number, heel_turn_deg).trimmed], weeks)[0]
    return course


def _course(feet: list[Profile], weeks: float) -> FloatArray:
    """Heel angles, feet by visits by new horn (middle, flatter, steeper), drift alone [deg].

    Each heel is taken as steady at an interval of six weeks.
    """
    heel = np.array([float(foot.heel_angle_deg) for foot in feet])
    height = np.array([float(foot.heel_height_mm) for foot in feet])
    law = steady_law(heel, height).with_band_ends()
    angles = through_visits(heel[:, None], height[:, None], 7.0 * weeks, VISITS, law).heel_angle_deg
    return np.moveaxis(np.asarray(angles), 0, 1)


def _cell(
    at: int, name: str, foot: _Ready, force: FloatArray, angle: float, used: float
) -> dict[str, Any]:
    """One foot in its place: outline, lines at its heel, arrow, bars and words."""
    slug, profile = _SLUGS[name], foot.profile
    place = np.array([_CELL_MM * (at % 2), -_CELL_MM * (at // 2)])
    shift = place - profile.heel_ground
    heel, top = profile.heel_ground + shift, profile.heel_coronet + shift
    toe = profile.toe_ground + shift
    push = np.array([force[0], force[2]])
    along = push / np.hypot(*push)
    acts = heel + CENTRE * (toe - heel)
    rows = (place[1] - 23.0, place[1] - 46.0)
    bars = (_MM_PER_DEG * angle, min(_MM_PER_PERCENT * used, _BAR_MOST_MM))
    left = place[0] + _BAR_LEFT_MM
    found: dict[str, Any] = {
        part.replace("foot_", f"{slug}_", 1): points + shift for part, points in foot.parts.items()
    }
    for bar, row, length in zip(("angle", "used"), rows, bars, strict=True):
        low, high = row - _BAR_HIGH_MM / 2, row + _BAR_HIGH_MM / 2
        found[f"{slug}_{bar}_bar"] = np.array(
            [[left, low], [left + length, low], [left + length, high], [left, high]]
        )
        found[f"{slug}_{bar}_at"] = np.array([[left, row + 10.5]])
    full = left + 100 * _MM_PER_PERCENT
    title = name.capitalize() if name != "chosen" else "Chosen"
    return found | {
        f"{slug}_heel": np.array([heel, top]),
        f"{slug}_push": np.array([heel, heel + 78.0 * along]),
        f"{slug}_arrow": np.array([acts - _MM_PER_N * push, acts]),
        f"{slug}_full": np.array([[full, rows[1] - 5.5], [full, rows[1] + 5.5]]),
        f"{slug}_angle_words": f"obliquity {angle:.0f}°",
        f"{slug}_used_words": f"in use {_used(used)}",
        f"{slug}_title_at": place + np.array([[142.0, 166.0]]),
        f"{slug}_title": f"{title}:",
        f"{slug}_name_at": place + np.array([[142.0, 150.0]]),
        f"{slug}_name": f"{foot.horse}, {foot.foot}",
    }


def _curves(slug: str, course: FloatArray) -> dict[str, FloatArray]:
    """The line of one foot over the visits, and its band."""
    visits = np.arange(VISITS + 1.0)
    edge = np.concatenate([course[:, 1], course[::-1, 2]])
    return {
        f"{slug}_line": np.column_stack([visits, course[:, 0]]),
        f"{slug}_spread": np.column_stack([np.append(visits, visits[::-1]), edge]),
    }


def _series() -> tuple[Series, ...]:
    """Every foot's part of the picture; bands below, words on top."""
    low: list[Series] = []
    high: list[Series] = []
    words: list[Series] = []
    for name, (colour, fill, dash) in _LOOKS.items():
        slug = _SLUGS[name]
        strong = 0.2 if name == "chosen" else 0.35
        band = Style(colour=colour, fill=fill, fill_strength=strong, width=0)
        bar = Style(colour=colour, fill=fill, fill_strength=0.45, width=1.5)
        low += [
            Series(kind="area", data=f"{slug}_spread", panel=1, style=band),
            *side_series(prefix=slug),
            Series(kind="area", data=f"{slug}_angle_bar", style=bar),
            Series(kind="area", data=f"{slug}_used_bar", style=bar),
        ]
        high += [
            Series(
                kind="line",
                data=f"{slug}_push",
                style=Style(colour="black", width=2, dash=(5, 4)),
            ),
            Series(kind="line", data=f"{slug}_heel", style=Style(colour=colour, width=6)),
            Series(kind="line", data=f"{slug}_full", style=Style(colour="black", width=2)),
            Series(kind="arrow", data=f"{slug}_arrow", style=Style(colour="black", width=4)),
            Series(
                kind="line",
                data=f"{slug}_line",
                panel=1,
                style=Style(colour=colour, width=3, dash=dash),
                label="chosen foot" if name == "chosen" else name,
            ),
        ]
        for part, style in (
            ("angle", Style(colour="black", size=14)),
            ("used", Style(colour="black", size=14)),
            ("title", Style(colour=colour, size=15, align="right")),
            ("name", Style(colour="black", size=13, align="right")),
        ):
            text = f"{slug}_{part}" + ("_words" if part in ("angle", "used") else "")
            words.append(Series(kind="words", data=f"{slug}_{part}_at", words=text, style=style))
    return (*low, *high, *words)


def _foot(horse: str, foot: str) -> dict[str, float]:
    return {"number": float(yard_feet().index((horse, foot)) + 1), "heel_turn_deg": 0.0}


UNDERRUN = Figure(
    name="underrun",
    title="Three feet under one push, a fourth beside them, and what becomes of their heels",
    sliders=(
        Slider(
            name="number",
            label="Chosen foot of the yard",
            unit="of 36",
            minimum=1,
            maximum=36,
            step=1,
            start=18,
        ),
        Slider(
            name="heel_turn_deg",
            label="Make its heel steeper by",
            unit="degrees",
            minimum=-12,
            maximum=12,
            step=0.5,
            start=0,
        ),
        Slider(
            name="tilt_deg",
            label="Tilt of the push",
            unit="degrees",
            minimum=-12,
            maximum=12,
            step=0.2,
            start=0,
        ),
        Slider(
            name="load_percent",
            label="Load, part of 500 kg",
            unit="%",
            minimum=30,
            maximum=250,
            step=2,
            start=118,
        ),
        Slider(
            name="weeks",
            label="From visit to visit",
            unit="weeks",
            minimum=2,
            maximum=12,
            step=1,
            start=8,
        ),
    ),
    page_sliders=("heel_turn_deg",),
    presets=(
        Preset(label="Average gap", values=_foot("Tibbet", "right fore")),
        Preset(label="Otterby's other fore", values=_foot("Otterby", "left fore")),
        Preset(label="Hobnut's other fore", values=_foot("Hobnut", "right fore")),
        Preset(label="Standing", values={"tilt_deg": 0.0, "load_percent": 30.0}),
        Preset(label="Braking", values={"tilt_deg": 5.6, "load_percent": 118.0}),
    ),
    presets_label="Foot, moment:",
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="One push under four feet, in true proportion",
            x_limits=(-78, 368),
            y_limits=(-274, 172),
            equal=True,
            axes=False,
            width=540,
            height=576,
        ),
        Panel(
            title="Their heels from visit to visit",
            x_limits=(0, VISITS),
            y_limits=(4, 96),
            x_label="visit (number), each trimmed to the same height",
            y_label="heel angle (degrees)",
            legend="upper right",
            width=410,
            height=576,
            x_ticks=tuple(range(0, VISITS + 1, 2)),
            y_ticks=tuple(range(10, 81, 10)),
            fixed=(
                level_line((0, VISITS), FLOOR_DEG, width=1.5, dash=(3, 3)),
                fixed_words("run away: the model ends", 0.2, FLOOR_DEG - 0.8, rise="below"),
            ),
        ),
    ),
    series=_series(),
    note=(
        "All feet are invented (yard Brackenfold, last visit). Thick line: the heel's wall; "
        "dashed: the direction of the push; obliquity is the angle between. In use: of the horn's "
        "strength at the heel; the stroke marks 100 %, above it the model says more than the horn "
        "bears. Right: drift alone, each heel taken as steady at six weeks; bands: new horn up to "
        "11 degrees flatter or steeper than that. An illustration: it compares, it does not "
        "foretell."
    ),
)
