"""Thomason J.J., Biewener A.A., Bertram J.E.A., "Surface strain on the equine hoof wall in vivo:
implications for the material design and functional morphology of the wall", Journal of
Experimental Biology 166 (1992) 145-168 (abstract, read).

Three ponies, strain gauges on the wall: peaks to -5000 microstrain; the front of the wall is
pressed both ways.
"""

from __future__ import annotations

import numpy as np

from hoofcalc.capsule import build_capsule
from hoofcalc.horn import horn_at
from hoofcalc.loadpath import force_vector, share_out, wall_stress
from hoofcalc.profile import Profile

HORN = horn_at(water_percent=28.0).central


def trotting_pony():
    """A pony of 250 kg (invented), 11.6 N/kg at trot."""
    foot = build_capsule(Profile.from_measures(52, 42, 65, 30, 85), toe_thickness_mm=8.0)
    middle = np.average(foot.bearing_points_mm, axis=0, weights=foot.bearing_areas_mm2)
    return wall_stress(foot, share_out(foot, force_vector(250 * 11.6, 0.0), middle), HORN)


def test_strain_is_of_the_measured_size():
    """Greatest stress up the wall over modulus: within 5 times of what gauges saw at most
    half way up, and not below a tenth of it (derived; order of size)."""
    strain = trotting_pony().worked_mpa / HORN.along_mpa * 1e6
    toe = strain[90]
    assert 500 < toe < 5 * 5000
    assert np.all(strain < 5 * 5000)


def test_the_outer_face_of_the_toe_is_pressed():
    """Along the tubules: mean pressure, and bending that presses the outer face."""
    stress = trotting_pony()
    assert stress.axial_mpa[90] < 0
    assert stress.bending_mpa[90] < 0
