"""Lesson 08's figure says and draws what the formulas and the yard's records say."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets, pictures
from hoofcalc.cycle import BAND_SD_DEG, HeelLaw, steady_law, through_visits
from hoofcalc.figures.questions import load
from hoofcalc.figures.underrun_figure import UNDERRUN, yard_feet
from hoofcalc.profile import Profile
from hoofcalc.reading import read_foot

STORIES = ("in line", "run under", "too upright")


def at(**values: Any) -> Any:
    return UNDERRUN.frame(values)


def test_the_slider_goes_through_every_foot_of_the_yard() -> None:
    feet = yard_feet()
    assert len(set(feet)) == 36
    for number, (horse, foot) in enumerate(feet, start=1):
        frame = at(number=number)
        assert not frame.refusal
        assert f"{horse}'s {foot}" in frame.sentence


@pytest.mark.parametrize("tilt", [-12.0, -4.2, 0.0, 5.6, 12.0])
def test_the_order_of_the_three_feet_holds_at_every_tilt(tilt: float) -> None:
    results = at(tilt_deg=tilt).results
    for measure in ("obliquity_deg", "used_percent"):
        line, under, upright = (results[measure][story] for story in STORIES)
        assert under > line > upright, measure


@pytest.mark.parametrize("tilt", [-8.0, 0.0, 5.6])
def test_obliquity_is_that_of_the_side_view(tilt: float) -> None:
    """90 less the heel less the tilt (plain geometry); tubules lean in a little besides."""
    results = at(tilt_deg=tilt).results
    for story, record in datasets.story_feet().items():
        plain = 90 - float(Profile(**record.landmarks).heel_angle_deg) - tilt
        # the more the wall stands along the push, the more its lean inward shows
        assert plain - 0.2 <= results["obliquity_deg"][story] <= plain + 2.5


def test_the_load_changes_what_is_in_use_and_no_angle() -> None:
    light, heavy = at(load_percent=30).results, at(load_percent=250).results
    for story in STORIES:
        assert light["obliquity_deg"][story] == pytest.approx(heavy["obliquity_deg"][story])
        assert light["used_percent"][story] < heavy["used_percent"][story]


def test_a_chosen_foot_of_the_story_is_the_story_foot() -> None:
    number = yard_feet().index(("Otterby", "right fore")) + 1
    results = at(number=number).results
    for measure in ("obliquity_deg", "used_percent"):
        assert results[measure]["chosen"] == results[measure]["run under"]
    np.testing.assert_array_equal(results["chosen_line"], results["run_under_line"])


def test_turning_the_heel_keeps_toe_and_hairline() -> None:
    still, turned = (at(number=18, heel_turn_deg=by).results["chosen"].profile for by in (0, -7))
    assert float(turned.heel_angle_deg) == pytest.approx(float(still.heel_angle_deg) - 7)
    assert float(turned.toe_angle_deg) == pytest.approx(float(still.toe_angle_deg))
    np.testing.assert_allclose(turned.heel_coronet, still.heel_coronet)
    assert float(turned.bearing_length_mm) < float(still.bearing_length_mm)


def test_a_heel_flatter_than_the_figure_goes_is_refused_in_words() -> None:
    number = yard_feet().index(("Otterby", "right fore")) + 1
    refusal = at(number=number, heel_turn_deg=-12).refusal
    assert "its heel would stand at 11 degrees" in refusal


@pytest.mark.parametrize("weeks", [4, 8])
def test_the_course_is_that_of_the_drift(weeks: int) -> None:
    results = at(weeks=weeks).results
    for story, record in datasets.story_feet(moment="after trim").items():
        foot = Profile(**record.landmarks)
        heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
        band = steady_law(heel, height, 42).band_angle_deg
        for column, off in enumerate((0, -1, 1)):
            law = HeelLaw(band + off * 1.96 * BAND_SD_DEG)
            wanted = through_visits(heel, height, 7 * weeks, 12, law).heel_angle_deg
            np.testing.assert_allclose(results["course_deg"][story][:, column], wanted, rtol=1e-5)


def test_every_heel_stays_at_six_weeks() -> None:
    for course in at(weeks=6).results["course_deg"].values():
        np.testing.assert_allclose(course[:, 0], course[0, 0], atol=1e-6)


def test_the_rule_is_read_with_error_and_probability() -> None:
    number = yard_feet().index(("Fernlow", "left fore")) + 1
    record = datasets.foot("Fernlow", "left fore")
    profile = Profile(**record.landmarks)
    found = read_foot(profile, record.point_error_mm)["heel underrun, five degrees"]
    assert f"probability {found.probability:.2f}" in at(number=number).sentence
    assert f"(error {found.error:.1f})" in at(number=number).sentence


def test_the_rule_flags_most_feet_of_the_yard() -> None:
    """As it flags the mean foot of 225 published horses: gaps of 11.7 and 14.5 (derived)."""
    met = [
        at(number=number).results["reading"]["heel underrun, five degrees"].met
        for number in range(1, 37)
    ]
    assert sum(met) >= 30
    for limb in ("fore", "hind"):
        gap = datasets.published("hoof_angles", "toe_heel_gap", limb)[0].value
        assert gap is not None
        assert gap > 5


def test_the_prediction_has_the_numbers_of_the_model() -> None:
    used = at().results["used_percent"]
    reason = load("underrun")["predict"]["reason"]
    percent = [int(found) for found in re.findall(r"(\d+)(?: %| against| to)", reason)][:1]
    assert percent == [round(used["run under"])]
    assert f"against {used['in line']:.0f}" in reason
    assert 5.5 < used["run under"] / used["in line"] < 6.5
    for heel, part in ((46, 70), (23, 92)):
        assert 100 * math.cos(math.radians(heel)) == pytest.approx(part, abs=0.7)


def test_the_questions_truths_follow_from_the_lessons_formulas() -> None:
    asked = load("underrun")
    assert asked["obliquity"]["truth"] == 90 - 34 - 6
    assert asked["gap_error"]["truth"] == pytest.approx(math.hypot(0.8, 1.5))


def test_the_picture_of_two_heels_says_what_the_formula_says() -> None:
    """Length from height over the sine of the angle; parts of 10 N by cosine and sine."""
    caption = pictures.one_height().caption
    for heel in (46, 23):
        slope = math.radians(heel)
        for text in (
            f"{20 / math.sin(slope):.0f} mm",
            f"{10 * math.sin(slope):.1f} N",
            f"{10 * math.cos(slope):.1f} N",
        ):
            assert text in caption
