"""Ragan D.M., Structural Geology: An Introduction to Geometrical Techniques, apparent dip.

tan(apparent) = tan(true) sin(angle from strike): form read. It holds for a PLANE cut
by a turned section, and is the trap of opposite sign for a LINE seen by a turned
camera.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.angles import apparent_slope_deg


def apparent_dip_deg(dip_deg, from_strike_deg):
    """The dip of a plane in a vertical section, by intersecting the two planes."""
    dip, b = np.radians(dip_deg), np.radians(from_strike_deg)
    plane = np.array([0.0, np.sin(dip), np.cos(dip)])  # strike along x, dips towards y
    section = np.array([-np.sin(b), np.cos(b), 0.0])
    line = np.cross(plane, section)
    return np.degrees(np.arctan2(abs(line[2]), np.hypot(line[0], line[1])))


def test_the_geologists_rule_itself():
    """Derived from the form: dip 50 at 80, 70, 60, 45 degrees from strike; 30/45; 60/30."""
    cases = [(50, 80, 49.5675), (50, 70, 48.2367), (50, 60, 45.9047), (50, 45, 40.1207)]
    cases += [(30, 45, 22.2077), (60, 30, 40.8934)]
    for dip, b, apparent in cases:
        rule = np.degrees(np.arctan(np.tan(np.radians(dip)) * np.sin(np.radians(b))))
        assert_allclose([rule, apparent_dip_deg(dip, b)], apparent, atol=5e-5)


def test_the_camera_errs_the_other_way():
    """A section turned by 10 degrees flattens a 50 degree plane; the camera steepens a line."""
    assert apparent_dip_deg(50, 90 - 10) < 50 < apparent_slope_deg(50, 10)


def test_line_of_50_degrees_before_a_turned_camera():
    """tan(apparent) = tan(true)/cos(yaw) (derived): the excess at 5 to 30 degrees of yaw."""
    yaw = np.array([5, 10, 15, 20, 30])
    excess = apparent_slope_deg(50, yaw) - 50
    assert_allclose(excess, [0.1075, 0.4313, 0.9750, 1.7444, 3.9948], atol=5e-5)
    second_order = np.degrees(np.sin(np.radians(100)) * np.radians(yaw) ** 2 / 4)
    assert_allclose(excess[:4], second_order[:4], rtol=0.016)
