"""Drift of the heel and probabilities against scipy: adaptive ODE solver, roots, normal law."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.stats import norm

from hoofcalc.cycle import CREEP_DEG_PER_DAY_MPA, HeelLaw, drift, fixed_points
from hoofcalc.profile import Profile
from hoofcalc.reading import POPULATION, percentile, read_foot

CASES = [
    (40.0, 35.0, 56.0, {"band_angle_deg": 40.0}),
    (30.0, 50.0, 84.0, {"band_angle_deg": 45.0, "wear_mm_day": 0.1, "tilt_deg": -4.0}),
    (60.0, 20.0, 200.0, {"band_angle_deg": 35.0, "creep_deg_per_day_mpa": 0.006}),
    (55.0, 2.0, 1000.0, {"band_angle_deg": 50.0, "growth_mm_day": 0.9, "wear_mm_day": 0.9}),
]


def written_out(t, state, growth, wear, creep, band, tilt):
    """The equation as it stands in words, with its own constants."""
    angle, length = state
    across = 5.0 * np.cos(np.radians(angle + tilt))
    stress = across * (length / 3.0) / (5.5**2 / 6.0)
    return [growth / length * (band - angle) - creep * stress, growth - wear]


@pytest.mark.parametrize(("angle", "length", "days", "law"), CASES)
def test_drift_against_an_adaptive_solver(angle, length, days, law):
    constants = (
        law.get("growth_mm_day", 0.25),
        law.get("wear_mm_day", 0.0),
        law.get("creep_deg_per_day_mpa", CREEP_DEG_PER_DAY_MPA),
        law["band_angle_deg"],
        law.get("tilt_deg", 0.0),
    )
    exact = solve_ivp(
        written_out, (0, days), [angle, length], args=constants, rtol=1e-11, atol=1e-11
    ).y[:, -1]
    got = drift(angle, length, days, HeelLaw(**law))
    assert got.heel_angle_deg == pytest.approx(exact[0], abs=2e-6)
    assert got.heel_length_mm == pytest.approx(exact[1], abs=1e-8)


def test_short_intervals_settle_where_the_rate_is_nought():
    # trimmed every day the heel keeps its height, so renewal and creep must balance:
    # sin^2(a) (a_band - a)/cos(a) = c K h^2/g, solved here by itself
    height, band = 22.0, 40.0
    strength = CREEP_DEG_PER_DAY_MPA * (6 * 5 / 3 / 5.5**2) * height**2 / 0.25

    def balance(angle):
        a = np.radians(angle)
        return np.sin(a) ** 2 * (band - angle) / np.cos(a) - strength

    top = np.linspace(11, band, 2000)[np.argmax([balance(a) for a in np.linspace(11, band, 2000)])]
    # net growth over a day is worn off, so that height stays exactly
    points = fixed_points(height, 0.01, HeelLaw(band, wear_mm_day=0.25))
    assert points[0].heel_angle_deg == pytest.approx(brentq(balance, 11, top), abs=1e-3)
    assert points[1].heel_angle_deg == pytest.approx(brentq(balance, top, band), abs=1e-3)


def test_percentiles_and_probabilities_against_the_normal_law():
    for (measure, limb), (mean, spread) in POPULATION.items():
        for value in (mean - 13.0, mean, mean + 4.0):
            expected = 100 * norm.cdf(value, mean, spread)
            assert percentile(measure, value, limb) == pytest.approx(expected)
    finding = read_foot(Profile.from_measures(52, 46, 85, 35, 110), 0.8)["in line"]
    expected = norm.cdf(5, 6, finding.error) - norm.cdf(-5, 6, finding.error)
    assert finding.probability == pytest.approx(expected)
