"""Rosen B.W., "Mechanics of composite strengthening", in Fiber Composite Materials,
American Society for Metals 1965, 37-75 (pages from memory; named as the source of the buckling of
fibres together, read in the abstract of Niu K., Talreja R., Int. J. Solids Struct. 37 (2000)
2405-2428)."""

from __future__ import annotations

import pytest

from hoofcalc.horn import kink_stress_mpa


def test_shear_mode_is_the_limit_of_kinking_for_straight_fibres():
    """Shear mode, Gm/(1 - f) for rigid fibres: a matrix of 1.3 GPa in shear and 60 % fibres bear
    3.25 GPa (derived), which is the kink stress of straight ones."""
    shear = 1300 / (1 - 0.6)
    assert shear == pytest.approx(3250)
    for model in ("budiansky", "budiansky_fleck"):
        assert kink_stress_mpa(shear, 40, 0, model) == pytest.approx(shear)
        assert kink_stress_mpa(shear, 40, 0.01, model) < shear
