"""Girhammar U.A., Pan D.H., Exact static analysis of partially composite beams and
beam-columns, Int. J. Mech. Sci. 49 (2007) 239-255 (citation and closed form from memory).

EI_eff = EI_inf / (1 + (EI_inf/EI_0 - 1) / (1 + alpha^2 l^2 / pi^2)), alpha^2 =
K (1/EA1 + 1/EA2 + r^2/EI_0): a second route to the gamma method.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hoofcalc.columns import joined_parts


@pytest.mark.parametrize("slip", [0.0, 0.01, 3.0, 30.0, 1e4])
@pytest.mark.parametrize("length", [50.0, 5000.0])
def test_closed_form_equals_the_gamma_method(slip, length):
    e1, e2, a1, a2, i1, i2, r = 12e3, 9e3, 8000.0, 12000.0, 1.1e6, 4.0e7, 120.0
    loose = e1 * i1 + e2 * i2
    glued = loose + e1 * a1 * e2 * a2 / (e1 * a1 + e2 * a2) * r**2
    alpha2 = slip * (1 / (e1 * a1) + 1 / (e2 * a2) + r**2 / loose)
    closed = glued / (1 + (glued / loose - 1) / (1 + alpha2 * length**2 / np.pi**2))
    pair = joined_parts((e1, e2), (a1, a2), (i1, i2), r, slip, length)
    assert_allclose(pair.stiffness_nmm2, closed, rtol=1e-12)
    assert_allclose(pair.bond, (closed - loose) / (glued - loose), atol=1e-12)
