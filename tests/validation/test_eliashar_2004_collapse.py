"""Eliashar E., McGuigan M.P., Wilson A.M. 2004, Equine Veterinary Journal 36:431-435.

Text only (read): heel collapse is taken as the heel angle relative to the toe angle, a continuous
measure; it did not correlate with the angle of the distal phalanx nor with any force measure.
"""

from __future__ import annotations

import pytest

from hoofcalc.cycle import grow
from hoofcalc.profile import Profile
from hoofcalc.reading import read_foot

FOOT = Profile.from_measures(52, 40, 85, 35, 110)


def test_collapse_is_the_gap_and_growth_alone_does_not_change_it():
    assert grow(FOOT, 56).angle_gap_deg == pytest.approx(FOOT.angle_gap_deg)
    collapsed = grow(FOOT, 56, heel_drift_deg=-4)
    assert collapsed.angle_gap_deg == pytest.approx(FOOT.angle_gap_deg + 4)


def test_no_finding_claims_a_bone_angle_or_a_force_from_the_outside():
    for finding in read_foot(FOOT).findings:
        for word in ("phalanx", "navicular", "bone", "solar angle", "tendon"):
            assert word not in finding.sentence.lower()
