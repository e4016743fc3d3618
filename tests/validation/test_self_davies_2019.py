"""Galloping racehorses on force plates: the only measured peaks of a gallop found.

Self Davies Z.T., Spence A.J., Wilson A.M. 2019. Ground reaction forces of overground galloping in
ridden Thoroughbred racehorses. Journal of Experimental Biology 222, jeb204107. Abstract (read):
seven horses, 11.4 m/s, peak vertical force [N/kg] trailing hind 13.6, leading hind 12.3, trailing
fore 14.0, leading fore 13.6, "consistent with those predicted from duty factor"; weight between
fore and hind limbs "approximated to 50:50, and is variable with speed"; hind limbs drive and fore
limbs brake on balance. Duty factors not seen: taken from two other studies at that speed.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.ground_force import FORE_PAIR_SHARES, gallop_timing, stance_force

MEASURED = {"fore": (13.6, 14.0), "hind": (12.3, 13.6)}
SPEED_M_S = 11.4


def test_the_weight_is_shared_evenly_at_gallop():
    """Read."""
    assert FORE_PAIR_SHARES["gallop"] == 0.5


@pytest.mark.parametrize("pair", ["fore", "hind"])
def test_peaks_from_a_speed_lie_within_one_spread(pair):
    """Read; duty factors of nine other horses (Witte, Hirst & Wilson 2006)."""
    force = stance_force("gallop", pair, 1.0, gallop_timing(SPEED_M_S, pair).duty_factor)
    for peak in MEASURED[pair]:
        assert peak == pytest.approx(
            force.peak_vertical_n, abs=force.spread * force.peak_vertical_n
        )


@pytest.mark.parametrize(("pair", "duty_factor"), [("fore", 0.273), ("hind", 0.282)])
def test_peaks_from_the_duty_factors_of_a_third_study_fit_within_six_per_cent(pair, duty_factor):
    """Read; duty factors derived from Parsons, Pfau & Wilson 2008, see there."""
    force = stance_force("gallop", pair, 1.0, duty_factor)
    assert force.peak_vertical_n == pytest.approx(np.mean(MEASURED[pair]), rel=0.06)


def test_signs_of_the_fore_aft_force():
    """Read."""
    assert stance_force("gallop", "fore", 1.0, 0.25).mean_fore_aft_n > 0
    assert stance_force("gallop", "hind", 1.0, 0.25).mean_fore_aft_n < 0


@pytest.mark.parametrize(
    ("case", "value"),
    [
        ("gallop, trailing hind, 11.4 m/s", 13.6),
        ("gallop, leading hind, 11.4 m/s", 12.3),
        ("gallop, trailing fore, 11.4 m/s", 14.0),
        ("gallop, leading fore, 11.4 m/s", 13.6),
    ],
)
def test_the_course_hands_out_what_was_read(case, value):
    (figure,) = datasets.published("gait_forces", "peak_vertical", case)
    assert (figure.value, figure.mark) == (value, "read")
    assert "force plate" in figure.sample
