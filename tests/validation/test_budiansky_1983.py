"""Budiansky B., "Micromechanics", Computers & Structures 16 (1983) 3-12 (title and place read in
the references of J. Applied Mechanics 85 (2018) 061005; named with Argon 1972 as the source of the
kinking formula, read in the abstract of Niu K., Talreja R., Int. J. Solids Struct. 37 (2000)
2405-2428)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from hoofcalc.horn import kink_stress_mpa


def test_fall_with_misalignment():
    """G 5 GPa, k 60 MPa, no kink angle: k/(k/G + phi) (derived, six figures)."""
    stress = kink_stress_mpa(5000, 60, [0, 0.5, 1, 2, 3, 5, 10])
    expected = [5000, 2894.82, 2037.12, 1279.14, 932.26, 604.43, 321.66]
    np.testing.assert_allclose(stress, expected, atol=0.006)


def test_against_the_rotating_band_itself():
    """Equilibrium of the band: s (phi + g) = tau(g) - remote, tau elastic then constant; the
    greatest s over the shear strain g, found by search (derived)."""
    shear, k, remote = 400.0, 10.0, 2.0
    for degrees in (0.5, 2.0, 6.0):
        phi = np.radians(degrees)

        def minus(g, phi=phi):
            return -(min(shear * g, k) - remote) / (phi + g)

        found = minimize_scalar(
            minus, bounds=(1e-6, 0.2), method="bounded", options={"xatol": 1e-12}
        )
        ours = kink_stress_mpa(shear, k, degrees, remote_shear_mpa=remote)
        assert ours == pytest.approx(-found.fun, rel=1e-6)
