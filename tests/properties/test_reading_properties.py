"""What must hold for the probabilities of any foot."""

from __future__ import annotations

from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.profile import Profile
from hoofcalc.reading import compare, long_toe_mm, percentile, read_foot

QUICK = settings(max_examples=settings().max_examples // 4)
FEET = st.builds(
    Profile.from_measures,
    st.floats(42, 65),
    st.floats(25, 75),
    st.floats(70, 100),
    st.floats(20, 45),
    st.floats(100, 140),
)


@QUICK
@given(FEET, st.floats(0.2, 1.5))
def test_shares_of_the_gap_sum_to_one(foot, error):
    reading = read_foot(foot, error)
    parts = ("in line", "heel underrun, five degrees", "heel steeper than toe")
    assert sum(reading[name].probability for name in parts) == pytest.approx(1, abs=1e-9)


@QUICK
@given(FEET, st.floats(0.2, 1.5))
def test_stricter_cut_offs_are_met_less_often(foot, error):
    reading = read_foot(foot, error)
    five, ten, fifteen = (
        reading[f"heel underrun, {cut} degrees"].probability for cut in ("five", "ten", "fifteen")
    )
    assert five >= ten >= fifteen


@QUICK
@given(FEET, st.floats(0.2, 1.5))
def test_a_met_rule_without_a_published_spread_is_more_likely_than_not(foot, error):
    finding = read_foot(foot, error)["heel low for its toe"]
    assert finding.met == (finding.probability >= 0.5) or finding.probability == pytest.approx(
        0.5, abs=1e-6
    )


@QUICK
@given(FEET, st.floats(0.2, 1.5), st.floats(1.1, 3))
def test_more_error_brings_every_probability_nearer_to_that_of_any_foot(foot, error, times):
    def chance(size):
        return read_foot(foot, errors={"angle_gap_deg": size})["heel underrun, five degrees"]

    usual = 1 - NormalDist(11.7, (3.9**2 + 9.3**2) ** 0.5).cdf(5)
    assert chance(1e4).probability == pytest.approx(usual, abs=1e-4)
    assert chance(1e-3).probability == pytest.approx(float(foot.angle_gap_deg >= 5), abs=1e-3) or (
        abs(foot.angle_gap_deg - 5) < 0.01
    )


@QUICK
@given(FEET, FEET, st.floats(0.2, 1.5))
def test_comparison_turns_its_sign_with_the_order(one, two, error):
    there = compare({"one": one, "two": two}, error)
    back = compare({"two": two, "one": one}, error)
    for a, b in zip(there.differences, back.differences, strict=True):
        assert a.value == pytest.approx(-b.value)
        assert a.error == pytest.approx(b.error)
        assert a.exceeds == b.exceeds


@QUICK
@given(st.floats(20, 80), st.floats(0.01, 20), st.sampled_from(["fore", "hind"]))
def test_percentiles_rise_with_the_angle(value, more, limb):
    for measure in ("toe_angle_deg", "heel_angle_deg"):
        low, high = percentile(measure, value, limb), percentile(measure, value + more, limb)
        assert 0 <= low <= high <= 100


@QUICK
@given(st.floats(360, 575), st.floats(0, 100))
def test_heavier_horses_are_allowed_longer_toes(weight, more):
    assert long_toe_mm(min(weight + more, 575)) >= long_toe_mm(weight)


@QUICK
@given(FEET, FEET, st.floats(0.2, 1.5), st.floats(0, 0.05))
def test_the_same_errors_given_give_the_same_results(one, two, error, scale):
    feet = {"one": one, "two": two}
    derived = compare(feet, error, scale_sd=scale)
    errors = {
        label: {measure: values[place] for measure, values in derived.errors.items()}
        for place, label in enumerate(derived.labels)
    }
    # 9 mm would give other errors: only those that are given count
    assert compare(feet, 9.0, errors=errors) == derived
    assert (
        read_foot(one, 9.0, errors=errors["one"]).findings
        == read_foot(one, error, scale_sd=scale).findings
    )
