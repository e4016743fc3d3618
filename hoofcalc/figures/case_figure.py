"""Lesson 10's figure: one foot of the yard on one sheet, from its records to its next visit.

The angles and their errors are those of `hoofcalc.profile`, the push that of
`hoofcalc.ground_force`, its way through the horn that of `hoofcalc.loadpath`, growth and drift
those of `hoofcalc.cycle`. All horses and feet are invented. The band is put together from its
three parts (points, growth, new horn) by the root of the sum of their squares.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache, lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style, fixed_words, scale_bar, upright_line
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.forecast import expected
from hoofcalc.ground_force import stance_force, tilt_deg
from hoofcalc.horn import Horn, horn_at
from hoofcalc.loadpath import force_vector, obliquity_deg, share_out, utilisation
from hoofcalc.profile import Profile, error_of

#: Duty factor of the yard's films at trot, and where the push acts, from heels to toe [parts].
DUTY_FACTOR, CENTRE = 0.35, 0.6
WATER_PERCENT = 25.0

_PER_SIDE = 20
_HEEL_PART = 0.75  # the heel: the hindmost quarter of the bearing length
_LOW_DEG, _HIGH_DEG, _TOP_DEG = 5.0, 78.0, 98.0
_LAST_WEEK = 44.0
#: Length of the arrow: so much at least, that its direction shows, and so much for each newton.
_ARROW_MM, _MM_PER_N = 25.0, 0.004
_BAR_LEFT, _MM_PER_DEG = -22.0, 1.1
_ROWS = (-92.0, -115.0, -138.0, -161.0)
_STORIES = ("in line", "run under", "too upright")
_SLUGS = ("this", "in_line", "run_under", "too_upright")
_ENDS = ("toe", "heel")


@dataclass(frozen=True, eq=False)
class _Visit:
    """One foot at one visit, before its trim, with what was then taken off."""

    day: date
    week: float
    days_since: int | None
    profile: Profile
    trimmed: Profile
    error_deg: Mapping[str, float]
    point_error_mm: float
    heel_down_mm: float
    toe_down_mm: float
    toe_back_mm: float


def compute(
    *, visits_back: float, moment_percent: float, heel_down_mm: float, weeks: float, case: str
) -> dict[str, Any]:
    """One foot at one visit: measured, loaded, compared and carried on to the next visit.

    Parameters
    ----------
    visits_back
        Which visit: 0 the last, 1 the one before, and so on.
    moment_percent
        Moment of the stance at trot [% of its time].
    heel_down_mm
        Taken off the heel's height at this visit [mm].
    weeks
        Time to the next visit [weeks].
    case
        Horse and foot, with a comma between.

    Returns
    -------
    dict
        Points for every series [mm, or weeks and degrees], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If an argument is outside the range of the formulas.
    """
    visits = _visits(case)
    at = len(visits) - 1 - round(visits_back)
    visit = visits[at]
    loads = _loads(case, at, moment_percent)
    coming = _coming(visit, heel_down_mm, weeks, _shod(case))
    shift = -visit.profile.heel_ground
    foot = Profile(**{name: point + shift for name, point in visit.profile.landmarks.items()})
    toe = foot.toe_ground
    force = loads["force"]
    acts = CENTRE * toe
    reach = _ARROW_MM / float(np.linalg.norm(force)) + _MM_PER_N
    found: dict[str, Any] = {
        **foot_from_side(foot, horn_lines=9),
        **coming,
        **_bars(case, loads),
        "visit": visit,
        "before": visits[at - 1] if at else None,
        "following": visits[at + 1] if at + 1 < len(visits) else None,
        "loads": loads,
        "arrow": np.array([acts - reach * force[[0, 2]], acts]),
        "this_visit": np.array([[visit.week, _LOW_DEG], [visit.week, _HIGH_DEG]]),
        "title_at": np.array([[-118.0, 180.0]]),
        "title": f"{case}, {visit.day.day} {visit.day:%B %Y}",
        "bars_at": np.array([[-118.0, -72.0]]),
        "bars_title": "push against the heel's tubules; strength in use",
    }
    for end, far in (("toe", 1.12), ("heel", 1.5)):
        low = getattr(foot, f"{end}_ground")
        angle = float(getattr(foot, f"{end}_angle_deg"))
        length = far * float(getattr(foot, f"{end}_length_mm"))
        found |= {
            f"{end}_fan": _fan(low, visit.profile, angle, 2 * visit.error_deg[end], length),
            f"{end}_words": f"{end} {angle:.1f} ± {2 * visit.error_deg[end]:.1f}°",
        }
    found["toe_words_at"] = np.array([[toe[0] - 55.0, toe[1] + 110.0]])
    found["heel_words_at"] = np.array([[-118.0, -28.0]])
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
        Four or five short sentences.
    """
    horse, foot = values["case"].split(", ")
    visit: _Visit = results["visit"]
    before, loads = results["before"], results["loads"]
    toe, heel = (float(getattr(visit.profile, f"{end}_angle_deg")) for end in _ENDS)
    says = (
        f"{horse}'s {foot}, {visit.day.day} {visit.day:%B %Y}: toe {toe:.1f} ± "
        f"{2 * visit.error_deg['toe']:.1f}, heel {heel:.1f} ± {2 * visit.error_deg['heel']:.1f} "
        "degrees. "
    )
    if before is None:
        says += "It is the first visit: nothing to compare with. "
    else:
        says += (
            f"Against the visit {round((visit.day - before.day).days / 7)} weeks before, "
            f"{_against('toe', before, visit)}, {_against('heel', before, visit)}. "
        )
    tilt = loads["tilt_deg"]
    leans = f"leans {abs(tilt):.1f} degrees {'back' if tilt > 0 else 'forward'}"
    angle, used = loads["obliquity_deg"], loads["used_percent"]
    says += (
        f"At {values['moment_percent']:g} % of a stance at trot the ground pushes with "
        f"{loads['vertical_n']:.0f} N and {leans}. It meets the heel's tubules at {angle[0]:.0f} "
        f"degrees (in line {angle[1]:.0f}, run under {angle[2]:.0f}, too upright {angle[3]:.0f}); "
        f"{_used(used[0])} of the strength there is in use. "
    )
    wide = {end: (results[f"{end}_low"], results[f"{end}_high"]) for end in _ENDS}
    says += (
        f"Heel down {values['heel_down_mm']:g} mm, next visit in {values['weeks']:g} "
        f"week{'' if values['weeks'] == 1 else 's'}: the toe then from {wide['toe'][0]:.0f} to "
        f"{wide['toe'][1]:.0f}, the heel from {wide['heel'][0]:.0f} to {wide['heel'][1]:.0f}."
    )
    following = results["following"]
    if following is not None:
        gone = (following.day - visit.day).days / 7
        says += (
            f" After {gone:.0f} weeks it really was {following.profile.toe_angle_deg:.1f} and "
            f"{following.profile.heel_angle_deg:.1f}."
        )
    return says


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
    angle = results["loads"]["obliquity_deg"]
    return (
        f"Left: the foot of {values['case']} from the side, toe to the right, a shaded fan along "
        "toe and heel for the error of each angle and an arrow for the push from below. Under it "
        "four bars: the angle between push and heel for this foot, in line, run under and too "
        f"upright ({', '.join(f'{one:.0f}' for one in angle)} degrees). Right: toe and heel angle "
        "over the weeks, a saw-tooth of growth and trims with bars of twice the error, and from "
        "the chosen visit on two shaded bands to the next visit."
    )


def _against(end: str, before: _Visit, now: _Visit) -> str:
    """How an angle differs from the visit before, and whether two photographs could show it."""
    name = f"{end}_angle_deg"
    by = float(getattr(now.profile, name)) - float(getattr(before.profile, name))
    shows = 2 * float(np.hypot(now.error_deg[end], before.error_deg[end]))
    seen = "more than" if abs(by) > shows else "within"
    way = "steeper" if by > 0 else "flatter"
    return f"{end} {abs(by):.1f} {way}, {seen} the error of two photographs ({shows:.1f})"


def _used(percent: float) -> str:
    return "over 999 %" if percent > 999 else f"{percent:.0f} %"


def _shod(case: str) -> bool:
    return _horses()[case.split(", ")[0]].shod


@cache
def _horses() -> dict[str, datasets.Horse]:
    return {horse.name: horse for horse in datasets.horses()}


@cache
def _visits(case: str) -> tuple[_Visit, ...]:
    """The visits of one foot, oldest first."""
    horse, foot = case.split(", ")
    days = datasets.visits(horse)
    found = []
    for number, day in days.items():
        record = datasets.foot(horse, foot, number)
        after = datasets.foot(horse, foot, number, "after trim")
        profile = Profile(**record.landmarks)
        found.append(
            _Visit(
                day=day,
                week=(day - days[1]).days / 7,
                days_since=record.days_since,
                profile=profile,
                trimmed=Profile(**after.landmarks),
                error_deg={
                    end: float(error_of(profile, f"{end}_angle_deg", record.point_error_mm))
                    for end in _ENDS
                },
                point_error_mm=record.point_error_mm,
                heel_down_mm=record.heel_down_mm,
                toe_down_mm=record.toe_down_mm,
                toe_back_mm=record.toe_back_mm,
            )
        )
    return tuple(found)


@cache
def _horn() -> Horn:
    """Horn of the middle wall."""
    return horn_at(water_percent=WATER_PERCENT).central


@cache
def _capsule(case: str, at: int) -> Capsule:
    """The foot in 3-D: its side view at one visit, its outline as long as that."""
    horse, foot = case.split(", ")
    view = datasets.front_view(horse, foot, at + 1)
    taper = (view["medial_coronet_mm"] + view["lateral_coronet_mm"]) / (
        view["medial_ground_mm"] + view["lateral_ground_mm"]
    )
    profile = _visits(case)[at].profile
    outline = datasets.outline(horse, foot, at + 1 if case in _story_cases() else None)
    lengthwise = float(profile.bearing_length_mm) / float(np.ptp(outline[:, 0]))
    return build_capsule(profile, outline * [lengthwise, 1.0], taper, per_side=_PER_SIDE)


@cache
def _story_cases() -> tuple[str, ...]:
    feet = datasets.story_feet()
    return tuple(f"{feet[story].horse}, {feet[story].foot}" for story in _STORIES)


@lru_cache(maxsize=256)
def _loads(case: str, at: int, moment_percent: float) -> dict[str, Any]:
    """The push on this foot and on the three story feet, each under its own horse."""
    cases = (case, *_story_cases())
    feet = [_capsule(case, at), *(_capsule(one, len(_visits(one)) - 1) for one in cases[1:])]
    together = Capsule(
        np.stack([foot.ground for foot in feet]),
        np.stack([foot.coronet for foot in feet]),
        np.stack([foot.thickness_mm for foot in feet]),
        heel_open=True,
    )
    forces = []
    for one in cases:
        limb = one.split()[-1]
        push = stance_force(
            "trot",
            limb,
            _horses()[one.split(", ")[0]].mass_kg,
            DUTY_FACTOR,
            moments=[moment_percent / 100],
        )
        up, along = float(push.vertical_n[0]), float(push.fore_aft_n[0])
        forces.append(force_vector(up, tilt_deg(up, along)))
    force = np.array(forces)
    heels, toes = together.ground[:, 0, 0], together.ground[:, _PER_SIDE, 0]
    centre = np.column_stack([heels + CENTRE * (toes - heels), 0.0 * heels])
    used = 100 * utilisation(together, share_out(together, force, centre), _horn())
    at_heel = together.back_fraction >= _HEEL_PART
    return {
        "force": force[0],
        "vertical_n": float(force[0, 2]),
        "tilt_deg": float(np.degrees(np.arctan2(-force[0, 0], force[0, 2]))),
        "obliquity_deg": obliquity_deg(together, force)[:, [0, -1]].mean(axis=-1).tolist(),
        "used_percent": np.where(at_heel, used, 0.0).max(axis=-1).tolist(),
    }


def _bars(case: str, loads: Mapping[str, Any]) -> dict[str, Any]:
    """A bar for each foot: the angle between the push and the heel's tubules."""
    found: dict[str, Any] = {}
    names = (case.split(", ")[0], *_STORIES)
    for slug, name, row, angle, used in zip(
        _SLUGS, names, _ROWS, loads["obliquity_deg"], loads["used_percent"], strict=True
    ):
        right = _BAR_LEFT + _MM_PER_DEG * angle
        found |= {
            f"{slug}_bar": np.array(
                [
                    [_BAR_LEFT, row - 7],
                    [right, row - 7],
                    [right, row + 7],
                    [_BAR_LEFT, row + 7],
                ]
            ),
            f"{slug}_name_at": np.array([[-118.0, row]]),
            f"{slug}_name": name,
            f"{slug}_says_at": np.array([[right + 5.0, row]]),
            f"{slug}_says": f"{angle:.0f}°, {_used(used)}",
        }
    return found


def _fan(low: FloatArray, foot: Profile, angle: float, reach: float, length: float) -> FloatArray:
    """A wedge along a wall line: twice the error of its angle to either side."""
    ground = foot.toe_ground - foot.heel_ground
    tilted = float(np.degrees(np.arctan2(ground[1], ground[0])))
    turns = np.radians(180.0 + tilted - angle + np.linspace(-reach, reach, 5))
    return np.vstack([low, low + length * np.column_stack([np.cos(turns), np.sin(turns)])])


def _coming(visit: _Visit, heel_down_mm: float, weeks: float, shod: bool) -> dict[str, Any]:
    """From the trim to the next visit: the angles, each with a band, and what was measured."""
    times = np.linspace(0.0, weeks, 7)
    coming = expected(
        visit.profile,
        visit.error_deg,
        times * 7.0,
        heel_down_mm=heel_down_mm,
        toe_down_mm=visit.toe_down_mm,
        toe_back_mm=visit.toe_back_mm,
        shod=shod,
    )
    found: dict[str, Any] = {}
    at = visit.week + times
    for end in _ENDS:
        low, middle, high = getattr(coming, f"{end}_deg").T
        edge = np.clip(np.append(low, high[::-1]), _LOW_DEG, _HIGH_DEG)
        found |= {
            f"{end}_line": np.column_stack([at, middle]),
            f"{end}_band": np.column_stack([np.append(at, at[::-1]), edge]),
            f"{end}_low": float(low[-1]),
            f"{end}_high": float(high[-1]),
        }
    return found


@cache
def _course(case: str) -> dict[str, FloatArray]:
    """What was measured at all visits: a saw-tooth of growth and trims, marks and bars."""
    visits = _visits(case)
    found: dict[str, FloatArray] = {}
    for end in _ENDS:
        name, tooth, bars, marks = f"{end}_angle_deg", [], [], []
        for visit in visits:
            before, after = (float(getattr(p, name)) for p in (visit.profile, visit.trimmed))
            reach = 2 * visit.error_deg[end]
            tooth += [[visit.week, before], [visit.week, after]]
            bars += [[visit.week, before - reach], [visit.week, before + reach], [np.nan, np.nan]]
            marks.append([visit.week, before])
        found |= {
            f"{end}_tooth": np.array(tooth),
            f"{end}_bars": np.array(bars),
            f"{end}_marks": np.array(marks),
        }
    return found


def _whole(**values: Any) -> dict[str, Any]:
    return {**_course(values["case"]), **compute(**values)}


#: One foot of each horse of the yard; the story feet are among them.
_CASES = (
    "Marrowfen, right fore",
    "Fernlow, left fore",
    "Otterby, right fore",
    "Hobnut, left fore",
    "Wrenlock, left hind",
    "Tibbet, left fore",
    "Quillet, right fore",
    "Sallowby, left fore",
    "Tarnish, right fore",
)


def _preset(case: str) -> Preset:
    return Preset(
        label=case,
        values={"case": case, "visits_back": 0.0, "heel_down_mm": _visits(case)[-1].heel_down_mm},
    )


_TOE, _HEEL = Style(colour="blue", width=3), Style(colour="vermillion", width=3, dash=(8, 4))
_BAR_LOOKS = (
    ("this", Style(colour="black", fill="black", fill_strength=0.75, width=1)),
    ("in_line", Style(colour="blue", fill="sky", fill_strength=0.6, width=2)),
    ("run_under", Style(colour="vermillion", fill="orange", fill_strength=0.6, width=2)),
    ("too_upright", Style(colour="green", fill="green", fill_strength=0.3, width=2)),
)

CASE = Figure(
    name="case",
    title="One case on one sheet: measured, loaded, compared, carried on to the next visit",
    sliders=(
        Slider(
            name="visits_back",
            label="Visits back from the last",
            unit="visits",
            minimum=0,
            maximum=3,
            step=1,
            start=0,
        ),
        Slider(
            name="moment_percent",
            label="Moment of the stance",
            unit="% of its time",
            minimum=10,
            maximum=90,
            step=2,
            start=50,
        ),
        Slider(
            name="heel_down_mm",
            label="Heel down",
            unit="mm",
            minimum=0,
            maximum=12,
            step=0.5,
            start=_preset(_CASES[0]).values["heel_down_mm"],
        ),
        Slider(
            name="weeks",
            label="Next visit in",
            unit="weeks",
            minimum=1,
            maximum=12,
            step=1,
            start=6,
        ),
    ),
    choices={"case": _CASES[0]},
    presets=tuple(_preset(case) for case in _CASES),
    presets_label="Horse of the yard (invented):",
    page_sliders=("visits_back", "weeks"),
    compute=_whole,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="The foot, its push, and the heel beside three others",
            x_limits=(-122, 168),
            y_limits=(-190, 190),
            equal=True,
            axes=False,
            width=470,
            height=630,
            fixed=(
                *scale_bar(85, -30, 50),
                upright_line(_BAR_LEFT, (-172, -82), width=1.5),
                upright_line(_BAR_LEFT + 90 * _MM_PER_DEG, (-172, -82), dash=(2, 3)),
                fixed_words("0° along", _BAR_LEFT, -175, size=11, align="centre", rise="below"),
                fixed_words(
                    "90° across",
                    _BAR_LEFT + 90 * _MM_PER_DEG,
                    -175,
                    size=11,
                    align="centre",
                    rise="below",
                ),
            ),
        ),
        Panel(
            title="Angles over the visits, and forecast",
            x_limits=(-1, _LAST_WEEK),
            y_limits=(_LOW_DEG, _TOP_DEG),
            x_label="time since the first visit (weeks)",
            y_label="angle from the ground (degrees)",
            legend="upper right",
            width=480,
            height=630,
            x_ticks=tuple(range(0, 45, 6)),
            y_ticks=tuple(range(10, 81, 10)),
        ),
    ),
    series=(
        *side_series(),
        Series(
            kind="area",
            data="toe_fan",
            style=Style(colour="blue", fill="sky", fill_strength=0.6, width=1.5),
        ),
        Series(
            kind="area",
            data="heel_fan",
            style=Style(colour="vermillion", fill="orange", fill_strength=0.6, width=1.5),
        ),
        Series(kind="arrow", data="arrow", style=Style(colour="black", width=6)),
        Series(kind="words", data="title_at", words="title", style=Style(colour="black", size=16)),
        Series(
            kind="words",
            data="toe_words_at",
            words="toe_words",
            style=Style(colour="blue", size=16),
        ),
        Series(
            kind="words",
            data="heel_words_at",
            words="heel_words",
            style=Style(colour="vermillion", size=16),
        ),
        Series(
            kind="words", data="bars_at", words="bars_title", style=Style(colour="black", size=14)
        ),
        *(
            item
            for slug, look in _BAR_LOOKS
            for item in (
                Series(kind="area", data=f"{slug}_bar", style=look),
                Series(
                    kind="words",
                    data=f"{slug}_name_at",
                    words=f"{slug}_name",
                    style=Style(colour="black", size=14),
                ),
                Series(
                    kind="words",
                    data=f"{slug}_says_at",
                    words=f"{slug}_says",
                    style=Style(colour="black", size=14),
                ),
            )
        ),
        Series(
            kind="area",
            data="toe_band",
            panel=1,
            style=Style(colour="blue", fill="sky", fill_strength=0.35, width=0),
        ),
        Series(
            kind="area",
            data="heel_band",
            panel=1,
            style=Style(colour="vermillion", fill="orange", fill_strength=0.35, width=0),
        ),
        Series(
            kind="line",
            data="this_visit",
            panel=1,
            style=Style(colour="grey", width=1.5, dash=(4, 3)),
        ),
        Series(kind="line", data="toe_tooth", panel=1, style=Style(colour="grey", width=1.5)),
        Series(
            kind="line",
            data="heel_tooth",
            panel=1,
            style=Style(colour="grey", width=1.5, dash=(6, 3)),
        ),
        Series(kind="line", data="toe_bars", panel=1, style=Style(colour="blue", width=2.5)),
        Series(kind="line", data="heel_bars", panel=1, style=Style(colour="vermillion", width=2.5)),
        Series(
            kind="points",
            data="toe_marks",
            panel=1,
            style=Style(colour="blue", size=10),
            label="toe measured",
        ),
        Series(
            kind="points",
            data="heel_marks",
            panel=1,
            style=Style(colour="vermillion", mark="square", size=10),
            label="heel measured",
        ),
        Series(kind="line", data="toe_line", panel=1, style=_TOE, label="toe, forecast"),
        Series(kind="line", data="heel_line", panel=1, style=_HEEL, label="heel, forecast"),
    ),
    note=(
        "Horses, feet and visits are invented (yard Brackenfold). Fans and upright bars: twice the "
        "error of the points. The push is that of each foot's own horse at trot; the arrow has "
        "its true direction and grows with it. The saw-tooth falls or rises by growth and jumps at "
        "each trim. The bands hold points, growth and new horn; they compare, they do not foretell."
    ),
)
