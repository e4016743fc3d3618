"""Argon A.S., "Fracture of composites", Treatise on Materials Science and Technology 1 (1972)
79-114 (pages from memory; named with Budiansky 1983 as the source of the kinking formula, read in
the abstract of Niu K., Talreja R., Int. J. Solids Struct. 37 (2000) 2405-2428)."""

from __future__ import annotations

import pytest

from hoofcalc.horn import kink_stress_mpa


def test_kink_stress():
    """k/phi: 60 MPa at 2 degrees (derived)."""
    assert kink_stress_mpa(5000, 60, 2, "argon") == pytest.approx(1718.87, abs=0.005)


def test_the_elastic_band_tends_to_it_for_large_misalignment():
    """At 20 degrees the later elastic-plastic form is 3 % lower (derived)."""
    ratio = kink_stress_mpa(5000, 60, 20) / kink_stress_mpa(5000, 60, 20, "argon")
    assert ratio == pytest.approx(0.967, abs=1e-3)
