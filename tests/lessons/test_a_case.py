"""What lesson 10 says in numbers is what the library and plain arithmetic say."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import nbformat
import numpy as np
import pytest

import hoofcalc.figures
from hoofcalc import datasets
from hoofcalc.ground_force import peak_vertical_n
from hoofcalc.profile import Profile, error_of
from hoofcalc.reading import read_foot

HERE = Path(__file__).parents[2]
ASKED = tomllib.loads(
    (Path(hoofcalc.figures.__file__).parent / "questions" / "case.toml").read_text("utf-8")
)


def foot(visit: int, moment: str = "before trim") -> Profile:
    return Profile(**datasets.foot("Marrowfen", "right fore", visit, moment).landmarks)


def test_the_heel_of_july_and_october_differ_by_less_than_two_photographs_show() -> None:
    fall = float(foot(3).heel_angle_deg - foot(4).heel_angle_deg)
    errors = [float(error_of(foot(visit), "heel_angle_deg", 0.8)) for visit in (3, 4)]
    assert fall == pytest.approx(2.6, abs=0.05)
    assert 2 * math.hypot(*errors) == pytest.approx(3.7, abs=0.05)
    assert np.mean(errors) == pytest.approx(1.3, abs=0.05)


def test_after_the_trims_the_foot_is_the_same_within_three_tenths() -> None:
    for end in ("toe", "heel"):
        name = f"{end}_angle_deg"
        april, october = (float(getattr(foot(v, "after trim"), name)) for v in (1, 4))
        assert abs(april - october) <= 0.3


def test_the_push_of_the_paper_example_and_of_the_question() -> None:
    assert math.pi * 0.57 * 690 * 9.81 / (4 * 0.348) == pytest.approx(8708, abs=1)
    asked = ASKED["push"]
    assert float(peak_vertical_n(300, 0.40, 0.57)) == pytest.approx(asked["truth"], abs=0.1)
    slips = {slip["value"] for slip in asked["slips"]}
    assert 2 * asked["truth"] in slips
    assert round(float(peak_vertical_n(300, 0.40, 0.43)), 1) in slips


def test_the_rule_of_fifteen_is_a_toss_up_for_this_foot() -> None:
    finding = read_foot(foot(4), 0.8)["heel underrun, fifteen degrees"]
    assert finding.probability == pytest.approx(0.43, abs=0.005)


def test_the_lesson_saves_nothing_unasked() -> None:
    notebook = nbformat.read(HERE / "lessons" / "10-a-case.ipynb", as_version=4)
    (cell,) = [c for c in notebook.cells if c.cell_type == "code" and "save_page(" in c.source]
    assert "save = False" in cell.source
