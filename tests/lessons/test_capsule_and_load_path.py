"""What lessons 06 and 07 say in numbers is what the library says."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import hoofcalc.figures
from hoofcalc.capsule import build_capsule
from hoofcalc.figures.capsule_figure import CAPSULE
from hoofcalc.figures.load_path_figure import LOAD_PATH
from hoofcalc.figures.story_capsule import story_capsule
from hoofcalc.loadpath import force_vector, hardest_parts, obliquity_deg
from hoofcalc.profile import Profile, line_angle_deg

QUESTIONS = Path(hoofcalc.figures.__file__).parent / "questions"


def questions(name: str) -> dict[str, Any]:
    return tomllib.loads((QUESTIONS / f"{name}.toml").read_text("utf-8"))


def test_the_prediction_of_lesson_06_is_what_the_capsule_does() -> None:
    # a wall of 50 mm height at the widest place, whatever the angles are
    side = Profile.from_measures(90, 90, 50, 50, 110)
    foot = build_capsule(side, taper=100 / 124, width_mm=124)
    widest = int(np.argmax(foot.ground[:, 1]))
    low, high = foot.ground[widest], foot.coronet[widest]
    lean = np.degrees(np.arctan2(low[1] - high[1], high[2] - low[2]))
    assert lean == pytest.approx(13.5, abs=0.05)
    ask = questions("capsule")["predict"]
    (right,) = [option for option in ask["options"] if option.get("right")]
    assert "13" in right["says"]


def test_the_lines_turn_as_lesson_06_asks() -> None:
    side = Profile.from_measures(52, 36, 85, 40, 105)
    asked = questions("capsule")["line_angle"]
    assert line_angle_deg(side, 0.25) == pytest.approx(asked["truth"])
    wrong = {slip["value"] for slip in asked["slips"]}
    assert {round(float(line_angle_deg(side, back))) for back in (0.75, 0.5)} <= wrong


def test_the_traced_lines_at_the_heel_meet_within_its_readings_error() -> None:
    """Lesson 06: put between 19 and 20 degrees, the model's heel runs with the traced lines."""
    named = "traced lines over the model's, heel"
    off = {}
    for heel_deg in (19.0, 22.7 - 3.4, 20.0):
        table = CAPSULE.frame({"heel_angle_deg": heel_deg}).table
        off[heel_deg] = next(float(row.value) for row in table if row.quantity == named)
    assert off[19.0] > off[22.7 - 3.4] > 0 > off[20.0]


def test_the_worked_example_of_lesson_06_leans_in_by_ten_and_a_half_degrees() -> None:
    assert np.degrees(np.arctan2(0.5 * 124 * (1 - 0.85), 50)) == pytest.approx(10.5, abs=0.06)


def test_the_angle_lesson_07_asks_for_again_is_that_of_the_library() -> None:
    asked = questions("load_path")["remember_angle"]
    foot = build_capsule(Profile.from_measures(54, 35, 85, 40, 105), taper=1)
    assert obliquity_deg(foot, force_vector(1000, 0))[0] == pytest.approx(asked["truth"])


def test_the_parts_of_lesson_07_are_sine_and_cosine() -> None:
    asked = questions("load_path")["across"]
    assert 40 * np.sin(np.radians(60)) == pytest.approx(asked["truth"], abs=0.005)
    wrong = [slip["value"] for slip in asked["slips"]]
    assert wrong[0] == pytest.approx(40 * np.cos(np.radians(60)))
    assert wrong[3] == pytest.approx(40 * np.sin(60), abs=0.01)  # the calculator in radians


def times(**values: Any) -> dict[str, float]:
    found: dict[str, float] = LOAD_PATH.frame({"story": "run under", **values}).results["times"]
    return found


def test_the_parts_of_the_push_in_lesson_07_are_those_of_its_figure() -> None:
    results = LOAD_PATH.frame({"story": "run under"}).results
    along, across = results["along"][:, 1], results["across"][:, 1]
    heel, toe = 0, len(along) // 2
    assert [round(float(part[heel])) for part in (along, across)] == [38, 92]
    assert along[toe] > across[toe]


def test_lesson_07_says_what_lean_and_centre_do_to_otterbys_heel() -> None:
    """A tenth either way by the lean; from 2.7 to 1.2 times by the centre."""
    assert times()["heel"] == pytest.approx(1.9, abs=0.06)
    assert times()["toe"] == pytest.approx(2.3, abs=0.06)
    assert times(tilt_deg=8.0)["heel"] == pytest.approx(1.7, abs=0.06)
    assert times(tilt_deg=-8.0)["heel"] == pytest.approx(2.1, abs=0.06)
    assert times(forward_mm=56.0)["heel"] == pytest.approx(2.7, abs=0.1)
    assert times(forward_mm=78.0)["heel"] == pytest.approx(1.2, abs=0.1)


def test_lesson_07_says_which_part_is_worked_hardest() -> None:
    for story, heel in (("in line", 0.06), ("run under", 0.4), ("too upright", 0.06)):
        found = hardest_parts(story_capsule(story), np.random.default_rng(1), draws=200)
        assert found.hardest == "toe"
        assert found.share[2] < heel
        assert (found.share[2] > 0.2) == (story == "run under")


def test_the_curve_of_lesson_07_dips_at_the_end_and_behind_the_quarter() -> None:
    work = LOAD_PATH.frame({}).results["work"][:, 1]
    end, near_heel, quarter, toe = work[0], work[2:8].max(), work[8:16].min(), work[24]
    assert end < quarter < near_heel < toe
