"""What must hold for every foot that grows, wears, is trimmed and drifts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.cycle import (
    HeelLaw,
    change,
    drift,
    fixed_points,
    grow,
    loop_gain,
    steady_law,
    through_visits,
    trim,
)
from hoofcalc.profile import MEASURES, Profile

QUICK = settings(max_examples=settings().max_examples // 2)


@st.composite
def feet(draw):
    return Profile.from_measures(
        draw(st.floats(42, 65)),
        draw(st.floats(25, 70)),
        draw(st.floats(70, 100)),
        draw(st.floats(20, 50)),
        draw(st.floats(90, 140)),
    )


def measures(foot):
    return [getattr(foot, name) for name in MEASURES]


@QUICK
@given(feet(), st.floats(1, 84), st.floats(0.1, 0.4), st.floats(0.1, 0.4))
def test_grow_then_trim_the_same_horn_is_the_foot_before(foot, days, toe, heel):
    grown = grow(foot, days, toe_growth_mm_day=toe, heel_growth_mm_day=heel)
    back = trim(
        grown,
        toe_down_mm=days * toe * np.sin(np.radians(grown.toe_angle_deg)),
        heel_down_mm=days * heel * np.sin(np.radians(grown.heel_angle_deg)),
    )
    assert measures(back) == pytest.approx(measures(foot), rel=1e-8)


@QUICK
@given(feet(), st.floats(1, 40), st.floats(1, 40))
def test_growth_in_two_steps_is_growth_in_one(foot, first, second):
    twice = grow(grow(foot, first), second)
    assert measures(twice) == pytest.approx(measures(grow(foot, first + second)), rel=1e-8)


@QUICK
@given(feet(), st.floats(1, 84), st.floats(0, 0.2), st.floats(0, 0.2))
def test_growth_turns_toe_and_heel_alike(foot, days, toe_wear, heel_wear):
    step = change(foot, grow(foot, days, toe_wear_mm_day=toe_wear, heel_wear_mm_day=heel_wear))
    assert step.toe_angle_deg == pytest.approx(step.heel_angle_deg, abs=1e-7)


@QUICK
@given(feet(), st.floats(0, 0.1), st.floats(0.01, 0.1))
def test_more_heel_wear_means_flatter_angles(foot, wear, more):
    less = grow(foot, 56, heel_wear_mm_day=wear).toe_angle_deg
    assert grow(foot, 56, heel_wear_mm_day=wear + more).toe_angle_deg < less


@QUICK
@given(feet(), st.floats(0.5, 3.0))
def test_a_larger_foot_that_grows_in_proportion_turns_as_much(foot, size):
    large = Profile(**{name: at * size for name, at in foot.landmarks.items()})
    rates = {"toe_growth_mm_day": 0.25, "heel_growth_mm_day": 0.2}
    scaled = {name: rate * size for name, rate in rates.items()}
    assert grow(large, 42, **scaled).toe_angle_deg == pytest.approx(
        grow(foot, 42, **rates).toe_angle_deg
    )


LAWS = st.builds(
    HeelLaw,
    band_angle_deg=st.floats(20, 70),
    growth_mm_day=st.floats(0.1, 0.4),
    creep_times=st.floats(0, 2),
)


@QUICK
@given(LAWS, st.floats(20, 70), st.floats(0.1, 5), st.floats(10, 50), st.floats(1, 84))
def test_heels_never_overtake_each_other(law, angle, more, length, days):
    low = drift(angle, length, days, law).heel_angle_deg
    assert drift(angle + more, length, days, law).heel_angle_deg >= low


@QUICK
@given(LAWS, st.floats(25, 70), st.floats(10, 50), st.floats(5, 84), st.floats(1.05, 3))
def test_more_load_more_creep_softer_or_thinner_walls_drift_flatter(
    law, angle, length, days, times
):
    after = drift(angle, length, days, law).heel_angle_deg
    for worse in (
        {"creep_times": law.creep_times * times},
        {"force_n_mm": 5 * times},
        {"modulus_mpa": 410 / times},
        {"loss_tangent": 0.085 * times},
        {"thickness_mm": 5.5 / times},
        {"tilt_deg": -10},
    ):
        assert drift(angle, length, days, replace(law, **worse)).heel_angle_deg <= after + 1e-12


@QUICK
@given(LAWS, st.floats(20, 70), st.floats(10, 50), st.floats(1, 40), st.floats(1, 40))
def test_drift_in_two_steps_is_drift_in_one(law, angle, length, first, second):
    half = drift(angle, length, first, law)
    if half.ran_away:
        return
    whole = drift(angle, length, first + second, law).heel_angle_deg
    rest = drift(half.heel_angle_deg, half.heel_length_mm, second, law).heel_angle_deg
    assert rest == pytest.approx(whole, abs=1e-6)


@settings(max_examples=settings().max_examples // 8)
@given(LAWS, st.floats(10, 40), st.floats(14, 84))
def test_every_fixed_point_stays_and_lies_below_the_band(law, height, interval):
    for point in fixed_points(height, interval, law):
        path = through_visits(point.heel_angle_deg, height, interval, 1, law).heel_angle_deg
        assert path[1] == pytest.approx(path[0], abs=1e-7)
        assert point.heel_angle_deg <= law.band_angle_deg + 1e-9


@QUICK
@given(LAWS, st.floats(15, 80), st.floats(10, 35), st.floats(14, 84))
def test_a_steady_heel_comes_back_from_every_visit(law, angle, height, interval):
    fields = {"growth_mm_day": law.growth_mm_day, "creep_times": law.creep_times}
    if loop_gain(angle, height, law) > 1.2:  # a flat high heel: what is steady cannot be held
        return
    steady = steady_law(angle, height, interval, **fields)
    path = through_visits(angle, height, interval, 2, steady).heel_angle_deg
    assert path == pytest.approx(angle, abs=1e-4)
    assert steady.band_angle_deg >= angle - 1e-9


@QUICK
@given(st.floats(15, 85), st.floats(1, 10), st.floats(10, 35), st.floats(1.01, 2))
def test_the_loop_gain_falls_with_the_angle_and_rises_with_height_and_creep(
    angle, more, height, times
):
    law = HeelLaw(45)
    gain = loop_gain(angle, height, law)
    assert loop_gain(min(angle + more, 90), height, law) < gain
    assert loop_gain(angle, height * times, law) > gain
    assert loop_gain(angle, height, HeelLaw(45, creep_times=times)) == pytest.approx(times * gain)
