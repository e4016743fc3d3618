"""What must hold for every foot and every camera."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.profile import MEASURES, Profile, error_of, line_angle_deg, seen_points

QUICK = settings(max_examples=settings().max_examples // 2)


@st.composite
def feet(draw):
    toe = draw(st.floats(40, 75))
    heel = draw(st.floats(20, 90))
    toe_length = draw(st.floats(60, 100))
    heel_length = draw(st.floats(10, 40))
    return Profile.from_measures(toe, heel, toe_length, heel_length, draw(st.floats(100, 150)))


def measures(foot):
    return {name: getattr(foot, name) for name in MEASURES}


@QUICK
@given(feet(), st.floats(-500, 500), st.floats(-500, 500), st.floats(-30, 30), st.floats(0.2, 5))
def test_moving_turning_and_enlarging_a_foot(foot, right, up, turn_deg, size):
    angle = np.radians(turn_deg)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    moved = Profile(
        **{name: size * (turn @ at) + (right, up) for name, at in foot.landmarks.items()}
    )
    for name, value in measures(foot).items():
        expected = value * size if name.endswith("_mm") else value
        assert getattr(moved, name) == pytest.approx(expected, rel=1e-8, abs=1e-7)
    assert moved.bearing_tilt_deg == pytest.approx(turn_deg, abs=1e-7)


@QUICK
@given(feet())
def test_a_mirrored_foot_read_as_facing_left(foot):
    flipped = {name: at * (-1.0, 1.0) for name, at in foot.landmarks.items()}
    assert measures(Profile.from_points(facing="left", **flipped)) == measures(foot)


@QUICK
@given(feet())
def test_measures_agree_with_each_other(foot):
    assert foot.angle_gap_deg == pytest.approx(foot.toe_angle_deg - foot.heel_angle_deg)
    height = foot.toe_length_mm * np.sin(np.radians(foot.toe_angle_deg))
    assert foot.toe_height_mm == pytest.approx(height)
    run = foot.heel_length_mm * np.cos(np.radians(foot.heel_angle_deg))
    assert foot.heel_overhang_mm == pytest.approx(run, abs=1e-9)
    fall = foot.toe_height_mm - foot.heel_height_mm
    # of a level hairline neither sign is sure
    assert abs(fall) < 1e-9 or np.sign(foot.coronet_angle_deg) == np.sign(fall)
    again = Profile.from_measures(
        foot.toe_angle_deg,
        foot.heel_angle_deg,
        foot.toe_length_mm,
        foot.heel_length_mm,
        foot.bearing_length_mm,
    )
    assert measures(again) == pytest.approx(measures(foot))


@QUICK
@given(
    feet(),
    st.floats(-40, 40),
    st.floats(-40, 40),
    st.floats(-30, 30),
    st.floats(-0.3, 0.3),
    st.one_of(st.none(), st.floats(600, 5000)),
)
def test_a_photograph_keeps_the_cross_ratio_along_a_wall(foot, yaw, down, roll, scale, distance):
    """What a pinhole keeps of four points on a line: (ac x bd) / (bc x ad)."""
    camera = {
        "yaw_deg": yaw,
        "look_down_deg": down,
        "roll_deg": roll,
        "scale_error": scale,
        "distance_mm": distance,
        "aim_mm": (55.0, 30.0),
    }
    wall = np.linspace(foot.toe_ground, foot.toe_coronet, 5)[[0, 1, 2, 4]]
    a, b, c, d = seen_points(wall, **camera)

    def length(one, other):
        return np.hypot(*(other - one))

    ratio = length(a, c) * length(b, d) / (length(b, c) * length(a, d))
    assert ratio == pytest.approx(2 * 3 / (1 * 4), rel=1e-9)


@QUICK
@given(feet(), st.floats(0.0, 2.0), st.floats(1.0, 3.0))
def test_errors_grow_in_proportion_to_the_points(foot, point_error, times):
    for name in ("toe_angle_deg", "heel_length_mm", "height_ratio"):
        one = error_of(foot, name, point_error)
        assert error_of(foot, name, times * point_error) == pytest.approx(times * one)


@QUICK
@given(feet(), st.floats(0, 1), st.floats(0, 1))
def test_lines_turn_one_way_from_toe_to_heel(foot, one, other):
    early, late = sorted((one, other))
    turn = line_angle_deg(foot, late) - line_angle_deg(foot, early)
    assert turn * (foot.heel_angle_deg - foot.toe_angle_deg) >= -1e-9
