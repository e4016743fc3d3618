"""Hartley R., Zisserman A., Multiple View Geometry in Computer Vision, 2nd ed., Cambridge
2004, chapter 6: the pinhole camera.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.angles import perspective_scale


def test_thing_behind_and_before_the_scale_bar():
    """Distance 1500 mm, 30 mm behind and before: -1.961 % and +2.041 % (derived)."""
    off = 100 * (perspective_scale(1500, np.array([30, -30])) - 1)
    assert_allclose(off, [-1.961, 2.041], atol=5e-4)


def test_projection_by_a_camera_matrix():
    """The image of a 10 mm length through P = [I | 0] at depth 1500 and 1580 mm."""

    def image(x, depth):
        h = np.array([[1.0, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 0]]) @ [x, 0, depth, 1]
        return h[0] / h[2]

    seen = (image(10, 1580) - image(0, 1580)) / (image(10, 1500) - image(0, 1500))
    assert_allclose(perspective_scale(1500, 80), seen, rtol=1e-12)
