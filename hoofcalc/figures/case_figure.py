"""Lesson 10's figure: one foot, two of its visits laid over each other, and its next one.

The angles and their errors are those of `hoofcalc.profile`, what comes next is that of
`hoofcalc.forecast`. All horses and feet are invented.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._counted import counted
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray
from hoofcalc.figures.angles_in_time import LOOKS, angle_in_time
from hoofcalc.figures.foot import foot_from_side, level_foot, side_series
from hoofcalc.figures.scene import Fixed, Narrow, Panel, Series, Style, scale_bar
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
from hoofcalc.figures.story import STORY
from hoofcalc.forecast import expected
from hoofcalc.profile import Profile, error_of

_LOW_DEG, _HIGH_DEG = 0.0, 90.0
_LAST_WEEK = 44.0
_ENDS = ("toe", "heel")
#: How well points are set in the yard's photographs [mm].
_POINT_ERROR_MM = 0.8


@dataclass(frozen=True, eq=False)
class _Visit:
    """One foot at one visit, before and after its trim."""

    day: date
    week: float
    days_since: int | None
    before: Profile
    after: Profile

    def foot(self, trimmed: bool) -> Profile:
        return self.after if trimmed else self.before


def compute(
    *, back: float, after_trim: float, point_error_mm: float, weeks: float, case: str
) -> dict[str, Any]:
    """One foot at its last visit over an earlier one, and carried on to the next.

    Parameters
    ----------
    back
        Which visit the last is compared with: 1 the one before, and so on.
    after_trim
        0 compares as found, before the trim; 1 compares just trimmed.
    point_error_mm
        How well the points are set in the photographs [mm].
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
        If `point_error_mm` is below 0, `weeks` is not between 0 and 142 (1,000 days), or a
        number not finite.
    """
    visits, trimmed = _visits(case), bool(round(after_trim))
    last, earlier = visits[-1], visits[-1 - round(back)]
    now, then = last.foot(trimmed), _upon(earlier.foot(trimmed), last.foot(trimmed))
    found: dict[str, Any] = {
        **foot_from_side(now, horn_lines=9),
        "then": np.vstack([then.heel_coronet, then.heel_ground, then.toe_ground, then.toe_coronet]),
        "last": last,
        "earlier": earlier,
        "heel_words_at": np.array([[now.heel_ground[0] - 16.0, -13.0]]),
        "toe_words_at": np.array([[now.toe_ground[0] - 34.0, -13.0]]),
        "next_says": f"next visit in {_weeks(weeks)}",
        "then_at": np.array([[118.0, 106.0]]),
        "then_words": f"broken: {earlier.day.day} {earlier.day:%B}",
        "next_line": np.array([[last.week + weeks, _LOW_DEG], [last.week + weeks, _HIGH_DEG]]),
        "next_at": np.array([[last.week + weeks, 6.0]]),
    }
    error = {end: point_error_mm * _error_per_mm(last.after, end) for end in _ENDS}
    coming = expected(last.after, error, np.linspace(0.0, 7.0 * weeks, 7), shod=_shod(case))
    for end in _ENDS:
        name = f"{end}_angle_deg"
        one, two = (float(getattr(foot, name)) for foot in (earlier.foot(trimmed), now))
        errors = [
            point_error_mm * _error_per_mm(foot, end) for foot in (earlier.foot(trimmed), now)
        ]
        low, middle, high = getattr(coming, f"{end}_deg").T
        at = last.week + np.linspace(0.0, weeks, 7)
        found |= {
            **_marks(visits, end, trimmed, point_error_mm),
            f"{end}_chosen": np.array([[earlier.week, one], [last.week, two]]),
            **angle_in_time(end, at, getattr(coming, f"{end}_deg"), (_LOW_DEG, _HIGH_DEG)),
            f"{end}_fan": _fan(now, end, 2 * errors[1]),
            f"{end}_words": f"{end} {two:.1f} ± {2 * errors[1]:.1f}°",
            f"{end}_numbers": {
                "then": one,
                "now": two,
                "then_sure": _read(one, 2 * errors[0]),
                "now_sure": _read(two, 2 * errors[1]),
                "coming": coming.how_sure(end, -1),
                "counts_from": 2 * math.hypot(*errors),
                "low": float(low[-1]),
                "middle": float(middle[-1]),
                "high": float(high[-1]),
            },
        }
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
    heel = results["heel_numbers"]
    by = heel["now"] - heel["then"]
    way = "steeper" if by > 0 else "flatter"
    seen = "more than" if abs(by) > heel["counts_from"] else "within"
    when = "Just trimmed" if values["after_trim"] else "Before the trim"
    return (
        f"{when} the heel reads {abs(by):.1f}° {way} than in {results['earlier'].day:%B}, "
        f"**{seen} the error of {heel['counts_from']:.1f}°**; in {_weeks(values['weeks'])}, "
        f"{heel['low']:.0f} to {heel['high']:.0f}°."
    )


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers of the two visits, and of the next.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        For toe and heel: both readings, the change and from where it counts, the next visit.
    """
    rows: list[Row] = []
    sure: list[HowSure] = []
    last, earlier = results["last"], results["earlier"]
    for end in _ENDS:
        one = results[f"{end}_numbers"]
        readings = (("then", earlier), ("now", last))
        rows += [
            Row.sure(f"{end}, {visit.day.day} {visit.day:%B}", one[f"{which}_sure"])
            for which, visit in readings
        ]
        sure += [one["now_sure"], one["coming"]]
        rows += [
            Row(
                f"change of the {end}",
                f"{one['now'] - one['then']:+z.1f}".replace("-", "\u2212"),
                interval=f"counts from {one['counts_from']:.1f}",
                unit="degrees",
            ),
            Row.sure(f"{end}, in {_weeks(values['weeks'])}", one["coming"]),
        ]
    for visit in (earlier, last):
        weeks = "not known" if visit.days_since is None else f"{visit.days_since / 7:.0f}"
        rows.append(
            Row(f"since the trim before, {visit.day.day} {visit.day:%B}", weeks, unit="weeks")
        )
    return (*rows, *in_and_out(*sure))


def _weeks(number: float) -> str:
    return counted(number, "week")


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
    toe, heel = (results[f"{end}_numbers"]["now"] for end in _ENDS)
    return (
        f"Left: {values['case']} from the side at its last visit, toe {toe:.0f} and heel "
        f"{heel:.0f} degrees, each with a fan of twice its error, and over it as broken line the "
        f"foot of {results['earlier'].day:%B}. Right: both angles at every visit with upright "
        f"bars, and a shaded band on to the next visit in {_weeks(values['weeks'])}."
    )


@cache
def _shod(case: str) -> bool:
    return {horse.name: horse.shod for horse in datasets.horses()}[case.split(", ")[0]]


@cache
def _visits(case: str) -> tuple[_Visit, ...]:
    """The visits of one foot, oldest first, every foot stood level."""
    horse, foot = case.split(", ")
    days = datasets.visits(horse)
    found = []
    for number, day in days.items():
        record = datasets.foot(horse, foot, number)
        after = datasets.foot(horse, foot, number, "after trim")
        found.append(
            _Visit(
                day=day,
                week=(day - days[1]).days / 7,
                days_since=record.days_since,
                before=level_foot(Profile(**record.landmarks)),
                after=level_foot(Profile(**after.landmarks)),
            )
        )
    return tuple(found)


@cache
def _error_per_mm(foot: Profile, end: str) -> float:
    """Error of an angle of a visit for each millimetre of error of its points [degrees/mm]."""
    return float(error_of(foot, f"{end}_angle_deg", 1.0))


def _upon(then: Profile, now: Profile) -> Profile:
    """The earlier foot on the same ground, the middle of its hairline under that of the later."""
    middles = [(foot.toe_coronet[0] + foot.heel_coronet[0]) / 2 for foot in (then, now)]
    shift = np.array([middles[1] - middles[0], 0.0])
    return Profile(**{name: at + shift for name, at in then.landmarks.items()})


def _read(angle_deg: float, reach_deg: float) -> HowSure:
    """An angle read from a photograph, with twice its error to each side."""
    low, high = angle_deg - reach_deg, angle_deg + reach_deg
    return HowSure(
        angle_deg, low, high, "degrees", "placing the points", "how the camera and the foot stood"
    )


def _fan(foot: Profile, end: str, reach_deg: float) -> FloatArray:
    """A wedge along a wall line: twice the error of its angle to either side."""
    low = getattr(foot, f"{end}_ground")
    angle = float(getattr(foot, f"{end}_angle_deg"))
    length = 1.25 * float(getattr(foot, f"{end}_length_mm"))
    turns = np.radians(180.0 - angle + np.linspace(-reach_deg, reach_deg, 5))
    return np.vstack([low, low + length * np.column_stack([np.cos(turns), np.sin(turns)])])


def _marks(
    visits: tuple[_Visit, ...], end: str, trimmed: bool, point_error_mm: float
) -> Mapping[str, FloatArray]:
    """One angle at all visits: a saw-tooth of growth and trims, marks and bars."""
    name = f"{end}_angle_deg"
    tooth, bars, marks = [], [], []
    for visit in visits:
        tooth += [[visit.week, float(getattr(foot, name))] for foot in (visit.before, visit.after)]
        foot = visit.foot(trimmed)
        value, reach = float(getattr(foot, name)), 2 * point_error_mm * _error_per_mm(foot, end)
        bars += [[visit.week, value - reach], [visit.week, value + reach], [np.nan, np.nan]]
        marks.append([visit.week, value])
    return {
        f"{end}_tooth": np.array(tooth),
        f"{end}_bars": np.array(bars),
        f"{end}_marks": np.array(marks),
    }


#: The case, and the feet that carry the story.
_CASES = {
    f"{horse}, {STORY[horse][0]}": STORY[horse][1]
    for horse in ("Marrowfen", "Otterby", "Fernlow", "Hobnut")
}


def _angle_series(end: str, style: Style, fill: str, mark: str) -> tuple[Series, ...]:
    """How one angle is drawn: its fan at the foot, its marks, bars and band over the weeks."""
    plain = Style(colour=style.colour, width=2.5)
    found = Style(colour=style.colour, mark=mark, size=10, hollow=True)
    shade = Style(colour=style.colour, fill=fill, fill_strength=0.35, width=0)
    words = Style(colour="ink", size=16, align="centre", rise="below", apart=True)
    return (
        Series("area", f"{end}_fan", style=shade),
        Series("words", f"{end}_words_at", words=f"{end}_words", style=words),
        Series("area", f"{end}_band", panel=1, style=shade),
        Series(
            "line", f"{end}_tooth", panel=1, style=Style(colour="edge", width=1.5, dash=style.dash)
        ),
        Series("line", f"{end}_bars", panel=1, style=plain),
        Series("points", f"{end}_marks", panel=1, style=found),
        Series(
            "points", f"{end}_chosen", panel=1, style=Style(colour=style.colour, mark=mark, size=13)
        ),
        Series("line", f"{end}_line", panel=1, style=style),
    )


def _foot_panel() -> Panel:
    """The foot on its ground, in true proportion."""
    ground = Fixed("ground", ((-300.0, 0.0), (400.0, 0.0)))
    return Panel(
        x_limits=(-72, 148),
        y_limits=(-30, 146),
        equal=True,
        axes=False,
        width=372,
        height=298,
        fixed=(ground, *scale_bar(98, 124, 40)),
        narrow=Narrow(height=250, x_limits=(-84, 150), y_limits=(-66, 252), share=0.5),
    )


def _weeks_panel() -> Panel:
    """Both angles at all visits and on to the next."""
    return Panel(
        x_limits=(-1, _LAST_WEEK),
        y_limits=(_LOW_DEG, _HIGH_DEG),
        x_label="time since the first visit (weeks)",
        y_label="angle from the ground (degrees)",
        width=395,
        height=298,
        x_ticks=tuple(range(0, 45, 6)),
        y_ticks=tuple(range(0, 91, 15)),
        narrow=Narrow(height=250, share=0.5),
    )


CASE = Figure(
    name="case",
    title="One case: two visits laid over each other, and the next one",
    sliders=(
        Slider(
            name="back",
            label="Compare with",
            unit="visits before",
            minimum=1,
            maximum=3,
            step=1,
            start=1,
            says=lambda back: f"{back:g} before",
        ),
        Slider(
            name="after_trim",
            label="Both",
            unit="moment",
            minimum=0,
            maximum=1,
            step=1,
            start=0,
            says=lambda after: "just trimmed" if after else "as found",
        ),
        Slider(
            name="point_error_mm",
            label="Points set to",
            unit="mm",
            minimum=0.2,
            maximum=2.0,
            step=0.1,
            start=_POINT_ERROR_MM,
            says=lambda error: f"± {error:g} mm",
        ),
        Slider("weeks", "Next visit in", "weeks", 1, 12, step=1, start=6, says=_weeks),
    ),
    choices={"case": "Marrowfen, right fore"},
    presets=tuple(
        Preset(label=case.split(", ")[0], note=story, values={"case": case})
        for case, story in _CASES.items()
    ),
    presets_label="Which foot",
    handles=(
        Handle(
            name="next_visit",
            label="the next visit",
            kind="along x",
            x="weeks",
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
        *(series for end, look in LOOKS.items() for series in _angle_series(end, *look)),
        Series("line", "then", style=Style(colour="ink", width=3, dash=(7, 5))),
        Series(
            "words",
            "then_at",
            words="then_words",
            style=Style(colour="ink", size=14, bold=False, align="centre"),
        ),
        Series("line", "next_line", panel=1, style=Style(colour="edge", width=1.5, dash=(4, 3))),
    ),
    note=(
        "Horses, feet and visits are invented (yard Brackenfold). Over the foot, broken: the "
        "earlier visit. Circles: toe; squares: heel; filled: the two compared. Fans and upright "
        "bars: twice the error. The bands hold reading, growth and new horn, the heel taken as "
        "steady. They compare, they do not foretell."
    ),
)
