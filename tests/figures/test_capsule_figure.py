"""The turning foot of lesson 06 shows the capsule, and tells how its lines fit the traced ones."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.figures.capsule_figure import CAPSULE
from hoofcalc.figures.solid_foot import flat, foot_tiles, seen_from
from hoofcalc.pictures.drawing import tiles
from hoofcalc.profile import Profile


def box() -> Capsule:
    """A block 100 long, 60 wide and 40 high, its corners from the right heel on."""
    square = np.array([[-50.0, -30, 0], [50, -30, 0], [50, 30, 0], [-50, 30, 0]])
    return Capsule(square, square + np.array([0, 0, 40]), thickness_mm=1.0)


def area(outline: np.ndarray) -> float:
    x, y = outline.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2


def test_from_the_side_and_the_front_lengths_are_true() -> None:
    point = [(3.0, 5.0, 7.0)]
    assert flat(point, 0, 0)[0][0].tolist() == [3.0, 7.0]  # right side: toe to the right
    np.testing.assert_allclose(flat(point, 90, 0)[0][0], [5.0, 7.0])  # its left on our right
    np.testing.assert_allclose(flat(point, 0, 90)[0][0], [3.0, 5.0])  # from above


def test_turning_keeps_distances_in_space() -> None:
    rng = np.random.default_rng(3)
    cloud = rng.normal(size=(20, 3))
    page, behind = flat(cloud, 37.0, -24.0)
    turned = np.column_stack([page, behind])
    np.testing.assert_allclose(np.linalg.norm(turned, axis=1), np.linalg.norm(cloud, axis=1))


@pytest.mark.parametrize(("turn", "down"), [(0, 0), (30, 20), (-120, 60), (200, -50)])
def test_what_faces_the_eye_covers_the_shadow_of_the_body_once(turn: float, down: float) -> None:
    # of a convex body seen from afar each spot of its shadow lies on one face that looks at us
    places, values = foot_tiles(box(), np.arange(4.0), turn, down)
    outlines = tiles(places)
    assert len(outlines) == len(values)
    size = np.array([100.0, 60.0, 40.0])
    look = np.array([-np.sin(np.radians(turn)) * np.cos(np.radians(down)),
                     np.cos(np.radians(turn)) * np.cos(np.radians(down)),
                     -np.sin(np.radians(down))])  # fmt: skip
    shadow = np.abs(look) @ (size.prod() / size)  # Cauchy: faces times their cosine
    assert sum(area(one) for one in outlines) == pytest.approx(shadow)


def test_the_nearest_piece_is_drawn_last() -> None:
    foot = build_capsule(Profile.from_measures(50, 30, 90, 45, 110), per_side=12)
    places, _ = foot_tiles(foot, np.zeros(25), 90, 10)
    toe = flat(foot.ground[[11, 12]], 90, 10)[0]
    assert np.allclose(tiles(places)[-1][:2], toe) or np.allclose(
        tiles(places)[-1][:2], flat(foot.ground[[12, 13]], 90, 10)[0]
    )


def test_the_words_for_where_it_is_seen_from() -> None:
    assert seen_from(0, 0) == "Seen from the right side, level"
    assert seen_from(-180, 20) == "Seen from the left side, 20 degrees from above"
    assert seen_from(60, -5).startswith("Seen from the front, turned by 30 degrees towards the rig")


def test_a_parallel_foot_is_a_slanted_cylinder_whose_volume_is_known() -> None:
    # taper 1, parallel walls as long: ground area times height
    results = CAPSULE.frame(
        {"toe_angle_deg": 50.0, "heel_angle_deg": 50.0, "taper": 1.0, "story": "in line"}
    ).results
    assert results["side_lean_deg"] == pytest.approx(0, abs=1e-9)
    assert results["ground_mm"] == pytest.approx(results["coronet_mm"])


def test_each_region_says_how_far_the_traced_lines_are_off() -> None:
    flatter = CAPSULE.frame({"story": "run under", "heel_angle_deg": 40.0, "toe_angle_deg": 48.0})
    assert flatter.results["steeper"]["heel"] < -10
    assert "flatter" in flatter.sentence
    off = CAPSULE.frame({"story": "too upright", "toe_angle_deg": 42.0, "heel_angle_deg": 45.0})
    assert any(row.value == "they leave the model" for row in off.table)
    assert not len(off.results["model_toe"])


def test_a_pinched_band_leans_the_side_walls_in_and_holds_less() -> None:
    wide, narrow = (CAPSULE.frame({"taper": taper}).results for taper in (1.0, 0.7))
    assert narrow["side_lean_deg"] > wide["side_lean_deg"]
    assert narrow["volume_cm3"] < wide["volume_cm3"]
    assert narrow["coronet_mm"] == pytest.approx(0.7 * narrow["ground_mm"])


def test_the_whole_foot_is_drawn_in_every_look_and_the_pieces_face_the_eye() -> None:
    counts = set()
    for turn in range(-180, 180, 45):
        for down in (-75, -20, 0, 20, 75):
            results = CAPSULE.frame({"turn_deg": float(turn), "look_down_deg": float(down)}).results
            outlines = tiles(results["whole"])
            assert len(outlines) == len(results["whole_shades"])
            assert np.all(results["whole_shades"] >= 0)
            counts.add(len(outlines))
            panel = CAPSULE.panels[0]
            for values, (low, high) in zip(
                np.vstack(outlines).T, (panel.x_limits, panel.y_limits), strict=True
            ):
                assert low <= values.min(), f"cut off at {turn}, {down}"
                assert values.max() <= high, f"cut off at {turn}, {down}"
    assert len(counts) > 5


def test_the_marked_tubules_say_the_walls_own_angles() -> None:
    values = {"toe_angle_deg": 50.0, "heel_angle_deg": 30.0}
    results = CAPSULE.frame(values).results
    assert results["toe_words"] == "toe 50°"
    assert results["heel_words"] == "heel 30°"
    assert len(results["toe_line"]) == 2  # seen slantwise from the front
    from_behind = CAPSULE.frame({**values, "turn_deg": -90.0}).results
    assert not len(from_behind["toe_line"])
    assert len(from_behind["heel_line"]) == 2


def test_the_light_comes_in_fine_steps_from_either_side() -> None:
    left, right = (
        CAPSULE.frame({"story": "in line", "turn_deg": turn, "look_down_deg": 0.0}).results
        for turn in (0.0, -180.0)
    )
    for seen in (left, right):
        steps = np.unique(seen["whole_shades"])
        assert len(steps) > 12, "flat light"
