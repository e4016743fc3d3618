"""Lesson 09's figure, curve and words say and draw what the formulas and the records say."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.cycle import (
    HeelLaw,
    drift,
    fixed_points,
    grow,
    loop_gain,
    steady_law,
    through_visits,
    trim,
)
from hoofcalc.figures import EVERY_PREDICTION
from hoofcalc.figures.questions import load
from hoofcalc.figures.trim_cycle_figure import TRIM_CYCLE, start_of
from hoofcalc.forecast import expected
from hoofcalc.profile import Profile, error_of

STORIES = ["run under", "in line", "too upright"]
TOE_WEAR = {"run under": 0.0, "in line": 0.0, "too upright": 0.13}
every_foot = pytest.mark.parametrize("story", STORIES)


def at(story: str = "run under", **values: Any) -> Any:
    return TRIM_CYCLE.frame({**start_of(story), **values})


def trimmed(story: str) -> Profile:
    """The foot as its trimmer trimmed it at the last visit, worked out from what came off."""
    record = datasets.story_feet()[story]
    return trim(
        Profile(**record.landmarks),
        heel_down_mm=record.heel_down_mm,
        toe_down_mm=record.toe_down_mm,
        toe_back_mm=record.toe_back_mm,
    )


@every_foot
def test_the_first_interval_is_that_of_geometry_and_drift(story: str) -> None:
    foot, wear = trimmed(story), start_of(story)["heel_wear_mm_day"]
    results = at(story).results
    days = results["toe_line"][:7, 0] * 7
    rates = {"toe_wear_mm_day": TOE_WEAR[story], "heel_wear_mm_day": wear}
    law = steady_law(foot.heel_angle_deg, foot.heel_height_mm, wear_mm_day=wear)
    turn = drift(foot.heel_angle_deg, foot.heel_length_mm, days, law).heel_angle_deg
    moved = grow(foot, days, heel_drift_deg=turn - foot.heel_angle_deg, **rates)
    np.testing.assert_allclose(results["toe_line"][:7, 1], moved.toe_angle_deg, atol=1e-6)
    np.testing.assert_allclose(results["heel_line"][:7, 1], moved.heel_angle_deg, atol=1e-6)


@every_foot
def test_a_steady_heel_has_every_tooth_alike(story: str) -> None:
    line = at(story).results["heel_line"]
    first, second, third = line[:7, 1], line[7:14, 1], line[14:21, 1]
    np.testing.assert_allclose(second, first, atol=1e-6)
    np.testing.assert_allclose(third, first, atol=1e-6)


@every_foot
def test_the_first_band_is_that_of_the_forecast(story: str) -> None:
    """Put together alike, for the rates of wear are the same."""
    record, start = datasets.story_feet()[story], start_of(story)
    foot = Profile(**record.landmarks)
    error = {
        end: float(error_of(foot, f"{end}_angle_deg", record.point_error_mm))
        for end in ("toe", "heel")
    }
    cut = {name: start[name] for name in ("heel_down_mm", "toe_down_mm")}
    band = expected(
        foot, error, [42], **cut, toe_back_mm=record.toe_back_mm, shod=story != "too upright"
    )
    results = at(story).results
    for end in ("toe", "heel"):
        one = results[f"{end}_numbers"]
        wanted = getattr(band, f"{end}_deg")[0]
        assert (one["low"], one["now"], one["high"]) == pytest.approx(tuple(wanted), abs=0.05)


@every_foot
def test_the_drawn_foot_stands_at_the_angle_that_the_sentence_names(story: str) -> None:
    for week in (0, 5, 12):
        frame = at(story, week=week)
        heel, toe, top = frame.results["foot_wall"][:3]
        wall, ground = top - toe, heel - toe
        cosine = wall @ ground / np.hypot(*wall) / np.hypot(*ground)
        now = frame.results["toe_numbers"]["now"]
        assert np.degrees(np.arccos(cosine)) == pytest.approx(now)


@every_foot
def test_the_trim_line_takes_off_what_was_asked_for_and_later_what_has_grown(story: str) -> None:
    start = start_of(story)
    toe_off, heel_off = at(story, week=0).results["off_mm"]
    # the toe is brought back along the cut as well, which lies a little lower or higher there
    assert toe_off == pytest.approx(start["toe_down_mm"], abs=0.15)
    assert heel_off == pytest.approx(start["heel_down_mm"], abs=0.15)
    foot = trimmed(story)
    gain = (0.25 - start["heel_wear_mm_day"]) * 42
    _, later = at(story, week=6).results["off_mm"]
    assert later == pytest.approx(gain * np.sin(np.radians(foot.heel_angle_deg)), rel=0.15)


def test_more_off_the_toe_stands_the_foot_up_and_more_off_the_heel_lays_it_down() -> None:
    for end in ("toe", "heel"):
        usual = at().results[f"{end}_numbers"]["trimmed"]
        assert at(toe_down_mm=12).results[f"{end}_numbers"]["trimmed"] > usual
        assert at(heel_down_mm=10).results[f"{end}_numbers"]["trimmed"] < usual


@every_foot
@pytest.mark.parametrize("times", [0.25, 1.0, 4.0])
@pytest.mark.parametrize("weeks", [4, 6, 10])
def test_the_long_run_agrees_with_visit_after_visit(story: str, times: float, weeks: int) -> None:
    foot, wear = trimmed(story), start_of(story)["heel_wear_mm_day"]
    heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
    law = steady_law(heel, height, wear_mm_day=wear, creep_times=times)
    shown = at(story, interval_weeks=weeks).results["long_run"][{1.0: 0, 4.0: 1, 0.25: 2}[times]]
    # at six weeks a heel stays of itself: what matters is whether it comes back from a push
    path = through_visits(heel - 0.01 * (weeks == 6), height, 7 * weeks, 300, law)
    assert np.isnan(shown) == bool(path.ran_away[-1])
    if not np.isnan(shown):
        assert shown == pytest.approx(path.heel_angle_deg[-1], abs=0.2)
        stable = [p.heel_angle_deg for p in fixed_points(height, 7 * weeks, law) if p.stable]
        assert min(abs(p - shown) for p in stable) < 0.1


def test_what_the_lesson_says_of_the_teeth() -> None:
    for end in ("toe", "heel"):
        one = at().results[f"{end}_numbers"]
        assert one["trimmed"] - one["now"] == pytest.approx(2.5, abs=0.25)
        one = at(interval_weeks=12, week=12).results[f"{end}_numbers"]
        assert 5 < one["trimmed"] - one["now"] < 6
        one = at("too upright").results[f"{end}_numbers"]
        assert one["now"] > one["trimmed"]


def test_what_the_lesson_says_of_the_loop() -> None:
    average = float(loop_gain(40, 24, HeelLaw(band_angle_deg=40)))
    assert 1 / (1 - average) == pytest.approx(1.3, abs=0.05)
    foot = trimmed("run under")
    low = float(loop_gain(foot.heel_angle_deg, foot.heel_height_mm, HeelLaw(band_angle_deg=24)))
    assert 1 / (1 - low) == pytest.approx(2, abs=0.2)
    assert 150 < float(foot.heel_length_mm) / 0.25 < 190  # days until it is all new


def test_what_the_lesson_says_of_new_horn() -> None:
    assert np.isnan(at(new_horn_deg=-2).results["long_run"][0])
    assert not np.isnan(at("in line", new_horn_deg=-10).results["long_run"][0])
    at_four, at_six = (at(interval_weeks=weeks).results["long_run"][0] for weeks in (4, 6))
    assert at_four - at_six == pytest.approx(1, abs=0.5)


def test_the_curve_to_draw_is_the_figures_heel() -> None:
    prediction = EVERY_PREDICTION["trim_cycle"]
    line = at().results["heel_line"]
    weeks, truth = np.array(prediction.columns), prediction.true_values
    for week in (0, 3, 6, 9, 12, 18):
        wanted = line[np.flatnonzero(line[:, 0] == week)[0], 1]
        assert truth[np.argmin(abs(weeks - week))] == pytest.approx(wanted, abs=1e-6)
    assert prediction.start == pytest.approx(truth[0], abs=0.05)


def test_the_questions_agree_with_the_library() -> None:
    questions = load("trim_cycle")
    assert questions["remember_growth"]["truth"] == pytest.approx(0.25 * 42)
    foot = Profile.from_measures(52, 40, 85, 35, 110)
    fall = 52 - grow(foot, 56, heel_wear_mm_day=0.12).toe_angle_deg
    assert fall == pytest.approx(3, abs=0.3)
    twelve, six = (at(interval_weeks=weeks).results["long_run"] for weeks in (12, 6))
    assert np.isnan(twelve[0])
    assert [twelve[2], six[0], six[2]] == pytest.approx([24, 24, 24], abs=0.5)
