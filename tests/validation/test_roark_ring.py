"""Young W.C., Budynas R.G., Roark's Formulas for Stress and Strain, 7th ed. 2002, Table 9.2.

Case 1, a ring squeezed across its diameter: closing 0.149 W R^3 / (E I) (derived to 6
digits: pi/4 - 2/pi).
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose
from scipy.integrate import quad

from hoofcalc.columns import ring_side_stiffness


def test_closing_of_a_ring_under_the_load():
    """Case 1, and the same by integrating the bending energy of a quarter ring."""
    stiffness = ring_side_stiffness(12.0, 1.0, 1.0)  # E I = 1, R = 1
    assert_allclose(1 / stiffness, 0.148778, atol=5e-7)
    # moment at angle a from the load: W R (1/pi - sin(a)/2); closing = 4 int m^2 da
    by_energy = 4 * quad(lambda a: (1 / np.pi - np.sin(a) / 2) ** 2, 0, np.pi / 2)[0]
    assert_allclose(1 / stiffness, by_energy, rtol=1e-12)


def test_plastic_tube_of_fifty_millimetres():
    """Derived: R 10, t 1, L 50 mm, E 3 GPa: 84.018 N/mm, 92.327 as a long tube (nu 0.3)."""
    assert_allclose(ring_side_stiffness(3000.0, 10.0, 1.0, 50.0), 84.018, atol=5e-4)
    assert_allclose(ring_side_stiffness(3000.0, 10.0, 1.0, 50.0, 0.3), 92.327, atol=5e-4)
