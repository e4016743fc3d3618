"""Merkens H.W., Schamhardt H.C., van Osch G.J.V.M., van den Bogert A.J., "Ground reaction force
patterns of Dutch Warmblood horses at normal trot", Equine Veterinary Journal 25 (1993) 134-137.

Peak forces of sound horses at trot (abstract, read): fore limb vertical 11.59 N/kg, braking
1.13, propulsion 0.84 N/kg.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.capsule import build_capsule
from hoofcalc.horn import horn_at
from hoofcalc.loadpath import Hold, force_vector, obliquity_deg, share_out, wall_stress
from hoofcalc.profile import Profile

VERTICAL, BRAKING, PROPULSION = 11.59, 1.13, 0.84
BACK = np.degrees(np.arctan2(BRAKING, VERTICAL))
FORWARD = -np.degrees(np.arctan2(PROPULSION, VERTICAL))


@pytest.mark.parametrize(("wall_deg", "slant_deg"), [(50.0, 34.4), (35.0, 49.4), (62.0, 22.4)])
def test_obliquity_while_braking_and_pushing_off(wall_deg, slant_deg):
    """Peaks taken together: tilt 5.6 back, -4.1 forward; 9.7 degrees between them (derived).

    In the middle of the toe and, without taper, at the heels. Rounded to a tenth.
    """
    assert pytest.approx(BACK, abs=0.05) == 5.6
    assert pytest.approx(FORWARD, abs=0.06) == -4.1
    side = Profile.from_measures(wall_deg, wall_deg, 85, 35, 105)
    foot = build_capsule(side, taper=1.0)
    braking, pushing = obliquity_deg(foot, force_vector(1.0, [BACK, FORWARD]))
    for place in (0, 90, 180):
        assert braking[place] == pytest.approx(slant_deg, abs=0.06)
        assert pushing[place] - braking[place] == pytest.approx(9.7, abs=0.06)


def test_order_of_size_of_the_stress():
    """500 kg at trot: about 2 MPa on the rim; in the wall a few times as much, not tens of MPa
    (derived, order of size only; a lone strip would say tens, a solid does not)."""
    foot = build_capsule(Profile.from_measures(52, 40, 88, 38, 110))
    assert foot.wall_thickness_mm[0] == pytest.approx(5.5)
    middle = np.average(foot.bearing_points_mm, axis=0, weights=foot.bearing_areas_mm2)
    shares = share_out(foot, force_vector(500 * VERTICAL, 0.0), middle)
    horn = horn_at(water_percent=28.0).central
    stress = wall_stress(foot, shares, horn, hold=Hold(12.0))
    assert stress.bearing_mpa.mean() == pytest.approx(1.7, rel=0.1)
    for place in (0, 90):
        assert 1 < stress.worked_mpa[place] < 20
