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
from hoofcalc.capsule import build_capsule
from hoofcalc.figures.case_figure import CASE
from hoofcalc.figures.spec import Row
from hoofcalc.figures.story import story
from hoofcalc.figures.story_capsule import solid_of
from hoofcalc.figures.trim_cycle_figure import TRIM_CYCLE
from hoofcalc.forecast import expected
from hoofcalc.ground_force import peak_vertical_n
from hoofcalc.landing import Track, contact_times, duty_factor
from hoofcalc.loadpath import compare_feet, force_vector, obliquity_deg
from hoofcalc.profile import Profile, error_of

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


def said() -> str:
    notebook = nbformat.read(HERE / "lessons" / "10-a-case.ipynb", as_version=4)
    return "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")


def test_the_chain_on_paper() -> None:
    times = contact_times(Track(**datasets.track("trot", "fore", frame_rate_hz=240)))
    duty = float(duty_factor(times.stance_s[0], times.stride_s[0]))
    assert duty == pytest.approx(0.351, abs=0.0005)
    assert math.pi * 0.57 * 690 * 9.81 / (4 * 0.351) == pytest.approx(8633, abs=1)
    assert float(peak_vertical_n(690, duty, pair_share=0.57)) == pytest.approx(8600, abs=50)
    assert "12 121 / 1.404 = 8633 N" in said()
    assert "some 8600 [newtons]" in said()
    for tilt, angle in ((0.0, 59.3), (8.0, 51.3), (-6.3, 65.6)):
        assert 90 - float(foot(4).heel_angle_deg) - tilt == pytest.approx(angle, abs=0.06)
        # the heel's line also leans inwards, for the foot is narrower above
        solid = float(obliquity_deg(build_capsule(foot(4)), force_vector(6000, tilt))[0])
        assert solid == pytest.approx(angle, abs=1.5)


def test_what_the_table_of_links_says() -> None:
    (toe, heel) = (float(getattr(foot(4), f"{end}_angle_deg")) for end in ("toe", "heel"))
    errors = [2 * float(error_of(foot(4), f"{end}_angle_deg", 0.8)) for end in ("toe", "heel")]
    assert (
        f"toe {toe:.1f}, heel {heel:.1f} degrees | ± {errors[0]:.1f} and ± {errors[1]:.1f}"
        in said()
    )
    after = foot(4, "after trim")
    error = {end: float(error_of(after, f"{end}_angle_deg", 0.8)) for end in ("toe", "heel")}
    low, middle, high = expected(after, error, [42], shod=True).heel_deg[0]
    assert f"heel about {middle:.0f} | {low:.0f} to {high:.0f} |" in said()


def test_the_comparison_with_fernlow_is_the_librarys_and_holds_for_other_draws() -> None:
    in_line = solid_of("Fernlow", "left fore")
    for horse, ratio, low, high in (("Marrowfen", 1.1, 0.9, 1.3), ("Otterby", 1.7, 1.4, 2.1)):
        foot, rng = solid_of(horse, "right fore"), np.random.default_rng(5)
        found = compare_feet(foot, in_line, rng, draws=200, alike=True)
        for value, wanted in ((found.ratio, ratio), (found.low, low), (found.high, high)):
            assert value == pytest.approx(wanted, abs=0.07)
    assert "By shape alone 1.1 times, from 0.9 to 1.3" in said()
    assert "1.7 times as hard, from 1.4 to 2.1" in said()


def test_the_two_readings_of_one_trimmed_heel_are_named_and_within_their_error() -> None:
    def heel(rows: tuple[Row, ...], quantity: str) -> Row:
        return next(row for row in rows if row.quantity == quantity)

    seen = CASE.frame({"case": "Otterby, right fore", "after_trim": 1}).table
    cut = TRIM_CYCLE.frame({"week": 6})
    reading, later = story("Otterby").after[-1].heel_deg, heel(seen, "heel, in 6 weeks")
    there = cut.results["heel_numbers"]
    low, high = (float(end) for end in heel(seen, "heel, 5 November").interval.split(" to "))
    assert abs(there["trimmed"] - reading) < (high - low) / 2
    assert f"reads {reading:.1f} ± {(high - low) / 2:.1f}" in said()
    assert f"came to {there['trimmed']:.1f}, within that ±" in said()
    here = " to ".join(f"{float(end):.0f}" for end in later.interval.split(" to "))
    assert f"{here} here, {there['low']:.0f} to {there['high']:.0f} there" in said()


def test_the_questions_are_right() -> None:
    after = foot(4, "after trim")
    gap = float(after.toe_angle_deg - after.heel_angle_deg)
    assert ASKED["remember_gap"]["truth"] == pytest.approx(gap, abs=0.06)
    april = float(foot(1, "after trim").heel_angle_deg)
    assert (round(april, 1), round(float(after.heel_angle_deg), 1)) == (36.2, 36.1)
    assert "It read 36.1; in April it was 36.2" in ASKED["predict"]["reason"]
    errors = [float(error_of(foot(v, "after trim"), "heel_angle_deg", 0.8)) for v in (1, 4)]
    assert 2 * math.hypot(*errors) == pytest.approx(4.4, abs=0.06)
    assert math.hypot(1.4, 1.4) == pytest.approx(2.0, abs=0.05)
    assert math.hypot(3.4, 3.4) == pytest.approx(4.8, abs=0.05)
    assert math.hypot(8, 8) == pytest.approx(11, abs=0.5)


def test_the_lesson_saves_nothing_unasked() -> None:
    notebook = nbformat.read(HERE / "lessons" / "10-a-case.ipynb", as_version=4)
    (cell,) = [c for c in notebook.cells if c.cell_type == "code" and "save_page(" in c.source]
    assert "save = False" in cell.source
