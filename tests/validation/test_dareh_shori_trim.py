"""Trim of ten healthy Dareh-Shori horses, fore hooves, on radiographs. Iranian Journal of
Veterinary Surgery, article 79374 (authors not seen).

Before to after trim (read): hoof axis 50.05 +/- 2.21 to 51.40 +/- 2.13 degrees; dorsal wall
8.83 +/- 1.19 to 8.53 +/- 1.04 cm; sole 13.69 +/- 0.94 to 13.01 +/- 0.82 cm.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.cycle import change, trim
from hoofcalc.profile import Profile


def test_the_wall_taken_off_explains_the_steeper_axis():
    # the sole length stands in for the bearing length; heel angle and length ours
    foot = Profile.from_measures(50.05, 40, 88.3, 36, 136.9)
    after = trim(foot, toe_down_mm=3.0 * np.sin(np.radians(50.05)))
    step = change(foot, after)
    assert step.toe_length_mm == pytest.approx(-3.0)
    # +1.35 degrees reported; a mean of ten has a standard error of 2.2/sqrt(10) = 0.7
    assert step.toe_angle_deg == pytest.approx(1.35, abs=0.7)
