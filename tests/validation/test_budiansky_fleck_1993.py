"""Budiansky B., Fleck N.A., "Compressive failure of fibre composites",
J. Mech. Phys. Solids 41 (1993) 183-211 (title page and abstract read)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from hoofcalc.horn import kink_stress_mpa


@pytest.mark.parametrize(("n", "expected"), [(3, 0.412393), (10, 0.440199)])
def test_kink_stress_at_a_misalignment_of_one_yield_strain(n, expected):
    """Ramberg-Osgood solid, phi = k/G (derived, six figures)."""
    shear, k = 1000.0, 10.0
    phi = np.degrees(k / shear)
    stress = kink_stress_mpa(shear, k, phi, "budiansky_fleck", exponent=n)
    assert stress / shear == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("n", [1.5, 3, 7, 20])
@pytest.mark.parametrize("ratio", [0.1, 1.0, 5.0])
def test_against_direct_maximisation(n, ratio):
    """s/G = x / (phi/gY + x + (3/7) x^n), greatest over the shear stress x = t/k (derived)."""
    found = minimize_scalar(
        lambda x: -x / (ratio + x + 3 / 7 * x**n),
        bounds=(1e-6, 30.0),
        method="bounded",
        options={"xatol": 1e-10},
    )
    ours = kink_stress_mpa(1000, 10, np.degrees(ratio * 0.01), "budiansky_fleck", exponent=n)
    assert ours / 1000 == pytest.approx(-found.fun, rel=1e-9)


def test_limits():
    """Straight: G. Hardening exponent without end: elastic-perfectly plastic (derived)."""
    assert kink_stress_mpa(1000, 10, 0, "budiansky_fleck") == pytest.approx(1000)
    assert kink_stress_mpa(1000, 10, 3, "budiansky_fleck", exponent=1e5) == pytest.approx(
        kink_stress_mpa(1000, 10, 3), rel=1e-3
    )
