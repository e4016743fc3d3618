"""EN 1993-1-6:2007, Eurocode 3: Strength and stability of shell structures, Annex D, D.1.2.

Critical stress 0.605 E C_x t / r, C_x = 1 for cylinders of middling length: read.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.columns import tube_axial_stress_mpa


def test_elastic_critical_stress_of_a_cylinder_of_middling_length():
    """D.1.2 with nu 0.3; the standard rounds 0.605228 to 0.605, hence 4e-4."""
    r_over_t = np.array([100.0, 330.0, 1000.0])
    ours = tube_axial_stress_mpa(210e3, r_over_t, 1.0, shell="perfect")
    assert_allclose(ours, 0.605 * 210e3 / r_over_t, rtol=4e-4)
