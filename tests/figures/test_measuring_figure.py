"""Lesson 03's figure: what it reads is what the points say, and the truth is the drawn foot's."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.figures import questions
from hoofcalc.figures.measuring_figure import (
    MEASURING,
    READERS,
    STICK_MM,
    TRUTH,
    point_error_mm,
)
from hoofcalc.figures.measuring_prediction import MEASURING_PREDICTION
from hoofcalc.pictures.drawing import drawing_of
from hoofcalc.pictures.short_line import short_line
from hoofcalc.profile import Profile, error_of, seen_points, with_error

CARE = {preset.label: preset.values for preset in MEASURING.presets}["With care"]


def read(**values: Any) -> Any:
    frame = MEASURING.frame({**CARE, **values})
    assert not frame.refusal, frame.refusal
    return frame.results


def angles(results: Any) -> list[float]:
    return [results[f"{name}_deg"] for name in ("toe", "heel", "coronet")]


def test_points_on_their_spots_read_the_truth() -> None:
    results = read()
    for name in ("toe", "heel", "coronet"):
        true = getattr(TRUTH, f"{name}_angle_deg")
        assert results[f"{name}_deg"] == pytest.approx(true)
        assert results[f"{name}_true_deg"] == pytest.approx(true)
    assert results["foot"].toe_length_mm == pytest.approx(TRUTH.toe_length_mm)
    assert results["dots"] == pytest.approx(400), "100 mm at a quarter of a millimetre a dot"
    # the dots that the learner is told lead to the same angle as on paper
    told = {
        name: [float(part) for part in results[f"{name}_says"].split() if part.isdigit()]
        for name in ("heel_ground", "heel_coronet")
    }
    back, up = np.subtract(told["heel_coronet"], told["heel_ground"])
    assert np.degrees(np.arctan2(up, -back)) == pytest.approx(TRUTH.heel_angle_deg, abs=0.3)


def test_the_drawn_foot_passes_through_the_spots() -> None:
    results = read(yaw_deg=20, look_down_deg=15, roll_deg=-6, distance_m=0.8)
    for spot in results["spots"]:
        assert np.min(np.hypot(*(results["foot_wall"] - spot).T)) < 1e-9
    line = results["foot_ground"]
    for spot in results["spots"][[0, 3]]:  # both ground points lie on the drawn ground
        away, along = spot - line[0], line[1] - line[0]
        assert abs(along[0] * away[1] - along[1] * away[0]) / np.hypot(*along) < 1e-9


@pytest.mark.parametrize("camera", [{"yaw_deg": 25}, {"look_down_deg": 35}, {"yaw_deg": -30}])
def test_the_camera_does_what_the_library_says(camera: dict[str, float]) -> None:
    results = read(**camera)
    camera |= {"distance_mm": 1000, "aim_mm": (45, 50)}
    seen = Profile(**{name: seen_points(at, **camera) for name, at in TRUTH.landmarks.items()})
    for name in ("toe", "heel", "coronet"):
        change = getattr(seen, f"{name}_angle_deg") - getattr(TRUTH, f"{name}_angle_deg")
        assert results[f"{name}_camera_deg"] == pytest.approx(change)
        assert results[f"{name}_deg"] - results[f"{name}_true_deg"] == pytest.approx(change)


def test_neither_scale_nor_level_touches_an_angle_but_scale_touches_lengths() -> None:
    true = angles(read())
    assert angles(read(roll_deg=10)) == pytest.approx(true)
    assert "ground line leans 10°" in MEASURING.frame({**CARE, "roll_deg": 10}).sentence
    near = read(stick_nearer_mm=60)
    assert angles(near) == pytest.approx(true)
    # the stick at 940 mm, the foot at 1000: by the pinhole, lengths come out 6 % short
    assert near["foot"].toe_length_mm == pytest.approx(0.94 * TRUTH.toe_length_mm, rel=1e-6)
    assert angles(read(stick_b_y_mm=-10)) == pytest.approx(true)


def test_the_bars_hold_what_they_promise() -> None:
    """Points set 4000 times with the stated error: 19 of 20 bars reach the truth."""
    for distance in (0.5, 1.0, 4.0):
        results = read(distance_m=distance)
        hand = with_error(TRUTH, point_error_mm(distance), 4000, np.random.default_rng(3))
        for name in ("toe", "heel", "coronet"):
            draws = getattr(hand, f"{name}_angle_deg")
            off = np.abs(draws - results[f"{name}_true_deg"])
            assert np.mean(off <= results[f"{name}_reach_deg"]) == pytest.approx(0.95, abs=0.02)
            apart = np.abs(draws[:2000] - draws[2000:])
            assert np.mean(apart <= results[f"{name}_counts_deg"]) == pytest.approx(0.95, abs=0.02)


def test_five_degrees_are_lost_at_the_heel_long_before_the_toe() -> None:
    def lost(name: str) -> float:
        places = MEASURING.sliders[3].positions()
        return next(at for at in places if read(distance_m=at)[f"{name}_counts_deg"] > 5)

    assert lost("heel") < 1.5
    assert lost("toe") > 2
    near, far = read(distance_m=0.5), read(distance_m=4)
    assert far["heel_reach_deg"] > 2.5 * near["heel_reach_deg"]
    assert near["heel_counts_deg"] < 5 < far["heel_counts_deg"]


def test_the_readers_are_the_yards() -> None:
    """Their fifth placings, and the truth that stands behind all ten."""
    placings = datasets.readings()
    for reader, offsets in READERS.items():
        fifth = next(r for r in placings if (r.reader, r.reading) == (reader, 5))
        for name, offset in offsets.items():
            assert fifth.landmarks[name] - getattr(TRUTH, name) == pytest.approx(offset, abs=0.051)
    for name in ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet"):
        first = [r.landmarks[name] for r in placings if r.reader == "first"]
        off = np.mean(first, axis=0) - getattr(TRUTH, name)
        assert np.abs(off).max() < 3 * 0.8 / np.sqrt(5), "the first reader has no habit"


def test_every_place_of_every_point_gives_a_picture_or_a_sentence() -> None:
    rng = np.random.default_rng(2)
    drawing = drawing_of(MEASURING)
    refused = 0
    numbers = [part for handle in MEASURING.handles for part in handle.numbers()]
    corners = [
        dict(zip((name for name, *_ in numbers[at : at + 2]), corner, strict=True))
        for at in range(0, len(numbers), 2)
        for corner in itertools.product(numbers[at][1:3], numbers[at + 1][1:3])
    ]
    anywhere = [
        {name: rng.uniform(low, high) for name, low, high, _ in numbers} for _ in range(100)
    ]
    for values in [*({**CARE, **corner} for corner in corners), *anywhere]:
        frame = MEASURING.frame(values)
        if frame.refusal:
            refused += 1
            assert "these four points are no foot" in frame.refusal
        else:
            drawing.show(frame.results)
            assert "nan" not in frame.sentence
            for place, handle in zip(
                MEASURING.places(frame.results), MEASURING.handles, strict=True
            ):
                assert np.isfinite(place["at"]).all()
                assert place["says"].endswith("dots up")
                panel = MEASURING.panels[handle.panel]
                assert panel.x_limits[0] < place["at"][0] < panel.x_limits[1]
                assert panel.y_limits[0] < place["at"][1] < panel.y_limits[1]
    assert refused < 60


def test_points_that_are_no_foot_are_refused_in_words() -> None:
    swapped = {"toe_ground_y_mm": 20.0, "toe_coronet_y_mm": -25.0, "heel_coronet_y_mm": -25.0}
    frame = MEASURING.frame({**CARE, **swapped, "look_down_deg": 40, "heel_ground_y_mm": 20.0})
    assert "these four points are no foot" in frame.refusal


def test_the_stick_is_as_long_as_it_says_and_its_ends_can_never_meet() -> None:
    assert STICK_MM[1, 1] - STICK_MM[0, 1] == 100
    results = read(look_down_deg=40, roll_deg=10, distance_m=4, stick_a_y_mm=15, stick_b_y_mm=-15)
    assert results["dots"] > 0.3 * 100  # a dot is a millimetre here


def test_the_lessons_questions_say_what_the_library_says() -> None:
    asked = questions.load("measuring")
    slope = np.degrees(np.arctan(30 / 40))
    assert asked["slope"]["truth"] == pytest.approx(slope, abs=0.05)
    wrong = [slip["value"] for slip in asked["slope"]["slips"]]
    usual = [90 - slope, 180 - slope, np.radians(slope), np.degrees(np.arcsin(0.75)), 0.75]
    assert wrong == pytest.approx(usual, abs=0.05)
    assert 2 * np.hypot(2, 2) > 5, "and so the five degrees of the last question are not shown"


def test_the_lesson_tells_what_the_library_says() -> None:
    """Otterby's fall since April is more than two hands can do; the heel is half as sure."""
    heels = []
    for visit in (1, 5):
        foot = datasets.foot("Otterby", "right fore", visit=visit)
        profile = Profile(**foot.landmarks)
        error = float(error_of(profile, "heel_angle_deg", foot.point_error_mm))
        heels.append((float(profile.heel_angle_deg), 1.96 * error))
    (april, first), (november, second) = heels
    assert (round(april), round(november)) == (32, 23)
    assert (round(first), round(second)) == (3, 3)
    assert np.hypot(first, second) == pytest.approx(5, abs=0.5)
    assert round(april - november) == 9
    results = read()
    assert results["heel_reach_deg"] == pytest.approx(3, abs=0.5)
    assert results["toe_reach_deg"] < 0.5 * results["heel_reach_deg"]


def test_the_curve_to_draw_halves_when_the_wall_doubles() -> None:
    short, long = MEASURING_PREDICTION.truth(np.array([40.0, 80.0]))
    assert short == pytest.approx(2 * long)
    assert long == pytest.approx(1.96 * 57.3 * np.sqrt(2) * point_error_mm(1.0) / 80, rel=1e-3)


def test_the_picture_of_the_short_line_says_what_the_formula_says() -> None:
    for length in (49, 97):
        error = 1.96 * 57.3 * 1.414 * 1.5 / length
        assert f"{error:.1f}" in short_line().caption
