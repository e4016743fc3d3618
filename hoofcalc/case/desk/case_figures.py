"""Living figures of one measured visit: the foot in space, the push round its rim, what is to come.

They take their numbers from the same functions as `hoofcalc.case.measure` and `plan`, so that
what is seen is what is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np

from hoofcalc._counted import counted
from hoofcalc._inputs import FloatArray
from hoofcalc.capsule import Capsule
from hoofcalc.case.markup import piece
from hoofcalc.case.measure import (
    Measurement,
    capsule_of,
    centre_of,
    heel_in_line_mpa,
    in_line,
    push_of,
)
from hoofcalc.case.plan import StoredPlan
from hoofcalc.case.records import Visit
from hoofcalc.case.storage import CaseError
from hoofcalc.cycle import trim
from hoofcalc.figures.angles_in_time import LOOKS, angle_in_time
from hoofcalc.figures.foot import foot_from_side, side_series
from hoofcalc.figures.foot_in_space import (
    LOOK_DOWN,
    PUSH_SERIES,
    push_panels,
    push_round_rim,
    turn_slider,
)
from hoofcalc.figures.scene import Panel, Series, Style, scale_bar
from hoofcalc.figures.solid_foot import seen_from
from hoofcalc.figures.spec import Figure, Preset, Results, Slider, Values
from hoofcalc.figures.whole_foot import (
    WHOLE_FOOT_SERIES,
    pastern_axis,
    seen_whole,
    whole_foot,
)
from hoofcalc.forecast import expected
from hoofcalc.horn import horn_at
from hoofcalc.loadpath import force_vector, share_out, wall_stress
from hoofcalc.profile import Profile

_LOOK_DOWN_DEG = 20.0
#: Arrow of the greatest push, and stroke of an even share of it, as parts of the bearing length.
_ARROW, _STROKE = 0.62, 0.22
_LIMITS_DEG = (0.0, 90.0)
_TOP_DEG = 124.0  # the key stands above the curves
_WEEKS_MAX = 12
_HOOVES = {"Bare": False, "Shod": True}


def _middle(foot: Capsule) -> FloatArray:
    """The point about which a foot turns [mm]."""
    everything = np.vstack([foot.ground, foot.coronet])
    middle: FloatArray = (everything.min(axis=0) + everything.max(axis=0)) / 2
    return middle


def capsule_figure(found: Measurement) -> Figure:
    """The foot of a visit in 3-D, to turn.

    Parameters
    ----------
    found
        The visit, measured.

    Returns
    -------
    Figure
        With sliders ``turn_deg`` and ``look_down_deg``.

    Raises
    ------
    CaseError
        If the views do not make a foot together, in words.
    """
    profile, foot = found.visit.profile, capsule_of(found.visit, 24)
    whole, middle = whole_foot(foot, profile, pastern_axis(profile)), _middle(foot)
    reach = float(np.linalg.norm(whole.corners - middle, axis=-1).max())
    built = _capsule_in_words(found.visit, foot)

    def compute(*, turn_deg: float, look_down_deg: float) -> dict[str, Any]:
        return seen_whole(whole, middle, turn_deg, look_down_deg)

    def sentence(values: Values, _results: Results) -> str:
        return f"{built} {seen_from(values['turn_deg'], values['look_down_deg'])}."

    def alt(values: Values, _results: Results) -> str:
        seen = seen_from(values["turn_deg"], values["look_down_deg"]).lower()
        return (
            f"The foot in space, {seen}: its wall with thin lines of the horn, three of them "
            "marked with their angle from the ground, bulbs, and the start of the pastern."
        )

    return Figure(
        name="case-capsule",
        title="The foot in 3-D, to turn",
        sliders=(turn_slider(35), LOOK_DOWN),
        compute=compute,
        sentence=sentence,
        alt=alt,
        panels=(
            Panel(
                title=f"{found.case.horse[:24]}, {found.case.foot}, {found.visit.name}",
                x_limits=(-1.05 * reach, 1.05 * reach),
                y_limits=(-0.9 * reach, 1.05 * reach),
                equal=True,
                axes=False,
                width=600,
                height=510,
                fixed=scale_bar(reach - 50, -0.85 * reach, 50),
                turned_by=("turn_deg", "look_down_deg"),
            ),
        ),
        series=WHOLE_FOOT_SERIES,
        note=piece("note_space", _invented(found)).strip(),
    )


def _capsule_in_words(visit: Visit, foot: Capsule) -> str:
    """From what a capsule is built, and what it measures."""
    toe, heels = foot.slopes_deg[len(foot.slopes_deg) // 2], foot.slopes_deg[[0, -1]].mean()
    widest = int(np.argmax(foot.ground[:, 1]))
    low, high = foot.ground[widest], foot.coronet[widest]
    lean = float(np.degrees(np.arctan2(low[1] - high[1], high[2])))
    stands = f"leans {abs(lean):.0f} degrees {'in' if lean > 0 else 'out'} on its way up"
    return (
        f"{_built_from(visit)} The lines of the horn stand at {toe:.0f} degrees at the toe and at "
        f"{heels:.0f} at the heels. The left side wall "
        f"{stands if abs(lean) >= 0.5 else 'stands upright'}. The hoof is "
        f"{np.ptp(foot.ground[:, 1]):.0f} mm wide at the ground and holds "
        f"{float(foot.volume_mm3) / 1000:.0f} cm³."
    )


class _Loaded:
    """The push of the ground on the foot of a visit."""

    def __init__(self, found: Measurement) -> None:
        if found.load is None:
            why = (remark for remark in found.remarks if "load map" in remark)
            raise CaseError(next(why, "no load map"))
        self.load, self.case, visit = found.load, found.case, found.visit
        self.told_apart = visit.outline_mm is not None
        foot = self.foot = self.load.foot
        self.middle = _middle(foot)
        self.mm_per_n = float(visit.profile.bearing_length_mm) / self.load.peak_vertical_n
        self.horn = horn_at(water_percent=visit.horn_water_percent).central
        self.centre, self.reference = centre_of(foot), in_line()
        self.one_mpa = heel_in_line_mpa(self.load.peak_vertical_n, self.horn)
        peak = force_vector(self.load.peak_vertical_n, 0.0)
        self.most = max(float(np.max(self._work(each, peak))) for each in (foot, self.reference))

    def _work(self, foot: Capsule, force: FloatArray) -> FloatArray:
        """How many times as hard each strip works as the reference foot's heels."""
        strips = share_out(foot, force, centre_of(foot))
        return wall_stress(foot, strips, self.horn).worked_mpa / self.one_mpa

    def compute(self, *, moment_percent: float, turn_deg: float) -> dict[str, Any]:
        push = push_of(self.case, self.load.duty_factor, [moment_percent / 100])
        force = force_vector(push.vertical_n, push.tilt_deg)[0]
        strips = share_out(self.foot, force, self.centre)
        return {
            **push_round_rim(
                self.foot,
                self.middle,
                force,
                self.centre,
                strips,
                self._work(self.foot, force),
                self._work(self.reference, force),
                turn_deg=turn_deg,
                look_down_deg=_LOOK_DOWN_DEG,
                mm_per_n=_ARROW * self.mm_per_n,
                mm_per_strip_n=_STROKE * self.mm_per_n * len(strips),
            ),
            "vertical_n": float(push.vertical_n[0]),
            "tilt_deg": float(push.tilt_deg[0]),
        }

    def place_of(self, results: Results) -> str:
        # without an outline both sides are the same to the last digit or so
        place = str(results["place"])
        return place if self.told_apart else place.split()[-1]

    def sentence(self, values: Values, results: Results) -> str:
        tilt = results["tilt_deg"]
        leans = "stands upright"
        if abs(tilt) >= 0.05:
            leans = f"leans {abs(tilt):.1f} degrees {'back' if tilt > 0 else 'forward'}"
        lifted = results["lifted_percent"]
        off_ground = f" {lifted:.0f} % of the rim has lifted." if lifted else ""
        return (
            f"At {values['moment_percent']:g} % of the stance at {self.case.gait} the ground "
            f"pushes with {results['vertical_n']:.0f} N and {leans}. The wall works hardest at the "
            f"{self.place_of(results)}: {results['most']:.1f} times as hard as the reference "
            f"foot's heels at the greatest push.{off_ground} "
            f"{seen_from(values['turn_deg'], _LOOK_DOWN_DEG)}."
        )

    def alt(self, _values: Values, results: Results) -> str:
        return (
            "Left: the hoof in 3-D with the push of the ground as a thick arrow from below and "
            "thinner strokes for the share of each piece of rim; the wall is darker where it works "
            f"harder, darkest at the {self.place_of(results)}. Right: the rim unrolled from right "
            "heel over toe to left heel, with two curves: how hard this foot's wall works "
            "(unbroken) and how hard the reference foot's does (dashed), both as times the "
            "reference foot's heels at the greatest push."
        )


def load_figure(found: Measurement) -> Figure:
    """The push on this foot, for this horse and gait, at every moment of the stance.

    Parameters
    ----------
    found
        The visit, measured.

    Returns
    -------
    Figure
        With sliders ``moment_percent`` and ``turn_deg``.

    Raises
    ------
    CaseError
        If there is no load map of this visit; why not is said.
    """
    loaded = _Loaded(found)
    load, case = loaded.load, loaded.case
    rings = np.vstack([load.foot.ground, load.foot.coronet])
    reach = float(np.linalg.norm(rings - loaded.middle, axis=-1).max())
    return Figure(
        name="case-load",
        title="The push of the ground round the rim",
        sliders=(
            Slider(
                "moment_percent", "Moment of the stance", "% of its time", 10, 90, step=1, start=50
            ),
            turn_slider(-25),
        ),
        presets=tuple(
            Preset(label=label, values={"moment_percent": moment})
            for label, moment in (("Braking", 25), ("Mid-stance", 50), ("Pushing off", 75))
        ),
        presets_label="Moment:",
        compute=loaded.compute,
        sentence=loaded.sentence,
        alt=loaded.alt,
        panels=push_panels(reach, loaded.most),
        series=tuple(
            replace(item, style=replace(item.style, width=0.3)) if item.kind == "tiles" else item
            for item in PUSH_SERIES  # so many strips that wider edges would hide the colours
        ),
        note=(
            f"{case.mass_kg:g} kg at {case.gait}, each foot on the ground for "
            f"{load.duty_factor:.2f} of a stride: up to {load.peak_vertical_n:.0f} N, which "
            f"differs by {100 * load.spread:.0f} % from stance to stance and horse to horse. Blue "
            "strokes: what each piece of rim carries. The reference foot is invented; the curves "
            f"compare, they do not say what horn bears. {_invented(found)}"
        ).strip(),
    )


class _Forecast:
    """A trim tried on the foot of a visit, and its angles until the next."""

    def __init__(self, found: Measurement) -> None:
        visit = self.visit = found.visit
        self.trimmed = visit.moment == "after trim"
        self.error = {end: found.errors[f"{end}_angle_deg"] for end in LOOKS}
        self.length = float(visit.profile.bearing_length_mm)
        self.now = {end: float(getattr(visit.profile, f"{end}_angle_deg")) for end in LOOKS}

    def compute(self, *, hoof: str, weeks: float, **taken: float) -> dict[str, Any]:
        cut = {
            "toe_down_mm": taken.get("toe_taken_mm", 0.0),
            "heel_down_mm": taken.get("heel_down_mm", 0.0),
        }
        now, after = self.visit.profile, trim(self.visit.profile, **cut)
        at_zero = {name: at - after.heel_ground for name, at in after.landmarks.items()}
        corners = (now.heel_ground, now.toe_ground, now.toe_coronet, now.heel_coronet)
        days = np.linspace(0, 7 * weeks, 9)
        coming = expected(self.visit.profile, self.error, days, shod=_HOOVES[hoof], **cut)
        results: dict[str, Any] = {
            **foot_from_side(Profile(**at_zero), horn_lines=9),
            "before_outline": np.vstack([*corners, now.heel_ground]) - now.heel_ground,
            "visit_line": np.array([[weeks, end] for end in _LIMITS_DEG]),
            "toe_after": float(after.toe_angle_deg),
            "heel_after": float(after.heel_angle_deg),
            "before_at": np.array([[-0.85 * self.length, -0.19 * self.length]]),
            "before_says": "" if self.trimmed else "dashed: before the trim",
            "after_at": np.array([[-0.85 * self.length, -0.34 * self.length]]),
            "after_says": "measured after the trim"
            if self.trimmed
            else "filled: after the tried trim",
        }
        for end in LOOKS:
            angles = getattr(coming, f"{end}_deg")
            results |= {
                **angle_in_time(end, days / 7, angles, _LIMITS_DEG),
                f"{end}_deg": tuple(angles[-1].tolist()),
                f"{end}_now": np.array([[0.0, self.now[end]]]),
            }
        return results

    def sentence(self, values: Values, results: Results) -> str:
        weeks = values["weeks"]
        after = f"The toe stands at {results['toe_after']:.1f} degrees, the heel at "
        after += f"{results['heel_after']:.1f}."
        if not self.trimmed:
            toe_down, heel_down = values["toe_taken_mm"], values["heel_down_mm"]
            after = (
                f"Tried: toe down {toe_down:g} mm, heel down {heel_down:g} mm. That brings the toe "
                f"from {self.now['toe']:.1f} to {results['toe_after']:.1f} degrees and the heel "
                f"from {self.now['heel']:.1f} to {results['heel_after']:.1f}."
            )
            if not toe_down and not heel_down:
                after = (
                    f"Nothing is taken off yet: the toe stands at {self.now['toe']:.1f} degrees, "
                    f"the heel at {self.now['heel']:.1f}."
                )
        ends = " and ".join(
            f"the {end} between {max(0.0, low):.0f} and {high:.0f} degrees (middle {middle:.1f})"
            for end in LOOKS
            for low, middle, high in [results[f"{end}_deg"]]
        )
        day = self.visit.date + timedelta(weeks=round(weeks))
        return (
            f"{after} {values['hoof']}, next visit in {counted(weeks, 'week')}, on {day.day} "
            f"{day:%B %Y}: {ends}. "
            "An estimate to compare trims by, not a promise."
        )

    def alt(self, _values: Values, _results: Results) -> str:
        dashed = "" if self.trimmed else "; dashed over it the outline before"
        return (
            f"Left: the foot from the side, toe to the right, after the trim{dashed}. Right: the "
            "angles of toe and heel over the weeks to the next visit, each a line in a shaded "
            "band; marks at the left show what was measured."
        )


def forecast_figure(found: Measurement) -> Figure:
    """The foot after a tried trim, and its angles until the next visit.

    Parameters
    ----------
    found
        The visit, measured. After a trim only the weeks can be moved.

    Returns
    -------
    Figure
        With sliders ``toe_taken_mm``, ``heel_down_mm`` and ``weeks``, and the choice ``hoof``.
    """
    visit, tried_on = found.visit, _Forecast(found)
    trimmed, length = tried_on.trimmed, tried_on.length
    height = float(visit.profile.toe_height_mm)
    cuts = [
        ("toe_taken_mm", "Toe down", height),
        ("heel_down_mm", "Heel down", float(visit.profile.heel_height_mm)),
    ]
    sliders = [
        Slider(name, label, "mm", 0, _most(up), step=0.5, start=0)
        for name, label, up in ([] if trimmed else cuts)
    ]
    sliders.append(Slider("weeks", "Next visit in", "weeks", 1, _WEEKS_MAX, step=1, start=6))
    return Figure(
        name="case-forecast",
        title="A trim tried, and the angles until the next visit",
        sliders=tuple(sliders),
        choices={"hoof": "Bare"},
        presets=tuple(Preset(label=hoof, values={"hoof": hoof}) for hoof in _HOOVES),
        presets_label="Until then the foot is:",
        compute=tried_on.compute,
        sentence=tried_on.sentence,
        alt=tried_on.alt,
        panels=_forecast_panels(length, height),
        series=_FORECAST_SERIES,
        note=piece("note_trim", _invented(found)).strip(),
    )


def _forecast_panels(length: float, height: float) -> tuple[Panel, ...]:
    """The foot after the trim, and its angles over the weeks."""
    return (
        Panel(
            title="The foot after the trim",
            x_limits=(-0.9 * length, 1.25 * length),
            y_limits=(-0.45 * length, max(1.7 * height, 1.4 * length)),
            equal=True,
            axes=False,
            width=450,
            height=430,
        ),
        Panel(
            title="Angles until the next visit",
            x_limits=(-0.4, _WEEKS_MAX + 0.4),
            y_limits=(0.0, _TOP_DEG),
            x_label="time from this visit (weeks)",
            y_label="angle from the ground (degrees)",
            legend="upper right",
            width=480,
            height=430,
            x_ticks=tuple(range(0, _WEEKS_MAX + 1, 2)),
            y_ticks=tuple(range(0, 91, 10)),
        ),
    )


def tried(found: Measurement, values: Mapping[str, Any]) -> StoredPlan:
    """A tried trim as a plan.

    Parameters
    ----------
    found
        The visit, measured.
    values
        Setting of `forecast_figure`'s figure.

    Returns
    -------
    StoredPlan
        Its words say what is taken off.
    """
    toe, heel = (float(values.get(name, 0.0)) for name in ("toe_taken_mm", "heel_down_mm"))
    return StoredPlan(
        work=f"The toe is lowered by {toe:g} mm and the heel by {heel:g} mm.",
        next_visit=found.visit.date + timedelta(weeks=round(values["weeks"])),
        toe_taken_mm=toe,
        heel_down_mm=heel,
        shod=_HOOVES[values["hoof"]],
    )


def _most(height_mm: float) -> float:
    """The most that a slider takes off: no more than two thirds of the height, at most 12 mm."""
    return min(12.0, float(np.floor(2 * height_mm * 2 / 3)) / 2)


def _built_from(visit: Visit) -> str:
    """From which views the capsule is built, and what was assumed for the others."""
    views, taken = ["the side"], []
    if visit.outline_mm is None:
        taken.append("without the view from below an even oval is taken, left and right alike")
    if visit.ground_width_mm is None:
        taken.append("without the front view the hoof is taken to be 15 % narrower at the hairline")
    else:
        views.append("the front")
    if visit.outline_mm is not None:
        views.append("below")
    built = f"{', '.join(views[:-1])} and {views[-1]}" if views[1:] else f"{views[0]} alone"
    return f"Built from {built}{': ' if taken else ''}{', and '.join(taken)}."


def _invented(found: Measurement) -> str:
    return "Horse and foot are invented." if found.case.invented else ""


def _forecast_series() -> tuple[Series, ...]:
    before = Style(colour="vermillion", width=3, dash=(7, 5))
    words = Style(colour="black", size=15)
    visit = Style(colour="grey", width=1.5, dash=(4, 3))
    found = [
        *side_series(),
        Series("line", "before_outline", style=before),
        Series("words", "before_at", words="before_says", style=words),
        Series("words", "after_at", words="after_says", style=words),
        Series("line", "visit_line", panel=1, style=visit),
    ]
    for end, (line, fill, mark) in LOOKS.items():
        band = Style(colour=line.colour, fill=fill, fill_strength=0.35, width=0)
        now = Style(colour=line.colour, mark=mark, size=11)
        coming, measured = f"{end}, forecast", f"{end}, measured"
        found += [
            Series("area", f"{end}_band", panel=1, style=band),
            Series("line", f"{end}_line", panel=1, style=line, label=coming),
            Series("points", f"{end}_now", panel=1, style=now, label=measured),
        ]
    return tuple(found)


_FORECAST_SERIES = _forecast_series()
