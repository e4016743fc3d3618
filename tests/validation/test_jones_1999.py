"""Jones R.M., Mechanics of Composite Materials, 2nd ed., Taylor & Francis 1999.

Glass/epoxy of Table 2-3: 54, 18, 9 GPa, 0.25; strengths 1035/1035, 28/138 MPa
(read, as quoted), in shear 41 as printed.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import Horn, modulus_at_deg

GLASS = Horn(54e3, 18e3, 9e3, 0.25, 1035, 1035, 28, 138, 41)


def test_modulus_off_the_axis():
    """Sec. 2.6, the material of Table 2-3 (derived, five figures)."""
    modulus = modulus_at_deg(GLASS, [15, 30, 45, 60])
    np.testing.assert_allclose(modulus, [43984, 30316, 22737, 19416], atol=0.6)


def test_extremes_of_the_modulus_need_not_lie_on_the_axes():
    """Sec. 2.6 and App. B (derived: seen by a scan of angles): Ex exceeds both E1 and E2 if
    G12 > E1 / (2 (1 + nu12)), and falls below both if G12 < E1 / (2 (E1/E2 + nu12))."""
    between = np.linspace(1, 89, 881)
    e1, e2, nu = 54e3, 18e3, 0.25
    above, below = e1 / (2 * (1 + nu)), e1 / (2 * (e1 / e2 + nu))
    for shear, higher, lower in (
        (1.02 * above, True, False),
        (0.98 * above, False, False),
        (1.02 * below, False, False),
        (0.98 * below, False, True),
    ):
        modulus = modulus_at_deg(Horn(e1, e2, shear, nu, 1, 1, 1, 1, 1), between)
        assert bool((modulus > e1).any()) is higher
        assert bool((modulus < e2).any()) is lower


def test_poisson_limit_of_the_thermodynamics():
    """Sec. 2.4, Eq. 2.48: |nu12| < sqrt(E1/E2). Jones's boron/epoxy with a measured nu12 of 1.97
    at E1/E2 = 81.8/9.17 GPa is admissible although far beyond 1/2 (from memory)."""
    assert Horn(81.8e3, 9.17e3, 5e3, 1.97, 1, 1, 1, 1, 1).poisson == 1.97
    with pytest.raises(ValueError, match="poisson must be below"):
        Horn(81.8e3, 9.17e3, 5e3, 2.99, 1, 1, 1, 1, 1)
