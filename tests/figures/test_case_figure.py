"""Lesson 10's figure says of each foot what the formulas say."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures.case_figure import CASE
from hoofcalc.profile import Profile

CASES = [preset.values["case"] for preset in CASE.presets]


def test_every_horse_of_the_yard_is_there_once() -> None:
    assert sorted(case.split(", ")[0] for case in CASES) == sorted(
        horse.name for horse in datasets.horses()
    )


@pytest.mark.parametrize("case", CASES)
def test_the_drawn_angles_are_the_recorded_ones(case: str) -> None:
    horse, foot = case.split(", ")
    last = len(datasets.visits(horse))
    for back in (0, 2):
        results = CASE.frame({"case": case, "visits_back": back}).results
        recorded = Profile(**datasets.foot(horse, foot, last - back).landmarks)
        assert f"{recorded.toe_angle_deg:.1f}" in results["toe_words"]
        at = len(results["toe_marks"]) - 1 - back
        assert results["toe_marks"][at, 1] == pytest.approx(recorded.toe_angle_deg)
        assert results["heel_marks"][at, 1] == pytest.approx(recorded.heel_angle_deg)


def test_the_bars_stand_in_the_order_of_the_heels_and_follow_the_tilt() -> None:
    def angles(moment: float) -> list[float]:
        found: list[float] = CASE.frame({"moment_percent": moment}).results["loads"][
            "obliquity_deg"
        ]
        return found

    for moment in (26, 50, 76):
        this, in_line, under, upright = angles(moment)
        assert upright < in_line < this < under
    # braking leans the push back along the heel, pushing off turns it across
    assert all(early < late for early, late in zip(angles(26), angles(76), strict=True))


def test_obliquity_is_ninety_less_heel_less_tilt_but_for_the_lean_inwards() -> None:
    results = CASE.frame({"moment_percent": 26}).results
    heel = float(results["visit"].profile.heel_angle_deg)
    loads = results["loads"]
    assert loads["obliquity_deg"][0] == pytest.approx(90 - heel - loads["tilt_deg"], abs=2.0)


def test_longer_weeks_widen_the_band_and_carry_a_shod_toe_down() -> None:
    short, long = (CASE.frame({"weeks": weeks}).results for weeks in (2, 12))
    for end in ("toe", "heel"):
        assert long[f"{end}_high"] - long[f"{end}_low"] > short[f"{end}_high"] - short[f"{end}_low"]
        assert long[f"{end}_line"][-1, 1] < short[f"{end}_line"][-1, 1]


def test_what_came_lies_in_most_bands() -> None:
    hits = []
    for case in CASES:
        horse, foot = case.split(", ")
        days = list(datasets.visits(horse).values())
        for back in (1, 2, 3):
            at = len(days) - 1 - back
            weeks = (days[at + 1] - days[at]).days / 7
            record = datasets.foot(horse, foot, at + 1)
            setting = {"case": case, "visits_back": back, "weeks": weeks}
            results = CASE.frame({**setting, "heel_down_mm": min(record.heel_down_mm, 12)}).results
            for end in ("toe", "heel"):
                came = results[f"{end}_marks"][at + 1, 1]
                reach = 2 * results["following"].error_deg[end]
                hits.append(results[f"{end}_low"] - reach <= came <= results[f"{end}_high"] + reach)
    assert np.mean(hits) > 0.85
