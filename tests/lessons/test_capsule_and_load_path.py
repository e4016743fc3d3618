"""What lessons 06 and 07 say in numbers is what the library says."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import hoofcalc.figures
from hoofcalc.capsule import build_capsule
from hoofcalc.figures.load_path_figure import LOAD_PATH
from hoofcalc.loadpath import force_vector, obliquity_deg
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


def test_the_worked_example_of_lesson_06_leans_in_by_ten_and_a_half_degrees() -> None:
    assert np.degrees(np.arctan2(0.5 * 124 * (1 - 0.85), 50)) == pytest.approx(10.5, abs=0.06)


def test_the_obliquity_of_lesson_07_is_that_of_the_library() -> None:
    asked = questions("load_path")["obliquity"]
    foot = build_capsule(Profile.from_measures(54, 40, 85, 40, 105))
    assert obliquity_deg(foot, force_vector(1000, 5))[90] == pytest.approx(asked["truth"])
    wrong = {slip["value"] for slip in asked["slips"]}
    assert round(float(obliquity_deg(foot, force_vector(1000, -5))[90])) in wrong


def test_the_parts_of_lesson_07_are_sine_and_cosine() -> None:
    asked = questions("load_path")["across"]
    assert 40 * np.sin(np.radians(60)) == pytest.approx(asked["truth"], abs=0.005)
    wrong = [slip["value"] for slip in asked["slips"]]
    assert wrong[0] == pytest.approx(40 * np.cos(np.radians(60)))
    assert wrong[3] == pytest.approx(40 * np.sin(60), abs=0.01)  # the calculator in radians


def test_the_prediction_of_lesson_07_is_what_its_figure_shows() -> None:
    results = LOAD_PATH.frame({"story": "run under"}).results
    along, across = results["along"][:, 1], results["across"][:, 1]
    heel, toe = 0, len(along) // 2
    assert [round(float(part[heel])) for part in (along, across)] == [38, 92]
    assert [round(float(part[toe])) for part in (along, across)] == [74, 67]
    # the hardest worked place is the toe, and the figure tells its angle
    assert results["place"] == "toe"
    assert results["angle"] == pytest.approx(42, abs=0.5)
    assert results["toe"] == pytest.approx(42, abs=0.5)


def test_what_lesson_07_says_of_frog_and_sole_and_of_the_centre() -> None:
    def most(**values: Any) -> tuple[str, float]:
        results = LOAD_PATH.frame(values).results
        return results["place"], results["most"]

    assert most(story="run under", other_percent=0.0)[1] == pytest.approx(41, abs=0.5)
    assert most(story="run under", other_percent=60.0)[1] == pytest.approx(16, abs=0.5)
    assert most(story="in line", centre_percent=50.0)[0].endswith("heel")
    assert most(story="in line", centre_percent=70.0)[0] == "toe"
