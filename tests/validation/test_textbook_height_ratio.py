"""Height of the heel against the toe: textbooks ask for about a third, older ones for a half.

From memory; the sources disagree and the finding says so.
"""

from __future__ import annotations

import pytest

from hoofcalc.profile import Profile
from hoofcalc.reading import read_foot


@pytest.mark.parametrize(("ratio", "low"), [(0.30, True), (0.36, False), (0.5, False)])
def test_a_third_is_the_border(ratio, low):
    foot = Profile((110, 0), (60, 60), (0, 0), (-20, 60 * ratio))
    finding = read_foot(foot)["heel low for its toe"]
    assert finding.value == pytest.approx(ratio)
    assert finding.met is low
    assert "disagree" in finding.source
