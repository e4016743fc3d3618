"""Ayrton W.E., Perry J., On struts, The Engineer 62 (1886); Robertson A., The strength of
struts, Institution of Civil Engineers, Selected Engineering Paper 28 (1925) (from memory).
That the formula carries these names, and is the first yield of a bowed strut: read in a textbook.

The first-yield equation of a bowed strut, solved here by another route.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from hoofcalc.columns import perry_robertson_stress_mpa


def test_robertson_imperfection_on_steel():
    """Derived: 200 GPa, 250 MPa, imperfection 0.003 times the slenderness."""
    slender = np.array([40, 80, 120])
    stress = perry_robertson_stress_mpa(200e3, 250.0, slender, 0.003 * slender)
    assert_allclose(stress, [218.191, 164.926, 102.682], rtol=5e-6)


@pytest.mark.parametrize("slender", [5.0, 60.0, 88.86, 150.0, 400.0])
@pytest.mark.parametrize("eta", [1e-6, 0.1, 2.0])
def test_edge_stress_of_the_bowed_strut_is_the_yield_stress(slender, eta):
    """s (1 + eta / (1 - s / sE)) = Sy, root by bisection, to rounding."""
    euler = np.pi**2 * 200e3 / slender**2
    root = brentq(
        lambda s: s * (1 - s / euler + eta) - 250.0 * (1 - s / euler),
        0.0,
        min(euler, 250.0),
        xtol=1e-12,
        rtol=1e-14,
    )
    assert_allclose(perry_robertson_stress_mpa(200e3, 250.0, slender, eta), root, rtol=1e-9)
