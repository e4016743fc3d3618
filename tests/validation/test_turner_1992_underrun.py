"""Turner T.A.: a heel 5 degrees flatter than the toe is underrun.

Read in a text of his own (Objective Assessment Hoof Balance: "underrun heels have been defined as
angle of the heels of 5 degrees less than the toe angle") and, as his, in a trade journal. Where he
said it first is from memory: AAEP Proc. 38 (1992) 389-395, or Vet. Clin. N. Am. Equine Pract. 8.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.profile import Profile
from hoofcalc.reading import read_foot

RULE = "heel underrun, five degrees"


@pytest.mark.parametrize(("gap", "flagged"), [(0, False), (4.99, False), (5.01, True), (20, True)])
def test_the_border_is_at_five_degrees(gap, flagged):
    finding = read_foot(Profile.from_measures(52, 52 - gap, 85, 36, 112))[RULE]
    assert finding.met is flagged
    assert "Turner" in finding.source
    assert "from memory" in finding.source


def test_a_careful_hand_needs_a_clear_gap_to_be_sure():
    # derived: 95 % sure at 1.645 errors beyond the border; the published feet, most of which
    # have a wider gap still, add a little
    foot = Profile.from_measures(52, 40, 85, 36, 112)
    error = read_foot(foot, 1.0)[RULE].error
    clear = Profile.from_measures(52, 52 - 5 - 1.645 * error, 85, 36, 112)
    assert 0.945 < read_foot(clear, 1.0)[RULE].probability < 0.975


def test_the_error_of_the_gap_is_that_of_two_separate_lines():
    # first-order propagation, derived: sigma sqrt(2) sqrt(1/L1^2 + 1/L2^2)
    finding = read_foot(Profile.from_measures(52, 40, 80, 60, 112), 0.5)[RULE]
    expected = np.degrees(0.5 * np.sqrt(2 / 80**2 + 2 / 60**2))
    assert finding.error == pytest.approx(expected, rel=1e-6)
