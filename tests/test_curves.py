"""Our smooth curves against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicSpline, PchipInterpolator
from scipy.signal import butter, filtfilt, savgol_filter

from hoofcalc._curves import cubic_spline, low_pass, monotone_cubic, running_fit

KNOTS = [
    np.array([0.0, 1.0, 1.7, 4.0]),
    np.linspace(-2, 3, 9) ** 3,
    np.array([5.0, 8.0, 27.9, 30.0, 31.0, 100.0]),
]


@pytest.mark.parametrize("knots", KNOTS)
@pytest.mark.parametrize("columns", [(), (2,)])
def test_the_spline_is_scipys(knots, columns):
    values = np.random.default_rng(3).normal(size=(len(knots), *columns))
    at = np.linspace(knots[0] - 1, knots[-1] + 1, 101)
    np.testing.assert_allclose(
        cubic_spline(knots, values, at), CubicSpline(knots, values)(at), rtol=1e-9, atol=1e-9
    )


@pytest.mark.parametrize("knots", KNOTS)
@pytest.mark.parametrize("seed", range(6))
def test_the_monotone_curve_is_scipys(knots, seed):
    draw = np.random.default_rng(seed)
    values = draw.normal(size=len(knots)) if seed % 2 else np.cumsum(draw.uniform(0, 1, len(knots)))
    at = np.linspace(knots[0], knots[-1], 101)
    found = monotone_cubic(knots, values, at)
    np.testing.assert_allclose(found, PchipInterpolator(knots, values)(at), rtol=1e-9, atol=1e-9)
    if not seed % 2:
        assert np.all(np.diff(found) >= -1e-12)


def test_a_flat_piece_stays_flat():
    found = monotone_cubic(np.arange(5.0), np.array([0, 1, 1, 1, 3.0]), np.linspace(1, 3, 21))
    np.testing.assert_allclose(found, 1)


@pytest.mark.parametrize("cutoff", [2.0, 6.3, 20.0, 29.0])
@pytest.mark.parametrize("columns", [(), (2,)])
def test_the_low_pass_is_scipys(cutoff, columns):
    series = np.cumsum(np.random.default_rng(1).normal(size=(90, *columns)), axis=0)
    expected = filtfilt(*butter(2, cutoff, fs=60.0), series, axis=0)
    np.testing.assert_allclose(low_pass(series, cutoff, 60.0), expected, rtol=1e-9, atol=1e-9)


def test_a_running_fit_is_scipys():
    rough = np.random.default_rng(5).standard_normal(60)
    np.testing.assert_allclose(running_fit(rough, 9), savgol_filter(rough, 9, 2), atol=1e-12)
