"""Lesson 08's figure says and draws what the formulas and the yard's records say."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets, pictures
from hoofcalc.cycle import HeelLaw, steady_law, through_visits
from hoofcalc.figures.questions import load
from hoofcalc.figures.story_capsule import story_capsule
from hoofcalc.figures.underrun_figure import (
    CENTRE,
    FORCE_N,
    OTHERS,
    UNDERRUN,
    _capsule,
    _horn,
    _work,
    times_the_foot_in_line,
)
from hoofcalc.loadpath import Choices, compare_feet, force_vector, share_out, worked_parts
from hoofcalc.profile import Profile
from hoofcalc.reading import read_foot

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
    record = datasets.story_feet()["run under"]
    foot = Profile(**record.landmarks)
    error = read_foot(foot, record.point_error_mm)["heel underrun, five degrees"].error
    low, high = (float(end) for end in gaps[1].interval.split(" to "))
    assert (high - low) == pytest.approx(2 * 1.96 * error, abs=0.11)
    assert all(row.unit == "degrees" for row in gaps)
    assert "in the interval, 19 times in 20" in {row.quantity for row in at().table}


def test_the_questions_truths_follow_from_the_lessons_formulas() -> None:
    asked = load("underrun")["remember_length"]
    assert asked["truth"] == pytest.approx(30 / math.sin(math.radians(30)))
    assert pytest.approx(39, abs=0.2) == 30 / math.sin(math.radians(50))
    slips = [slip["value"] for slip in asked["slips"]]
    assert slips[:2] == [pytest.approx(15), pytest.approx(30 / math.cos(math.radians(30)), abs=0.1)]
    assert slips[4] == pytest.approx(30 / math.sin(30), abs=0.1)


def test_the_work_between_the_heels_worked_out_is_that_of_the_wall() -> None:
    """Taken between whole calculations, within two in a hundred of the calculation itself."""
    for story, heels in zip(STORIES, ((58.0, 33.0), (52.0, 21.0), (71.0, 45.0)), strict=True):
        for heel in heels:
            foot = _capsule(story, heel)
            back, toe = foot.ground[:, 0].min(), foot.ground[:, 0].max()
            push, centre = force_vector(FORCE_N, 5.0), (back + CENTRE * (toe - back), 0.0)
            straight = worked_parts(foot, share_out(foot, push, centre, OTHERS), _horn())[2]
            assert _work(story, np.array([heel]), 5.0)[0] == pytest.approx(straight, rel=0.02)


def test_what_lesson_08_says_of_the_line_drawn() -> None:
    """From 60 to 46 degrees half as much again; over the next 14 nearly twice."""
    sixty, now, flat = times_the_foot_in_line(np.tile([60.0, 45.7, 32.0], (3, 1)), 0.0)[0]
    assert now / sixty == pytest.approx(1.5, abs=0.1)
    assert 1.65 < flat / now < 2


def test_what_lesson_08_says_of_two_feet_and_of_the_ground() -> None:
    line = story_capsule("in line")

    def found(story: str, ground: tuple[float, float] = (0, 1), *, alike: bool = True) -> Any:
        foot, choices = story_capsule(story), Choices(hard_ground=ground)
        rng = np.random.default_rng(1)
        return compare_feet(foot, line, rng, draws=200, alike=alike, choices=choices)

    under, upright, own = found("run under"), found("too upright"), found("run under", alike=False)
    assert under.share == 1
    assert (under.ratio, under.low, under.high) == pytest.approx((1.7, 1.4, 2.1), abs=0.06)
    assert (upright.low, upright.high) == pytest.approx((0.7, 1.3), abs=0.06)
    assert 0.7 < own.low < 1
    assert 3.3 < own.high < 4
    assert 0.85 < own.share < 0.94
    assert 1.35 < found("run under", (1, 1)).ratio < 1.55


def test_what_lesson_08_says_of_the_lean_of_the_push() -> None:
    """About a tenth either way at Otterby's heel, over the push straight up."""
    work = [_work("run under", np.array([22.7]), lean)[0] for lean in (-8.0, 0.0, 8.0)]
    assert work[0] / work[1] == pytest.approx(1.12, abs=0.02)
    assert work[2] / work[1] == pytest.approx(0.90, abs=0.02)


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
