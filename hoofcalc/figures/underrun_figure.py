"""Lesson 08's figure: three feet under one push; take hold of a heel buttress and pull.

How hard the horn at the heel works is `hoofcalc.loadpath`'s, counted in the work of the foot in
line; the visits are those of `hoofcalc.cycle`. All feet are the invented yard's. The work of a foot
is worked out once, at a few heels and leans, and taken between them, so that the hand waits for
nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any

import numpy as np

from hoofcalc import datasets
from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc._curves import cubic_spline
from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.cycle import FLOOR_DEG, steady_law, through_visits
from hoofcalc.figures.foot import foot_from_side, level_foot
from hoofcalc.figures.said import lean_says
from hoofcalc.figures.scene import Fixed, Narrow, Panel, Series, Style, fixed_words
from hoofcalc.figures.spec import Figure, Handle, Preset, Results, Row, Slider, Values, in_and_out
from hoofcalc.horn import Horn, horn_at
from hoofcalc.loadpath import force_vector, share_out, worked_parts
from hoofcalc.profile import Profile
from hoofcalc.reading import Reading, read_foot

#: The push: 118 % of the weight of 500 kg, as at a trot [N].
FORCE_N = 1.18 * 500 * GRAVITY_M_S2
WATER_PERCENT = 25.0
#: Where the push acts, from heels to toe, and what frog, bars and sole carry [parts].
CENTRE, OTHERS = 0.6, 0.2
VISITS, WEEKS = 12, 8.0
#: How far a heel's angle is read out, both ways [degrees]: twice the error of Otterby's heel.
READ_OUT_DEG = 3.4
#: The strip ends at this many times, and no heel flatter than this is calculated.
MOST_TIMES, FLATTEST_DEG = 4.0, 15.0

_PER_SIDE = 24
_STEEPEST_DEG, _APART_DEG = 80.0, 4.0  # heels at which the work is worked out
_LEANS_DEG = np.array([-8.0, -4.0, 0.0, 4.0, 8.0])
_STORIES = ("in line", "run under", "too upright")
#: Colour, dashes and mark of each foot.
_LOOKS = {
    "in line": ("blue", (), "circle"),
    "run under": ("vermillion", (11, 6), "square"),
    "too upright": ("green", (4, 4), "triangle"),
}
_SLUGS = {story: story.replace(" ", "_") for story in _STORIES}
_NONE = np.empty((0, 2))

# the cells, in pixels and mm; the strip counts in doublings, and its heights are pixels
_CELL, _CELL_HIGH, _PX_PER_MM = 252, 242, 1.46
_NARROW_HIGH, _NARROW_PX_PER_MM, _PHONE = 204, 1.86, 358
_GROUND_DOWN, _NARROW_GROUND_DOWN = 214, 178
_STRIP_LOW, _STRIP_HIGH = -1.0, 2.0
_STRIP_PX, _AXIS_PX, _TITLE_PX, _TICK_PX = 92, 34, 81, 12
_LABEL_UP = np.array([[0.0, 24.0]])
_PUSH_MM, _ARC_MM = 77.0, 47.0
_TICK_MM = np.array([[0.0, -4.0], [0.0, 4.0]])


@dataclass(frozen=True, eq=False)
class _Foot:
    """One foot of the story, measured before and after the last trim."""

    horse: str
    profile: Profile
    trimmed: Profile
    outline: FloatArray
    taper: float
    point_error_mm: float
    parts: Mapping[str, FloatArray]

    @property
    def heel_deg(self) -> float:
        return float(self.profile.heel_angle_deg)


def compute(*, story: str, heel_deg: float, tilt_deg: float, visits: float) -> dict[str, Any]:
    """Three feet under one push: drawn, and how hard the horn at each heel works.

    Parameters
    ----------
    story
        Which foot is chosen: "in line", "run under" or "too upright".
    heel_deg
        Angle at which its heel is stood before the first visit [degrees from the ground].
    tilt_deg
        Lean of the push from the vertical, positive back (braking) [degrees].
    visits
        How many visits have passed, eight weeks apart, each trimmed to the same height.

    Returns
    -------
    dict
        Points for every series [mm, or doublings], and the numbers for the sentence.
    """
    count = round(visits)
    heels: dict[str, FloatArray] = {}
    for name in _STORIES:
        turn = heel_deg - _start_deg(name) if name == story else 0.0
        heels[name] = _heel_after(name, float(turn), count)
    rows = times_the_foot_in_line(np.array([heels[name] for name in _STORIES]), tilt_deg)
    times = dict(zip(_STORIES, rows, strict=True))
    found: dict[str, Any] = {"heel_deg": heels, "times": times}
    found["band_at"] = np.array([[_STRIP_HIGH, _TITLE_PX]])
    found["band_words"] = (
        "band: new horn 11° flatter or steeper"
        if count
        else f"band: heel read {READ_OUT_DEG:g}° out"
    )
    for name in _STORIES:
        found |= _cell(name, float(heels[name][0]), tilt_deg, chosen=name == story)
        found |= _on_strip(name, times[name], chosen=name == story)
    return found


def times_the_foot_in_line(heels_deg: FloatArray, tilt_deg: float) -> FloatArray:
    """How hard the horn at each heel works, in times the foot in line as it stands today.

    Parameters
    ----------
    heels_deg
        Heel angles of the foot in line, the one run under, the one too upright, shape (3, n)
        [degrees].
    tilt_deg
        Lean of the push [degrees].

    Returns
    -------
    array, shape (3, n)
        Work of the horn of the hindmost third over that of the foot in line under the same push;
        infinite where the heel lies too flat to be calculated.
    """
    measure = _work("in line", np.array([_foot("in line").heel_deg]), tilt_deg)
    rows = zip(_STORIES, heels_deg, strict=True)
    times = np.array([_work(story, row, tilt_deg) for story, row in rows]) / measure
    return np.where(heels_deg < FLATTEST_DEG, np.inf, times)


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
    story, visits, tilt = values["story"], round(values["visits"]), values["tilt_deg"]
    horse, heel = _foot(story).horse, float(results["heel_deg"][story][0])
    times = _times(float(results["times"][story][0]))
    lean = lean_says(tilt)
    if visits and heel <= FLOOR_DEG + 0.05:
        return (
            f"By visit {visits} {horse}'s heel has **run away**: the model has nothing to stop it."
        )
    works = f"{horse}'s heel at {heel:.0f}° works its horn **{times} times** as hard as"
    if visits:
        pushed = f", pushed {lean}," if tilt else ""
        return f"After {visits} visit{'s' * (visits > 1)}{pushed} {works} the foot in line."
    push = f"a push leaning {lean}" if tilt else "one push"
    if story == "in line" and values["heel_deg"] == _start_deg(story):
        return (
            f"Under {push}, {horse}'s heel at {heel:.0f}° is the foot in line: the others "
            "are counted in **its** work."
        )
    return f"Under {push}, {works} the foot in line."


def table(values: Values, results: Results) -> tuple[Row, ...]:
    """All numbers, foot by foot.

    Parameters
    ----------
    values, results
        A setting, and what `compute` found there.

    Returns
    -------
    tuple of Row
        Toe, heel, gap, place among published heels, and work at the heel.
    """
    covers = "how steep new horn comes" if values["visits"] else "reading the angles"
    left_out = "how the camera and the foot stood"
    rows: list[Row] = []
    sure: list[HowSure] = []
    for story in _STORIES:
        foot, heel = _foot(story), results["heel_deg"][story]
        low, high = sorted(results["times"][story][1:])
        reading = _read(story)
        toe, now = float(foot.profile.toe_angle_deg), float(heel[0])
        error = reading["heel underrun, five degrees"].error or 0.0
        heel_sure = HowSure(now, min(heel[1:]), max(heel[1:]), "degrees", covers, left_out)
        gap = HowSure.from_error(toe - now, error, "degrees", covers, left_out)
        if values["visits"]:
            gap = replace(gap, low=toe - heel_sure.high, high=toe - heel_sure.low)
        sure += [heel_sure, gap]
        rows += [
            Row(f"{foot.horse}, {story}: toe", f"{toe:.1f}", unit="degrees"),
            Row.sure("heel", heel_sure),
            Row.sure("gap, toe less heel", gap),
            Row(
                "of 100 published fore heels, flatter as found",
                _of_hundred(reading["heel angle usual"].percentile),
            ),
            Row(
                "work at the heel",
                _times(float(results["times"][story][0])),
                interval=f"{_times(low)} to {_times(high)}",
                unit="times the foot in line",
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
    del values
    heels = [f"{_foot(s).horse}, {s}, {results['heel_deg'][s][0]:.0f} degrees" for s in _STORIES]
    times = [f"{_foot(s).horse} {_times(float(results['times'][s][0]))}" for s in _STORIES]
    return (
        f"Three feet from the side, toes to the right, each with the push at its heel: "
        f"{'; '.join(heels)}. Below, a strip that counts in doublings how hard the horn at each "
        f"heel works, in times the foot in line: {', '.join(times)}."
    )


def _times(number: float) -> str:
    if number > MOST_TIMES:
        return f"over {MOST_TIMES:.0f}"
    return f"{number:.0f}" if number >= 10 else f"{number:.1f}"


def _of_hundred(place: float | None) -> str:
    if place is None:
        return "not known"
    if place < 1:
        return "under 1"
    return "over 99" if place > 99 else f"{place:.0f}"


@cache
def _horn() -> Horn:
    """Horn of the middle wall."""
    return horn_at(water_percent=WATER_PERCENT).central


@cache
def _foot(story: str) -> _Foot:
    """A foot of the story at its last visit."""
    record = datasets.story_feet()[story]
    horse, foot = record.horse, record.foot
    after = datasets.foot(horse, foot, moment="after trim")
    view = datasets.front_view(horse, foot)
    coronet = view["medial_coronet_mm"] + view["lateral_coronet_mm"]
    ground = view["medial_ground_mm"] + view["lateral_ground_mm"]
    profile = level_foot(Profile(**record.landmarks))
    return _Foot(
        horse=horse,
        profile=profile,
        trimmed=level_foot(Profile(**after.landmarks)),
        outline=datasets.outline(horse, foot),
        taper=coronet / ground,
        point_error_mm=record.point_error_mm,
        parts=foot_from_side(profile, horn_lines=9),
    )


@cache
def _start_deg(story: str) -> float:
    """The heel as read, to the degree that the slider has."""
    return float(round(_foot(story).heel_deg))


@cache
def _flattest_deg(story: str) -> float:
    """The flattest heel that is calculated: its buttress has run forward by 0.4 of the foot."""
    profile = _foot(story).profile
    far = 0.4 * float(profile.bearing_length_mm) - float(profile.heel_coronet[0])
    flattest = np.degrees(np.arctan2(float(profile.heel_height_mm), far))
    return max(float(flattest), FLATTEST_DEG)


@cache
def _read(story: str) -> Reading:
    foot = _foot(story)
    return read_foot(foot.profile, foot.point_error_mm, limb="fore")


def _turned(profile: Profile, heel_deg: float) -> Profile:
    """The foot with its heel's ground point moved along the ground, its hairline kept."""
    back_mm = float(profile.heel_height_mm) / np.tan(np.radians(heel_deg))
    across = float(profile.heel_coronet[0]) + back_mm
    most = float(profile.toe_ground[0]) - 14.0  # nothing of the bearing surface would be left
    return replace(profile, heel_ground=np.array([min(across, most), 0.0]))


def _heel_after(story: str, turn_deg: float, visits: int) -> FloatArray:
    """Heel angle, and its two ends: as read today, or as creep has it after the visits."""
    foot = _foot(story)
    if not visits:
        heel = max(foot.heel_deg + turn_deg, _flattest_deg(story))
        return np.array([heel, heel + READ_OUT_DEG, heel - READ_OUT_DEG])
    course: FloatArray = _course(story, turn_deg)[visits]
    return course


@lru_cache(maxsize=256)
def _course(story: str, turn_deg: float) -> FloatArray:
    """Heel angles, visits by new horn (middle, flatter, steeper), from the trimmed foot [deg].

    The heel is taken as steady at an interval of six weeks.
    """
    foot = _foot(story).trimmed
    heel = np.array([float(foot.heel_angle_deg) + turn_deg])
    height = np.array([float(foot.heel_height_mm)])
    law = steady_law(heel, height).with_band_ends()
    angles = through_visits(heel[:, None], height[:, None], 7.0 * WEEKS, VISITS, law)
    return np.asarray(angles.heel_angle_deg)[:, 0]


def _work(story: str, heels_deg: FloatArray, tilt_deg: float) -> FloatArray:
    """How hard the horn of a foot's heel is worked, its buttress pulled to each angle [MPa]."""
    able = np.clip(heels_deg, _flattest_deg(story), _STEEPEST_DEG)
    heels, work = _work_between(story)
    at_this_lean = cubic_spline(_LEANS_DEG, work.T, np.array([tilt_deg]))[0]
    found: FloatArray = np.exp(cubic_spline(heels, at_this_lean[:, None], np.ravel(able))[:, 0])
    return found.reshape(able.shape)


@cache
def _work_between(story: str) -> tuple[FloatArray, FloatArray]:
    """Heels worked out [deg], and the logarithm of the work, shape (heels, leans)."""
    first = _flattest_deg(story)
    count = round((_STEEPEST_DEG - first) / _APART_DEG) + 1
    heels = np.linspace(first, _STEEPEST_DEG, count)
    force = force_vector(FORCE_N, _LEANS_DEG)
    work = []
    for heel in heels:
        foot = _capsule(story, float(heel))
        back, toe = foot.ground[[0, _PER_SIDE], 0]
        strips = share_out(foot, force, (back + CENTRE * (toe - back), 0.0), OTHERS)
        work.append(worked_parts(foot, strips, _horn())[:, 2])
    return heels, np.log(work)


def _capsule(story: str, heel_deg: float) -> Capsule:
    foot = _foot(story)
    profile = _turned(foot.profile, heel_deg)
    lengthwise = float(profile.bearing_length_mm) / float(np.ptp(foot.outline[:, 0]))
    outline = foot.outline * [lengthwise, 1.0]
    return build_capsule(profile, outline, foot.taper, per_side=_PER_SIDE)


def _cell(story: str, heel_deg: float, tilt_deg: float, *, chosen: bool) -> dict[str, Any]:
    """One foot in its cell: outline, line of the heel, push, the angle between, words."""
    slug, foot = _SLUGS[story], _foot(story)
    turned = _turned(foot.profile, max(heel_deg, FLOOR_DEG))
    heel, top = turned.heel_ground, turned.heel_coronet
    lean = np.radians(90.0 + tilt_deg)
    tip = heel + _PUSH_MM * np.array([np.cos(lean), np.sin(lean)])
    angles = np.linspace(lean, np.radians(180.0 - heel_deg), 13)
    arc = heel + _ARC_MM * np.column_stack([np.cos(angles), np.sin(angles)])
    off = 90.0 - heel_deg - tilt_deg
    middle = angles[6]
    reach = (_ARC_MM + 20.0) if chosen else (_ARC_MM + 13.0)
    words_at = heel + reach * np.array([np.cos(middle), np.sin(middle)])
    if chosen:  # the words stay in the cell
        words_at[0] = max(words_at[0], _cell_panel(story).x_limits[0] + 34.0)
    crowded = chosen and words_at[0] + 38.0 > tip[0]  # then the arrow's word stands above them
    moved = chosen and abs(heel_deg - foot.heel_deg) > 0.3
    parts = {
        f"{slug}_{'hairline' if name == 'foot_band' else name[5:]}": points
        for name, points in foot.parts.items()
    }
    side = foot_from_side(turned, horn_lines=9)
    return parts | {
        f"{slug}_wall": np.vstack([heel, foot.parts["foot_wall"][1:]]),
        f"{slug}_horn": side["foot_horn"],
        f"{slug}_heel": np.array([heel, top]),
        f"{slug}_push": np.array([heel, tip]),
        f"{slug}_arc": arc if abs(off) > 4 else _NONE,
        f"{slug}_between": np.vstack([heel, arc]) if abs(off) > 4 else _NONE,
        f"{slug}_was": np.array([foot.profile.heel_ground, top]) if moved else _NONE,
        f"{slug}_tick": foot.profile.heel_ground + _TICK_MM if moved else _NONE,
        f"{slug}_heel_at": heel[None] + [[14.0 if chosen else 5.0, -11.5]],
        f"{slug}_heel_words": f"heel {heel_deg:.0f}°",
        f"{slug}_off_at": words_at[None] + [[0.0, 5.0 if chosen else 0.0]],
        f"{slug}_off_words": f"{off:.0f}°",
        f"{slug}_name_at": words_at[None] - [[0.0, 6.0]] if chosen else _NONE,
        f"{slug}_name_words": "off the push",
        f"{slug}_push_at": tip[None] + [[6.0, 12.0 if crowded else -1.0]],
        f"{slug}_push_words": "push",
        f"{slug}_handle": heel[None],
        f"{slug}_top": top[None],
        f"{slug}_says": f"{heel_deg:.0f} degrees from the ground",
    }


def _on_strip(story: str, times: FloatArray, *, chosen: bool) -> dict[str, Any]:
    """One foot on the strip: its mark, its band, its name and number."""
    slug = _SLUGS[story]
    with np.errstate(divide="ignore"):
        doublings = np.clip(np.log2(times), _STRIP_LOW, _STRIP_HIGH)
    at = np.array([[doublings[0], _AXIS_PX]])
    low, high = doublings.min() - 0.02, doublings.max() + 0.02
    down, up = _AXIS_PX - 7, _AXIS_PX + 7
    number = _times(float(times[0]))
    number = f"{number} \u2192" if number.startswith("over") else f"{number}×"
    return {
        f"{slug}_mark": _NONE if chosen else at,
        f"{slug}_chosen_mark": at if chosen else _NONE,
        f"{slug}_band": np.array([[low, down], [high, down], [high, up], [low, up]]),
        f"{slug}_times_at": _NONE if chosen else at + _LABEL_UP,
        f"{slug}_chosen_times_at": at + _LABEL_UP if chosen else _NONE,
        f"{slug}_times_words": f"{_foot(story).horse} {number}",
    }


def _foot_series(panel: int, story: str) -> list[Series]:
    """How one foot is drawn in its cell."""
    slug, (colour, dash, _) = _SLUGS[story], _LOOKS[story]
    ink = Style(colour="ink", width=2)
    anatomy = {
        "pastern": Style(fill="skin", fill_strength=1.0, width=0, fade=True),
        "bulb": Style(colour="quiet", fill="bulb", fill_strength=1.0, width=1),
        "wall": Style(colour="ink", fill="horn", fill_strength=1.0, width=2),
    }
    found = [
        Series("area", f"{slug}_{part}", panel=panel, style=style)
        for part, style in anatomy.items()
    ]
    horn = Style(colour="horn-line", width=1)
    band = Style(colour="ink", fill="band", fill_strength=1.0, width=1.2)
    between = Style(colour=colour, fill=colour, fill_strength=0.2, width=0)
    lines = [
        ("line", "horn", horn),
        ("area", "band", band),
        ("area", "between", between),
        ("line", "arc", Style(colour=colour, width=1.5)),
        ("arrow", "push", replace(ink, dash=(5, 4))),
        ("line", "was", replace(ink, dash=(2, 4))),
        ("line", "tick", ink),
        ("line", "heel", Style(colour="white", width=10)),
        ("line", "heel", Style(colour=colour, width=7, dash=dash)),
    ]
    found += [
        Series(
            kind,
            f"{slug}_{part}" if part != "band" else f"{slug}_hairline",
            panel=panel,
            style=style,
        )
        for kind, part, style in lines
    ]
    big, small = Style(colour="ink", size=16), Style(colour="ink", size=14, bold=False)
    words = [
        ("heel", big),
        ("off", replace(big, align="centre")),
        ("name", replace(small, align="centre")),
        ("push", small),
    ]
    found += [
        Series("words", f"{slug}_{part}_at", words=f"{slug}_{part}_words", panel=panel, style=s)
        for part, s in words
    ]
    return found


def _strip_series(panel: int) -> list[Series]:
    """How the strip is drawn: bands below, marks, names that push each other aside."""
    bands, marks, words = [], [], []
    for story, (colour, _, mark) in _LOOKS.items():
        slug = _SLUGS[story]
        band = Style(colour=colour, fill=colour, fill_strength=0.3, width=0)
        mine = Style(colour=colour, mark=mark, size=16)
        other = Style(colour=colour, mark=mark, size=12, hollow=True)
        label = Style(colour="ink", size=15, align="centre", apart=True)
        labels = {"": replace(label, size=14, bold=False), "chosen_": label}
        bands.append(Series("area", f"{slug}_band", panel=panel, style=band))
        marks += [
            Series("points", f"{slug}_mark", panel=panel, style=other),
            Series("points", f"{slug}_chosen_mark", panel=panel, style=mine),
        ]
        words += [
            Series(
                "words",
                f"{slug}_{which}times_at",
                words=f"{slug}_times_words",
                panel=panel,
                style=style,
            )
            for which, style in labels.items()
        ]
    about = Series(
        "words",
        "band_at",
        words="band_words",
        panel=panel,
        style=Style(colour="quiet", size=14, align="right", bold=False),
        wide_only=True,
    )
    return [*bands, *marks, *words, about]


@cache
def _cell_panel(story: str) -> Panel:
    """The cell of one foot, centred on its wall and bulb."""
    parts = _foot(story).parts
    across = np.concatenate([parts["foot_wall"][:, 0], parts["foot_bulb"][:, 0]])
    middle = float(across.min() + across.max()) / 2

    def limits(wide: float, high: float, ground: float, unit: float) -> Any:
        half = wide / unit / 2
        return (middle - half, middle + half), (-(high - ground) / unit, ground / unit)

    x_limits, y_limits = limits(_CELL, _CELL_HIGH, _GROUND_DOWN, _PX_PER_MM)
    narrow_x, narrow_y = limits(_PHONE, _NARROW_HIGH, _NARROW_GROUND_DOWN, _NARROW_PX_PER_MM)
    ends = (min(x_limits[0], narrow_x[0]), max(x_limits[1], narrow_x[1]))
    return Panel(
        x_limits=x_limits,
        y_limits=y_limits,
        equal=True,
        axes=False,
        width=_CELL,
        height=_CELL_HIGH,
        belongs_to=("story", story),
        narrow=Narrow(height=_NARROW_HIGH, x_limits=narrow_x, y_limits=narrow_y),
        fixed=(Fixed("ground", ((ends[0], 0.0), (ends[1], 0.0))),),
    )


def _strip_panel() -> Panel:
    """The strip: each step to the right doubles the work at the heel."""
    quiet = Style(colour="edge", width=1.5)
    fixed = [
        Fixed("line", ((_STRIP_LOW, _AXIS_PX), (_STRIP_HIGH, _AXIS_PX)), style=quiet),
        fixed_words(
            "Work at the heel, times the foot in line",
            _STRIP_LOW - 0.07,
            _TITLE_PX,
            colour="ink",
            size=15,
            bold=True,
        ),
    ]
    for doublings, words in enumerate(("½", "1", "2", "4"), start=-1):
        style = Style(colour="ink", width=2) if not doublings else replace(quiet, width=1.0)
        ends = ((float(doublings), _AXIS_PX - 6.0), (float(doublings), _AXIS_PX + 6.0))
        fixed += [
            Fixed("line", ends, style=style),
            fixed_words(words, doublings, _TICK_PX, colour="quiet", size=14, align="centre"),
        ]
    return Panel(
        x_limits=(_STRIP_LOW - 0.07, _STRIP_HIGH + 0.07),
        y_limits=(0, _STRIP_PX),
        axes=False,
        width=3 * _CELL + 22,
        height=_STRIP_PX,
        stretch=True,
        fixed=tuple(fixed),
    )


def _handle(panel: int, story: str) -> Handle:
    """The buttress of one foot: pull it along the ground, and its heel turns about its hairline."""
    slug = _SLUGS[story]
    return Handle(
        name=f"buttress_{slug}",
        label=f"{_foot(story).horse}'s heel buttress",
        kind="angle",
        x="heel_deg",
        at=f"{slug}_handle",
        about=f"{slug}_top",
        says=f"{slug}_says",
        turns=-1,
        level=True,
        panel=panel,
    )


UNDERRUN = Figure(
    name="underrun",
    title="Three feet under one push: pull a heel, and see how hard its horn works",
    sliders=(
        Slider(
            name="heel_deg",
            label="Heel, from the ground",
            unit="degrees",
            minimum=16,
            maximum=75,
            step=1,
            start=_start_deg("run under"),
            says=lambda heel: f"{heel:g}°",
        ),
        Slider("tilt_deg", "The push leans", "degrees", -8, 8, step=1, start=0, says=lean_says),
        Slider(
            name="visits",
            label="Visits from now",
            unit=f"of {VISITS}",
            minimum=0,
            maximum=VISITS,
            step=1,
            start=0,
            says=lambda visits: f"{visits:g} of {VISITS}" if visits else "today",
        ),
    ),
    play="visits",
    choices={"story": "run under"},
    presets=tuple(
        Preset(
            label=_foot(story).horse,
            note=story,
            values={"story": story, "heel_deg": _start_deg(story)},
            key=Style(colour=_LOOKS[story][0], dash=_LOOKS[story][1], width=6),
        )
        for story in _STORIES
    ),
    presets_label="Which foot to change",
    handles=tuple(_handle(panel, story) for panel, story in enumerate(_STORIES)),
    compute=compute,
    sentence=sentence,
    table=table,
    alt=alt,
    panels=(*(_cell_panel(story) for story in _STORIES), _strip_panel()),
    series=(
        *(series for panel, story in enumerate(_STORIES) for series in _foot_series(panel, story)),
        *_strip_series(len(_STORIES)),
    ),
    note=(
        "All feet are invented (yard Brackenfold, last visit). Work: stress in the horn of the "
        "hindmost third, pressing and bending together, under one push as at a trot on ground "
        f"that gives; over that of the foot in line today. Visits are {WEEKS:g} weeks apart, from "
        "the trimmed foot: drift alone, each heel taken as steady at six weeks. It compares; it "
        "does not foretell."
    ),
)
