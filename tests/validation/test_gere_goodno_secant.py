"""Gere J.M., Goodno B.J., Mechanics of Materials, chapter 11: the secant formula.

Formula read; numbers derived.
"""

from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from hoofcalc.columns import euler_load_n, secant_peak_stress_mpa, tube_section


@pytest.mark.parametrize(("end_factor", "first_yield"), [(1.0, 850.10), (2.0, 220.11)])
def test_first_yield_of_an_eccentrically_loaded_tube(end_factor, first_yield):
    """D 20, t 1, L 300 mm, E 3 GPa, 60 MPa, e 0.5 mm: derived, 5 digits of load."""
    tube = tube_section(20.0, 1.0)
    args = tube.area_mm2, 0.5, tube.outer_fibre_mm, tube.gyration_mm, 300.0, 3000.0, end_factor
    assert secant_peak_stress_mpa(first_yield - 0.006, *args) < 60.0
    assert secant_peak_stress_mpa(first_yield + 0.006, *args) > 60.0


def test_buckling_loads_of_the_same_tube():
    """Derived: 888.59 N pinned, 222.15 N as a cantilever."""
    second = tube_section(20.0, 1.0).second_moment_mm4
    assert_allclose(euler_load_n(3000.0, second, 300.0, [1, 2]), [888.59, 222.15], atol=0.005)
