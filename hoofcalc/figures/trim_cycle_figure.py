"""Lesson 09's figure: one foot through the weeks, trim after trim; take hold of the trim line.

The three feet are those of the yard that carry the story, as found at their last visit; all of
them are invented. Geometry and drift are those of `hoofcalc.cycle`; each heel as trimmed today is
taken as steady at an interval of six weeks, and every later trim brings toe and heel back to the
height of today's. The band is put together by the root of the sum of the squares of three parts:
the points, the growth and the new horn.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray
from hoofcalc.cycle import (
    CREEP_FACTOR,
    FLOOR_DEG,
    GROWTH_MM_DAY,
    GROWTH_SD_MM_DAY,
    INTERVAL_DAYS,
    HeelLaw,
    drift,
    grow,
    steady_law,
    through_visits,
    trim,
)
from hoofcalc.figures.angles_in_time import LOOKS, angle_in_time
from hoofcalc.figures.foot import foot_from_side, level_foot, side_series
from hoofcalc.figures.scene import Fixed, Narrow, Panel, Series, Style, scale_bar
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
from hoofcalc.forecast import COVERS, LEAVES_OUT
from hoofcalc.profile import Profile, error_of

#: How far ahead the figure looks [weeks].
LAST_WEEK = 24
_LOW_DEG, _HIGH_DEG = 0.0, 95.0
#: A heel drifted flatter than this is not followed any further.
_LOST_DEG = 14.0
#: What a steady heel may gain in one interval by rounding.
_STEADY_DEG = 1e-6
#: What the error of an angle as found covers, and what not.
_READ = ("placing the points", "how the camera and the foot stood")
_SIX_WEEKS = INTERVAL_DAYS / 7.0


@dataclass(frozen=True, slots=True)
class _Case:
    """A foot of the story, and how fast its toe and heel wear [mm a day]."""

    story: str
    toe_wear_mm_day: float
    heel_wear_mm_day: float


#: Bare toes wear, shod ones do not: the rates of the yard's invented horses.
_CASES = {
    "run under": _Case("run under", 0.0, 0.08),
    "in line": _Case("in line", 0.0, 0.08),
    "too upright": _Case("too upright", 0.13, 0.10),
}


@dataclass(frozen=True, eq=False)
class _Found:
    """One foot as found at its last visit, stood level, and what was then taken off."""

    horse: str
    foot: Profile
    toe_down_mm: float
    heel_down_mm: float
    toe_back_mm: float
    error_deg: dict[str, float]


@dataclass(frozen=True, eq=False)
class Course:
    """A foot from today's trim through the weeks; made by `course`.

    Parameters
    ----------
    weeks, visit
        Time since today, and how many trims since; shape (n,). At a trim a week stands twice:
        before it, then after it.
    trimmed
        The foot after today's trim.
    foot
        The foot at each time, for new horn as set, flatter and steeper; shape (n, 3).
    toe_deg, heel_deg
        Low end, middle and high end of each angle; shape (n, 3) [degrees].
    """

    weeks: FloatArray
    visit: FloatArray
    trimmed: Profile
    foot: Profile
    toe_deg: FloatArray
    heel_deg: FloatArray


@lru_cache(maxsize=64)
def course(
    story: str,
    interval_weeks: float,
    *,
    toe_down_mm: float,
    heel_down_mm: float,
    heel_wear_mm_day: float,
    new_horn_deg: float = 0.0,
) -> Course:
    """One foot of the story, trimmed today and every so many weeks.

    Parameters
    ----------
    story
        "in line", "run under" or "too upright".
    interval_weeks
        Time from trim to trim, whole weeks.
    toe_down_mm, heel_down_mm
        Height taken off toe and heel today; later trims come back to what is left [mm].
    heel_wear_mm_day
        Wear at the heel [mm a day].
    new_horn_deg
        How much steeper the coronary band makes the heel's horn than what keeps it [degrees].

    Returns
    -------
    Course
        Angles with their bands, and the foot itself.
    """
    found, case = _found(story), _CASES[story]
    foot = level_foot(
        trim(
            found.foot,
            toe_down_mm=toe_down_mm,
            heel_down_mm=heel_down_mm,
            toe_back_mm=found.toe_back_mm,
        )
    )
    heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
    law = _law(heel, height, heel_wear_mm_day, new_horn_deg).with_band_ends()
    weeks, visit, since = _times(interval_weeks)
    heels = _at_each_trim(foot, interval_weeks, int(visit.max()), law)[visit]
    lengths = height / np.sin(np.radians(heels))
    days = since[:, None] * 7.0
    turned = np.asarray(drift(heels, lengths, days, law).heel_angle_deg)
    turn = np.maximum(turned, np.minimum(_LOST_DEG, heels)) - heels
    stood = _with_heel(foot, heels)

    def grown(growth_mm_day: float) -> Profile:
        return grow(
            stood,
            days,
            toe_growth_mm_day=growth_mm_day,
            heel_growth_mm_day=growth_mm_day,
            toe_wear_mm_day=case.toe_wear_mm_day,
            heel_wear_mm_day=heel_wear_mm_day,
            heel_drift_deg=turn,
        )

    now, more = grown(GROWTH_MM_DAY), grown(GROWTH_MM_DAY + 2 * GROWTH_SD_MM_DAY)
    bands = {}
    for end, error in found.error_deg.items():
        angle, faster = (np.asarray(getattr(one, f"{end}_angle_deg")) for one in (now, more))
        middle, one, other = angle.T
        flatter, steeper = np.minimum(one, other), np.maximum(one, other)
        rest = (2.0 * error) ** 2 + (faster - angle)[:, 0] ** 2
        below = np.hypot(np.maximum(middle - flatter, 0.0), np.sqrt(rest))
        above = np.hypot(np.maximum(steeper - middle, 0.0), np.sqrt(rest))
        bands[f"{end}_deg"] = np.column_stack([middle - below, middle, middle + above])
    return Course(weeks, visit, foot, now, **bands)


def compute(
    *,
    week: float,
    interval_weeks: float,
    toe_down_mm: float,
    heel_down_mm: float,
    new_horn_deg: float,
    heel_wear_mm_day: float,
    story: str,
) -> dict[str, Any]:
    """The foot in one week with its trim line, and its angles through all of them.

    Parameters
    ----------
    week
        Time since today's trim; 0 shows the foot as found, before it [weeks].
    interval_weeks
        Time from trim to trim [weeks].
    toe_down_mm, heel_down_mm
        Height taken off toe and heel today [mm].
    new_horn_deg
        New horn at the heel, against what keeps it [degrees].
    heel_wear_mm_day
        Wear at the heel [mm a day].
    story
        Which foot.

    Returns
    -------
    dict
        Points for every series [mm, or weeks and degrees], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If `toe_down_mm` or `heel_down_mm` is below 0 or reaches the hairline, `interval_weeks` is
        above 142 (1,000 days), `heel_wear_mm_day` is not between 0 and 1, or `new_horn_deg` turns
        the new horn to 180 degrees or beyond.
    """
    found = _found(story)
    path = course(
        story,
        interval_weeks,
        toe_down_mm=toe_down_mm,
        heel_down_mm=heel_down_mm,
        heel_wear_mm_day=heel_wear_mm_day,
        new_horn_deg=new_horn_deg,
    )
    at = int(np.flatnonzero(path.weeks == week)[0])  # before a trim, where one is due
    foot = found.foot if not week else _one_of(path.foot, at)
    after = _one_of(_with_heel(path.trimmed, _start_heels(path, at)), ())
    heel_cut, toe_cut = _carried(after, foot)
    results: dict[str, Any] = {
        **foot_from_side(foot, horn_lines=9),
        "off": np.vstack([foot.heel_ground, foot.toe_ground, toe_cut, heel_cut]),
        "trim_line": np.vstack([heel_cut, toe_cut]),
        # as high as today's cut, so that the grip follows the hand in every week
        "heel_cut": np.array([[heel_cut[0], heel_down_mm]]),
        "toe_cut": np.array([[toe_cut[0], toe_down_mm]]),
        "heel_cut_says": f"{heel_down_mm:g} mm off the heel today",
        "toe_cut_says": f"{toe_down_mm:g} mm off the toe today",
        "heel_words_at": np.array([[foot.heel_ground[0] + 4.0, -13.0]]),
        "toe_words_at": np.array([[min(foot.toe_ground[0] - 20.0, 112.0), -13.0]]),
        "week_line": np.array([[week, _LOW_DEG], [week, _HIGH_DEG]]),
        "week_at": np.array([[week, 88.0]]),
        "week_says": f"week {week:g}",
        "trim_weeks": _upright(np.arange(0.0, LAST_WEEK + 0.1, interval_weeks)),
        "next_at": np.array([[interval_weeks, 6.0]]),
        "next_says": f"a trim every {interval_weeks:g} weeks",
        "due": week > 0 and week % interval_weeks == 0,
        "long_run": _long_run(
            float(path.trimmed.heel_angle_deg),
            float(path.trimmed.heel_height_mm),
            interval_weeks,
            heel_wear_mm_day,
            new_horn_deg,
        ),
        "off_mm": (float(toe_cut[1]), float(heel_cut[1])),
    }
    highest = max(("toe", "heel"), key=lambda end: getattr(path, f"{end}_deg")[-1, 1])
    for end in ("toe", "heel"):
        results |= _angle_of(end, path, found, week, at, name_above=end == highest)
    return results


def _angle_of(
    end: str, path: Course, found: _Found, week: float, at: int, *, name_above: bool
) -> dict[str, Any]:
    """The angle of one end through the weeks, as line, band, marks and numbers."""
    low, middle, high = getattr(path, f"{end}_deg").T
    was = float(getattr(found.foot, f"{end}_angle_deg"))
    now = was if not week else float(middle[at])
    reach = 2.0 * found.error_deg[end]
    coming = (float(middle[at]), float(low[at]), float(high[at]))
    return {
        **angle_in_time(end, path.weeks, getattr(path, f"{end}_deg"), (_LOW_DEG, _HIGH_DEG)),
        f"{end}_mark": np.array([[week, now]]),
        f"{end}_was": np.array([[0.0, was]]),
        f"{end}_was_bar": np.array([[0.0, was - reach], [0.0, was + reach]]),
        f"{end}_name_at": np.array([[LAST_WEEK - 0.3, middle[-1] + (8.0 if name_above else -8.0)]]),
        f"{end}_name": end,
        f"{end}_words": f"{end} {now:.1f}°",
        f"{end}_numbers": {
            "found": was,
            "reach": reach,
            "trimmed": float(middle[0]),
            "now": now,
            "low": was - reach if not week else float(low[at]),
            "high": was + reach if not week else float(high[at]),
            "found_sure": HowSure(was, was - reach, was + reach, "degrees", *_READ),
            "coming_sure": HowSure(*coming, "degrees", COVERS, LEAVES_OUT),
        },
    }


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
    horse, week = _found(values["story"]).horse, values["week"]
    heel, toe = results["heel_numbers"], results["toe_numbers"]
    if not week:
        return (
            f"Today's trim takes {horse}'s heel from {heel['found']:.1f} to "
            f"**{heel['trimmed']:.1f}°**, the toe from {toe['found']:.1f} to {toe['trimmed']:.1f}°."
        )
    when = f"Week {week:g}{', before its trim' if results['due'] else ''}"
    return (
        f"{when}: {horse}'s heel reads **{heel['now']:.1f}°**, somewhere from "
        f"{heel['low']:.0f} to {heel['high']:.0f}; the toe {toe['now']:.1f}°."
    )


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers of the foot in this week.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Both angles as found, trimmed and now; what comes off; where the heel goes in the end.
    """
    rows: list[Row] = []
    sure: list[HowSure] = []
    for end in ("toe", "heel"):
        one = results[f"{end}_numbers"]
        now = one["coming_sure"] if values["week"] else one["found_sure"]
        sure += [one["found_sure"], now]
        rows += [
            Row.sure(f"{end}, found today", one["found_sure"]),
            Row(f"{end}, after today's trim", f"{one['trimmed']:.1f}", unit="degrees"),
            Row.sure(f"{end}, week {values['week']:g}", now),
            Row(
                f"two photographs show a change of the {end} from",
                f"{2**0.5 * one['reach']:.1f}",
                unit="degrees",
            ),
        ]
    toe_off, heel_off = results["off_mm"]
    middle, strong, weak = (_end_of(one) for one in results["long_run"])
    rows += [
        Row("below the trim line at the toe", f"{toe_off:z.1f}", unit="mm"),
        Row("below the trim line at the heel", f"{heel_off:z.1f}", unit="mm"),
        Row(
            "the heel, trimmed so for good",
            middle,
            interval=f"a quarter of the creep: {weak}; four times: {strong}",
            unit="degrees",
        ),
    ]
    return (*rows, *in_and_out(*sure))


def alt(values: Values, results: Results) -> str:
    """What is drawn, for those who cannot see it.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    str
        Two sentences.
    """
    toe, heel = (results[f"{end}_numbers"]["now"] for end in ("toe", "heel"))
    return (
        f"Left: {_found(values['story']).horse}'s foot from the side in week {values['week']:g}, "
        f"toe {toe:.0f} and heel {heel:.0f} degrees, with the trim line across it as broken line "
        f"and what lies below it shaded. Right: toe angle, unbroken, and heel angle, dashed, over "
        f"{LAST_WEEK} weeks with a trim every {values['interval_weeks']:g}: saw teeth, each with a "
        "band that widens."
    )


def _end_of(angle: float) -> str:
    return "runs away" if np.isnan(angle) else f"settles near {angle:.0f}"


@cache
def _found(story: str) -> _Found:
    """A foot of the story as found at its last visit."""
    record = datasets.story_feet()[story]
    foot = level_foot(Profile(**record.landmarks))
    return _Found(
        horse=record.horse,
        foot=foot,
        toe_down_mm=record.toe_down_mm,
        heel_down_mm=record.heel_down_mm,
        toe_back_mm=record.toe_back_mm,
        error_deg={
            end: float(error_of(foot, f"{end}_angle_deg", record.point_error_mm))
            for end in ("toe", "heel")
        },
    )


def _law(
    heel_deg: float,
    height_mm: float,
    heel_wear_mm_day: float,
    new_horn_deg: float,
    creep_times: Any = 1.0,
) -> HeelLaw:
    """The law that keeps the heel as trimmed at six weeks, and new horn so much steeper."""
    law = steady_law(heel_deg, height_mm, wear_mm_day=heel_wear_mm_day, creep_times=creep_times)
    return replace(law, band_angle_deg=np.maximum(law.band_angle_deg + new_horn_deg, 1.0))


def _times(interval_weeks: float) -> tuple[FloatArray, Any, FloatArray]:
    """Weeks since today, trims since today and weeks since the last trim, week by week."""
    rows = [
        (visit * interval_weeks + since, visit, since)
        for visit in range(int(LAST_WEEK // interval_weeks) + 1)
        for since in range(int(interval_weeks) + 1)
        if visit * interval_weeks + since <= LAST_WEEK
    ]
    weeks, visit, since = (np.array(column) for column in zip(*rows, strict=True))
    return weeks.astype(np.float64), visit.astype(np.intp), since.astype(np.float64)


def _at_each_trim(foot: Profile, interval_weeks: float, trims: int, law: HeelLaw) -> FloatArray:
    """Heel angle at each trim, for each new horn; shape (trims + 1, 3) [degrees]."""
    heels = np.full(3, float(foot.heel_angle_deg))
    path = through_visits(
        heels, float(foot.heel_height_mm), 7.0 * interval_weeks, max(trims, 1), law
    )
    angles: FloatArray = np.maximum(np.asarray(path.heel_angle_deg), FLOOR_DEG + 1.0)
    return angles


def _with_heel(foot: Profile, heels_deg: FloatArray) -> Profile:
    """The foot, stood level, with heels at these angles and of its own height."""
    back = float(foot.heel_height_mm) / np.tan(np.radians(np.asarray(heels_deg)))
    across = float(foot.heel_coronet[0]) + back
    many = {
        name: np.broadcast_to(at, (*across.shape, 2)).copy() for name, at in foot.landmarks.items()
    }
    many["heel_ground"] = np.stack([across, np.zeros_like(across)], axis=-1)
    return Profile(**many)


def _start_heels(path: Course, at: int) -> FloatArray:
    """The heel's own angle just after the trim before the given time, new horn as set."""
    first = int(np.flatnonzero(path.visit == path.visit[at])[0])
    return np.asarray(path.heel_deg[first, 1])


def _one_of(profile: Profile, at: Any) -> Profile:
    """One of several feet: new horn as set."""
    index = (at, 0) if profile.shape else at
    return Profile(**{name: points[index] for name, points in profile.landmarks.items()})


def _carried(trimmed: Profile, foot: Profile) -> tuple[FloatArray, FloatArray]:
    """Where heel and toe of the trimmed foot lie on the same foot now, hairline upon hairline."""

    def number(point: FloatArray) -> complex:
        return complex(point[0], point[1])

    toe, heel = number(trimmed.toe_coronet), number(trimmed.heel_coronet)
    toe_now, heel_now = number(foot.toe_coronet), number(foot.heel_coronet)
    turn = (toe_now - heel_now) / (toe - heel)
    turn /= abs(turn)
    cuts = [
        heel_now + (number(point) - heel) * turn
        for point in (trimmed.heel_ground, trimmed.toe_ground)
    ]
    first, second = (np.array([cut.real, cut.imag]) for cut in cuts)
    return first, second


def _upright(weeks: FloatArray) -> FloatArray:
    """Short ticks at the foot of the panel where a trim is due."""
    ticks = [[[week, _LOW_DEG], [week, _LOW_DEG + 4.0], [np.nan, np.nan]] for week in weeks]
    return np.concatenate([np.array(tick) for tick in ticks])


@lru_cache(maxsize=64)
def _long_run(
    heel: float, height: float, weeks: float, heel_wear_mm_day: float, new_horn_deg: float
) -> FloatArray:
    """Where the heel settles, trimmed to this height at each visit [deg]; NaN if it runs away.

    For creep as measured, stronger and weaker by its factor.

    One interval for heels of all angles at once: a heel keeps its angle where the gain is none
    and falls as the angle rises, and cannot be carried past a place where it is above none.
    """
    creep = np.array([1.0, CREEP_FACTOR, 1.0 / CREEP_FACTOR])
    law = _law(heel, height, heel_wear_mm_day, new_horn_deg, creep)
    angles = np.append(np.arange(FLOOR_DEG + 1.0, 89.0, 1.0), heel)[:, None]
    after = np.asarray(through_visits(angles, height, 7.0 * weeks, 1, law).heel_angle_deg)[1]
    gains, here, angle = after[:-1] - angles[:-1], after[-1] - heel, angles[:-1, 0]
    settled = np.full(gains.shape[1], np.nan)
    for k in range(len(settled)):
        at = np.flatnonzero((gains[:-1, k] > 0.0) & (gains[1:, k] <= 0.0))
        if not len(at):
            continue
        place = angle[at] + gains[at, k] / (gains[at, k] - gains[at + 1, k])
        if abs(here[k]) < _STEADY_DEG:  # a steady heel, if what lies about it turns back to it
            wanted = np.array([heel])[np.abs(place - heel).min(keepdims=True) < 1.0]
        else:
            # a straight line between whole degrees misses the place by some hundredths
            wanted = place[place >= heel - 0.1] if here[k] > 0.0 else place[place <= heel + 0.1]
        if len(wanted):
            settled[k] = wanted.min() if here[k] > 0.0 else wanted.max()
    return settled


def start_of(story: str) -> dict[str, Any]:
    """The setting at which a foot is first shown: as its trimmer trimmed it, six weeks on."""
    found = _found(story)
    return {
        "story": story,
        "week": _SIX_WEEKS,
        "interval_weeks": _SIX_WEEKS,
        "toe_down_mm": found.toe_down_mm,
        "heel_down_mm": found.heel_down_mm,
        "heel_wear_mm_day": _CASES[story].heel_wear_mm_day,
        "new_horn_deg": 0.0,
    }


_START = start_of("run under")
_INK = Style(colour="ink", size=16)
_FOOT_X, _FOOT_Y = (-68.0, 140.0), (-30.0, 136.0)


def _slider(
    name: str, label: str, unit: str, ends: tuple[float, float], step: float, says: Any
) -> Slider:
    return Slider(name, label, unit, ends[0], ends[1], step=step, start=_START[name], says=says)


def _against_steady(degrees: float) -> str:
    if not degrees:
        return "keeps the heel"
    return f"{abs(degrees):g}° {'steeper' if degrees > 0 else 'flatter'}"


def _foot_panel() -> Panel:
    """The foot on its ground, in true proportion."""
    ground = Fixed("ground", ((-300.0, 0.0), (400.0, 0.0)))
    return Panel(
        x_limits=_FOOT_X,
        y_limits=_FOOT_Y,
        equal=True,
        axes=False,
        width=362,
        height=292,
        fixed=(ground, *scale_bar(94, 114, 40)),
        narrow=Narrow(height=250, x_limits=(-70, 136), y_limits=(-42, 256), share=0.5),
    )


def _weeks_panel() -> Panel:
    """Both angles over the weeks."""
    return Panel(
        x_limits=(-0.6, LAST_WEEK + 0.4),
        y_limits=(_LOW_DEG, _HIGH_DEG),
        x_label="time from today's trim (weeks)",
        y_label="angle from the ground (degrees)",
        width=405,
        height=292,
        x_ticks=tuple(range(0, LAST_WEEK + 1, 4)),
        y_ticks=tuple(range(0, 91, 15)),
        narrow=Narrow(height=250, share=0.5),
    )


def _angle_series(end: str, style: Style, fill: str, mark: str) -> tuple[Series, ...]:
    """How one angle is drawn over the weeks, and its words at the foot."""
    band = Style(colour=style.colour, fill=fill, fill_strength=0.3, width=0)
    found = Style(colour=style.colour, mark=mark, size=11, hollow=True)
    name = Style(colour="ink", size=15, align="right")
    at_foot = replace(_INK, size=14, align="centre", rise="below", apart=True)
    return (
        Series("area", f"{end}_band", panel=1, style=band),
        Series("line", f"{end}_line", panel=1, style=style),
        Series("line", f"{end}_was_bar", panel=1, style=replace(style, width=2, dash=())),
        Series("points", f"{end}_was", panel=1, style=found),
        Series("points", f"{end}_mark", panel=1, style=replace(found, size=13, hollow=False)),
        Series("words", f"{end}_name_at", words=f"{end}_name", panel=1, style=name),
        Series("words", f"{end}_words_at", words=f"{end}_words", style=at_foot),
    )


TRIM_CYCLE = Figure(
    name="trim-cycle",
    title="One foot through the weeks: take hold of the trim line, and see the next visit",
    sliders=(
        _slider(
            "week",
            "Week",
            "weeks",
            (0, LAST_WEEK),
            1,
            lambda week: f"week {week:g}" if week else "today, as found",
        ),
        _slider(
            "interval_weeks", "A trim every", "weeks", (3, 12), 1, lambda weeks: f"{weeks:g} weeks"
        ),
        _slider("toe_down_mm", "Off the toe", "mm", (0, 12), 0.5, None),
        _slider("heel_down_mm", "Off the heel", "mm", (0, 10), 0.5, None),
        _slider("new_horn_deg", "New horn at the heel", "degrees", (-10, 10), 1, _against_steady),
        _slider("heel_wear_mm_day", "The heel wears", "mm a day", (0, 0.25), 0.01, None),
    ),
    more=("new_horn_deg", "heel_wear_mm_day"),
    play="week",
    choices={"story": "run under"},
    presets=tuple(
        Preset(label=_found(story).horse, note=story, values=start_of(story)) for story in _CASES
    ),
    presets_label="Which foot",
    handles=(
        Handle(
            name="trim_heel",
            label="the trim line at the heel",
            kind="along y",
            x="heel_down_mm",
            at="heel_cut",
            says="heel_cut_says",
        ),
        Handle(
            name="trim_toe",
            label="the trim line at the toe",
            kind="along y",
            x="toe_down_mm",
            at="toe_cut",
            says="toe_cut_says",
        ),
        Handle(
            name="week_shown",
            label="the week that is shown",
            kind="along x",
            x="week",
            at="week_at",
            says="week_says",
            panel=1,
        ),
        Handle(
            name="next_trim",
            label="the next trim",
            kind="along x",
            x="interval_weeks",
            at="next_at",
            says="next_says",
            panel=1,
        ),
    ),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(_foot_panel(), _weeks_panel()),
    series=(
        *side_series(),
        Series("area", "off", style=Style(colour="ink", fill="sky", fill_strength=0.45, width=0)),
        Series("line", "trim_line", style=Style(colour="ink", width=3, dash=(7, 4))),
        Series("line", "week_line", panel=1, style=Style(colour="edge", width=1.5, dash=(4, 3))),
        Series("line", "trim_weeks", panel=1, style=Style(colour="ink", width=2)),
        *(series for end, look in LOOKS.items() for series in _angle_series(end, *look)),
    ),
    note=(
        "Feet and wear are invented (yard Brackenfold, last visit). Broken line across the foot: "
        "the trim line; shaded: what comes off. Hollow marks: found today. Later trims come back "
        "to the heights of today's. The bands hold reading, growth and new horn; that the heel "
        "keeps its angle at six weeks is assumed. It compares; it does not foretell."
    ),
)
