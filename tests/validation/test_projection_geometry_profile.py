"""Projection of a wall line on a camera that is not square to the foot: plain geometry, derived.

Table for a distant camera and a true angle of 52 degrees, to 0.01 degree: a yawed camera shows
atan(tan a / cos yaw), one that looks down atan(tan a cos phi). The pinhole camera: Hartley R.,
Zisserman A., Multiple View Geometry in Computer Vision, 2nd ed. 2004, chapter 6 (from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from hoofcalc.angles import apparent_slope_deg, perspective_scale
from hoofcalc.profile import Profile, seen_points

FOOT = Profile.from_measures(52, 40, 85, 35, 110)
TABLE = [
    (5, 0.11, -0.11),
    (10, 0.42, -0.43),
    (15, 0.96, -0.97),
    (20, 1.72, -1.74),
    (30, 3.92, -4.06),
]


def seen_by(foot: Profile, **camera) -> Profile:
    """The foot as a photograph shows it."""
    return Profile(**{name: seen_points(at, **camera) for name, at in foot.landmarks.items()})


@pytest.mark.parametrize(("off_deg", "yaw_error", "down_error"), TABLE)
def test_the_table_of_misalignments(off_deg, yaw_error, down_error):
    assert seen_by(FOOT, yaw_deg=off_deg).toe_angle_deg - 52 == pytest.approx(yaw_error, abs=0.006)
    seen = seen_by(FOOT, look_down_deg=off_deg)
    assert seen.toe_angle_deg - 52 == pytest.approx(down_error, abs=0.006)


def test_yaw_steepens_by_the_second_order_formula():
    # error ~ sin(2a) yaw^2/4, the next order is a few per cent at 15 degrees
    photo = seen_by(FOOT, yaw_deg=15)
    for name in ("toe_angle_deg", "heel_angle_deg"):
        true = getattr(FOOT, name)
        second_order = np.degrees(np.sin(2 * np.radians(true)) * np.radians(15) ** 2 / 4)
        assert getattr(photo, name) - true == pytest.approx(second_order, rel=0.06)


@pytest.mark.parametrize("yaw", [-25.0, 0.0, 12.0])
@pytest.mark.parametrize("down", [-5.0, 0.0, 15.0])
def test_the_profile_and_the_plain_angle_agree(yaw, down):
    ground = apparent_slope_deg(0, yaw, down)
    wall = apparent_slope_deg(52, yaw, down)
    photo = seen_by(FOOT, yaw_deg=yaw, look_down_deg=down)
    assert photo.toe_angle_deg == pytest.approx(wall - ground)


def test_a_camera_built_from_rotations_takes_the_same_picture():
    # an independent pinhole: scipy rotations of world points into camera axes
    yaw, down, roll, distance, aim = 20.0, 10.0, 4.0, 800.0, np.array([50.0, 30.0])
    photo = seen_by(
        FOOT, yaw_deg=yaw, look_down_deg=down, roll_deg=roll, distance_mm=distance, aim_mm=aim
    )
    into_camera = Rotation.from_euler("x", down, degrees=True) * Rotation.from_euler(
        "z", -yaw, degrees=True
    )
    turn = Rotation.from_euler("z", roll, degrees=True).as_matrix()[:2, :2]
    for name, at in FOOT.landmarks.items():
        right, ahead, up = into_camera.apply([at[0] - aim[0], 0.0, at[1] - aim[1]])
        picture = turn @ np.array([right, up]) * distance / (distance + ahead)
        assert getattr(photo, name) == pytest.approx(aim + picture)


def test_a_scale_bar_two_centimetres_nearer_at_one_metre():
    # lengths come out too short by d/D: 2 cm at 1 m is 2 %; angles are unaffected
    error = perspective_scale(980, 20) - 1
    assert error == pytest.approx(-0.02)
    photo = seen_by(FOOT, scale_error=error)
    assert photo.toe_length_mm / FOOT.toe_length_mm == pytest.approx(0.98)
    assert photo.toe_angle_deg == pytest.approx(52)
