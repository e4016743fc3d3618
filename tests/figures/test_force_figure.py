"""Lesson 02's figure says and draws what the formulas and the yard's films say."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures.force_figure import _HIGHEST_N, _MAGNIFIED, _MM_PER_N, _ZERO_N, GROUND_FORCE
from hoofcalc.figures.questions import load
from hoofcalc.ground_force import PEAK_ESTIMATE_ERROR, peak_vertical_n, stance_force, tilt_deg

PRESETS = {preset.label: dict(preset.values) for preset in GROUND_FORCE.presets}


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
    np.testing.assert_allclose((tip - tail) / _MM_PER_N, [-back, up], rtol=1e-9)
    # its two parts make it up, end to end
    np.testing.assert_allclose(results["standing"][0], tail)
    np.testing.assert_allclose(results["standing"][1], results["aside"][0])
    np.testing.assert_allclose(results["aside"][1], tip)
    assert results["lean_deg"] == pytest.approx(float(tilt_deg(up, back)))


def test_the_curves_are_those_of_the_formulas_on_their_two_scales() -> None:
    results = at("Walk, hind", mass_kg=600, duty_factor=0.6).results
    percent, up = results["vertical"].T
    force = stance_force("walk", "hind", 600.0, 0.6, percent / 100)
    np.testing.assert_allclose(up, force.vertical_n)
    np.testing.assert_allclose(
        (results["fore_aft"][:, 1] - _ZERO_N) / _MAGNIFIED, force.fore_aft_n, atol=1e-9
    )
    estimate = peak_vertical_n(600.0, 0.6, 0.43)
    assert results["half_sine"][:, 1].max() == pytest.approx(estimate, rel=1e-3)
    low, _, high = results["measured_n"]
    error = PEAK_ESTIMATE_ERROR["walk"]
    # errors are parts of the measured peak, positive where the estimate is too high
    assert 100 * (estimate / low - 1) == pytest.approx(error.percent + error.spread_percent)
    assert 100 * (estimate / high - 1) == pytest.approx(error.percent - error.spread_percent)
    np.testing.assert_allclose(np.unique(results["measured"][:, 1]), [low, high])


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
    assert "the ground does not push" in frame.sentence
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
    assert f"lands {truth.descent_deg:.0f}° forward" == at(preset).results["path_says_too"]
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
    assert "it just touches" in at(moment_percent=0).sentence
    assert "it just leaves" in at(moment_percent=100).sentence
    assert "impact falls here" in at(moment_percent=8).sentence
    assert "impact falls here" not in at(moment_percent=30).sentence
    # 30 and 50 ms of a stance of 0.38 x 0.74 s
    results = at().results
    assert results["impact_sure"][:, 0].max() == pytest.approx(100 * 0.030 / (0.38 * 0.74))
    assert results["impact"][:, 0].max() == pytest.approx(100 * 0.050 / (0.38 * 0.74))


def test_an_unusual_duty_factor_and_a_peak_above_the_picture_are_said() -> None:
    assert "Usual at trot: 0.35 to 0.50" in at(duty_factor=0.6).sentence
    assert "Usual" not in at(duty_factor=0.4).sentence
    assert "drawn for" not in at(duty_factor=0.6).sentence
    told = at("Walk, fore", duty_factor=0.2)
    assert "A walk with a duty factor of 0.2 is not known: drawn for 0.45." in told.sentence
    drawn = at("Walk, fore", duty_factor=0.45)
    assert told.results["peak_n"] == pytest.approx(drawn.results["peak_n"])
    results = at("Gallop, fore", mass_kg=700).results
    assert results["vertical"][:, 1].max() == _HIGHEST_N
    assert len(results["beyond_at"]) == 1
    told = re.fullmatch(r"peak (\d+) N", results["beyond"])
    assert told
    assert float(told[1]) == pytest.approx(results["peak_n"], rel=5e-3)


def test_gallop_has_no_path_and_says_so() -> None:
    frame = at("Gallop, fore", moment_percent=-10)
    assert not len(frame.results["path"])
    assert not len(frame.results["foot_wall"])
    assert "no film of a gallop" in frame.sentence
    assert "shared evenly between front and hind" in frame.sentence


def test_the_words_on_questions_agree_with_the_library() -> None:
    questions = load("ground_force")
    truth = datasets.track_truth("trot", "fore")
    told = re.search(r"(\d+) degrees from straight down", questions["predict"]["ask"])
    assert told
    assert float(told[1]) == pytest.approx(truth.descent_deg, abs=0.5)
    results = at(moment_percent=25).results
    told = re.search(r"about (\d+) degrees from upright", questions["predict"]["reason"])
    assert told
    assert float(told[1]) == pytest.approx(results["lean_deg"], abs=0.5)
    assert results["up_n"] / results["aside_n"] == pytest.approx(7, abs=0.3), "a seventh"

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
