"""Lesson 10's figure says of each foot what the records and the forecast say."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures.case_figure import CASE
from hoofcalc.forecast import expected
from hoofcalc.profile import Profile, error_of

CASES = [preset.values["case"] for preset in CASE.presets]
every_case = pytest.mark.parametrize("case", CASES)


def recorded(case: str, back: int, moment: str = "before trim") -> Profile:
    horse, foot = case.split(", ")
    last = len(datasets.visits(horse))
    return Profile(**datasets.foot(horse, foot, last - back, moment).landmarks)


def test_the_case_stands_beside_the_feet_of_the_story() -> None:
    story = {(foot.horse, foot.foot) for foot in datasets.story_feet().values()}
    shown = {tuple(case.split(", ")) for case in CASES}
    assert shown == story | {("Marrowfen", "right fore")}


@every_case
@pytest.mark.parametrize("after_trim", [0, 1])
def test_the_two_angles_compared_are_the_recorded_ones(case: str, after_trim: int) -> None:
    moment = "after trim" if after_trim else "before trim"
    for back in (1, 3):
        results = CASE.frame({"case": case, "back": back, "after_trim": after_trim}).results
        for end in ("toe", "heel"):
            one = results[f"{end}_numbers"]
            for which, at in (("then", back), ("now", 0)):
                foot = recorded(case, at, moment)
                assert one[which] == pytest.approx(getattr(foot, f"{end}_angle_deg"))
                error = error_of(foot, f"{end}_angle_deg", 0.8)
                sure = one[f"{which}_sure"]
                assert (sure.high - sure.low) / 2 == pytest.approx(2 * error)
            widths = [one[f"{which}_sure"].high - one[which] for which in ("then", "now")]
            assert one["counts_from"] == pytest.approx(np.hypot(*widths))


def test_marrowfen_has_fallen_before_the_trim_and_not_after_it() -> None:
    before = CASE.frame({"back": 3}).sentence
    assert "4.4° flatter than in April, more than the error of 3.7°" in before
    after = CASE.frame({"back": 3, "after_trim": 1}).sentence
    assert "0.1° flatter than in April, within the error of 4.4°" in after
    assert "2.6° flatter than in July, within the error of 3.7°" in CASE.frame({}).sentence


def test_worse_points_hide_more_and_widen_everything() -> None:
    fine, rough = (CASE.frame({"point_error_mm": mm}).results["heel_numbers"] for mm in (0.4, 1.6))
    assert rough["counts_from"] == pytest.approx(4 * fine["counts_from"])
    assert rough["high"] - rough["low"] > fine["high"] - fine["low"]


@every_case
def test_what_comes_next_is_the_forecast_of_the_foot_as_it_was_trimmed(case: str) -> None:
    foot = recorded(case, 0, "after trim")
    error = {end: float(error_of(foot, f"{end}_angle_deg", 0.8)) for end in ("toe", "heel")}
    shod = {horse.name: horse.shod for horse in datasets.horses()}[case.split(", ")[0]]
    wanted = expected(foot, error, [42], shod=shod)
    results = CASE.frame({"case": case}).results
    for end in ("toe", "heel"):
        one = results[f"{end}_numbers"]
        low, middle, high = getattr(wanted, f"{end}_deg")[-1]
        assert (one["low"], one["middle"], one["high"]) == pytest.approx((low, middle, high))


def test_more_weeks_widen_the_band_and_carry_a_shod_toe_down() -> None:
    short, long = (CASE.frame({"weeks": weeks}).results for weeks in (2, 12))
    for end in ("toe", "heel"):
        near, far = short[f"{end}_numbers"], long[f"{end}_numbers"]
        assert far["high"] - far["low"] > near["high"] - near["low"]
        assert far["middle"] < near["middle"]


@every_case
def test_the_earlier_foot_is_laid_over_the_later_one_on_one_ground(case: str) -> None:
    results = CASE.frame({"case": case, "back": 2}).results
    then, foot = results["then"], recorded(case, 2)
    assert then[1:3, 1] == pytest.approx([0.0, 0.0], abs=1e-9)
    wall = then[3] - then[2]
    assert np.degrees(np.arctan2(wall[1], -wall[0])) == pytest.approx(foot.toe_angle_deg)
