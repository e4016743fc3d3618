"""Rosen B.W., "Mechanics of composite strengthening", in Fiber Composite Materials,
American Society for Metals 1965, 37-75 (pages from memory)."""

from __future__ import annotations

import pytest

from hoofcalc.horn import kink_stress_mpa, rosen_bound_mpa


def test_shear_mode():
    """Matrix of 1.3 GPa in shear, 60 % fibres: 3.25 GPa (derived)."""
    assert rosen_bound_mpa(1300, 0.6) == pytest.approx(3250)


def test_it_is_the_limit_of_kinking_for_straight_fibres():
    """The sheet's shear modulus, Gm/(1 - f) for rigid fibres, is the kink stress at 0 (derived)."""
    shear = rosen_bound_mpa(1300, 0.6)
    for model in ("budiansky", "budiansky_fleck"):
        assert kink_stress_mpa(shear, 40, 0, model) == pytest.approx(shear)
        assert kink_stress_mpa(shear, 40, 0.01, model) < shear
