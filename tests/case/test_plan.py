"""The plan of a visit: comes back as it was kept, and expects what the lesson's formulas expect."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.case import Measured, owner_page
from hoofcalc.case.owner_page import LONGEST_WORK
from hoofcalc.case.plan import (
    PLAN_FIELDS,
    StoredPlan,
    much_at_once,
    plan_for_page,
    read_plan,
    save_plan,
)
from hoofcalc.case.storage import CaseError
from hoofcalc.cycle import drift, forecast, grow, steady_law, trim
from hoofcalc.profile import Profile

DAY = date(2026, 4, 7)
VISIT = str(DAY)
PLAN = StoredPlan(
    work="Lower the heel a little, and look again.",
    next_visit=DAY + timedelta(days=42),
    toe_taken_mm=3.0,
    heel_down_mm=2.0,
    shod=True,
)
FOOT = Profile.from_measures(50, 37, 92, 44, 116)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "visits" / VISIT).mkdir(parents=True)
    return tmp_path


def measured(foot: Profile = FOOT, **more: object) -> Measured:
    return Measured(day=DAY, profile=foot, **{"point_error_mm": 0.8, **more})


# ---- on file ---------------------------------------------------------------------------------


def test_a_plan_comes_back_as_it_was_kept(folder: Path) -> None:
    assert read_plan(folder, VISIT) is None
    assert save_plan(folder, VISIT, PLAN) == [f"visits/{VISIT}/plan.toml"]
    assert read_plan(folder, VISIT) == PLAN
    assert save_plan(folder, VISIT, PLAN) == [], "nothing changed, nothing is written"


@settings(max_examples=30, deadline=None)
@given(
    work=st.text(
        st.characters(exclude_categories=("C", "Z"), include_characters=" \n"), min_size=1
    ).filter(lambda text: text.strip()),
    toe=st.floats(0, 60),
    heel=st.floats(0, 60),
    shod=st.booleans(),
    days=st.integers(1, 900),
)
def test_any_plan_comes_back(tmp_path_factory, work, toe, heel, shod, days) -> None:
    home = tmp_path_factory.mktemp("plan")
    (home / "visits" / VISIT).mkdir(parents=True)
    plan = StoredPlan(
        work=work,
        next_visit=DAY + timedelta(days=days),
        toe_taken_mm=toe,
        heel_down_mm=heel,
        shod=shod,
    )
    save_plan(home, VISIT, plan)
    assert read_plan(home, VISIT) == replace(plan, work=" ".join(work.split()))


def test_the_plan_that_is_replaced_is_kept(folder: Path) -> None:
    save_plan(folder, VISIT, PLAN)
    before = (folder / f"visits/{VISIT}/plan.toml").read_bytes()
    save_plan(folder, VISIT, replace(PLAN, heel_down_mm=4.0))
    (kept,) = (folder / "kept").rglob("plan*.toml")
    assert kept.read_bytes() == before


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("heel_down_mm = 2,5", "line {n}, field heel_down_mm: write the decimals with a point"),
        ("heel_down_mm = -1", "line {n}, field heel_down_mm: must be between 0 and 60"),
        ("next_visit = 2026-04-07", "field next_visit: must be a day after the visit"),
        ("next_visit = 2026-04-31", "there is no such day"),
        ("shod = yes", "line {n}, field shod: "),
        ('work = ""', "field work: must not be empty"),
        (f'work = "{"x" * (LONGEST_WORK + 1)}"', "field work: is too long for the owner's page"),
        ("version = 3", "field version: must be 2"),
    ],
)
def test_a_slip_of_the_hand_is_named_by_line_and_field(folder, line, message) -> None:
    save_plan(folder, VISIT, PLAN)
    path = folder / f"visits/{VISIT}/plan.toml"
    name = line.split(" =")[0]
    lines = [
        line if old.startswith(f"{name} =") else old for old in path.read_text("utf-8").split("\n")
    ]
    path.write_text("\n".join(lines), "utf-8")
    expected_words = message.format(n=lines.index(line) + 1)
    with pytest.raises(CaseError, match=re.escape(f"visits/{VISIT}/plan.toml")) as told:
        read_plan(folder, VISIT)
    assert expected_words in str(told.value)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"work": "x" * (LONGEST_WORK + 1)}, f"901 letters, {LONGEST_WORK} fit"),
        ({"work": " "}, "must not be empty"),
        ({"next_visit": DAY}, "must be a day after the visit of 2026-04-07"),
        ({"toe_taken_mm": float("nan")}, "field toe_taken_mm: must be between 0 and 60"),
    ],
)
def test_what_cannot_be_kept_is_refused_and_what_stood_there_stays(
    folder, changes, message
) -> None:
    save_plan(folder, VISIT, PLAN)
    with pytest.raises(CaseError, match=message):
        save_plan(folder, VISIT, replace(PLAN, **changes))
    assert read_plan(folder, VISIT) == PLAN
    assert not (folder / "kept").exists()


def test_a_plan_needs_its_visit_and_each_field_says_what_it_means(tmp_path: Path) -> None:
    with pytest.raises(CaseError, match="there is no visit of 2026-04-07"):
        save_plan(tmp_path, VISIT, PLAN)
    assert all(len(field.meaning) > 15 and field.required for field in PLAN_FIELDS)


# ---- what is expected ------------------------------------------------------------------------


def test_the_middle_is_trim_growth_and_drift_in_turn() -> None:
    plan = plan_for_page(measured(), PLAN)
    foot = trim(FOOT, heel_down_mm=2.0, toe_down_mm=3.0)
    law = steady_law(foot.heel_angle_deg, foot.heel_height_mm, wear_mm_day=0.08)
    turned = drift(foot.heel_angle_deg, foot.heel_length_mm, 42, law).heel_angle_deg
    turned = turned - foot.heel_angle_deg
    later = grow(foot, 42, toe_wear_mm_day=0.0, heel_wear_mm_day=0.08, heel_drift_deg=turned)
    assert plan.toe_deg[1] == pytest.approx(later.toe_angle_deg, abs=1e-9)
    assert plan.heel_deg[1] == pytest.approx(later.heel_angle_deg, abs=1e-9)


def test_most_random_draws_lie_inside_the_band() -> None:
    plan = plan_for_page(measured(), PLAN)
    foot = trim(FOOT, heel_down_mm=2.0, toe_down_mm=3.0)
    drawn = {"heel_wear_mm_day": 0.08, "point_error_mm": 0.8}
    narrow, wide = (
        forecast(foot, 42, np.random.default_rng(4), **drawn, level=level) for level in (0.80, 0.99)
    )
    for end, ours in (("toe", plan.toe_deg), ("heel", plan.heel_deg)):
        inner, outer = (getattr(drawn, f"{end}_angle_deg")[:, 0] for drawn in (narrow, wide))
        assert outer[0] < ours[0] < inner[0] < inner[2] < ours[2] < outer[2]
        assert ours[1] == pytest.approx(inner[1], abs=0.5)


@settings(max_examples=25, deadline=None)
@given(days=st.integers(7, 84), small=st.floats(0.2, 1.0), more=st.floats(0.1, 2.0))
def test_more_error_and_more_time_widen_the_band(days, small, more) -> None:
    def wide(error: float, days: int) -> float:
        errors = {"toe_angle_deg": error, "heel_angle_deg": error}
        plan = replace(PLAN, next_visit=DAY + timedelta(days=days))
        low, _, high = plan_for_page(measured(errors=errors), plan).heel_deg
        return high - low

    assert wide(small, days) < wide(small + more, days)
    assert wide(small, days) < wide(small, days + 14)
    assert wide(small, days) >= 4 * small  # never surer than the measurement that it starts from


def test_the_errors_of_the_photograph_count_on_the_page() -> None:
    rough = measured(errors={"toe_angle_deg": 3.0, "heel_angle_deg": 5.0})
    words = owner_page("Test", "left fore", [rough], plan_for_page(rough, PLAN)).words
    low, _, high = plan_for_page(rough, PLAN).heel_deg
    assert high - low > 20
    assert f"the heel between {low:.0f} and {high:.0f} degrees" in words
    assert "Next visit: 19 May 2026" in words


def test_no_angle_is_below_the_ground() -> None:
    flat = measured(Profile.from_measures(45, 15, 92, 60, 116), point_error_mm=4.0)
    assert plan_for_page(flat, replace(PLAN, toe_taken_mm=0, heel_down_mm=0)).heel_deg[0] == 0.0


@pytest.mark.parametrize(
    ("foot", "changes", "moment", "message"),
    [
        (FOOT, {}, "after trim", "must be 0, because the foot was measured after its trim"),
        (FOOT, {"heel_down_mm": 40}, "before trim", "40 mm off the heel leaves no foot"),
        (
            Profile.from_measures(50, 37, 60, 30, 116),
            {"toe_taken_mm": 55},
            "before trim",
            "55 mm off the toe leaves no foot",
        ),
        (FOOT, {"next_visit": date(2031, 1, 1)}, "before trim", "days must be between 0 and 1000"),
        (
            Profile.from_measures(62, 95, 80, 45, 95),
            {"toe_taken_mm": 0, "heel_down_mm": 0},
            "before trim",
            "a heel that stands at 95 degrees cannot be followed",
        ),
    ],
)
def test_what_cannot_be_expected_is_said_in_words(foot, changes, moment, message) -> None:
    with pytest.raises(CaseError, match=message):
        plan_for_page(measured(foot, moment=moment), replace(PLAN, **changes))


def test_much_at_once_is_worth_a_word_and_a_common_trim_is_not() -> None:
    assert much_at_once(6.0, 3.0) == ""
    assert "60 mm is more than a hoof grows" in much_at_once(60.0, 0.0)


def test_a_foot_measured_after_its_trim_only_grows() -> None:
    still = replace(PLAN, toe_taken_mm=0.0, heel_down_mm=0.0)
    assert (
        plan_for_page(measured(moment="after trim"), still).heel_deg
        == plan_for_page(measured(), still).heel_deg
    )
