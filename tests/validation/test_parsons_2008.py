"""Gallop on the level and uphill: times of the foot on the ground, and forces predicted from them.

Parsons K.J., Pfau T., Wilson A.M. 2008. High-speed gallop locomotion in the Thoroughbred
racehorse. I. The effect of incline on stride parameters. Journal of Experimental Biology 211,
935-944. Captions (read), six horses, 9 to 13 m/s, level: figure 3, stance fore 289.1 - 17.59 v +
0.34 v^2 ms; figure 8, peak vertical force *predicted* from the duty factor with 57:43, fore 3.358
+ 1.436 v - 0.028 v^2, hind -2.615 + 1.978 v - 0.063 v^2 N/kg.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.ground_force import DUTY_FACTORS, gallop_timing, stance_force

SPEED = np.linspace(9, 13, 9)
FITS = {"fore": (3.358, 1.436, -0.028), "hind": (-2.615, 1.978, -0.063)}
SHARE = {"fore": 0.57, "hind": 0.43}


def predicted(pair):
    a, b, c = FITS[pair]
    return a + b * SPEED + c * SPEED**2


def duty_factors(pair):
    """Derived: the duty factor that makes pi share g / (4 beta) that peak."""
    return np.pi * SHARE[pair] * 9.81 / 4 / predicted(pair)


@pytest.mark.parametrize("pair", ["fore", "hind"])
def test_their_prediction_from_their_duty_factors_and_their_share(pair):
    """Derived; exact."""
    force = stance_force("gallop", pair, 1.0, duty_factors(pair), fore_share=0.57)
    assert force.peak_vertical_n == pytest.approx(predicted(pair), rel=1e-9)


@pytest.mark.parametrize("pair", ["fore", "hind"])
def test_ours_at_the_speed_lies_within_a_spread_and_a_half_of_their_prediction(pair):
    """Read; they share 57:43, we share evenly; and their horses stood for longer."""
    force = stance_force("gallop", pair, 1.0, gallop_timing(SPEED, pair).duty_factor)
    assert (np.abs(predicted(pair) / force.peak_vertical_n - 1) < 1.5 * force.spread).all()


def test_their_horses_stood_about_a_fifth_longer_in_front():
    """Read, against Witte, Hirst & Wilson 2006."""
    stance_s = (289.1 - 17.59 * SPEED + 0.34 * SPEED**2) / 1000
    longer = stance_s / gallop_timing(SPEED, "fore").stance_s
    assert longer == pytest.approx(1.22, abs=0.02)
    assert duty_factors("fore") / gallop_timing(SPEED, "fore").duty_factor == pytest.approx(
        1.18, abs=0.01
    )


def test_the_longest_gallop_stance_published_is_theirs():
    """Derived: hind at 9 m/s, 0.33."""
    assert duty_factors("hind").max() == pytest.approx(DUTY_FACTORS["gallop"].high, abs=0.005)
