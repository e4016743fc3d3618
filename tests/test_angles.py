"""Angles: what they mean, what they refuse, and that arrays and numbers agree."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from hoofcalc.angles import (
    apparent_slope_deg,
    between_deg,
    between_error_deg,
    perspective_scale,
    slope_deg,
    slope_error_deg,
    true_slope_deg,
)
from hoofcalc.profile import Profile


@pytest.mark.parametrize(
    ("end", "slope"),
    [
        ((10, 0), 0),
        ((-10, 0), 0),
        ((0, 10), 90),
        ((0, -10), -90),
        ((10, 10), 135),
        ((-10, 10), 45),
        ((10, -10), -45),
        ((-10, -10), -135),
        ((-30, 40), 53.130102),
        ((10, 40), 104.036243),
    ],
)
def test_slope_is_measured_from_the_ground_at_the_back_of_the_line(end, slope):
    assert_allclose(slope_deg((0, 0), end), slope, rtol=1e-8)
    assert type(slope_deg((0, 0), end)) is float


def test_slope_depends_on_the_line_not_on_where_it_lies():
    assert_allclose(slope_deg((7, -3), (7 - 30, -3 + 40)), slope_deg((0, 0), (-30, 40)))


def test_slopes_of_many_lines_from_one_point():
    ends = np.array([[[3, 4], [-3, 4]], [[1, 0], [0, 2]]])
    assert_allclose(slope_deg((0, 0), ends), [[126.8699, 53.1301], [0, 90]], atol=1e-4)


@pytest.mark.parametrize("lean", [-30, -10, 0, 14, 40, 75])
def test_slope_and_profile_have_one_convention(lean):
    """A wall past upright is more than 90 in both (104 was folded to 76 once)."""
    up = np.array([np.sin(np.radians(lean)), np.cos(np.radians(lean))])
    toe, heel = np.array([100.0, 0.0]), np.array([0.0, 0.0])
    foot = Profile(
        toe_ground=toe,
        toe_coronet=toe + 80 * up,
        heel_ground=heel,
        heel_coronet=heel + 40 * up,
    )
    slope = slope_deg(foot.toe_ground, foot.toe_coronet)
    assert slope == pytest.approx(90 + lean)
    assert slope == pytest.approx(foot.toe_angle_deg)
    assert slope_deg(foot.heel_ground, foot.heel_coronet) == pytest.approx(foot.heel_angle_deg)
    # and the view of a camera keeps it on the same side of upright
    assert (apparent_slope_deg(slope, 20) > 90) == (lean > 0)


def test_a_point_is_not_a_line():
    with pytest.raises(ValueError, match=r"two different points \(both are \(3, 4\)\)$"):
        slope_deg((3, 4), (3, 4))
    with pytest.raises(ValueError, match=r"both are \(3, 4\)\), at index 1"):
        slope_deg((3, 4), [(0, 0), (3, 4)])


def test_points_of_the_wrong_kind_are_refused_by_name():
    with pytest.raises(ValueError, match="end must hold 2 coordinates"):
        slope_deg((0, 0), (1, 2, 3))
    with pytest.raises(ValueError, match="start must be a number"):
        slope_deg("here", (1, 2))
    with pytest.raises(ValueError, match="shapes do not go together: start"):
        slope_deg(np.zeros((3, 2)), np.ones((2, 2)))


def test_between_does_not_care_about_length():
    assert_allclose(between_deg((1, 0), (0, 50)), 90, rtol=1e-14)
    assert_allclose(between_deg((1e-3, 0, 0), (1e6, 1e6, 0)), 45, rtol=1e-14)
    assert between_deg((2, 5), (2, 5)) == 0
    assert_array_equal(between_deg([(1, 0), (0, 1)], (1, 0)), [0, 90])


def test_between_refuses_what_has_no_direction():
    with pytest.raises(ValueError, match="u must have a length above 0"):
        between_deg((0, 0), (1, 0))
    with pytest.raises(ValueError, match=r"v must have a length above 0 .* at index 1"):
        between_deg((1, 0, 0), [(1, 0, 0), (0, 0, 0)])
    with pytest.raises(ValueError, match="v must hold 3 coordinates"):
        between_deg((1, 0, 0), (1, 0))
    with pytest.raises(ValueError, match="u must hold 2 coordinates"):
        between_deg((1, 0, 0, 0), (1, 0))
    with pytest.raises(ValueError, match="u must hold 2 coordinates"):
        between_deg(1.0, (1, 0))
    with pytest.raises(ValueError, match="shapes do not go together: u"):
        between_deg(np.ones((3, 2)), np.ones((2, 2)))


def test_yaw_steepens_and_looking_down_flattens():
    assert apparent_slope_deg(50, 15) > 50 > apparent_slope_deg(50, 0, 15)
    assert_allclose(np.tan(np.radians(apparent_slope_deg(50, 0, 15))),
                    np.tan(np.radians(50)) * np.cos(np.radians(15)))  # fmt: skip
    assert apparent_slope_deg(50, 0) == pytest.approx(50)


def test_flat_and_upright_lines_stay_so_before_a_level_camera():
    assert_allclose(apparent_slope_deg([0, 90, 180], 40), [0, 90, 180], atol=1e-12)
    assert_allclose(true_slope_deg([0, 90, 180], 40), [0, 90, 180], atol=1e-12)


def test_a_camera_towards_the_toe_and_looking_down_tilts_the_ground_line():
    """tan(ground) = tan(yaw) sin(look down); from the heel side it tilts the other way."""
    ground = apparent_slope_deg(0, [20, -20], 10)
    expected = np.degrees(np.arctan(np.tan(np.radians(20)) * np.sin(np.radians(10))))
    assert_allclose(ground, [expected, -expected], rtol=1e-12)


def test_a_picture_by_rotation_matrices_shows_the_same_slope():
    """Camera frame built by turning: picture's right, picture's up."""
    for slope, yaw, down in [(50, 12, 0), (50, -12, 8), (110, 25, -5), (-20, 5, 40)]:
        d, y, p = np.radians([slope, yaw, down])
        line = np.array([-np.cos(d), 0, np.sin(d)])  # x forward, y left, z up; leaning back
        ahead = -np.array([np.sin(y), np.cos(y), 0])  # from the horse's left, towards the foot
        ahead = np.cos(p) * ahead - np.sin(p) * np.array([0, 0, 1])
        right = np.cross(ahead, [0, 0, 1])
        right /= np.linalg.norm(right)
        up = np.cross(right, ahead)
        seen = np.degrees(np.arctan2(line @ up, line @ right))
        assert_allclose(apparent_slope_deg(slope, yaw, down), seen, atol=1e-10)


@pytest.mark.parametrize("function", [apparent_slope_deg, true_slope_deg])
def test_views_that_show_nothing_are_refused(function):
    with pytest.raises(ValueError, match="yaw_deg must be above -90 and below 90"):
        function(50, 90)
    with pytest.raises(ValueError, match="look_down_deg must be above -90 and below 90"):
        function(50, 0, -90)
    with pytest.raises(ValueError, match="_deg must be between -180 and 180"):
        function(181, 0)
    with pytest.raises(ValueError, match="shapes do not go together"):
        function(np.ones(2), np.ones(3))
    name = "true_deg" if function is apparent_slope_deg else "apparent_deg"
    with pytest.raises(ValueError, match=f"{name} must be finite"):
        function(np.nan, 0)


def test_a_camera_looks_level_unless_it_is_said():
    assert apparent_slope_deg(50, 20) == apparent_slope_deg(50, 20, look_down_deg=0)
    assert true_slope_deg(50, 20) == true_slope_deg(50, 20, look_down_deg=0)


def test_slopes_go_half_a_turn_to_each_side():
    for function in (apparent_slope_deg, true_slope_deg):
        assert_allclose(function([-180.0, 180.0], 0), [-180.0, 180.0])
        for beyond in (-180.5, 180.5):
            with pytest.raises(ValueError, match="between -180 and 180"):
                function(beyond, 0)


def test_errors_refuse_points_too_close_for_them():
    assert slope_error_deg(0, 100) == 0
    assert slope_error_deg(20, 100) > 0
    with pytest.raises(
        ValueError, match=r"^point_error_mm must be at most a fifth .* \(got 21 on 100 mm\)$"
    ):
        slope_error_deg(21, 100)
    with pytest.raises(ValueError, match=r"got 1 on 4 mm\), at index 2"):
        slope_error_deg(1, [100, 5, 4])
    with pytest.raises(ValueError, match="at most a fifth"):
        between_error_deg(1, 4, 100)
    with pytest.raises(ValueError, match="at most a fifth"):
        between_error_deg(1, 100, 4)


def test_errors_refuse_what_they_cannot_mean():
    with pytest.raises(ValueError, match="point_error_mm must be at least 0"):
        slope_error_deg(-1, 100)
    with pytest.raises(ValueError, match="length_mm must be above 0"):
        slope_error_deg(1, 0)
    with pytest.raises(ValueError, match=r"point_error_mm \(2,\), length_mm \(3,\)"):
        slope_error_deg(np.ones(2), np.full(3, 100))
    with pytest.raises(ValueError, match="point_error_mm must be at least 0"):
        between_error_deg(-1, 80, 60)
    with pytest.raises(ValueError, match="first_mm must be above 0"):
        between_error_deg(1, 0, 60)
    with pytest.raises(ValueError, match="second_mm must be above 0"):
        between_error_deg(1, 80, 0)
    with pytest.raises(ValueError, match="shapes do not go together"):
        between_error_deg(1, [80, 80], [60, 60, 60])


def test_scale_of_things_off_the_plane():
    assert perspective_scale(1500, 0) == 1
    assert perspective_scale(1500, [-30, 30])[0] > 1 > perspective_scale(1500, 30)
    with pytest.raises(ValueError, match=r"behind_mm must be above -100, .* \(got -100\)$"):
        perspective_scale(100, -100)
    with pytest.raises(ValueError, match="distance_mm must be above 0"):
        perspective_scale(0, 10)
    with pytest.raises(ValueError, match="behind_mm must be finite"):
        perspective_scale(1500, np.inf)
    with pytest.raises(ValueError, match="shapes do not go together"):
        perspective_scale([1, 2], [1, 2, 3])


def test_results_are_numbers_for_numbers_and_new_arrays_for_arrays():
    ones = np.full(3, 10.0)
    for scalar, array in [
        (between_deg((1, 0), (1, 1)), between_deg(np.ones((3, 2)), (1, 0))),
        (apparent_slope_deg(50, 10), apparent_slope_deg(ones, 0)),
        (true_slope_deg(50, 10), true_slope_deg(ones, 0)),
        (slope_error_deg(1, 100), slope_error_deg(1, ones)),
        (between_error_deg(1, 100, 100), between_error_deg(1, ones, ones)),
        (perspective_scale(100, 1), perspective_scale(ones, 0)),
    ]:
        assert type(scalar) is float
        assert array.shape == (3,)
        assert not np.shares_memory(array, ones)
