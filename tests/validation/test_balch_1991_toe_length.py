"""Balch O., White K., Butler D. 1991; Turner T.A. 1992: toe length by weight, a rule of thumb.

Factors involved in the balancing of equine hooves. J. Am. Vet. Med. Assoc. 198, 1980-1989 (citation
read in a list of references). 7.6 cm at 360-400 kg, 8.25 cm at 430-480 kg, 8.9 cm at 525-575 kg
(from memory).
"""

from __future__ import annotations

import pytest

from hoofcalc.profile import Profile
from hoofcalc.reading import long_toe_mm, read_foot


@pytest.mark.parametrize(
    ("weight_kg", "toe_mm"),
    [(360, 76), (400, 76), (430, 82.5), (480, 82.5), (525, 89), (575, 89)],
)
def test_the_bands_as_recalled(weight_kg, toe_mm):
    assert long_toe_mm(weight_kg) == pytest.approx(toe_mm)
    for extra, long in ((1.0, True), (-1.0, False)):
        foot = Profile.from_measures(52, 42, toe_mm + extra, 35, 110)
        finding = read_foot(foot, weight_kg=weight_kg)["toe long"]
        assert finding.met is long
        assert "from memory" in finding.source
