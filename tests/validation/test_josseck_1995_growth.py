"""Josseck H., Zenker W., Geyer H. 1995, Equine Veterinary Journal 27:175-182.

42 Lipizzaner stallions over 19 months: the wall grows 7 mm in 28 days, the same with biotin
or placebo, and is renewed in 11 months (read).
"""

from __future__ import annotations

import pytest

from hoofcalc.cycle import GROWTH_MM_DAY, grow
from hoofcalc.profile import Profile


def test_growth_is_seven_millimetres_in_four_weeks():
    assert pytest.approx(7 / 28) == GROWTH_MM_DAY
    foot = Profile.from_measures(52, 40, 85, 35, 110)
    assert grow(foot, 28).toe_length_mm - foot.toe_length_mm == pytest.approx(7)


def test_a_toe_is_renewed_in_about_eleven_months():
    # toe length 85 mm ours; 9 to 13 months spans the published figures
    months = 85 / GROWTH_MM_DAY / 30.4
    assert months == pytest.approx(11, abs=1)


def test_growth_lies_among_the_other_published_rates():
    # 6 to 10 mm a month in the trade press; 30.69 and 35.34 mm in five months, Reilly J.D.,
    # Cottrell D.F., Martin R.J., Cuddeford D. 1998, Equine Vet J Suppl 26:51-57 (both read)
    month = GROWTH_MM_DAY * 30.4
    assert 6 < month < 10
    assert month == pytest.approx(35.34 / 5, rel=0.1)
