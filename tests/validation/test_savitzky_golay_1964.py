"""Smoothing and differentiating by moving polynomials, as a second opinion on velocity.

Savitzky A., Golay M.J.E. 1964. Smoothing and differentiation of data by simplified least squares
procedures. Analytical Chemistry 36, 1627-1639. Place and five-point
weights (-3 12 17 12 -3)/35 read in texts that quote them; the others derived here.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import savgol_coeffs, savgol_filter

from hoofcalc.landing import Track, landing_vector, velocity


def test_five_point_weights():
    """From memory, high: [-3 12 17 12 -3]/35 and [-2 -1 0 1 2]/10; their noise gains derived."""
    value = savgol_coeffs(5, 2)
    slope = savgol_coeffs(5, 2, deriv=1, use="dot")
    assert value == pytest.approx(np.array([-3, 12, 17, 12, -3]) / 35)
    assert slope == pytest.approx(np.array([-2, -1, 0, 1, 2]) / 10)
    assert np.linalg.norm(value) == pytest.approx(0.696932, abs=1e-6)
    assert np.linalg.norm(slope) == pytest.approx(1 / np.sqrt(10))


def swing(fps, error_mm, rng):
    times = np.arange(fps) / fps
    phase = 2 * np.pi * 2 * times
    path = np.stack([300 * np.sin(phase), 60 * np.cos(2 * phase)], 1)
    speed = np.stack([0.6 * 2 * np.pi * np.cos(phase), -0.24 * 2 * np.pi * np.sin(2 * phase)], 1)
    return Track(times, path + error_mm * rng.standard_normal(path.shape)), speed


@pytest.mark.parametrize("fps", [120, 240, 1000])
def test_velocity_agrees_with_a_moving_cubic(fps):
    """Two ways of smoothing one noisy swing differ less than their errors together."""
    track, speed = swing(fps, 1.0, np.random.default_rng(6))
    ours = velocity(track, 15.0)
    window = 2 * int(0.04 * fps) + 1  # 80 ms: about the band of 15 Hz
    theirs = savgol_filter(track.positions_mm, window, 3, deriv=1, delta=1 / fps, axis=0) / 1000
    inner = slice(fps // 6, -fps // 6)
    error_ours = np.sqrt(np.mean((ours - speed)[inner] ** 2))
    error_theirs = np.sqrt(np.mean((theirs - speed)[inner] ** 2))
    # 1 mm through either filter leaves under 0.1 m/s of a movement of 3.8 m/s
    assert error_ours < 0.1
    assert error_theirs < 0.1
    assert np.sqrt(np.mean((ours - theirs)[inner] ** 2)) < error_ours + error_theirs


def test_a_landing_is_exact_for_a_cubic_flight():
    """Derived: least squares by a cubic returns a cubic; so does the reference's inside the track.
    1e-5 of the speed: a little room is kept for a bend up to contact."""
    times = np.arange(200) / 240
    u = times - 0.5
    flight = np.minimum(u, 0)
    x = 1300 * flight - 9000 * flight**2 - 30000 * flight**3
    z = -1700 * flight + 4000 * flight**2 + 20000 * flight**3
    found = landing_vector(
        Track(times, np.stack([x, z], 1), ground_mm=0.0, point_error_mm=0.0, give_mm=0.0),
        window_s=0.1,
    )
    assert found.contact_s == pytest.approx(0.5, abs=1e-6)
    assert (found.forward_m_s, found.down_m_s) == pytest.approx((1.3, 1.7), rel=1e-5)
    assert found.slip_mm == pytest.approx(0, abs=1e-4)
    middle = savgol_filter(z, 11, 3, deriv=1, delta=1 / 240)[100]  # at 0.4167 s, inner
    v = times[100] - 0.5
    assert middle == pytest.approx(-1700 + 8000 * v + 60000 * v**2, rel=1e-9)
