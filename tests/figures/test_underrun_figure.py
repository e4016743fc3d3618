"""Lesson 08's figure says and draws what the formulas and the yard's records say."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets, pictures
from hoofcalc.cycle import HeelLaw, steady_law, through_visits
from hoofcalc.figures.questions import load
from hoofcalc.figures.underrun_figure import UNDERRUN
from hoofcalc.profile import Profile

STORIES = ("in line", "run under", "too upright")


def at(**values: Any) -> Any:
    return UNDERRUN.frame(values)


@pytest.mark.parametrize("tilt", [-8.0, 0.0, 5.0, 8.0])
def test_the_order_of_the_three_feet_holds_at_every_lean(tilt: float) -> None:
    times = at(tilt_deg=tilt).results["times"]
    line, under, upright = (times[story][0] for story in STORIES)
    assert under > 1.2 * max(line, upright)  # upright against in line is not safe
    assert line == pytest.approx(1, abs=0.02), "the foot in line is the measure"


def test_each_foot_starts_as_it_was_read() -> None:
    for preset in UNDERRUN.presets:
        story = preset.values["story"]
        record = datasets.story_feet()[story]
        read = float(Profile(**record.landmarks).heel_angle_deg)
        assert preset.label == record.horse
        assert preset.values["heel_deg"] == pytest.approx(read, abs=0.5)
        assert at(**preset.values).results["heel_deg"][story][0] == pytest.approx(read)


def test_the_flatter_a_heel_is_pulled_the_harder_its_horn_works() -> None:
    for story, steep, flat in zip(STORIES, (44, 34, 54), (24, 17, 38), strict=True):
        heels = range(steep, flat, -3)
        work = [at(story=story, heel_deg=heel).results["times"][story][0] for heel in heels]
        assert np.all(np.diff(work) > 0)


def test_pulling_a_buttress_keeps_toe_and_hairline() -> None:
    still, pulled = at().results, at(heel_deg=30).results
    for part in ("hairline", "pastern", "bulb"):
        np.testing.assert_array_equal(still[f"run_under_{part}"], pulled[f"run_under_{part}"])
    np.testing.assert_array_equal(still["run_under_wall"][1:], pulled["run_under_wall"][1:])
    heel, top = pulled["run_under_heel"]
    slope = math.degrees(math.atan2(top[1] - heel[1], heel[0] - top[0]))
    assert slope == pytest.approx(30, abs=0.6)
    assert heel[1] == pytest.approx(0)


def test_the_angle_between_is_that_of_the_side_view() -> None:
    """90 less the heel less the lean (plain geometry)."""
    for tilt in (-8, 0, 5):
        results = at(tilt_deg=tilt, heel_deg=34).results
        heel = results["heel_deg"]["run under"][0]
        assert results["run_under_off_words"] == f"{90 - heel - tilt:.0f}°"


def test_the_visits_are_those_of_the_drift_from_the_trimmed_foot() -> None:
    for story, record in datasets.story_feet(moment="after trim").items():
        foot = Profile(**record.landmarks)
        heel, height = float(foot.heel_angle_deg), float(foot.heel_height_mm)
        law = HeelLaw(steady_law(heel, height, 42).band_angle_deg)
        wanted = through_visits(heel, height, 56.0, 12, law).heel_angle_deg
        other = next(one for one in STORIES if one != story)
        heel_of_other = next(
            p.values["heel_deg"] for p in UNDERRUN.presets if p.values["story"] == other
        )
        for visit in (1, 4, 12):
            results = at(story=other, heel_deg=heel_of_other, visits=visit).results
            assert results["heel_deg"][story][0] == pytest.approx(wanted[visit], abs=1e-5)


def test_the_table_has_the_rule_with_its_error() -> None:
    gaps = [row for row in at().table if row.quantity.startswith("gap")]
    assert len(gaps) == 3
    assert all(row.interval.startswith("±") and row.unit == "degrees" for row in gaps)


def test_the_questions_truths_follow_from_the_lessons_formulas() -> None:
    asked = load("underrun")
    assert asked["obliquity"]["truth"] == 90 - 34 - 6
    assert asked["gap_error"]["truth"] == pytest.approx(math.hypot(0.8, 1.5))


def test_the_prediction_has_the_numbers_of_the_model() -> None:
    times = at().results["times"]["run under"][0]
    assert "Not quite twice as much" in load("underrun")["predict"]["reason"]
    assert 1.5 < times < 2.1
    for heel, part in ((46, 70), (23, 92)):
        assert 100 * math.cos(math.radians(heel)) == pytest.approx(part, abs=0.7)


def test_the_rule_flags_the_mean_foot_of_published_horses() -> None:
    """Gaps of 225 published horses: 11.7 and 14.5 degrees (derived)."""
    for limb in ("fore", "hind"):
        gap = datasets.published("hoof_angles", "toe_heel_gap", limb)[0].value
        assert gap is not None
        assert gap > 5


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
