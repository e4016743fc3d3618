"""Drift of the heel and probabilities against scipy: adaptive ODE solver, roots, normal law."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.stats import norm

from hoofcalc.cycle import HeelLaw, drift, fixed_points, steady_law
from hoofcalc.profile import Profile
from hoofcalc.reading import POPULATION, percentile, read_foot

CASES = [
    (40.0, 35.0, 56.0, {"band_angle_deg": 40.0}),
    (30.0, 50.0, 84.0, {"band_angle_deg": 45.0, "wear_mm_day": 0.1, "tilt_deg": -4.0}),
    (60.0, 20.0, 200.0, {"band_angle_deg": 35.0, "creep_times": 2.0}),
    (55.0, 2.0, 1000.0, {"band_angle_deg": 50.0, "growth_mm_day": 0.9, "wear_mm_day": 0.9}),
]


def give(angle, length, growth, creep=1.0, tilt=0.0):
    """Creep of the free third of a strip, with its own constants [deg]."""
    free, inertia = length / 3.0, 5.5**3 / 12.0
    at_once = 5.0 * np.cos(np.radians(angle + tilt)) * free**2 / (3.0 * 410.0 * inertia)
    seconds = length / growth * 86400.0
    power = np.arctan(0.085) / (np.pi / 2.0)
    return creep * np.degrees(at_once) * ((2.0 * np.pi * 10.0**0.5 * seconds) ** power - 1.0)


def written_out(t, state, growth, wear, creep, band, tilt):
    """The equation as it stands in words."""
    angle, length = state
    return [
        growth / length * (band - give(angle, length, growth, creep, tilt) - angle),
        growth - wear,
    ]


@pytest.mark.parametrize(("angle", "length", "days", "law"), CASES)
def test_drift_against_an_adaptive_solver(angle, length, days, law):
    constants = (
        law.get("growth_mm_day", 0.25),
        law.get("wear_mm_day", 0.0),
        law.get("creep_times", 1.0),
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
    # trimmed every day the heel keeps its height, so the band angle must be the heel's and its
    # give together; solved here by itself
    height, band = 22.0, 44.0

    def balance(angle):
        return band - give(angle, height / np.sin(np.radians(angle)), 0.25) - angle

    grid = np.linspace(11, band, 2000)
    top = grid[np.argmax([balance(angle) for angle in grid])]
    # net growth over a day is worn off, so that height stays exactly
    points = fixed_points(height, 0.01, HeelLaw(band, wear_mm_day=0.25))
    assert points[0].heel_angle_deg == pytest.approx(brentq(balance, 11, top), abs=1e-3)
    assert points[1].heel_angle_deg == pytest.approx(brentq(balance, top, band), abs=1e-3)
    steady = steady_law(points[1].heel_angle_deg, height, 0.01, wear_mm_day=0.25)
    assert steady.band_angle_deg == pytest.approx(band, abs=1e-3)


def test_the_give_against_horn_followed_layer_by_layer():
    """Every millimetre of a wall has its own age and its own creep; renewed at one end, worn at
    the other. The wall's mean direction, where it has become steady."""
    length, growth, band, angle = 36.0, 0.25, 45.0, 40.0
    layers = 400
    step_days = length / layers / growth
    direction = np.full(layers, angle)
    at_once = give(angle, length, growth) / (
        (length / growth * 86400 * 2 * np.pi * 10**0.5) ** (np.arctan(0.085) / (np.pi / 2)) - 1
    )
    ages = np.arange(layers + 1) * step_days * 86400 * 2 * np.pi * 10**0.5
    crept = np.maximum(ages, 1.0) ** (np.arctan(0.085) / (np.pi / 2)) - 1.0
    for _ in range(3 * layers):
        direction = np.append(band, direction[:-1]) - at_once * np.diff(crept)
    whole = band - give(angle, length, growth)  # what the one equation settles at
    assert direction[-1] == pytest.approx(whole, abs=1e-6)  # the ground's end exactly
    assert band - direction.mean() == pytest.approx(band - whole, rel=0.1)  # the mean in a tenth


def test_percentiles_and_probabilities_against_the_normal_law():
    for (measure, limb), (mean, spread) in POPULATION.items():
        for value in (mean - 13.0, mean, mean + 4.0):
            expected = 100 * norm.cdf(value, mean, spread)
            assert percentile(measure, value, limb) == pytest.approx(expected)
    finding = read_foot(Profile.from_measures(52, 46, 85, 35, 110), 0.8)["in line"]
    # the product of reading and population, summed up over a grid
    grid = np.linspace(-60, 80, 200_001)
    weight = norm.pdf(grid, 6, finding.error) * norm.pdf(grid, 11.7, np.hypot(3.9, 9.3))
    inside = (grid >= -5) & (grid <= 5)
    assert finding.probability == pytest.approx(weight[inside].sum() / weight.sum(), abs=1e-4)
