"""Clayton H.M., Gray S., Kaiser L.J., Bowker R.M. 2011, Australian Veterinary Journal 89:305-311.

7 horses trimmed every 6 weeks. In the first months the toe and heel walls get shorter and the toe
angle steeper; later the heels move back and the support length rises (signs read; no numbers in
the abstract).
"""

from __future__ import annotations

from hoofcalc.cycle import change, grow, trim
from hoofcalc.profile import Profile

LONG = Profile.from_measures(48, 36, 98, 48, 118)


def test_shorter_walls_and_a_steeper_toe_when_more_comes_off_in_front():
    step = change(LONG, trim(LONG, toe_down_mm=8, heel_down_mm=5))
    assert step.toe_length_mm < 0
    assert step.heel_length_mm < 0
    assert step.toe_angle_deg > 0


def test_heels_move_back_as_they_are_lowered_and_forward_as_they_grow():
    assert change(LONG, trim(LONG, heel_down_mm=5)).heel_support_mm > 0
    assert change(LONG, grow(LONG, 42)).heel_support_mm < 0


def test_repeated_trims_that_take_more_than_grew_bring_the_heel_back_for_good():
    foot = LONG
    for _ in range(3):
        foot = trim(grow(foot, 42), toe_down_mm=10, heel_down_mm=8)
    assert change(LONG, foot).heel_support_mm > 0
    assert foot.toe_length_mm < LONG.toe_length_mm
