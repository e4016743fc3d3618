"""Dyson S.J., Tranquille C.A., Collins S.N., Parkin T.D.H., Murray R.C. 2011.

External characteristics of the lateral aspect of the hoof differ between non-lame and lame horses,
The Veterinary Journal 190 (2011) 364-371 (abstract read: photographs, 25 horses without lameness
and 300 with foot pain; it gives no degrees).

Front feet: dorsal hoof wall angle 52.2 +/- 3.7 degrees; heel angle of sound horses 43.5 +/- 6.3
degrees. Read second-hand, in a poor copy that names these authors and 2011: a figure of medium
trust, and which of their two papers of that year it stands in is not certain.
"""

from __future__ import annotations

import pytest

from hoofcalc.profile import Profile
from hoofcalc.reading import percentile, read_foot


def test_the_average_sound_foot_is_flagged_by_the_rule_of_five_degrees():
    foot = Profile.from_measures(52.2, 43.5, 85, 36, 112)  # lengths ours
    assert foot.angle_gap_deg == pytest.approx(8.7)  # derived from the two means
    reading = read_foot(foot, 1.0)
    assert reading["heel underrun, five degrees"].met
    assert not reading["heel underrun, ten degrees"].met


def test_the_two_populations_agree_within_their_spread():
    # the mean of one study lies well inside the other
    assert 40 < percentile("toe_angle_deg", 52.2) < 60
    assert 50 < percentile("heel_angle_deg", 43.5) < 75
