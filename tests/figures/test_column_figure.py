"""Lesson 04's figure says and draws what the formulas say."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from hoofcalc.columns import (
    bundle_second_moment_mm4,
    euler_load_n,
    leaning_column,
    ring_collapse_n_per_mm,
    rod_section,
    tube_section,
)
from hoofcalc.figures.column_figure import COLUMNS
from hoofcalc.figures.column_prediction import COLUMN_PREDICTION
from hoofcalc.figures.questions import load

SKEWER = {"thing": "skewer", "length_mm": 250.0, "thickness_mm": 3.0}


def at(**values: Any) -> Any:
    return COLUMNS.frame({**SKEWER, **values})


def test_upright_a_slender_rod_carries_its_euler_load() -> None:
    rod = rod_section(3.0)
    frame = at(lean_deg=0.0, load_n=1.0)
    assert frame.results["upright_n"] == pytest.approx(
        euler_load_n(15000, rod.second_moment_mm4, 250, 2.0)
    )
    assert "then buckles" in frame.sentence


def test_upright_a_stocky_tube_is_crushed() -> None:
    tube = next(p.values for p in COLUMNS.presets if p.label == "Tube")
    frame = COLUMNS.frame({**tube, "lean_deg": 0.0})
    assert frame.results["upright_n"] == pytest.approx(8 * tube_section(50, 2).area_mm2)
    assert "then is crushed" in frame.sentence


def test_the_drawn_bend_is_that_of_the_formulas_in_true_proportion() -> None:
    # under a small load the exact line and the theory of small bends agree
    values = {"lean_deg": 5.0, "load_n": 0.25}
    body = at(**values).results["standing"]
    line = (body[:31] + body[:30:-1]) / 2
    lean = np.radians(5.0)
    along = line @ [np.sin(lean), np.cos(lean)]
    across = line @ [np.cos(lean), -np.sin(lean)]
    # E I y'' = axial (tip - y) + cross (L - x), fixed base, free tip
    stiffness = 15000 * rod_section(3.0).second_moment_mm4
    k = np.sqrt(0.25 * np.cos(lean) / stiffness)
    x = np.linspace(0, 250, 31)
    expected = np.tan(lean) / k * (np.sin(k * x) - k * x + np.tan(k * 250) * (1 - np.cos(k * x)))
    np.testing.assert_allclose(across, expected, atol=0.02)
    np.testing.assert_allclose(along, x, atol=0.02)
    through = body[:31] - body[:30:-1]  # from one side of the rod to the other
    np.testing.assert_allclose(np.linalg.norm(through, axis=1), 3.0)
    way = np.gradient(line, axis=0)
    aslant = np.sum(through * way, axis=1) / np.linalg.norm(way, axis=1)
    np.testing.assert_allclose(aslant, 0.0, atol=1e-9)


def test_within_a_tube_its_wall_is_drawn_as_thick_as_it_is() -> None:
    """A tube of 50 mm with a wall of 2 mm: hollow for 46 mm about the line in the middle."""
    tube = next(p.values for p in COLUMNS.presets if p.label == "Tube")
    results = COLUMNS.frame({**tube, "lean_deg": 20.0, "load_n": 1.0}).results
    body, inside = results["standing"], results["inside"]
    count = len(body) // 2
    line = (body[:count] + body[: count - 1 : -1]) / 2
    first, second = inside[:count], inside[count + 1 :]
    assert np.isnan(inside[count]).all()
    np.testing.assert_allclose((first + second) / 2, line, atol=1e-9)
    np.testing.assert_allclose(np.linalg.norm(first - second, axis=1), 46.0)
    np.testing.assert_allclose(np.linalg.norm(first - body[:count], axis=1), 2.0)


def test_the_marker_stands_under_the_curve_exactly_where_it_holds() -> None:
    limit = at(lean_deg=20.0, load_n=1.0).results["here_n"]
    holds, gives = at(lean_deg=20.0, load_n=0.999 * limit), at(lean_deg=20.0, load_n=1.001 * limit)
    assert holds.results["fate"] == "holds"
    assert gives.results["fate"] != "holds"
    assert "moves its top" in holds.sentence
    assert "moves its top" not in gives.sentence
    curve = holds.results["curve"]
    assert np.interp(20.0, *curve.T) == pytest.approx(holds.results["marker"][0, 1], rel=2e-3)
    assert np.all(np.diff(curve[:, 1]) <= 1e-9), "more lean never carries more"


def test_at_the_drawn_moment_of_breaking_the_stress_is_the_strength() -> None:
    # shorter than it is long in lean, so that the theory of small bends still counts
    values = {"thing": "pole", "length_mm": 100.0, "thickness_mm": 9.0, "lean_deg": 10.0}
    pole = tube_section(9.0, 0.09 * 9.0)
    frame = COLUMNS.frame({**values, "load_n": 3000.0})
    assert frame.results["fate"] == "breaks"
    small = leaning_column(
        frame.results["here_n"],
        10.0,
        70000,
        pole.second_moment_mm4,
        100.0,
        area_mm2=pole.area_mm2,
        outer_fibre_mm=pole.outer_fibre_mm,
        strength_mpa=250,
    )
    assert small.utilisation == pytest.approx(1.0, rel=1e-6)
    assert frame.results["aside_mm"] == pytest.approx(small.tip_deflection_mm, rel=0.03)


def test_a_slender_rod_past_its_load_bows_and_does_not_break() -> None:
    frame = at(lean_deg=0.0, load_n=2.4)
    assert frame.results["fate"] == "gives way"
    assert "bows its top" in frame.sentence
    assert len(frame.results["failing"])
    assert not len(frame.results["standing"])
    assert (
        "bends it down to the bench" in at(thing="straw", thickness_mm=2.0, lean_deg=0.0).sentence
    )


def test_a_straw_too_thin_for_the_model_gets_no_number() -> None:
    thin = {"thing": "straw", "length_mm": 450.0, "thickness_mm": 2.0, "lean_deg": 45.0}
    frame = at(**thin, load_n=0.1)
    assert frame.results["here_n"] > frame.results["upright_n"]
    assert "no number holds" in frame.sentence
    assert "outside the model" in {row.interval for row in frame.table}
    assert "no number holds" not in at(**{**thin, "lean_deg": 10.0}, load_n=0.1).sentence


def test_two_loads_that_read_alike_are_told_apart_in_words() -> None:
    limit = at(lean_deg=5.0).results["here_n"]
    assert "just" not in at(lean_deg=5.0, load_n=0.9 * limit).sentence
    for share in (0.9999, 1.0001):
        assert re.search(r"\bjust\b", at(lean_deg=5.0, load_n=share * limit).sentence)


def test_nothing_is_drawn_below_the_bench_or_outside_its_panel() -> None:
    panel = COLUMNS.panels[0]
    for preset in COLUMNS.presets:
        for lean in (0.0, 5.0, 45.0):
            for load_n in (0.1, 1.0, 5.0, 50.0, 10_000.0):
                values = {**preset.values, "lean_deg": lean, "load_n": load_n}
                results = COLUMNS.frame(values).results
                body = np.vstack([results["standing"], results["failing"], results["arrow"][1:]])
                half = values["thickness_mm"] * (3 if "Bundle" in preset.label else 1) / 2
                assert body[:, 1].min() >= -half
                assert panel.x_limits[0] < body[:, 0].min()
                assert body[:, 0].max() < panel.x_limits[1]
                assert body[:, 1].max() < panel.y_limits[1]


def test_glue_makes_seven_skewers_stiffer_as_the_formula_says() -> None:
    loose, glued = (
        COLUMNS.frame({**SKEWER, "thing": thing, "lean_deg": 0.0, "load_n": 1.0}).results
        for thing in ("loose", "glued")
    )
    ratio = bundle_second_moment_mm4(7, 3, 1) / bundle_second_moment_mm4(7, 3, 0)
    assert ratio == pytest.approx(55 / 7)
    assert glued["upright_n"] / loose["upright_n"] == pytest.approx(ratio)


def test_something_happens_at_both_ends_of_every_slider() -> None:
    fates = {
        (slider.name, end): COLUMNS.frame({slider.name: end}).results
        for slider in COLUMNS.sliders
        for end in (slider.minimum, slider.maximum)
    }
    assert fates["load_n", 10000]["fate"] == "breaks"
    assert fates["length_mm", 40]["here_n"] > 3 * fates["length_mm", 450]["here_n"]
    assert fates["thickness_mm", 60]["upright_n"] > 1e4 * fates["thickness_mm", 2]["upright_n"]
    assert fates["lean_deg", 0]["here_n"] == fates["lean_deg", 0]["upright_n"]
    assert fates["lean_deg", 45]["here_n"] < 0.5 * fates["lean_deg", 45]["upright_n"]


def test_the_curve_to_draw_is_the_figures() -> None:
    tube = next(p.values for p in COLUMNS.presets if p.label == "Tube")
    for lean in (0.0, 1.0, 5.0, 10.0):
        here = COLUMNS.frame({**tube, "lean_deg": lean}).results["here_n"]
        assert COLUMN_PREDICTION.truth(np.array([lean]))[0] == pytest.approx(here)
    upright, first = COLUMN_PREDICTION.truth(np.array([0.0, 1.0]))
    assert first / upright == pytest.approx(0.5, abs=0.02), "the first degree takes about half"
    assert COLUMN_PREDICTION.start == pytest.approx(upright, rel=0.01)


def test_the_lesson_tells_what_the_figure_shows() -> None:
    """Shares that stand in its words."""

    def left(label: str, lean: float, **values: float) -> float:
        preset = next(p.values for p in COLUMNS.presets if p.label == label)
        results = COLUMNS.frame({**preset, **values, "lean_deg": lean}).results
        return float(results["here_n"] / results["upright_n"])

    assert 0.2 < left("Tube", 5.0) < 0.25, "nearly four fifths by the fifth degree"
    assert left("Skewer", 5.0) == pytest.approx(5 / 6, abs=0.01), "a sixth for a slender one"
    assert left("Tent pole", 1.0, length_mm=60.0) < left("Tent pole", 1.0), "short loses more"
    folds = 400 * ring_collapse_n_per_mm(8, 24, 2)
    assert folds == pytest.approx(530, rel=0.01)


def test_the_words_on_questions_agree_with_the_library() -> None:
    questions = load("columns")
    rod = rod_section(3.0).second_moment_mm4
    assert questions["half_length"]["truth"] == pytest.approx(
        euler_load_n(15000, rod, 125, 2.0), rel=1e-3
    )
    for angle, length in ((60, 346), (30, questions["flatter"]["truth"])):
        assert 300 / np.sin(np.radians(angle)) == pytest.approx(length, rel=2e-3)
    assert questions["remember_duty"]["truth"] == pytest.approx(0.30 / 0.75)
    assert np.hypot(3, 3) > 33 - 30, "and so nothing is shown"
