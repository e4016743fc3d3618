"""Lesson 09's figure says and draws what the formulas and the yard's records say."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.cycle import (
    drift,
    fixed_points,
    forecast,
    grow,
    steady_law,
    through_visits,
    trim,
)
from hoofcalc.figures.questions import load
from hoofcalc.figures.trim_cycle_figure import TRIM_CYCLE
from hoofcalc.profile import Profile, error_of

PRESETS = {preset.label: dict(preset.values) for preset in TRIM_CYCLE.presets}
FEET = {
    "In line: Fernlow": ("Fernlow", "left fore", 3, 0.0),
    "Run under: Otterby": ("Otterby", "right fore", 3, 0.0),
    "Too upright: Hobnut": ("Hobnut", "left fore", 2, 0.13),
}
every_foot = pytest.mark.parametrize("preset", FEET)


def at(preset: str = "In line: Fernlow", **values: Any) -> Any:
    return TRIM_CYCLE.frame({**PRESETS[preset], **values})


def trimmed(preset: str) -> tuple[Profile, float]:
    """The foot as trimmed at that visit, and its toe's wear."""
    horse, foot, visit, toe_wear = FEET[preset]
    record = datasets.foot(horse, foot, visit)
    after = trim(
        Profile(**record.landmarks),
        heel_down_mm=record.heel_down_mm,
        toe_down_mm=record.toe_down_mm,
        toe_back_mm=record.toe_back_mm,
    )
    return after, toe_wear


@every_foot
def test_the_lines_are_those_of_geometry_and_drift(preset: str) -> None:
    foot, toe_wear = trimmed(preset)
    wear = PRESETS[preset]["heel_wear_mm_day"]
    results = at(preset).results
    days = results["toe_line"][:, 0] * 7
    rates = {"toe_wear_mm_day": toe_wear, "heel_wear_mm_day": wear}
    plain = grow(foot, days, **rates)
    np.testing.assert_allclose(results["heel_plain"][:, 1], plain.heel_angle_deg)
    law = steady_law(foot.heel_angle_deg, foot.heel_height_mm, wear_mm_day=wear)
    turn = drift(foot.heel_angle_deg, foot.heel_length_mm, days, law).heel_angle_deg
    moved = grow(foot, days, heel_drift_deg=turn - foot.heel_angle_deg, **rates)
    np.testing.assert_allclose(results["toe_line"][:, 1], moved.toe_angle_deg, atol=1e-6)
    np.testing.assert_allclose(results["heel_line"][:, 1], moved.heel_angle_deg, atol=1e-6)


@every_foot
def test_the_crosses_are_the_next_visits_measurement(preset: str) -> None:
    horse, foot, visit, _ = FEET[preset]
    one, two = datasets.foot(horse, foot, visit), datasets.foot(horse, foot, visit + 1)
    profile, results = Profile(**two.landmarks), at(preset).results
    weeks = (two.date - one.date).days / 7
    assert PRESETS[preset]["weeks"] == weeks
    np.testing.assert_allclose(
        results["measured"],
        [[weeks, profile.toe_angle_deg], [weeks, profile.heel_angle_deg]],
    )
    reach = 2 * error_of(profile, "heel_angle_deg", two.point_error_mm)
    assert np.ptp(results["measured_bars"][3:5, 1]) == pytest.approx(2 * reach)
    assert "both bars meet the band" in at(preset).sentence
    assert "measured" not in at(preset, weeks=2).sentence


@every_foot
def test_the_drawn_foot_stands_at_the_angle_that_the_sentence_names(preset: str) -> None:
    frame = at(preset)
    heel, toe = frame.results["foot_wall"][:2]
    top = frame.results["foot_wall"][2]
    wall, ground = top - toe, heel - toe
    cosine = wall @ ground / np.hypot(*wall) / np.hypot(*ground)
    assert np.degrees(np.arccos(cosine)) == pytest.approx(frame.results["toe_then"])
    assert f"{frame.results['toe_then']:.1f} degrees" in frame.sentence


@every_foot
@pytest.mark.parametrize("times", [0.25, 1.0, 4.0])
@pytest.mark.parametrize("weeks", [4, 6, 10])
def test_the_long_run_agrees_with_visit_after_visit(preset: str, times: float, weeks: int) -> None:
    foot, _ = trimmed(preset)
    heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
    wear = PRESETS[preset]["heel_wear_mm_day"]
    law = steady_law(heel, height, wear_mm_day=wear, creep_times=times)
    shown = at(preset, weeks=weeks).results["long_run"][{1.0: 0, 4.0: 1, 0.25: 2}[times]]
    # at six weeks a heel stays of itself: what matters is whether it comes back from a push
    path = through_visits(heel - 0.01 * (weeks == 6), height, 7 * weeks, 300, law)
    assert np.isnan(shown) == bool(path.ran_away[-1])
    if not np.isnan(shown):
        assert shown == pytest.approx(path.heel_angle_deg[-1], abs=0.2)
        stable = [p.heel_angle_deg for p in fixed_points(height, 7 * weeks, law) if p.stable]
        assert min(abs(p - shown) for p in stable) < 0.1


def test_at_six_weeks_every_foot_stays_and_only_strong_creep_carries_the_low_one_away() -> None:
    for name in ("In line: Fernlow", "Run under: Otterby", "Too upright: Hobnut"):
        results = at(name, weeks=6).results
        assert results["heel_then"] == pytest.approx(results["heel_by_growth"], abs=1e-6)
        assert results["long_run"][0] == pytest.approx(results["heel_now"], abs=1e-6)
    low = at("Run under: Otterby", weeks=6)
    assert np.isnan(low.results["long_run"][1])
    assert "with creep 4 times stronger it runs away" in low.sentence
    assert not np.isnan(at("In line: Fernlow", weeks=6).results["long_run"]).any()
    steeper = at("Run under, new horn 8° steeper", weeks=6).results
    assert steeper["long_run"][0] > steeper["heel_now"] + 8  # the loop makes more of it


def test_the_band_is_about_that_of_random_draws() -> None:
    """Twice the error against 19 of 20 draws; put together by squares, so within a fifth."""
    foot, _ = trimmed("In line: Fernlow")
    drawn = forecast(
        foot, 49, np.random.default_rng(9), heel_wear_mm_day=0.08, point_error_mm=0.8, draws=4000
    )
    results = at().results
    for end in ("toe", "heel"):
        low, middle, high = getattr(drawn, f"{end}_angle_deg")[:, 0]
        wide = results[f"{end}_high"] - results[f"{end}_low"]
        assert wide == pytest.approx(high - low, rel=0.2)
        assert results[f"{end}_then"] == pytest.approx(middle, abs=0.2)
        still = at(creep_times=1).results
        assert wide >= still[f"{end}_high"] - still[f"{end}_low"]


def test_the_error_of_two_photographs_decides_what_counts() -> None:
    foot, _ = trimmed("In line: Fernlow")
    error = error_of(foot, "toe_angle_deg", 0.8)
    results = at().results
    assert results["toe_counts_from"] == pytest.approx(2 * np.hypot(error, error))
    assert "the toe falls by 1.6 to 52.5 degrees, within the error" in at().sentence
    assert "more than the error" in at(weeks=12).sentence


def test_the_flattest_heel_that_the_sliders_reach_is_still_drawn_inside_its_band() -> None:
    frame = at("Run under: Otterby", weeks=12, heel_down_mm=0, heel_wear_mm_day=0, creep_times=4)
    assert not frame.refusal
    assert 10 <= frame.results["heel_band"][:, 1].min() < frame.results["heel_then"] < 30


def test_the_questions_agree_with_the_library() -> None:
    questions = load("trim_cycle")
    foot = Profile.from_measures(52, 40, 85, 35, 110)
    fall = 52 - grow(foot, 56, heel_wear_mm_day=0.12).toe_angle_deg
    assert fall == pytest.approx(3.2, abs=0.05)
    assert "3.2 degrees" in questions["predict"]["reason"]
    assert questions["gain"]["truth"] == pytest.approx((0.25 - 0.10) * 42)
    assert questions["real"]["truth"] == pytest.approx(2 * np.hypot(1.5, 1.5), abs=1e-3)
    low = Profile(**datasets.foot("Otterby", "right fore", moment="after trim").landmarks)
    heel, height = float(low.heel_angle_deg), float(low.heel_height_mm)
    ends = [
        through_visits(
            heel, height, 10 * 7, 300, steady_law(heel, height, wear_mm_day=0.08, creep_times=times)
        ).heel_angle_deg[-1]
        for times in (0.25, 1, 4)
    ]
    assert heel == pytest.approx(26, abs=0.5)
    assert ends == pytest.approx([25, 24, 10], abs=0.5)
    asked = questions["plan"]
    assert "settles at 24; with four times the creep it runs away" in asked["ask"]
    assert "with a quarter of it the heel stays at 25" in asked["ask"]
