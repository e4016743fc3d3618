"""Kasapi M.A., Gosline J.M., "Design complexity and fracture control in the equine hoof wall",
J. Exp. Biol. 200 (1997) 1639-1659. Abstract (read), fully hydrated, pulled: "longitudinal stiffness
decreased from 0.56 to 0.30 GPa proceeding inwardly, whereas ultimate (maximum) properties were
constant"."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import horn_at

PLACES = [(name, value) for name, value in (("humidity_percent", 100), ("water_percent", 35))]


@pytest.mark.parametrize(("name", "value"), PLACES)
def test_strength_along_does_not_change_through_the_wall(name, value):
    """Read; exact."""
    strengths = [
        horn_at(**{name: value}, region=region).central.along_tension_mpa
        for region in ("outer", "middle", "inner")
    ]
    assert strengths == pytest.approx([strengths[0]] * 3, rel=1e-12)


@pytest.mark.parametrize("region", ["outer", "inner"])
def test_wet_stiffness_outside_and_inside_lies_in_the_band(region):
    """Read: 560 MPa outside, 300 MPa inside."""
    band = horn_at(humidity_percent=100, region=region)
    measured = {"outer": 560, "inner": 300}[region]
    assert band.low.along_mpa < measured < band.high.along_mpa


def test_the_wall_is_stiffer_outside_by_as_much_as_others_found():
    """Read: 0.56 over 0.30 is 1.87; ours follows Douglas 1996, 1049 over 460 MPa."""
    outer, inner = (
        horn_at(humidity_percent=100, region=region).central.along_mpa
        for region in ("outer", "inner")
    )
    assert outer / inner == pytest.approx(0.56 / 0.30, rel=0.25)
    assert np.isclose(outer / inner, 1049 / 460)
