"""Taylor J.R., An Introduction to Error Analysis, 2nd ed., University Science Books 1997,
chapter 3 (propagation of independent errors; the rules read in a text that quotes pages 77-79).

First-order errors of angles, derived, beside drawn samples (seeded): 1 % for 200 000
draws, plus what the second order adds where said.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hoofcalc.angles import between_error_deg, slope_error_deg

DRAWS = 200_000


def direction(points):
    d = points[..., -1, :] - points[..., 0, :]
    return np.degrees(np.arctan2(d[..., 1], d[..., 0]))


def shaken(points, error, seed):
    rng = np.random.default_rng(seed)
    return np.asarray(points, float) + rng.normal(0, error, (DRAWS, *np.shape(points)))


@pytest.mark.parametrize(
    ("length", "degrees", "off"), [(100, 0.81028, 0.01), (20, 4.0514, 0.01), (10, 8.103, 0.02)]
)
def test_line_between_two_points(length, degrees, off):
    """Error 1 mm on 100, 20, 10 mm: 0.81028, 4.0514, 8.103 degrees (derived)."""
    assert_allclose(slope_error_deg(1, length), degrees, rtol=1e-4)
    drawn = direction(shaken([(0, 0), (length, 0)], 1.0, 1)).std()
    assert_allclose(drawn, slope_error_deg(1, length), rtol=off)


def test_a_fifth_of_the_length_is_where_it_is_six_per_cent_off():
    drawn = direction(shaken([(0, 0), (5, 0)], 1.0, 2)).std()
    assert 1.03 < drawn / slope_error_deg(1, 5) < 1.06


def test_two_separate_lines():
    """Lengths 80 and 60 mm, error 0.5 mm: 0.84405 degrees (derived)."""
    assert_allclose(between_error_deg(0.5, 80, 60), 0.84405, atol=5e-6)
    a = direction(shaken([(0, 0), (80, 0)], 0.5, 3))
    b = direction(shaken([(0, 0), (0, 60)], 0.5, 4))
    assert_allclose((b - a).std(), between_error_deg(0.5, 80, 60), rtol=0.01)
