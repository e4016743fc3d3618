"""What a photograph does not tell of its own taking, against cameras whose place is known.

The long proof draws views with everything askew at once (`test_proof_allowance`); here each source
stands alone, so that a slip in one of them cannot hide behind the others.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from hoofcalc.case.allowance import (
    FOCAL_PART,
    LENS_PART,
    NEARER_MM,
    TILT_DEG,
    TURN_DEG,
    other_readings,
)
from hoofcalc.case.calibration import by_length, by_square
from hoofcalc.case.synthetic.pinhole import Camera

SIZE = (1600, 1200)
MIDDLE = np.array(SIZE) / 2
LENGTH_MM = 200.0
#: In the plane of the foot, to the right and up [mm]: a stick, the ground line, four points.
STICK = np.array([[-90.0, 30.0], [110.0, 30.0]])
GROUND = np.array([[-120.0, 0.0], [140.0, 0.0]])
SQUARE = np.array([[-160.0, 10.0], [-60.0, 10.0], [-60.0, 110.0], [-160.0, 110.0]])
FOOT = np.array([[70.0, 2.0], [35.0, 85.0], [-60.0, 1.0], [-75.0, 40.0]])
NAMES = ("toe_ground", "toe_coronet", "heel_ground", "heel_coronet")
NEAR = (False, False, True, True)
HEEL = np.array(NEAR)
KNOWN = ("scale_1", "scale_2", "level_1", "level_2")
CORNERS = ("a", "b", "c", "d")


def camera(part: float = FOCAL_PART[0], **askew: float) -> Camera:
    """One with the lens of which the picture's longer side is so many times the focal length."""
    return Camera(width_px=SIZE[0], height_px=SIZE[1], focal_mm=36.0 * part, **askew)


def by_stick(taken: Camera):
    """Placed points, how they are read, and the readings of a picture with the stick."""
    at = dict(zip((*KNOWN, *NAMES), taken.to_px(np.vstack([STICK, GROUND, FOOT])), strict=True))

    def read(places):
        ends = [places[name] for name in KNOWN]
        return by_length(ends[:2], LENGTH_MM, ends[2:])

    return at, read, other_readings(at, NAMES, NEAR, read, SIZE, KNOWN)


def by_paper(taken: Camera, nearer_mm: float = 0.0):
    """The same of a picture with the printed square, the heel nearer than toe and square."""
    out = np.concatenate([np.zeros(4), HEEL * nearer_mm])
    places = np.column_stack([np.vstack([SQUARE, FOOT]), out])
    at = dict(zip((*CORNERS, *NAMES), taken.to_px(places), strict=True))

    def read(places):
        return by_square([places[name] for name in CORNERS], 100.0, MIDDLE)

    return at, read, other_readings(at, NAMES, NEAR, read, SIZE, None)


def same_readings(found, wanted) -> None:
    """Each of the readings is one of those wanted, and the other way round."""
    assert len(found) == len(wanted)
    apart = np.abs(np.asarray(found)[:, None] - np.asarray(wanted)[None]).max(axis=(2, 3))
    assert apart.min(axis=0).max() < 1e-6
    assert apart.min(axis=1).max() < 1e-6


def test_each_way_of_knowing_the_size_has_its_sources():
    assert set(by_stick(camera())[2]) == {"lens", "nearer", "heel", "askew"}
    assert set(by_paper(camera())[2]) == {"lens", "nearer", "heel"}  # the square tells a turn


def test_a_lens_moves_the_corners_of_the_picture_and_leaves_its_middle():
    """By the square of the distance from the middle: a corner by the whole part."""
    at = {"a": MIDDLE, "b": np.array(SIZE, dtype=float), "c": MIDDLE + np.array([400.0, 0.0])}
    at |= dict(zip(KNOWN, camera().to_px(np.vstack([STICK, GROUND])), strict=True))
    straight = by_length([[0, 0], [100, 0]], 100.0, [[0, 0], [100, 0]])
    found = other_readings(at, ("a", "b", "c"), (False,) * 3, lambda _: straight, SIZE, KNOWN)
    inward, outward = (reading * [1, -1] - [MIDDLE] + [[50.0, 0.0]] for reading in found["lens"])
    for moved, part in ((inward, -LENS_PART), (outward, LENS_PART)):
        np.testing.assert_allclose(moved[0], 0.0, atol=1e-9)
        np.testing.assert_allclose(moved[1], MIDDLE * (1 + part))
        np.testing.assert_allclose(moved[2], [400.0 * (1 + part * 400**2 / (MIDDLE @ MIDDLE)), 0])


@pytest.mark.parametrize("part", FOCAL_PART)
@pytest.mark.parametrize("readings", [by_stick, by_paper])
def test_a_foot_farther_than_what_tells_the_size_is_larger_by_the_distances(part, readings):
    """A foot 36.5 mm nearer or farther than a stick 750 mm away, with either lens."""
    taken = camera(part)
    at, read, found = readings(taken)
    seen = read(at).to_mm([at[name] for name in NAMES])
    for change in (NEARER_MM, -NEARER_MM):
        wanted = seen * (taken.distance_mm + change) / taken.distance_mm
        # a similarity, whatever place stays where it was
        assert np.ptp(found["nearer"] - wanted, axis=1).max(axis=1).min() < 1e-6
    np.testing.assert_allclose(found["nearer"].mean(axis=0), seen)


@pytest.mark.parametrize("part", FOCAL_PART)
@pytest.mark.parametrize("turn", [0.0, 9.0])
@pytest.mark.parametrize("nearer_mm", [0.0, 27.0, 54.0])
def test_one_reading_puts_a_nearer_heel_where_it_is(part, turn, nearer_mm):
    """With the square, which tells where the camera stands, however it is turned."""
    _, _, found = by_paper(camera(part, turn_deg=turn, tilt_deg=turn / 2), nearer_mm)
    # wherever the square puts zero, it is the same for all points
    apart = np.ptp(found["heel"] - FOOT, axis=1).max(axis=1)
    assert apart.min() < 1e-6


@pytest.mark.parametrize("part", FOCAL_PART)
@pytest.mark.parametrize("nearer_mm", [0.0, 20.0, 40.0])
def test_with_a_stick_the_nearer_heel_is_seen_from_either_side(part, nearer_mm):
    """By similar triangles from a camera that stands so far round to a side."""
    taken = camera(part)
    at, read, found = by_stick(taken)
    seen = read(at).to_mm([at[name] for name in NAMES])
    below = read(at).to_mm(MIDDLE)
    for turn_deg in (-TURN_DEG, TURN_DEG):
        stands = below + np.array([taken.distance_mm * np.tan(np.radians(turn_deg)), 0.0])
        heel = seen + (stands - seen) * nearer_mm / taken.distance_mm
        wanted = np.where(HEEL[:, None], heel, seen)
        assert np.abs(found["heel"] - wanted).max(axis=(1, 2)).min() < 1e-6
    assert len(found["heel"]) == len(FOCAL_PART) * 2 * 3


def test_a_camera_askew_is_one_turned_about_itself_and_read_by_the_stick():
    """Each ray turned by a rotation from elsewhere, each picture read by `by_length`."""
    at, read, found = by_stick(camera())
    pixels = np.array([*at.values()])
    steps = np.array([-1.2815515655, -0.5244005127, 0.0, 0.5244005127, 1.2815515655])
    steps /= np.sqrt(np.mean(steps**2))  # the middles of five equal parts of a normal spread
    wanted = []
    for part, turn, tilt in product(FOCAL_PART, TURN_DEG * steps, TILT_DEG * steps):
        focal = part * max(SIZE)
        rays = np.column_stack([(pixels - MIDDLE) / focal, np.ones(len(pixels))])
        turned = Rotation.from_euler("yx", [turn, tilt], degrees=True).apply(rays)
        there = MIDDLE + focal * turned[:, :2] / turned[:, 2:]
        plane = read(dict(zip(at, there, strict=True)))
        wanted.append(plane.to_mm(there[4:]))
    same_readings(found["askew"], wanted)


def test_the_order_in_which_ends_are_placed_does_not_matter():
    taken = camera(turn_deg=4.0, roll_deg=3.0)
    at, read, found = by_stick(taken)
    other = {**at, "level_1": at["level_2"], "level_2": at["level_1"]}
    other |= {"scale_1": at["scale_2"], "scale_2": at["scale_1"]}
    again = other_readings(other, NAMES, NEAR, read, SIZE, KNOWN)
    for source, readings in found.items():
        np.testing.assert_allclose(again[source], readings, atol=1e-9)
