"""What the ground force must obey: balance of impulses, signs, limits, refusals in words."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc.ground_force import (
    DUTY_FACTORS,
    FORE_PAIR_SHARES,
    IMPACT_PHASE_S,
    gallop_timing,
    limbs_of,
    peak_vertical_n,
    stance_force,
    tilt_deg,
)

GAITS = ("walk", "trot", "canter", "gallop")
#: A duty factor that fits the gait.
USUAL = {"walk": 0.62, "trot": 0.40, "canter": 0.36, "gallop": 0.22}
LIMBS = [(gait, limb) for gait in GAITS for limb in limbs_of(gait)]
# Gauss-Legendre on 0..1: exact for these entire functions to rounding with 40 points
NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)
NODES, WEIGHTS = (NODES + 1) / 2, WEIGHTS / 2


def limb_count(gait, limb):
    """How many feet of the horse a name stands for."""
    return 1 if gait == "canter" else 2


@pytest.mark.parametrize(("gait", "limb"), LIMBS)
def test_the_impulse_over_the_stance_is_the_mean_times_its_time(gait, limb):
    force = stance_force(gait, limb, 523.0, USUAL[gait], NODES)
    assert force.vertical_n @ WEIGHTS == pytest.approx(force.mean_vertical_n, rel=1e-13)
    size = np.abs(force.fore_aft_n).max()
    assert force.fore_aft_n @ WEIGHTS == pytest.approx(force.mean_fore_aft_n, abs=1e-13 * size)


@pytest.mark.parametrize("gait", GAITS)
@pytest.mark.parametrize("share", [None, 0.45, 0.57, 0.6])
def test_the_stances_of_a_stride_carry_the_weight_and_keep_the_speed(gait, share):
    mass, stride = 523.0, 0.71
    beta = {"fore": 1.05 * USUAL[gait], "hind": 0.95 * USUAL[gait]}
    up = forward = 0.0
    for limb in limbs_of(gait):
        duty = beta[limb.split()[-1]]
        force = stance_force(gait, limb, mass, duty, NODES, fore_share=share)
        time = duty * stride * limb_count(gait, limb)
        up += time * (force.vertical_n @ WEIGHTS)
        forward += time * (force.fore_aft_n @ WEIGHTS)
    weight = mass * GRAVITY_M_S2 * stride
    assert up == pytest.approx(weight, rel=1e-13)
    assert forward == pytest.approx(0, abs=1e-13 * weight)


@pytest.mark.parametrize(("gait", "limb"), LIMBS)
def test_the_ground_pushes_and_never_pulls(gait, limb):
    force = stance_force(gait, limb, 500.0, USUAL[gait], np.linspace(0, 1, 2001))
    assert force.vertical_n[0] == force.vertical_n[-1] == 0
    assert (force.vertical_n[1:-1] > 0).all()
    # braking comes before push-off, in every limb that does both
    assert force.fore_aft_n[100] > 0
    assert force.fore_aft_n[-100] < 0


@pytest.mark.parametrize(("gait", "limb"), LIMBS)
def test_the_curve_peaks_near_the_estimate(gait, limb):
    share = FORE_PAIR_SHARES[gait] if "fore" in limb else 1 - FORE_PAIR_SHARES[gait]
    peak = stance_force(gait, limb, 500.0, USUAL[gait]).peak_vertical_n
    assert peak == pytest.approx(peak_vertical_n(500.0, USUAL[gait], share), rel=0.13)


def test_walk_has_two_humps_and_the_others_one():
    for gait, limb in LIMBS:
        force = stance_force(gait, limb, 500.0, USUAL[gait], np.linspace(0, 1, 1001))
        rise = np.diff(force.vertical_n)
        tops = np.count_nonzero((rise[:-1] > 0) & (rise[1:] <= 0))
        assert tops == (2 if gait == "walk" else 1)


def test_walk_fore_pushes_harder_late_and_hind_early():
    """From memory, medium."""
    early, late = slice(0, 50), slice(51, None)
    fore = stance_force("walk", "fore", 500.0, 0.62).vertical_n
    hind = stance_force("walk", "hind", 500.0, 0.62).vertical_n
    assert fore[early].max() < fore[late].max()
    assert hind[early].max() > hind[late].max()


def test_arrays_of_horses_and_moments_go_together():
    masses, duty = np.array([[400.0], [500.0], [600.0]]), np.array([0.3, 0.4])
    force = stance_force("trot", "hind", masses, duty, np.linspace(0.1, 0.9, 7))
    assert force.vertical_n.shape == force.fore_aft_n.shape == force.tilt_deg.shape == (3, 2, 7)
    assert force.mean_vertical_n.shape == force.peak_vertical_n.shape == (3, 2)
    one = stance_force("trot", "hind", 600.0, 0.3, np.linspace(0.1, 0.9, 7))
    assert force.vertical_n[2, 0] == pytest.approx(one.vertical_n, rel=1e-14)
    assert isinstance(one.peak_vertical_n, float)
    assert isinstance(one.mean_fore_aft_n, float)


def test_tilt_is_refused_where_the_foot_is_not_loaded():
    whole = stance_force("trot", "fore", 500.0, 0.4)
    with pytest.raises(ValueError, match="tilt_deg has no meaning at moments 0 to 1: the vertical"):
        _ = whole.tilt_deg
    assert not whole.loaded[[0, 1, -1]].any()
    assert whole.loaded[5:-5].all()
    tilt = tilt_deg(whole.vertical_n[whole.loaded], whole.fore_aft_n[whole.loaded])
    assert (np.diff(tilt) < 0).all()  # leaning back first, forward last, one way all through
    both = stance_force("trot", "fore", [400.0, 500.0], 0.4, [0.0, 0.5])
    with pytest.raises(ValueError, match="moments 0 to 0"):
        _ = both.tilt_deg


def test_tilt_signs_and_limits():
    assert tilt_deg(1000.0, 0.0) == 0
    assert tilt_deg(1000.0, 1000.0) == pytest.approx(45)
    assert tilt_deg(1000.0, -1000.0) == pytest.approx(-45)
    for nothing in (0.0, -5.0):
        with pytest.raises(ValueError, match="vertical_n must be above 0"):
            tilt_deg(nothing, 10.0)


def test_half_the_contact_time_doubles_the_force():
    assert peak_vertical_n(500.0, 0.2, 0.57) == pytest.approx(
        2 * peak_vertical_n(500.0, 0.4, 0.57), rel=1e-14
    )


def test_a_rider_counts_by_mass():
    horse, both = (stance_force("trot", "fore", m, 0.4).peak_vertical_n for m in (500.0, 580.0))
    assert both / horse == pytest.approx(580 / 500)


@pytest.mark.parametrize(("gait", "limb"), LIMBS)
@pytest.mark.parametrize("mean", [1, -1])
def test_a_duty_factor_that_is_no_such_gait_is_refused(gait, limb, mean):
    """A quarter beyond the published range is taken, more is not."""
    known = DUTY_FACTORS[gait]
    edge = known.most if mean > 0 else known.least
    assert known.least == pytest.approx(0.75 * known.low)
    assert known.most == pytest.approx(1.25 * known.high)
    assert stance_force(gait, limb, 500.0, edge).peak_vertical_n > 0
    with pytest.raises(
        ValueError, match=f"for a {gait}, where {known.low:.2f} to {known.high:.2f}"
    ):
        stance_force(gait, limb, 500.0, edge + mean * 1e-3)


def test_a_trot_of_0_95_and_a_walk_of_0_15_are_refused_in_words():
    """Both were taken silently once."""
    for gait, duty, words in (
        ("trot", 0.95, r"between 0\.165 and 0\.625 for a trot, where 0\.22 to 0\.50 is published"),
        ("walk", 0.15, r"between 0\.45 and 0\.812 for a walk, where 0\.60 to 0\.65 is published"),
    ):
        with pytest.raises(ValueError, match=rf"duty_factor must be {words} \(got {duty}\)"):
            stance_force(gait, "fore", 500.0, duty)
    with pytest.raises(ValueError, match=r"\(got 0\.95\), at index 1"):
        stance_force("trot", "fore", 500.0, [0.4, 0.95])


def test_the_ranges_of_the_duty_factor_are_the_published_ones():
    """Usual ranges: from memory. Fast trot (100 of 455 ms) and gallop at 17 m/s: read."""

    def row(quantity, case):
        (figure,) = datasets.published("gait_timing", quantity, case)
        return figure

    for gait in ("walk", "canter"):
        usual = row("duty_factor", f"{gait}, typical")
        assert (DUTY_FACTORS[gait].low, DUTY_FACTORS[gait].high) == (usual.low, usual.high)
    trot = DUTY_FACTORS["trot"]
    assert trot.high == row("duty_factor", "trot, typical").high
    fast = row("stance_time", "trot, fore, 12 m/s").value / row("stride_time", "trot, 12 m/s").value
    assert trot.low == pytest.approx(fast, abs=0.005)
    fastest = row("duty_factor", "gallop, fore, 17 m/s").value
    assert DUTY_FACTORS["gallop"].low == pytest.approx(fastest, abs=0.005)


def test_gallop_is_the_gait_that_shares_evenly_and_is_the_least_sure():
    assert FORE_PAIR_SHARES["gallop"] == 0.5
    assert {FORE_PAIR_SHARES[gait] for gait in ("walk", "trot", "canter")} == {0.57}
    for limb in ("fore", "hind"):
        assert stance_force("gallop", limb, 500.0, 0.22).spread >= 0.2
    assert stance_force("gallop", "fore", 500.0, 0.22).vertical_n == pytest.approx(
        stance_force("gallop", "hind", 500.0, 0.22).vertical_n
    )


def test_the_impact_phase_is_a_short_part_of_a_trot_stance():
    shortest, longest = IMPACT_PHASE_S
    assert 0 < shortest < longest < 0.25 * 0.3


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: stance_force("pace", "fore", 500.0, 0.4), "gait must be one of 'walk', 'trot'"),
        (lambda: stance_force("canter", "fore", 500.0, 0.4), "limb must be one of 'leading fore'"),
        (lambda: stance_force("trot", "fore", 0.0, 0.4), "mass_kg must be above 0"),
        (lambda: stance_force("trot", "fore", 500.0, 1.0), "duty_factor must be above 0 and belo"),
        (lambda: stance_force("trot", "fore", 500.0, 0.4, [0.5, 1.2]), "moments must be between"),
        (
            lambda: stance_force("trot", "fore", 500.0, 0.4, np.ones((2, 2))),
            "moments must be a row",
        ),
        (lambda: stance_force("trot", "fore", 500.0, 0.4, None, 1.0), "fore_share must be above"),
        (lambda: stance_force("trot", "fore", [1.0, 2], [0.4] * 3), "shapes do not go together"),
        (lambda: peak_vertical_n(500.0, 0.4, 57.0), "pair_share must be above 0 and at most 1"),
        (lambda: gallop_timing(5.0, "fore"), "speed_m_s must be between 9 and 17"),
        (lambda: gallop_timing(10.0, "left"), "pair must be one of 'fore', 'hind'"),
        (lambda: limbs_of("amble"), "gait must be one of"),
    ],
)
def test_what_cannot_be_answered_is_refused_in_words(call, words):
    with pytest.raises(ValueError, match=words):
        call()
