"""Malone S.R., Davies H.M.S. 2019, Animals 9:1017.

Over 7 weeks the hoof angle falls when shod and rises when barefoot (signs read). The wear rates
below are ours; the check is that geometry has the signs.
"""

from __future__ import annotations

from hoofcalc.cycle import change, grow
from hoofcalc.profile import Profile

FOOT = Profile.from_measures(51.8, 40.1, 85, 36, 112)


def test_shod_the_heel_wears_and_the_angle_falls():
    assert change(FOOT, grow(FOOT, 49, heel_wear_mm_day=0.1)).toe_angle_deg < 0


def test_barefoot_the_toe_wears_at_breakover_and_the_angle_rises():
    bare = grow(FOOT, 49, toe_wear_mm_day=0.25, heel_wear_mm_day=0.15)
    assert change(FOOT, bare).toe_angle_deg > 0
