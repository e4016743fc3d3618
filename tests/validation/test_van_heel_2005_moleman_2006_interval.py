"""van Heel M.C.V., van Weeren P.R., Back W. 2005, Equine Vet J 37:536-540 (title, place and
abstract read); Moleman M., van Heel M.C.V., van Weeren P.R., Back W. 2006, Equine Vet J
38:170-174.

Shod Warmbloods, 8 weeks between shoeings: the dorsal hoof wall angle falls by about 3.5 degrees
(read second-hand).

The check: geometry of growth alone, with the toe protected by the shoe and the heel wearing on it,
reaches that fall without any creep of horn.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from hoofcalc.cycle import GROWTH_MM_DAY, HeelLaw, change, drift, grow, steady_law
from hoofcalc.profile import Profile

# an average foot: angles of the 225-horse study, lengths ours
FOOT = Profile.from_measures(51.8, 40.1, 85, 36, 112)


def fall(heel_wear_mm_day):
    return -change(FOOT, grow(FOOT, 56, heel_wear_mm_day=heel_wear_mm_day)).toe_angle_deg


def test_a_heel_wear_of_about_half_its_growth_explains_the_published_fall():
    assert fall(0.0) < 3.5 < fall(GROWTH_MM_DAY)
    wear = brentq(lambda rate: fall(rate) - 3.5, 0.0, GROWTH_MM_DAY)
    # between a third and three quarters of growth: no exotic wear is asked for
    assert 0.33 < wear / GROWTH_MM_DAY < 0.75


def test_geometry_alone_gives_degrees_not_tenths():
    # derived by hand: the toe gains 14 sin 51.8 = 11.0 mm of height, the heel half of
    # 14 sin 40.1 = 4.5 mm, over a base of about 112 + 14 cos 51.8 - 7 cos 40.1 = 115 mm
    by_hand = np.degrees(np.arctan2(11.0 - 4.5, 115.3))
    assert fall(GROWTH_MM_DAY / 2) == pytest.approx(by_hand, abs=0.05)
    assert 2.5 < fall(GROWTH_MM_DAY / 2) < 4.0


def test_the_illustrated_drift_stays_the_smaller_part():
    # a heel whose horn is made as steep as it stands creeps by less than the published fall
    crept = 40.1 - drift(40.1, 36, 56, HeelLaw(band_angle_deg=40.1)).heel_angle_deg
    assert 0 < crept < 3.5


def test_under_the_default_geometry_is_all_there_is():
    law = steady_law(FOOT.heel_angle_deg, FOOT.heel_height_mm, 56)
    assert drift(40.1, 36, 56, law).heel_angle_deg == pytest.approx(40.1, abs=1e-6)
