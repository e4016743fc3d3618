"""Kasapi M.A., Gosline J.M., "Micromechanics of the equine hoof wall: optimizing crack control and
material stiffness through modulation of the properties of keratin", J. Exp. Biol. 202 (1999)
377-391 (title and abstract read)."""

from __future__ import annotations

import pytest

from hoofcalc.horn import bundle_moduli, horn_at

TUBULE, BETWEEN = 470.0, 80.0  # inner wall, wet [MPa] (read)


def test_inner_wall_contrast_of_a_sheet_is_far_below_that_of_its_parts():
    """Tubules 0.47, horn between 0.08 GPa: 6 to 1 (read). With 16 tubules a mm2 of 0.22 x 0.14 mm
    (from memory) 39 % of the section; no arrangement can then exceed the bounds of parallel and
    series springs (derived), a contrast of 2.0."""
    fraction = 16 * 3.14159 / 4 * 0.22 * 0.14
    assert fraction == pytest.approx(0.39, abs=0.005)
    bundle = bundle_moduli(TUBULE, BETWEEN, fraction)
    series = 1 / (fraction / TUBULE + (1 - fraction) / BETWEEN)
    assert bundle.along_mpa == pytest.approx(fraction * TUBULE + (1 - fraction) * BETWEEN)
    assert series < bundle.across_mpa < bundle.along_mpa
    assert bundle.along_mpa / series == pytest.approx(2.0, abs=0.05)
    assert 1.4 < bundle.along_mpa / bundle.across_mpa < 2.0


def test_contrast_of_the_regions():
    """Middle wall: tubules and horn between alike; inner wall: up to 6 to 1 (read)."""
    middle, inner = (horn_at(water_percent=30, region=r) for r in ("middle", "inner"))
    assert middle.central.along_mpa == middle.central.across_mpa
    assert 1.5 <= inner.central.along_mpa / inner.central.across_mpa <= 6
    # the published extremes, against the central value along the tubules
    assert inner.low.across_mpa <= inner.central.along_mpa / 6
    assert inner.high.across_mpa >= inner.central.along_mpa
