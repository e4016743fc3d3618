"""Laws of the ground force that hold for every horse, gait and moment."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.ground_force import (
    DUTY_FACTORS,
    limbs_of,
    stance_force,
    tilt_deg,
)

masses = st.floats(50, 1200)
shares = st.floats(0.3, 0.7)
laws = settings(max_examples=settings().max_examples // 2)


def duties(gait):
    """Any duty factor that fits the gait."""
    known = DUTY_FACTORS[gait]
    return st.floats(known.least, known.most)


@st.composite
def stances(draw, gaits=("walk", "trot", "canter", "gallop")):
    """Gait, limb and a duty factor that fits."""
    gait = draw(st.sampled_from(gaits))
    return gait, draw(st.sampled_from(limbs_of(gait))), draw(duties(gait))


@laws
@given(stances(), masses, shares, st.floats(0.01, 100))
def test_forces_scale_with_mass(stance, mass, share, factor):
    *which, duty = stance
    light = stance_force(*which, mass, duty, fore_share=share)
    heavy = stance_force(*which, mass * factor, duty, fore_share=share)
    assert heavy.vertical_n == pytest.approx(factor * light.vertical_n, rel=1e-12)
    # near the change of sign two parts cancel: measured against the peak
    tiny = 1e-12 * heavy.peak_vertical_n
    assert heavy.fore_aft_n == pytest.approx(factor * light.fore_aft_n, rel=1e-12, abs=tiny)


@laws
@given(stances(), masses, st.data())
def test_forces_scale_with_one_over_duty_factor_and_the_tilt_stays(stance, mass, data):
    *which, duty = stance
    other = data.draw(duties(which[0]))
    moments = np.linspace(0.05, 0.95, 31)
    long = stance_force(*which, mass, duty, moments)
    short = stance_force(*which, mass, other, moments)
    assert short.vertical_n * (other / duty) == pytest.approx(long.vertical_n, rel=1e-12)
    assert short.tilt_deg == pytest.approx(long.tilt_deg, abs=1e-9)


@laws
@given(stances(), masses, shares)
def test_impulse_balance_of_every_curve(stance, mass, share):
    *which, duty = stance
    nodes, weights = np.polynomial.legendre.leggauss(40)
    force = stance_force(*which, mass, duty, (nodes + 1) / 2, fore_share=share)
    assert force.vertical_n @ weights / 2 == pytest.approx(force.mean_vertical_n, rel=1e-13)


@laws
@given(stances(("trot", "canter", "gallop")), masses)
def test_one_humped_gaits_are_the_same_backward_in_time(stance, mass):
    *which, duty = stance
    force = stance_force(*which, mass, duty)
    assert force.vertical_n[::-1] == pytest.approx(force.vertical_n, rel=1e-12, abs=1e-9)


@laws
@given(masses, duties("walk"), shares)
def test_walk_backward_in_time_swaps_the_humps_of_fore_and_hind(mass, duty, share):
    fore = stance_force("walk", "fore", mass, duty, fore_share=share)
    hind = stance_force("walk", "hind", mass, duty, fore_share=1 - share)
    assert hind.vertical_n[::-1] == pytest.approx(fore.vertical_n, rel=1e-9, abs=1e-9)


@laws
@given(st.floats(1, 1e5), st.floats(-1e5, 1e5), st.floats(1e-3, 1e3))
def test_tilt_is_odd_in_the_fore_aft_force_and_blind_to_size(vertical, fore_aft, factor):
    tilt = tilt_deg(vertical, fore_aft)
    assert tilt_deg(vertical, -fore_aft) == -tilt
    assert tilt_deg(factor * vertical, factor * fore_aft) == pytest.approx(tilt, abs=1e-9)
    assert tilt_deg(vertical, fore_aft + 1) > tilt - 1e-12
