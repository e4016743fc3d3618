"""Lesson 09's figure: one foot from trim to next visit, its angles with a band, and what came.

The three feet are those of the yard that carry the story; all of them are invented. Geometry and
drift are those of `hoofcalc.cycle`; each heel as trimmed is taken as steady at an interval of six
weeks. The band here is put together from its parts by the root of the sum of their squares: the
points, the growth, the creep and the new horn. `hoofcalc.cycle.forecast` draws them all at once;
it takes longer than a move of the hand may last.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._inputs import FloatArray
from hoofcalc.cycle import (
    CREEP_FACTOR,
    FLOOR_DEG,
    GROWTH_MM_DAY,
    GROWTH_SD_MM_DAY,
    HeelLaw,
    drift,
    grow,
    steady_law,
    through_visits,
    trim,
)
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.scene import Panel, Series, Style, scale_bar
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.profile import Profile, error_of

_WEEKS_MAX = 12.0
_WEEKS = np.linspace(0.0, _WEEKS_MAX, 13)
_LOW_DEG, _HIGH_DEG = 10.0, 80.0
_TOP_DEG = 106.0  # the key stands above the curves
#: The lower edge of the band is not followed any further than a heel drifted to this angle.
_LOST_DEG = 14.0
_NONE = np.empty((0, 2))
#: What a steady heel may gain in one interval by rounding.
_STEADY_DEG = 1e-6


@dataclass(frozen=True, slots=True)
class _Case:
    """A foot of the story at one visit, and how fast its toe wears [mm a day]."""

    story: str
    horse: str
    foot: str
    visit: int
    toe_wear_mm_day: float
    heel_wear_mm_day: float


#: Bare toes wear, shod ones do not: the rates of the yard's invented horses.
_CASES = {
    "in line": _Case("in line", "Fernlow", "left fore", 3, 0.0, 0.08),
    "run under": _Case("run under", "Otterby", "right fore", 3, 0.0, 0.08),
    "too upright": _Case("too upright", "Hobnut", "left fore", 2, 0.13, 0.10),
}


@dataclass(frozen=True, eq=False)
class _Visits:
    """Two visits of one foot: before the trim of the first, and before that of the next."""

    before: Profile
    toe_down_mm: float
    heel_down_mm: float
    toe_back_mm: float
    point_error_mm: float
    following: Profile
    following_error_mm: float
    weeks: float


@cache
def _visits(story: str) -> _Visits:
    case = _CASES[story]
    one = datasets.foot(case.horse, case.foot, case.visit)
    two = datasets.foot(case.horse, case.foot, case.visit + 1)
    return _Visits(
        before=Profile(**one.landmarks),
        toe_down_mm=one.toe_down_mm,
        heel_down_mm=one.heel_down_mm,
        toe_back_mm=one.toe_back_mm,
        point_error_mm=one.point_error_mm,
        following=Profile(**two.landmarks),
        following_error_mm=two.point_error_mm,
        weeks=(two.date - one.date).days / 7,
    )


def compute(
    *,
    weeks: float,
    heel_down_mm: float,
    toe_back_mm: float,
    heel_wear_mm_day: float,
    creep_times: float,
    story: str,
    new_horn: str,
) -> dict[str, Any]:
    """The foot just trimmed and at the next visit, and its angles over the weeks.

    Parameters
    ----------
    weeks
        Time to the next visit [weeks].
    heel_down_mm, toe_back_mm
        Taken off the heel's height, and off the toe from the front [mm].
    heel_wear_mm_day
        Wear at the heel [mm a day].
    creep_times
        The creep may be so many times stronger or weaker [no unit].
    story
        Which foot.
    new_horn
        "as before" or "steeper": how the coronary band makes the heel's horn; as before is
        what keeps the heel where it is, visit by visit.

    Returns
    -------
    dict
        Points for every series [mm, or weeks and degrees], and the numbers for the sentence.

    Raises
    ------
    ValueError
        If an argument is outside the range of the formulas.
    """
    case, record = _CASES[story], _visits(story)
    foot = trim(
        record.before,
        heel_down_mm=heel_down_mm,
        toe_down_mm=record.toe_down_mm,
        toe_back_mm=toe_back_mm,
    )
    heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
    creep = np.array([1.0, creep_times, 1.0 / creep_times])
    law = steady_law(heel, height, wear_mm_day=heel_wear_mm_day, creep_times=creep)
    steeper = 8.0 if new_horn == "steeper" else 0.0
    law = replace(law, band_angle_deg=law.band_angle_deg + steeper)

    def angles(
        at: FloatArray, growth: float = GROWTH_MM_DAY, turn: FloatArray | float = 0.0
    ) -> Profile:
        return grow(
            foot,
            at * 7.0,
            toe_growth_mm_day=growth,
            heel_growth_mm_day=growth,
            toe_wear_mm_day=case.toe_wear_mm_day,
            heel_wear_mm_day=heel_wear_mm_day,
            heel_drift_deg=turn,
        )

    times = np.append(_WEEKS, weeks)[:, None]
    drifted = drift(heel, foot.heel_length_mm, times * 7.0, law)
    turn = np.maximum(np.asarray(drifted.heel_angle_deg), _LOST_DEG) - heel
    plain = angles(times[:, 0])
    more = angles(times[:, 0], GROWTH_MM_DAY + 2.0 * GROWTH_SD_MM_DAY)
    moved = angles(times, turn=turn)
    one_law = steady_law(heel, height, wear_mm_day=heel_wear_mm_day)
    one_law = replace(one_law, band_angle_deg=one_law.band_angle_deg + steeper).with_band_ends()
    ends = drift(heel, foot.heel_length_mm, times * 7.0, one_law).heel_angle_deg
    by_horn = angles(times, turn=np.maximum(np.asarray(ends), _LOST_DEG) - heel)
    error = {
        end: float(error_of(foot, f"{end}_angle_deg", record.point_error_mm))
        for end in ("toe", "heel")
    }
    found: dict[str, Any] = {}
    for end in ("toe", "heel"):
        name = f"{end}_angle_deg"
        middle, strong, weak = np.asarray(getattr(moved, name)).T
        _, flatter, steepest = np.asarray(getattr(by_horn, name)).T
        by_growth = np.asarray(getattr(more, name)) - np.asarray(getattr(plain, name))
        by_creep = np.maximum(np.abs(strong - middle), np.abs(weak - middle))
        rest = (2.0 * error[end]) ** 2 + by_growth**2 + by_creep**2
        low = middle - np.sqrt((middle - flatter) ** 2 + rest)
        high = middle + np.sqrt((steepest - middle) ** 2 + rest)
        line = np.column_stack([_WEEKS, middle[:-1]])
        edge = np.clip(np.append(low[:-1], high[-2::-1]), _LOW_DEG, _HIGH_DEG)
        found |= {
            f"{end}_line": line,
            f"{end}_band": np.column_stack([np.append(_WEEKS, _WEEKS[::-1]), edge]),
            f"{end}_plain": np.column_stack([_WEEKS, np.asarray(getattr(plain, name))[:-1]]),
            f"{end}_now": float(getattr(foot, name)),
            f"{end}_then": float(middle[-1]),
            f"{end}_low": float(low[-1]),
            f"{end}_high": float(high[-1]),
            f"{end}_by_growth": float(np.asarray(getattr(plain, name))[-1]),
            f"{end}_counts_from": 2.0 * 2**0.5 * error[end],
        }
    measured = _measured(record)
    then = angles(np.array(weeks), turn=turn[-1, 0])
    return {
        **foot_from_side(then),
        **found,
        **measured,
        "now_outline": np.vstack(
            [foot.heel_ground, foot.toe_ground, foot.toe_coronet, foot.heel_coronet]
        )[[0, 1, 2, 3, 0]],
        "toe_mark": np.array([[weeks, found["toe_then"]]]),
        "heel_mark": np.array([[weeks, found["heel_then"]]]),
        "visit_line": np.array([[weeks, _LOW_DEG], [weeks, _HIGH_DEG]]),
        "now_at": np.array([[-80.0, 184.0]]),
        "now_words": f"dashed: today, trimmed ({found['toe_now']:.0f}° and {heel:.0f}°)",
        "then_at": np.array([[-80.0, 171.0]]),
        "then_words": (
            f"solid: in {weeks:g} weeks ({found['toe_then']:.0f}° and {found['heel_then']:.0f}°)"
        ),
        "long_run": _long_run(heel, height, weeks, law),
        "record": record,
    }


def _measured(record: _Visits) -> dict[str, Any]:
    """What the next visit measured: two marks and their bars of twice the error."""
    gap, bars, marks = np.full((1, 2), np.nan), [], []
    found: dict[str, float] = {}
    for end in ("toe", "heel"):
        value = float(getattr(record.following, f"{end}_angle_deg"))
        reach = 2.0 * float(
            error_of(record.following, f"{end}_angle_deg", record.following_error_mm)
        )
        bars += [np.array([[record.weeks, value - reach], [record.weeks, value + reach]]), gap]
        marks.append([record.weeks, value])
        found |= {f"{end}_measured": value, f"{end}_reach": reach}
    return {"measured": np.array(marks), "measured_bars": np.vstack(bars), **found}


def _long_run(heel: float, height: float, weeks: float, law: HeelLaw) -> FloatArray:
    """Where the heel settles, trimmed to this height at each visit [deg]; NaN if it runs away.

    One interval for heels of all angles at once: a heel keeps its angle where the gain is none
    and falls as the angle rises, and cannot be carried past a place where it is above none.
    """
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


def _way(end: str, results: Results) -> str:
    """Where an angle goes, and whether two photographs could show it."""
    now, then, counts = (results[f"{end}_{name}"] for name in ("now", "then", "counts_from"))
    by = abs(then - now)
    step = "stays at" if by < 0.05 else f"{'falls' if then < now else 'rises'} by {by:.1f} to"
    seen = "more than the error" if by > counts else "within the error"
    return f"the {end} {step} {then:.1f} degrees, {seen} of two photographs ({counts:.1f})"


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
    case, weeks = _CASES[values["story"]], values["weeks"]
    record, (middle, strong, weak) = results["record"], results["long_run"]
    says = (
        f"{case.horse}'s {case.foot}, {case.story}: heel down {values['heel_down_mm']:g}\u00a0mm, "
        f"toe back {values['toe_back_mm']:g}\u00a0mm, heel wear {values['heel_wear_mm_day']:g}"
        f"\u00a0mm a day. In {weeks:g} week{'' if weeks == 1 else 's'} {_way('toe', results)}; "
        f"{_way('heel', results)}. "
    )
    says += (
        f"Growth and wear alone would bring the heel to {results['heel_by_growth']:.1f}. Its band, "
        f"{results['heel_low']:.0f} to {results['heel_high']:.0f}, is mostly new horn: how steep "
        "it comes can be read to some 11 degrees only. "
    )
    times = f"{values['creep_times']:g} times"
    if np.isnan(middle):
        says += "Kept up for good, this heel runs away"
        says += f"; with creep {times} weaker it settles near {weak:.0f}." if weak > 0 else "."
    else:
        says += f"Kept up for good, the heel settles near {middle:.0f}"
        says += (
            f"; with creep {times} stronger it runs away."
            if np.isnan(strong)
            else f" (creep {times} weaker {weak:.0f}, stronger {strong:.0f})."
        )
    if abs(weeks - record.weeks) < 0.01:
        says += (
            f" The next visit measured {results['toe_measured']:.1f} and "
            f"{results['heel_measured']:.1f}: {_met(results)}."
        )
    return says


def _met(results: Results) -> str:
    """Whether the bars of the measurement reach into the band."""
    met = [
        end
        for end in ("toe", "heel")
        if results[f"{end}_measured"] + results[f"{end}_reach"] >= results[f"{end}_low"]
        and results[f"{end}_measured"] - results[f"{end}_reach"] <= results[f"{end}_high"]
    ]
    return {
        2: "both bars meet the band",
        1: f"only the {met[0] if met else ''}'s bar meets the band",
        0: "neither bar meets the band",
    }[len(met)]


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
    return (
        "Left: a foot from the side, toe to the right, as it will stand at the next visit, and "
        "over it in dashed grey the outline of the same foot just trimmed. Right: toe angle (blue, "
        f"unbroken) and heel angle (vermillion, dashed) over 12 weeks, each with a shaded band; at "
        f"{values['weeks']:g} weeks an upright line with toe {results['toe_then']:.0f} and heel "
        f"{results['heel_then']:.0f} degrees. Crosses with bars at {results['record'].weeks:g} "
        f"weeks: toe {results['toe_measured']:.0f} and heel {results['heel_measured']:.0f} as "
        "measured at the next visit."
    )


def _preset(label: str, story: str, new_horn: str = "as before") -> Preset:
    record = _visits(story)
    return Preset(
        label=label,
        values={
            "story": story,
            "new_horn": new_horn,
            "weeks": record.weeks,
            "heel_down_mm": record.heel_down_mm,
            "toe_back_mm": record.toe_back_mm,
            "heel_wear_mm_day": _CASES[story].heel_wear_mm_day,
            "creep_times": CREEP_FACTOR,
        },
    )


_START = _preset("In line", "in line").values
_TOE, _HEEL = Style(colour="blue", width=3), Style(colour="vermillion", width=3, dash=(8, 4))

TRIM_CYCLE = Figure(
    name="trim-cycle",
    title="From trim to next visit: growth, wear and drift, and what was measured",
    sliders=(
        Slider(
            name="weeks",
            label="Next visit in",
            unit="weeks",
            minimum=1,
            maximum=_WEEKS_MAX,
            step=1,
            start=_START["weeks"],
        ),
        Slider(
            name="heel_down_mm",
            label="Heel down",
            unit="mm",
            minimum=0,
            maximum=8,
            step=0.5,
            start=_START["heel_down_mm"],
        ),
        Slider(
            name="toe_back_mm",
            label="Toe back",
            unit="mm",
            minimum=0,
            maximum=10,
            step=0.5,
            start=_START["toe_back_mm"],
        ),
        Slider(
            name="heel_wear_mm_day",
            label="Heel wear",
            unit="mm a day",
            minimum=0,
            maximum=0.25,
            step=0.01,
            start=_START["heel_wear_mm_day"],
        ),
        Slider(
            name="creep_times",
            label="Creep spread",
            unit="times",
            minimum=1,
            maximum=CREEP_FACTOR,
            step=0.1,
            start=CREEP_FACTOR,
        ),
    ),
    choices={"story": "in line", "new_horn": "as before"},
    presets=(
        _preset("In line: Fernlow", "in line"),
        _preset("Run under: Otterby", "run under"),
        _preset("Run under, new horn 8° steeper", "run under", "steeper"),
        _preset("Too upright: Hobnut", "too upright"),
    ),
    presets_label="Foot (invented):",
    compute=compute,
    sentence=sentence,
    alt=alt,
    panels=(
        Panel(
            title="Today (dashed) and at the next visit",
            x_limits=(-82, 150),
            y_limits=(-26, 192),
            equal=True,
            axes=False,
            width=470,
            height=410,
            fixed=scale_bar(-70, -19, 50),
        ),
        Panel(
            title="Forecast and next measurement",
            x_limits=(-0.3, _WEEKS_MAX + 0.3),
            y_limits=(_LOW_DEG, _TOP_DEG),
            x_label="time since the trim (weeks)",
            y_label="angle from the ground (degrees)",
            legend="upper right",
            width=470,
            height=410,
            x_ticks=tuple(range(0, 13, 2)),
            y_ticks=tuple(range(10, 81, 10)),
        ),
    ),
    series=(
        *side_series(),
        Series(kind="line", data="now_outline", style=Style(colour="grey", width=3, dash=(7, 5))),
        Series(kind="words", data="now_at", words="now_words", style=Style(colour="grey", size=14)),
        Series(
            kind="words", data="then_at", words="then_words", style=Style(colour="black", size=14)
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
            data="visit_line",
            panel=1,
            style=Style(colour="grey", width=1.5, dash=(4, 3)),
        ),
        Series(
            kind="line",
            data="heel_plain",
            panel=1,
            style=Style(colour="grey", width=2, dash=(2, 3)),
            label="heel without drift",
        ),
        Series(kind="line", data="toe_line", panel=1, style=_TOE, label="toe, with band"),
        Series(kind="line", data="heel_line", panel=1, style=_HEEL, label="heel, with band"),
        Series(kind="points", data="toe_mark", panel=1, style=Style(colour="blue", size=12)),
        Series(
            kind="points",
            data="heel_mark",
            panel=1,
            style=Style(colour="vermillion", mark="square", size=12),
        ),
        Series(kind="line", data="measured_bars", panel=1, style=Style(colour="black", width=2.5)),
        Series(
            kind="points",
            data="measured",
            panel=1,
            style=Style(colour="black", mark="cross", size=13, width=3),
            label="measured next visit",
        ),
    ),
    note=(
        "Feet, visits and wear are invented (yard Brackenfold); the toe's height is taken down as "
        "it was at that visit. True proportions. The bands hold the error of the points, growth, "
        "creep and new horn. That a heel stays as it is at six weeks is assumed. The drift is an "
        "illustration: it compares, it does not foretell."
    ),
)
