"""Budynas R.G., Nisbett J.K., Shigley's Mechanical Engineering Design, chapter 4, columns.

J.B. Johnson's parabola: formula and the point where it meets Euler's curve, at half the yield
stress, read in the book's own page 184 (sections 4-12 and 4-13, Eq. 4-45 and 4-46).
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.columns import johnson_stress_mpa

STEEL = 200e3, 250.0


def test_stocky_steel_column():
    """Slenderness 40: 237.3 MPa (read, to 4 digits)."""
    assert_allclose(johnson_stress_mpa(*STEEL, 40), 237.3, atol=0.05)


def test_intermediate_and_slender_columns():
    """Derived from the parabola at 40, 80, 120 and Euler's curve at 130 and 200."""
    euler = np.pi**2 * 200e3 / np.array([130, 200]) ** 2
    assert_allclose(
        johnson_stress_mpa(*STEEL, [40, 80, 120, 130, 200]),
        [237.335, 199.339, 136.014, *euler],
        rtol=5e-6,
    )


def test_parabola_and_euler_meet_at_half_the_yield_stress_with_equal_slope():
    """Tangency at the transition (read); slopes by central differences on both sides."""
    meet = np.pi * np.sqrt(2 * 200e3 / 250.0)
    assert_allclose(johnson_stress_mpa(*STEEL, meet), 125.0, rtol=1e-12)
    h = 1e-3
    below = np.diff(johnson_stress_mpa(*STEEL, [meet - 2 * h, meet]))[0] / (2 * h)
    above = np.diff(johnson_stress_mpa(*STEEL, [meet, meet + 2 * h]))[0] / (2 * h)
    assert_allclose([below, above], -2 * np.pi**2 * 200e3 / meet**3, rtol=1e-4)
