"""Lesson 09's figure says and draws what the formulas and the yard's records say."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.cycle import (
    CREEP_DEG_PER_DAY_MPA,
    HeelLaw,
    drift,
    fixed_points,
    forecast,
    grow,
    interval_table,
    trim,
    way_back,
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
    law = HeelLaw(float(foot.heel_angle_deg), wear_mm_day=wear)
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
@pytest.mark.parametrize("times", [0.5, 1.0, 2.0])
def test_the_long_run_agrees_with_the_fixed_points(preset: str, times: float) -> None:
    foot, _ = trimmed(preset)
    heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
    setting = PRESETS[preset]
    law = HeelLaw(
        heel,
        wear_mm_day=setting["heel_wear_mm_day"],
        creep_deg_per_day_mpa=times * CREEP_DEG_PER_DAY_MPA,
    )
    days = 7 * setting["weeks"]
    place = {1.0: 0, 2.0: 1, 0.5: 2}[times]
    shown = at(preset).results["long_run"][place]
    assert np.isnan(shown) == way_back(heel, height, days, law).runs_away
    if not np.isnan(shown):
        stable = [p.heel_angle_deg for p in fixed_points(height, days, law) if p.stable]
        assert shown == pytest.approx(min(stable, key=lambda p: abs(p - heel)), abs=0.1)


def test_the_underrun_foot_runs_away_the_others_settle_and_the_band_says_how_sure() -> None:
    runs = {name: at(name).results["long_run"] for name in PRESETS}
    assert np.isnan(runs["Run under: Otterby"][0])
    assert not np.isnan(runs["Run under: Otterby"][2])
    assert not np.isnan(runs["In line: Fernlow"][0])
    assert np.isnan(runs["In line: Fernlow"][1])  # twice the creep
    assert not np.isnan(runs["Run under, new horn 8° steeper"][0])
    assert not np.isnan(runs["Too upright: Hobnut"]).any()
    assert "runs away" in at("Run under: Otterby", weeks=5).sentence


def test_the_band_is_about_that_of_random_draws() -> None:
    """Twice the error against 19 of 20 draws; put together by squares, so within a fifth."""
    foot, _ = trimmed("In line: Fernlow")
    law = HeelLaw(float(foot.heel_angle_deg), wear_mm_day=0.08)
    drawn = forecast(foot, 49, np.random.default_rng(9), law=law, point_error_mm=0.8, level=0.95)
    results = at().results
    for end in ("toe", "heel"):
        low, _, high = getattr(drawn, f"{end}_geometry_deg")[:, 0]
        # without creep the parts are the points and the growth alone
        still = at(creep_times=1).results
        assert still[f"{end}_high"] - still[f"{end}_low"] == pytest.approx(high - low, rel=0.2)
        wide = results[f"{end}_high"] - results[f"{end}_low"]
        assert wide > still[f"{end}_high"] - still[f"{end}_low"]


def test_the_error_of_two_photographs_decides_what_counts() -> None:
    foot, _ = trimmed("In line: Fernlow")
    error = error_of(foot, "toe_angle_deg", 0.8)
    results = at().results
    assert results["toe_counts_from"] == pytest.approx(2 * np.hypot(error, error))
    assert "the toe falls by 1.9 to 52.2 degrees, within the error" in at().sentence
    assert "more than the error" in at(weeks=12).sentence


def test_the_flattest_heel_that_the_sliders_reach_is_still_drawn_inside_its_band() -> None:
    frame = at("Run under: Otterby", weeks=12, heel_down_mm=0, heel_wear_mm_day=0, creep_times=3)
    assert not frame.refusal
    assert 10 <= frame.results["heel_band"][:, 1].min() < frame.results["heel_then"] < 25


def test_the_questions_agree_with_the_library() -> None:
    questions = load("trim_cycle")
    foot = Profile.from_measures(52, 40, 85, 35, 110)
    fall = 52 - grow(foot, 56, heel_wear_mm_day=0.12).toe_angle_deg
    assert fall == pytest.approx(3.2, abs=0.05)
    assert "3.2 degrees" in questions["predict"]["reason"]
    assert questions["gain"]["truth"] == pytest.approx((0.25 - 0.10) * 42)
    assert questions["real"]["truth"] == pytest.approx(2 * np.hypot(1.5, 1.5), abs=1e-3)
    low = Profile(**datasets.foot("Otterby", "right fore", moment="after trim").landmarks)
    law = HeelLaw(float(low.heel_angle_deg) + 8, wear_mm_day=0.08)
    table = interval_table(low, law=law, weeks=(6,))
    assert float(low.heel_angle_deg) == pytest.approx(26, abs=0.5)
    assert float(table.settles_at_deg[0]) == pytest.approx(27, abs=0.5)
    assert float(table.settles_high_deg[0]) == pytest.approx(31, abs=0.5)
    assert np.isnan(table.settles_low_deg[0])
