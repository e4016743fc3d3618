"""Kasapi M.A., Gosline J.M., "Strain-rate-dependent mechanical properties of the equine hoof
wall", J. Exp. Biol. 199 (1996) 1133-1146 (citation read in a list of references; the abstract
could not be found again, so the figures stay from memory)."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import horn_at


def test_strength_at_the_moduli_of_slow_and_fast_pull():
    """17 MPa at a modulus of 280 MPa, 31 MPa at 850 MPa (from memory): the strength of horn of
    any moisture, read off at those moduli, is theirs."""
    wall = horn_at(humidity_percent=np.linspace(0, 100, 2001)).central
    sole = horn_at(water_percent=np.linspace(10, 35, 2001), region="sole").central  # the softer
    for horn, modulus, strength in ((wall, 850, 31), (sole, 280, 17)):
        order = np.argsort(horn.along_mpa)
        at = np.interp(modulus, horn.along_mpa[order], horn.along_tension_mpa[order])
        assert at == pytest.approx(strength, rel=1e-3)


def test_the_wet_band_spans_slow_and_fast():
    """Wet wall: 280 to 850 MPa, 17 to 31 MPa (from memory) lie inside the band."""
    wet = horn_at(humidity_percent=100)
    assert wet.low.along_mpa < 280
    assert wet.high.along_mpa == pytest.approx(850)
    assert wet.low.along_tension_mpa < 17 < 31 < wet.high.along_tension_mpa
