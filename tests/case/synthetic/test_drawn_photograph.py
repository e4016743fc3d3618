"""A drawn photograph shows things where it says that they are."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofcalc import datasets
from hoofcalc.case.synthetic.drawn_photograph import (
    SQUARE_MM,
    STICK_MM,
    Camera,
    drawn_photograph,
    true_points,
)
from hoofcalc.case.target import found_target
from hoofcalc.profile import Profile

FOOT = Profile.from_measures(52, 40, 85, 35, 110)
FRONT = datasets.front_view("Otterby", "right fore", 5)
SQUARE_ON = Camera(width_px=1200, height_px=900)
ASKEW = Camera(
    width_px=1200, height_px=900, turn_deg=17.0, tilt_deg=9.0, roll_deg=-4.0, distance_mm=700.0
)


def edge_beside(pixels, start, end, part, reach=9.0, share=0.15):
    """How far the edge lies beside the line from start to end, at a part of it [px].

    Read off one line of grey values square to it (averaged along it), by the place where they
    cross the middle between the two sides: known of any even blur to be the edge.
    """
    grey = pixels.mean(axis=2)
    way = (end - start) / np.linalg.norm(end - start)
    square = np.array([-way[1], way[0]])
    steps = np.arange(-reach, reach + 0.01, 0.1)
    along = share * np.linalg.norm(end - start) * np.linspace(-1, 1, 101)
    spots = start + part * (end - start) + along[:, None, None] * way + steps[:, None] * square
    at = spots.reshape(-1, 2) - 0.5  # a pixel's value stands for its middle
    found = cv2.remap(
        grey.astype(np.float32), at.astype(np.float32)[:, None], None, cv2.INTER_CUBIC
    )
    values = found.reshape(len(along), len(steps)).mean(axis=0)
    level = (values[:20].mean() + values[-20:].mean()) / 2
    sign = np.sign(values - level)
    crossing = np.flatnonzero(np.diff(sign) != 0)
    nearest = crossing[np.argmin(np.abs(steps[crossing]))]
    rise = values[nearest + 1] - values[nearest]
    return steps[nearest] + 0.1 * (level - values[nearest]) / rise


@pytest.mark.parametrize(
    ("camera", "facing"), [(SQUARE_ON, "right"), (ASKEW, "left")], ids=["square on", "askew"]
)
def test_edges_lie_where_the_truth_says(camera, facing):
    """Square, stick and toe wall, found in the picture within a fifth of a pixel."""
    # ground and horn are speckled, each time otherwise: their mean is smooth
    several = [
        drawn_photograph(
            FOOT, "side", camera, np.random.default_rng(seed), facing=facing, noise=1.0, blur_px=0.7
        )
        for seed in range(6)
    ]
    photograph = several[0]
    pixels = np.mean([each.pixels for each in several], axis=0)
    at = photograph.points_px
    lines = {
        "square, lower": ("square_1", "square_2"),
        "square, right": ("square_2", "square_3"),
        "square, upper": ("square_3", "square_4"),
        "square, left": ("square_4", "square_1"),
    }
    for called, (start, end) in lines.items():
        off = [edge_beside(pixels, at[start], at[end], part) for part in (0.3, 0.5, 0.7)]
        assert np.abs(off).max() < 0.2, (called, off)
    toe = edge_beside(pixels, at["toe_ground"], at["toe_coronet"], 0.5, reach=5.0, share=0.4)
    assert abs(toe) < 0.2
    # the stick is 10 mm wide: a little less beside its middle, on either side
    up, down = (
        photograph.camera.to_px(photograph.points_mm[f"scale_{end}"] + [[-4, 0], [4, 0]])
        for end in ("end", "start")
    )
    for ends in (up, down):
        assert abs(edge_beside(pixels, *ends, 0.5, reach=6.0, share=0.4)) < 0.2


@given(
    turn=st.floats(-60, 60),
    tilt=st.floats(-40, 60),
    roll=st.floats(-180, 180),
    distance=st.floats(300, 4000),
    focal=st.floats(20, 120),
)
def test_the_camera_is_that_of_opencv(turn, tilt, roll, distance, focal):
    """`cv2.projectPoints`, given the same camera by its own conventions, puts points there too."""
    camera = Camera(
        turn_deg=turn,
        tilt_deg=tilt,
        roll_deg=roll,
        distance_mm=distance,
        focal_mm=focal,
        middle_mm=(30.0, 80.0),
    )
    places = np.array([[0, 0, 0], [110, 0, 0], [58, 67, 0], [-25, 24, 60], [40, 90, -150.0]])

    def about(axis, degrees):
        return cv2.Rodrigues(np.radians(degrees) * np.array(axis, dtype=float))[0]

    # OpenCV: right, down, away. The world is turned against the camera, first about the upright.
    upside_down = np.diag([1.0, -1.0, -1.0])
    turned = about([0, 0, 1], -roll) @ about([1, 0, 0], tilt) @ about([0, 1, 0], turn)
    rotation = turned @ upside_down
    shift = np.array([0, 0, distance]) - rotation @ [30.0, 80.0, 0.0]
    inner = np.array([[camera.focal_px, 0, 800], [0, camera.focal_px, 600], [0, 0, 1.0]])
    theirs = cv2.projectPoints(places, cv2.Rodrigues(rotation)[0], shift, inner, None)[0][:, 0]
    np.testing.assert_allclose(
        camera.to_px(places), theirs, atol=0.02
    )  # its rotations lose digits near 180


def test_the_camera_stands_where_it_is_said():
    """Turned to the right and looking down, it sees the right end larger and the ground higher."""
    camera = Camera(turn_deg=25.0, middle_mm=(0.0, 0.0))
    left, right = (camera.to_px([[x, -50], [x, 50]]) for x in (-100.0, 100.0))
    assert np.ptp(right[:, 1]) > np.ptp(left[:, 1])
    down = Camera(tilt_deg=30.0, middle_mm=(0.0, 0.0)).to_px([[0.0, 0, 0], [0, 0, -100.0]])
    assert down[1, 1] < down[0, 1]
    with pytest.raises(ValueError, match="before the camera"):
        camera.to_px([0.0, 0.0, 2000.0])


def test_the_square_is_the_one_that_is_printed_and_finds_itself():
    photograph = drawn_photograph(FOOT, camera=ASKEW)
    found = found_target(photograph.pixels)
    assert (found.side_mm, found.markers) == (SQUARE_MM, 4)
    true = np.array([photograph.points_px[f"square_{number}"] for number in range(1, 5)])
    assert np.abs(found.corners_px - true).max() < 0.3


@pytest.mark.parametrize("facing", ["right", "left"])
def test_the_true_points_are_the_foot(facing):
    at = true_points(FOOT, facing=facing)
    again = Profile.from_points(facing=facing, **{name: at[name] for name in FOOT.landmarks})
    assert again.toe_angle_deg == pytest.approx(52)
    assert again.heel_angle_deg == pytest.approx(40)
    assert np.linalg.norm(at["scale_end"] - at["scale_start"]) == pytest.approx(STICK_MM)
    square = np.array([at[f"square_{number}"] for number in range(1, 5)])
    assert np.linalg.norm(square - np.roll(square, -1, axis=0), axis=1) == pytest.approx(SQUARE_MM)
    assert at["level_start"][1] == at["level_end"][1] == 0
    assert at["level_start"][0] < at["level_end"][0]
    # the traced lines lie on the wall, and steepen from heel to toe as the model says
    steep = []
    for region in ("toe", "quarter", "heel"):
        low, high = at[f"{region}_line_low"], at[f"{region}_line_high"]
        steep.append(np.degrees(np.arctan2(high[1] - low[1], abs(high[0] - low[0]))))
    assert 52 > steep[0] > steep[1] > steep[2] > 40


def test_all_three_views_hold_the_points_that_are_placed_and_say_that_they_are_invented():
    wanted = {
        "side": {"toe_ground", "toe_coronet", "heel_ground", "heel_coronet", "level_start"},
        "front": {"inner_coronet", "inner_ground", "outer_coronet", "outer_ground", "level_end"},
        "below": {"middle_heel", "middle_toe", "edge_01", "edge_23"},
    }
    small = Camera(width_px=480, height_px=360)
    for view, names in wanted.items():
        once, again = (
            drawn_photograph(FOOT, view, small, np.random.default_rng(2), front_mm=FRONT)
            for _ in range(2)
        )
        assert names | {"scale_start", "square_4"} <= set(once.points_px)
        assert all(np.all((at > 0) & (at < [480, 360])) for at in once.points_px.values())
        np.testing.assert_array_equal(once.pixels, again.pixels)
        assert once.pixels.shape == (360, 480, 3)
        corner = once.pixels[-25:, :90].astype(int).sum(axis=2)
        assert corner.max() > 650  # the word, light on dark
        assert corner.min() < 150
    inner = true_points(FOOT, "front", inner="right", front_mm=FRONT)
    assert inner["inner_ground"][0] > 0 > inner["outer_ground"][0]
