"""Kahan W., How Futile are Mindless Assessments of Roundoff in Floating-Point Computation?,
2006: the angle between two vectors without loss of digits (title and abstract read). That
he gives "a uniformly accurate arctan(...) formula for the angle between two vectors": read in the
contents of his Computing Cross-Products and Rotations in 2- and 3-Dimensional Euclidean Spaces,
section 13.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hoofcalc.angles import between_deg


@pytest.mark.parametrize("angle", [1e-9, 1e-5, 1.0, np.pi - 1e-5, np.pi - 1e-9])
def test_small_and_nearly_opposite_angles_keep_their_digits(angle):
    """The arc cosine gives 0 and pi at the ends; 1e-6 leaves room for the rounded input."""
    got = np.radians(between_deg((1.0, 0.0), (np.cos(angle), np.sin(angle))))
    assert_allclose(min(got, np.pi - got), min(angle, np.pi - angle), rtol=1e-6)
    if angle < 1e-8:
        assert np.arccos(np.cos(angle)) == 0


def test_sixty_degrees_in_space():
    """(1, 2, 3) and (3, -1, 2): cosine 7/14 (derived)."""
    assert_allclose(between_deg((1, 2, 3), (3, -1, 2)), 60.0, rtol=1e-14)


def test_against_cross_and_dot_product():
    rng = np.random.default_rng(7)
    u, v = rng.normal(size=(2, 500, 3))
    other = np.arctan2(np.linalg.norm(np.cross(u, v), axis=1), (u * v).sum(axis=1))
    assert_allclose(between_deg(u, v), np.degrees(other), rtol=1e-10)
