"""BS 5950-1:2000, Structural use of steelwork in building, Annex C: strut curves.

Perry factor a (lambda - lambda0) / 1000, a = 2.0, 3.5, 5.5, 8.0 by the kind of
section (read in a steelwork table that cites Annex C.2); that 5.5 is curve c from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.columns import perry_robertson_stress_mpa


def test_curve_c_of_steel_275():
    """Annex C, derived; Table 24(c) shows 125 MPa at slenderness 100 (from memory)."""
    slender = np.array([50, 100, 150])
    start = 0.2 * np.sqrt(np.pi**2 * 205e3 / 275)
    stress = perry_robertson_stress_mpa(205e3, 275, slender, 5.5 * (slender - start) / 1000)
    assert_allclose(stress, [220.3, 125.2, 68.2], atol=0.06)
    assert_allclose(stress[1], 125, atol=0.5)
