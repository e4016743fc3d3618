"""Error of an angle from the error of its landmarks: first-order propagation, derived.

Taylor J.R., An Introduction to Error Analysis, 2nd ed. 1997, chapter 3 (rules read in a text that
quotes pages 77-79).
Sigma per coordinate, independent: two separate lines sigma sqrt(2) sqrt(1/L1^2 + 1/L2^2); two
lines that share a corner sigma sqrt(2/L1^2 + 2/L2^2 - 2 cos(a)/(L1 L2)); a length sigma sqrt(2).
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.profile import MEASURES, Profile, error_of, with_error

FOOT = Profile.from_measures(50, 40, 80, 60, 110)


def corner(angle_deg, first, second, sigma):
    cosine = np.cos(np.radians(angle_deg))
    return np.degrees(sigma * np.sqrt(2 / first**2 + 2 / second**2 - 2 * cosine / (first * second)))


def test_a_wall_against_the_ground_line_it_shares_a_corner_with():
    assert error_of(FOOT, "toe_angle_deg", 0.5) == pytest.approx(corner(50, 80, 110, 0.5), rel=1e-7)
    # at the heel the corner inside the foot is 180 - 40 degrees
    assert error_of(FOOT, "heel_angle_deg", 0.5) == pytest.approx(
        corner(140, 60, 110, 0.5), rel=1e-7
    )


def test_printed_values():
    # 80 and 60 mm, sigma 0.5: 0.84405 separate, 0.70186 sharing a corner of 50 degrees
    assert error_of(FOOT, "angle_gap_deg", 0.5) == pytest.approx(0.84405, abs=1e-5)
    shared = Profile.from_measures(50, 40, 80, 30, 60)
    assert error_of(shared, "toe_angle_deg", 0.5) == pytest.approx(0.70186, abs=1e-5)


def test_lengths_err_by_sqrt_two_whatever_their_length():
    for name in ("toe_length_mm", "heel_length_mm", "bearing_length_mm"):
        assert error_of(FOOT, name, 0.5) == pytest.approx(np.sqrt(2) * 0.5, rel=1e-7)


@pytest.mark.parametrize("sigma", [0.3, 1.0])
def test_formula_and_drawing_agree_for_every_measure(sigma):
    draws = 60_000
    many = with_error(FOOT, sigma, draws, np.random.default_rng(21))
    for name in MEASURES:
        drawn = np.std(getattr(many, name))
        # 60,000 draws: 0.3 % at one standard error; curvature below 0.5 % here
        assert drawn == pytest.approx(error_of(FOOT, name, sigma), rel=0.015), name


def test_the_error_of_the_axis_is_that_of_two_separate_lines():
    pastern = {"pastern_low": (20.0, 95.0), "pastern_high": (-20.0, 125.0)}  # 50 mm long
    foot = Profile(**FOOT.landmarks, **pastern)
    expected = np.degrees(0.5 * np.sqrt(2 / 80**2 + 2 / 50**2))
    assert error_of(foot, "axis_deviation_deg", 0.5) == pytest.approx(expected, rel=1e-6)


def test_short_lines_break_the_first_order():
    # L 10, sigma 1: first order 8.10 degrees, drawing 8.18: 1 % off, the limit of the formula
    short = Profile.from_measures(50, 70, 80, 10, 110)
    many = with_error(short, 1.0, 200_000, np.random.default_rng(4))
    ratio = np.std(many.angle_gap_deg) / error_of(short, "angle_gap_deg", 1.0)
    assert 1.003 < ratio < 1.03
