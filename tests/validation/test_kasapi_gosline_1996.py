"""Kasapi M.A., Gosline J.M., "Strain-rate-dependent mechanical properties of the equine hoof
wall", J. Exp. Biol. 199 (1996) 1133-1146 (figures from memory)."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import horn_at


def test_strength_at_the_moduli_of_slow_and_fast_pull():
    """17 MPa at a modulus of 280 MPa, 31 MPa at 850 MPa (from memory): the strength of horn of
    any moisture, read off at those moduli, is theirs."""
    horn = horn_at(humidity_percent=np.linspace(0, 100, 2001), region="inner").central
    order = np.argsort(horn.along_mpa)
    at = np.interp([280, 850], horn.along_mpa[order], horn.along_tension_mpa[order])
    assert at == pytest.approx([17, 31], rel=1e-3)


def test_the_wet_band_spans_slow_and_fast():
    """Wet wall: 280 to 850 MPa, 17 to 31 MPa (from memory) lie inside the band."""
    wet = horn_at(humidity_percent=100)
    assert wet.low.along_mpa < 280
    assert wet.high.along_mpa == pytest.approx(850)
    assert wet.low.along_tension_mpa < 17 < 31 < wet.high.along_tension_mpa
