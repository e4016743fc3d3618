"""What must hold for every line, view and error."""

from __future__ import annotations

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from hoofcalc.angles import (
    apparent_slope_deg,
    between_deg,
    between_error_deg,
    perspective_scale,
    slope_deg,
    slope_error_deg,
    true_slope_deg,
)

length = st.floats(-1e3, 1e3).map(lambda x: round(x, 6))
point = st.tuples(length, length)
vector = st.tuples(length, length, length)


def real(v):
    return np.linalg.norm(v) > 1e-3


@given(point, point)
def test_slope_turns_its_sign_with_the_line_and_goes_past_upright_in_the_mirror(a, b):
    assume(real(np.subtract(a, b)))
    slope = slope_deg(a, b)
    assert -180 < slope < 180
    assert np.sign(slope) == np.sign(b[1] - a[1])
    assert_allclose(slope_deg(b, a), -slope, atol=1e-9)
    mirrored = slope_deg((-a[0], a[1]), (-b[0], b[1]))
    assert_allclose(abs(mirrored), 180 - abs(slope) if slope else 0, atol=1e-9)


@given(vector, vector, st.floats(0.01, 100), st.floats(-180, 180))
def test_between_is_even_handed_blind_to_length_and_to_turning(u, v, size, turn):
    assume(real(u) and real(v))
    angle = between_deg(u, v)
    assert 0 <= angle <= 180
    assert_allclose(between_deg(v, u), angle, atol=1e-9)
    assert_allclose(between_deg(np.multiply(u, size), v), angle, atol=1e-7)
    assert_allclose(between_deg(np.negative(u), v), 180 - angle, atol=1e-7)
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    about_z = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    assert_allclose(between_deg(about_z @ u, about_z @ v), angle, atol=1e-6)


@given(st.floats(1, 179), st.floats(-80, 80), st.floats(-60, 60))
def test_true_and_apparent_slopes_undo_each_other(slope, yaw, down):
    seen = apparent_slope_deg(slope, yaw, down)
    assert_allclose(true_slope_deg(seen, yaw, down), slope, atol=1e-7)


@given(st.floats(1, 179), st.floats(1, 80))
def test_yaw_moves_every_leaning_line_towards_upright(slope, yaw):
    seen = apparent_slope_deg(slope, yaw)
    assert abs(seen - 90) <= abs(slope - 90) + 1e-9
    assert_allclose(apparent_slope_deg(slope, -yaw), seen, atol=1e-9)
    assert_allclose(apparent_slope_deg(180 - slope, yaw), 180 - seen, atol=1e-9)
    assert_allclose(apparent_slope_deg(-slope, yaw), -seen, atol=1e-9)
    assert apparent_slope_deg(slope, 0, yaw) <= slope + 1e-9 or slope > 90


@given(st.floats(0.01, 1), st.floats(10, 200), st.floats(10, 200))
def test_errors_scale_with_the_points_and_fall_with_length(error, one, two):
    assert_allclose(slope_error_deg(2 * error, 2 * one), slope_error_deg(error, one))
    assert_allclose(slope_error_deg(2 * error, one), 2 * slope_error_deg(error, one))
    assert slope_error_deg(error, 2 * one) < slope_error_deg(error, one)
    both = between_error_deg(error, one, two)
    assert_allclose(both**2, slope_error_deg(error, one) ** 2 + slope_error_deg(error, two) ** 2)
    assert_allclose(both, between_error_deg(error, two, one))


@given(st.floats(100, 5000), st.floats(-90, 5000))
def test_scale_is_one_in_the_plane_and_falls_behind_it(distance, behind):
    scale = perspective_scale(distance, behind)
    assert_allclose((scale - 1) * (distance + behind), -behind, atol=1e-6)


@given(st.lists(st.tuples(st.floats(1, 179), st.floats(-80, 80)), min_size=2, max_size=6))
def test_arrays_give_what_single_numbers_give(rows):
    slope, yaw = np.array(rows).T
    for function in (apparent_slope_deg, true_slope_deg):
        each = [[function(a, b) for b in yaw] for a in slope]
        assert_allclose(function(slope[:, np.newaxis], yaw), each, rtol=1e-12)
