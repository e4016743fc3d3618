"""A plane in a photograph: cameras whose place is known, and OpenCV, say what must come out."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hoofcalc.angles import slope_deg
from hoofcalc.case.calibration import (
    FURTHEST_DEG,
    by_length,
    by_square,
    refined_corners,
    seen_from,
)
from hoofcalc.case.storage import CaseError
from hoofcalc.case.synthetic.drawn_photograph import SQUARE_MM, drawn_photograph
from hoofcalc.case.synthetic.pinhole import Camera
from hoofcalc.profile import Profile

SQUARE = np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]])
STRAIGHT = np.array([[400.0, 700.0], [700.0, 700.0], [700.0, 400.0], [400.0, 400.0]])
MIDDLE = (800.0, 600.0)

turns = st.floats(-25, 25)
offsets = st.floats(-180, 180)


def square_at(right_mm: float, up_mm: float):
    return SQUARE + np.array([right_mm, up_mm])


def askew_deg(camera: Camera) -> float:
    """By the law of cosines for two turns square to each other."""
    return float(
        np.degrees(
            np.arccos(np.cos(np.radians(camera.turn_deg)) * np.cos(np.radians(camera.tilt_deg)))
        )
    )


@given(turn=turns, tilt=turns, roll=st.floats(-15, 15), right=offsets, up=offsets)
def test_a_square_gives_back_every_place_of_its_plane(turn, tilt, roll, right, up):
    camera = Camera(turn_deg=turn, tilt_deg=tilt, roll_deg=roll)
    assume(askew_deg(camera) < FURTHEST_DEG - 0.1)
    plane = by_square(camera.to_px(square_at(right, up)), 100, MIDDLE)
    places = np.random.default_rng(0).uniform(-150, 150, (5, 4, 2))
    seen = camera.to_px(places + np.array([right, up]))
    np.testing.assert_allclose(plane.to_mm(seen), places, atol=1e-6)
    np.testing.assert_allclose(plane.to_px(places), seen, atol=1e-6)


@given(turn=turns, tilt=turns, roll=st.floats(-40, 40), right=offsets, focal=st.floats(24, 120))
def test_how_far_askew_is_told_without_knowing_the_lens(turn, tilt, roll, right, focal):
    camera = Camera(
        turn_deg=turn, tilt_deg=tilt, roll_deg=roll, focal_mm=focal, distance_mm=900 * focal / 52
    )
    assume(askew_deg(camera) < FURTHEST_DEG - 0.1)
    plane = by_square(camera.to_px(square_at(right, -50)), 100, MIDDLE)
    told, _ = seen_from(np.linalg.inv(plane.matrix), MIDDLE)
    assert told == pytest.approx(askew_deg(camera), abs=1e-3)


@pytest.mark.parametrize("corner", range(4))
def test_the_homography_is_that_of_opencv(corner):
    corners = STRAIGHT.copy()
    corners[corner] += (17.0, -23.0)
    ours = by_square(corners, 80).matrix
    square = np.array([[0, 0], [80, 0], [80, 80], [0, 80]], np.float32)
    theirs = cv2.getPerspectiveTransform(corners.astype(np.float32), square)
    np.testing.assert_allclose(ours / ours[2, 2], theirs, rtol=2e-4, atol=2e-4)


@pytest.mark.parametrize(
    ("turn", "tilt", "way"),
    [
        (38, 0, "further to the left ("),
        (-38, 0, "further to the right ("),
        (0, 38, "further down ("),
        (0, -38, "further up ("),
        (30, -30, "further to the left and up ("),
    ],
)
def test_a_view_too_far_off_is_refused_and_told_which_way_to_move(turn, tilt, way):
    camera = Camera(turn_deg=turn, tilt_deg=tilt)
    with pytest.raises(CaseError, match="degrees askew") as told:
        by_square(camera.to_px(square_at(-40, -30)), 100, MIDDLE)
    assert way in str(told.value)


def test_the_limit_lies_at_thirty_degrees_wherever_the_square_stands():
    for off in (-190.0, 0.0, 120.0):
        by_square(Camera(turn_deg=29.9).to_px(square_at(off, 0)), 100, MIDDLE)
        with pytest.raises(CaseError, match="30 degrees askew"):
            by_square(Camera(turn_deg=30.1).to_px(square_at(off, 0)), 100, MIDDLE)


def test_placed_by_hand_a_turn_of_twenty_degrees_is_not_refused_and_forty_always_is():
    rng = np.random.default_rng(2)
    for off in (-180.0, 40.0):
        near, far = (Camera(turn_deg=turn).to_px(square_at(off, 0)) for turn in (20, 40))
        for _ in range(100):
            by_square(near + rng.normal(0, 1.5, (4, 2)), 100, MIDDLE)
            with pytest.raises(CaseError):
                by_square(far + rng.normal(0, 1.5, (4, 2)), 100, MIDDLE)


@pytest.mark.parametrize(
    ("order", "sentence"),
    [
        ((0, 2, 1, 3), "do not follow one another"),
        ((3, 2, 1, 0), "do not follow one another"),
        ((1, 2, 3, 0), "begin at the wrong one"),
        ((2, 3, 0, 1), "begin at the wrong one"),
        ((3, 0, 1, 2), "begin at the wrong one"),
        ((0, 0, 2, 3), "too small"),
    ],
)
def test_corners_in_another_order_are_told(order, sentence):
    with pytest.raises(CaseError, match=sentence):
        by_square(STRAIGHT[list(order)], 100)


def test_a_corner_between_the_others_and_a_tiny_square_are_told():
    corners = STRAIGHT.copy()
    corners[2] = (480.0, 620.0)
    with pytest.raises(CaseError, match="one lies between the others"):
        by_square(corners, 100)
    corners[2] = (corners[1] + corners[3]) / 2  # just on the line of its neighbours
    with pytest.raises(CaseError, match="one lies between the others"):
        by_square(corners, 100)
    with pytest.raises(CaseError, match="too small"):
        by_square(STRAIGHT / 10, 100)


def test_small_moves_of_a_corner_move_the_places_evenly():
    camera = Camera(turn_deg=18, tilt_deg=-9)
    corners, foot = camera.to_px(SQUARE), camera.to_px(square_at(160, -20))

    def slope(step: float, corner: int, axis: int):
        moved = np.zeros((4, 2))
        moved[corner, axis] = step
        ahead, behind = (by_square(corners + sign * moved, 100).to_mm(foot) for sign in (1, -1))
        return (ahead - behind) / (2 * step)

    for corner in range(4):
        for axis in (0, 1):
            coarse, fine = slope(0.25, corner, axis), slope(1e-4, corner, axis)
            np.testing.assert_allclose(coarse, fine, atol=1e-4)


@given(roll=st.floats(-60, 60), swap=st.booleans(), turn_round=st.booleans())
def test_a_known_length_and_the_ground_line_give_true_angles_and_lengths(roll, swap, turn_round):
    camera = Camera(roll_deg=roll)
    scale = camera.to_px([[-80.0, 15.0], [70.0, 15.0]])[:: -1 if swap else 1]
    level = camera.to_px([[-120.0, 0.0], [130.0, 0.0]])[:: -1 if turn_round else 1]
    plane = by_length(scale, 150, level)
    wall = plane.to_mm(camera.to_px([[60.0, 0.0], [10.0, 65.0]]))
    assert wall[0, 1] == pytest.approx(0, abs=1e-6)  # zero height is the ground line
    np.testing.assert_allclose(wall[1] - wall[0], [-50, 65], atol=1e-6)
    np.testing.assert_allclose(plane.to_px(wall), camera.to_px([[60.0, 0.0], [10.0, 65.0]]))


def test_a_length_upright_and_a_level_upright_in_the_picture_are_taken():
    plane = by_length([[100, 900], [100, 100]], 200, [[100, 900], [100, 100]])
    assert np.hypot(*np.diff(plane.to_mm([[300, 300], [300, 700]]), axis=0)[0]) == pytest.approx(
        100
    )


def test_up_stays_up_however_little_of_the_ground_line_lies_across():
    """Half a pixel to the right of 800 down: the ground line may be drawn from either end."""
    level = [[100.0, 100.0], [100.5, 900.0]]
    plane, turned = (by_length(level, 200, ends) for ends in (level, level[::-1]))
    np.testing.assert_allclose(plane.matrix, turned.matrix, atol=1e-12)
    # the line runs down to the right, so up is the side to its right
    assert plane.to_mm([[300.0, 500.0]])[0, 1] > 0


def test_ends_on_the_same_spot_are_told():
    far = [[100, 100], [400, 100]]
    with pytest.raises(CaseError, match="known length lie closer"):
        by_length([[100, 100], [104, 103]], 150, far)
    with pytest.raises(CaseError, match="ground line lie closer"):
        by_length(far, 150, [[100, 100], [100, 100]])


def test_a_turned_camera_bends_an_angle_and_the_square_puts_it_right():
    camera = Camera(turn_deg=20)
    ends = camera.to_px([[60.0, 0.0], [10.0, 65.0]])
    true = slope_deg([60.0, 0.0], [10.0, 65.0])
    level = camera.to_px([[-100.0, 0.0], [100.0, 0.0]])
    plain = by_length(level, 200, level).to_mm(ends)
    right = by_square(camera.to_px(square_at(-180, 22)), 100, MIDDLE).to_mm(ends)
    assert abs(slope_deg(*plain) - true) > 0.5
    assert slope_deg(*right) == pytest.approx(true, abs=1e-6)


def test_in_a_plane_nearer_to_the_camera_angles_stay_and_lengths_grow_by_the_distances():
    """As the docstring of `Plane` says: central projection of a parallel plane is a similarity."""
    camera = Camera(distance_mm=800)
    plane = by_square(camera.to_px(square_at(-180, 22)), 100, MIDDLE)
    wall = np.array([[60.0, 0.0, 20.0], [10.0, 65.0, 20.0]])
    seen = plane.to_mm(camera.to_px(wall))
    assert slope_deg(*seen) == pytest.approx(slope_deg(*wall[:, :2]), abs=1e-6)
    longer = np.hypot(*(seen[1] - seen[0])) / np.hypot(*(wall[1] - wall[0])[:2])
    assert longer == pytest.approx(800 / 780, rel=1e-9)


def test_askew_a_place_before_the_plane_is_shifted_by_the_tangent():
    camera = Camera(turn_deg=15, distance_mm=1e6, focal_mm=52e3)  # from afar: one angle everywhere
    plane = by_square(camera.to_px(SQUARE), 100, MIDDLE)
    shift = plane.to_mm(camera.to_px([50.0, 50.0, 30.0])) - [50.0, 50.0]
    np.testing.assert_allclose(np.abs(shift), [30 * np.tan(np.radians(15)), 0], atol=0.01)


@pytest.fixture(scope="module")
def photograph():
    foot = Profile.from_measures(52, 48, 84, 38, 112)
    return drawn_photograph(foot, camera=Camera(turn_deg=12, tilt_deg=6))


def corners_of(photograph):
    return np.array([photograph.points_px[f"square_{number}"] for number in range(1, 5)])


def test_corners_placed_roughly_are_refined_to_a_fraction_of_a_pixel(photograph):
    true = corners_of(photograph)
    rng = np.random.default_rng(3)
    misses = []
    for _ in range(30):
        placed = true + rng.normal(0, 2.0, (4, 2))
        found = refined_corners(photograph.pixels, placed)
        misses.append(np.hypot(*(found - true).T))
    assert np.median(misses) < 0.2
    assert np.quantile(misses, 0.95) < 0.5


def test_where_nothing_is_sharp_corners_stay_as_given(photograph):
    flat = np.full((900, 900, 3), 128, np.uint8)
    noise = np.random.default_rng(4).integers(0, 255, (900, 900, 3), dtype=np.uint8)
    for pixels in (flat, noise):
        np.testing.assert_array_equal(refined_corners(pixels, STRAIGHT), STRAIGHT)
    beside = corners_of(photograph) + np.array([60.0, -40.0])
    np.testing.assert_array_equal(refined_corners(photograph.pixels, beside), beside)
    outside = STRAIGHT - np.array([400.0, 0.0])  # at the rim of the picture
    np.testing.assert_array_equal(refined_corners(flat, outside), outside)
    crossed = STRAIGHT[[0, 2, 1, 3]]
    np.testing.assert_array_equal(refined_corners(flat, crossed), crossed)


@pytest.mark.parametrize(("before", "behind"), [(15, 16), (14, 16), (15, 15)])
def test_a_corner_is_refined_right_up_to_the_rim_of_the_picture(before, behind):
    """A square of 102 px with a white margin of 9 px, before something dark.

    Each corner is looked for within 5 px, in a window of 15 px to either side of its own pixel.
    """
    first, last = before, before + 102
    corners = np.array([[first, last], [last, last], [last, first], [first, first]], float)
    pixels = np.full((last + behind,) * 2 + (3,), 60, np.uint8)
    pixels[first - 9 : last + 9, first - 9 : last + 9] = 230
    pixels[first:last, first:last] = 40
    placed = corners + np.array([[0.4, 0.3], [0.3, 0.4], [0.4, 0.3], [0.3, 0.4]])
    found = refined_corners(pixels, placed)
    for number, corner in enumerate(corners):
        whole = all(
            (before >= 15) if place == first else (behind >= 16) for place in corner.tolist()
        )
        if whole:
            np.testing.assert_allclose(found[number], corner, atol=0.2)
        else:
            np.testing.assert_array_equal(found[number], placed[number])


@pytest.mark.parametrize(("off_px", "found"), [(4.0, True), (9.0, False)])
def test_a_corner_is_looked_for_within_a_twentieth_of_the_shortest_side(off_px, found):
    """Sides of 120 and 400 px: 6 px to either side, so that no neighbour is taken for it."""
    corners = np.array([[90.0, 490.0], [210.0, 490.0], [210.0, 90.0], [90.0, 90.0]])
    pixels = np.full((580, 300, 3), 230, np.uint8)
    pixels[90:490, 90:210] = 40
    placed = corners + np.array([[off_px, 0.0], [off_px, 0.0], [off_px, 0.0], [off_px, 0.0]])
    refined = refined_corners(pixels, placed)
    np.testing.assert_allclose(refined, corners if found else placed, atol=0.2 if found else 0)


def test_the_drawn_square_gives_the_drawn_lengths(photograph):
    plane = by_square(corners_of(photograph), SQUARE_MM, MIDDLE)
    heel, toe = (photograph.points_px[name] for name in ("heel_ground", "toe_ground"))
    assert plane.to_mm(toe)[0] - plane.to_mm(heel)[0] == pytest.approx(112, abs=1e-6)
