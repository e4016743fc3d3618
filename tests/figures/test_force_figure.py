"""Lesson 02's figure says and draws what the formulas and the yard's films say."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures.force_figure import _MAGNIFIED, _MM_PER_WEIGHT, _ZERO, GROUND_FORCE
from hoofcalc.figures.force_prediction import FORCE_PREDICTION
from hoofcalc.figures.questions import load
from hoofcalc.ground_force import PEAK_ESTIMATE_ERROR, peak_vertical_n, stance_force, tilt_deg

PRESETS = {
    f"{one.values['gait'].capitalize()}, {one.values['limb']}": dict(one.values)
    for one in GROUND_FORCE.presets
}


def at(preset: str = "Trot, fore", **values: Any) -> Any:
    return GROUND_FORCE.frame({**PRESETS[preset], **values})


@pytest.mark.parametrize("preset", PRESETS)
@pytest.mark.parametrize("moment", [12, 26, 50, 76, 90])
def test_the_arrow_has_the_size_and_direction_of_the_force(preset: str, moment: int) -> None:
    chosen = PRESETS[preset]
    force = stance_force(
        chosen["gait"], chosen["limb"], 480.0, chosen["duty_factor"], [0.5, moment / 100]
    )
    up, back = float(force.vertical_n[1]), float(force.fore_aft_n[1])
    results = at(preset, moment_percent=moment, mass_kg=480).results
    tail, tip = results["push"]
    newtons = 480 * 9.80665 / _MM_PER_WEIGHT
    np.testing.assert_allclose((tip - tail) * newtons, [-back, up], rtol=1e-3)
    # its two parts make it up, end to end
    np.testing.assert_allclose(results["standing"][0], tail)
    np.testing.assert_allclose(results["standing"][1], results["aside"][0])
    np.testing.assert_allclose(results["aside"][1], tip)
    assert results["lean_deg"] == pytest.approx(float(tilt_deg(up, back)))


def test_the_curves_are_those_of_the_formulas_on_their_two_scales() -> None:
    results = at("Walk, hind", mass_kg=600, duty_factor=0.6).results
    percent, up = results["vertical"].T
    force = stance_force("walk", "hind", 600.0, 0.6, percent / 100)
    weight = results["weight_n"]
    np.testing.assert_allclose(up * weight, force.vertical_n, atol=1e-9)
    np.testing.assert_allclose(
        (results["fore_aft"][:, 1] - _ZERO) / _MAGNIFIED * weight, force.fore_aft_n, atol=1e-9
    )
    estimate = peak_vertical_n(600.0, 0.6, 0.43)
    assert results["half_sine"][:, 1].max() * weight == pytest.approx(estimate, rel=1e-3)
    low, _, high = results["measured_n"]
    error = PEAK_ESTIMATE_ERROR["walk"]
    # errors are parts of the measured peak, positive where the estimate is too high
    assert 100 * (estimate / low - 1) == pytest.approx(error.percent + error.spread_percent)
    assert 100 * (estimate / high - 1) == pytest.approx(error.percent - error.spread_percent)
    np.testing.assert_allclose(np.unique(results["measured"][:, 1]) * weight, [low, high])


def test_walk_has_two_humps_below_the_half_sine_and_trot_one() -> None:
    for preset, humps in (("Walk, fore", 2), ("Walk, hind", 2), ("Trot, fore", 1)):
        up = at(preset).results["vertical"][:, 1]
        assert np.sum((up[1:-1] > up[:-2]) & (up[1:-1] > up[2:])) == humps
    results = at("Walk, fore").results
    assert results["estimate_n"] / results["peak_n"] == pytest.approx(1.13, rel=1e-2)


def test_in_the_air_there_is_travel_and_no_force() -> None:
    frame = at(moment_percent=-10)
    for name in ("push", "standing", "aside", "fan", "now_up", "now_aside"):
        assert not len(frame.results[name]), name
    assert len(frame.results["path"]) > 5
    assert frame.result == "nothing pushes on it"
    assert "no arrow" in frame.alt


def test_the_foot_follows_the_film_and_comes_to_rest_on_the_ground() -> None:
    film = datasets.track("trot", "fore", 1000)
    truth = datasets.track_truth("trot", "fore")
    stance = truth.lift_off_s - truth.contact_s
    for moment in (-20, -5, 40):
        time = truth.contact_s + moment / 100 * stance
        mark = np.array(
            [np.interp(time, film["times_s"], film["positions_mm"][:, k]) for k in (0, 1)]
        )
        wall = at(moment_percent=moment).results["foot_wall"]
        # the mark lies 8 mm behind the tip of the toe and 10 mm above the ground
        toe = wall[np.argmax(wall[:, 0])]
        assert np.hypot(*(toe - mark)) == pytest.approx(np.hypot(8, 10), abs=0.5)
    wall = at(moment_percent=40).results["foot_wall"]
    assert wall[:, 1].min() == pytest.approx(0.0, abs=2.0)
    assert wall[:, 0].max() == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize("preset", [name for name in PRESETS if "Gallop" not in name])
def test_the_path_ends_in_the_direction_that_the_film_tells(preset: str) -> None:
    chosen = PRESETS[preset]
    truth = datasets.track_truth(chosen["gait"], chosen["limb"])
    path = at(preset).results["path"]
    (forward, up) = path[-1] - path[-3]
    assert np.degrees(np.arctan2(forward, -up)) == pytest.approx(truth.descent_deg, abs=4)
    assert at(preset).results["path_says"] == f"path: {truth.descent_deg:.0f}°"
    assert path[-1, 1] == pytest.approx(0.0, abs=6.0)


def test_travel_is_far_forward_and_the_push_is_near_upright_at_trot() -> None:
    for preset in ("Trot, fore", "Trot, hind"):
        results = at(preset, moment_percent=26).results
        assert results["lands_deg"] > 20
        leans = [at(preset, moment_percent=m).results["lean_deg"] for m in range(10, 91)]
        assert max(map(abs, leans)) < 13
        assert np.all(np.diff(leans) < 0), "back, upright, forward, and never again back"
        assert leans[0] > 5
        assert leans[-1] < -5


def test_mass_and_duty_factor_change_the_size_and_not_the_lean() -> None:
    one, other = at(mass_kg=250).results, at(mass_kg=500, duty_factor=0.3).results
    assert one["lean_deg"] == pytest.approx(other["lean_deg"])
    assert other["up_n"] / one["up_n"] == pytest.approx(2 * 0.38 / 0.3)


def test_the_ends_of_the_stance_have_no_direction_and_the_impact_is_said() -> None:
    assert "just touches" in at(moment_percent=0).sentence
    assert "just leaves" in at(moment_percent=100).sentence
    assert "impact is on" in at(moment_percent=8).sentence
    assert "impact is on" not in at(moment_percent=30).sentence
    # 30 and 50 ms of a stance of 0.38 x 0.74 s
    results = at().results
    assert results["impact_sure"][:, 0].max() == pytest.approx(100 * 0.030 / (0.38 * 0.74))
    assert results["impact"][:, 0].max() == pytest.approx(100 * 0.050 / (0.38 * 0.74))


def test_an_unusual_duty_factor_is_said() -> None:
    def usual(frame: Any) -> str:
        return next(row.interval for row in frame.table if row.quantity == "duty factor")

    assert usual(at(duty_factor=0.4)) == "usual: 0.35 to 0.50"
    assert "drawn for" not in at(duty_factor=0.6).sentence
    told = at("Walk, fore", duty_factor=0.2)
    assert told.sentence.startswith("No walk is known in which a foot stands for 0.2 of the stride")
    assert told.result == "0.45"
    drawn = at("Walk, fore", duty_factor=0.45)
    assert told.results["peak_n"] == pytest.approx(drawn.results["peak_n"])


@pytest.mark.parametrize("preset", PRESETS)
@pytest.mark.parametrize("mass", [150, 750])
@pytest.mark.parametrize("duty", [0.18, 0.7])
def test_no_curve_and_no_arrow_leaves_its_panel(preset: str, mass: float, duty: float) -> None:
    panels = GROUND_FORCE.panels
    for moment in (12, 30, 50, 70, 88):
        results = at(preset, mass_kg=mass, duty_factor=duty, moment_percent=moment).results
        for item in GROUND_FORCE.series:
            if item.kind == "words" or item.data in ("path", "ghost", "foot_limb"):
                continue
            low, high = panels[item.panel].y_limits
            heights = np.asarray(results[item.data])[:, 1:]
            assert np.nanmax(heights, initial=low) <= high, item.data
            assert np.nanmin(heights, initial=high) >= low - 1, item.data


def test_the_arrow_is_taken_hold_of_and_the_stance_is_played() -> None:
    assert GROUND_FORCE.play == "moment_percent"
    push, moment = GROUND_FORCE.handles
    assert push.x == moment.x == "moment_percent"
    results = at(moment_percent=40).results
    np.testing.assert_allclose(results[push.at][0], results["push"][1])
    np.testing.assert_allclose(results[moment.at], results["now_up"])


def test_gallop_has_no_path_and_says_so() -> None:
    frame = at("Gallop, fore", moment_percent=-10)
    assert not len(frame.results["path"])
    assert not len(frame.results["foot_wall"])
    assert "no gallop was filmed" in frame.sentence
    assert at("Gallop, fore").results["measured_n"] == ()


def test_the_words_on_questions_agree_with_the_library() -> None:
    questions = load("ground_force")
    truth = datasets.track_truth("trot", "fore")
    told = re.search(r"came in (\d+) degrees forward", FORCE_PREDICTION.ask)
    assert told
    assert float(told[1]) == pytest.approx(truth.descent_deg, abs=0.5)
    lean = at(moment_percent=30).results["lean_deg"]
    (column,) = np.flatnonzero(np.isclose(FORCE_PREDICTION.columns, 30))
    assert FORCE_PREDICTION.true_values[column] == pytest.approx(lean)
    assert np.abs(FORCE_PREDICTION.true_values).max() == pytest.approx(10, abs=1.5)

    peak = questions["peak"]
    assert peak["truth"] == pytest.approx(peak_vertical_n(300, 0.4, 0.57), rel=1e-3)
    slips = [slip["value"] for slip in peak["slips"]]
    assert slips == [
        pytest.approx(value, rel=1e-3)
        for value in (
            2 * peak["truth"],
            peak["truth"] / 9.81,
            300 * 9.81 * 0.57 / 2 / 0.4,
            peak_vertical_n(300, 0.4, 0.43),
            peak["truth"] * 0.4**2,
            100 * peak["truth"],
        )
    ]
    assert questions["lean"]["truth"] == pytest.approx(tilt_deg(4000, -300), abs=0.01)
