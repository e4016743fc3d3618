"""EN 1993-1-1:2005, Eurocode 3: Design of steel structures, 6.3.1: buckling curves.

Equations 6.49 and 6.50 with imperfection alpha (lambda - 0.2): read. Values of chi
derived from them to 4 digits (the usual printed tables).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hoofcalc.columns import perry_robertson_stress_mpa

CHI = {
    0.13: [0.9513, 0.8533, 0.7253, 0.5732, 0.3953, 0.2323],
    0.21: [0.9243, 0.7957, 0.6656, 0.5300, 0.3724, 0.2229],
    0.34: [0.8842, 0.7245, 0.5970, 0.4781, 0.3422, 0.2095],
    0.49: [0.8430, 0.6622, 0.5399, 0.4338, 0.3145, 0.1962],
    0.76: [0.7793, 0.5797, 0.4671, 0.3762, 0.2766, 0.1766],
}


@pytest.mark.parametrize(("alpha", "chi"), CHI.items())
def test_buckling_curves_a0_to_d(alpha, chi):
    relative = np.array([0.5, 0.8, 1.0, 1.2, 1.5, 2.0])
    e, fy = 210e3, 235.0
    slender = relative * np.pi * np.sqrt(e / fy)  # lambda_1 = 93.9
    stress = perry_robertson_stress_mpa(e, fy, slender, alpha * (relative - 0.2))
    assert_allclose(stress / fy, chi, atol=5.1e-5)
