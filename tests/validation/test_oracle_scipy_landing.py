"""Velocity against a smoothing spline, an independent smoother with the same kind of gain.

Oracle: scipy.interpolate.make_smoothing_spline (scipy >= 1.10), a natural cubic smoothing spline.
Its gain for long signals is 1 / (1 + (f/f0)^4) with lam = 1 / (T (2 pi f0)^4), T the frame interval
(derived); two passes of a second-order Butterworth filter have the same, far below the frame rate.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import make_smoothing_spline

from hoofcalc.landing import Track, smooth, velocity


def spline(times, values, cutoff):
    """Smoothing spline with gain 0.7071 at `cutoff`, as ours has."""
    half_power = cutoff / (np.sqrt(2) - 1) ** 0.25
    return make_smoothing_spline(
        times, values, lam=1 / ((times[1] - times[0]) * (2 * np.pi * half_power) ** 4)
    )


@pytest.mark.parametrize("fps", [120, 240])
def test_velocity_agrees_with_a_smoothing_spline(fps):
    rng = np.random.default_rng(12)
    times = np.arange(2 * fps) / fps
    phase = 2 * np.pi * 1.5 * times
    path = np.stack([400 * np.sin(phase), 80 * np.cos(2 * phase)], 1)
    speed = np.stack([1.2 * np.pi * np.cos(phase), -0.48 * np.pi * np.sin(2 * phase)], 1)
    noisy = path + rng.standard_normal(path.shape)
    ours = velocity(Track(times, noisy), 12.0)
    theirs = np.stack([spline(times, y, 12.0).derivative()(times) for y in noisy.T], 1) / 1000
    inner = slice(fps // 4, -fps // 4)
    # both carry nearly the same noise, so they agree better with each other than with the truth
    apart = np.sqrt(np.mean((ours - theirs)[inner] ** 2))
    assert apart < np.sqrt(np.mean((ours - speed)[inner] ** 2))
    assert apart < 0.03  # of 3.8 m/s


@pytest.mark.parametrize("frequency", [1.0, 3.0, 5.0, 8.0])
def test_both_smoothers_have_the_same_gain(frequency):
    """Derived: the analogue Butterworth pair 1 / (1 + (f/f0)^4); 0.005 for the digital filter's
    warping at a fiftieth of the frame rate."""
    fps, cutoff = 400, 8.0
    times = np.arange(8 * fps) / fps
    wave = np.sin(2 * np.pi * frequency * times)
    inner = slice(2 * fps, 6 * fps)
    ours = smooth(Track(times, np.stack([wave, wave], 1)), cutoff).positions_mm[inner, 0]
    theirs = spline(times, wave, cutoff)(times)[inner]
    gains = [out @ wave[inner] / (wave[inner] @ wave[inner]) for out in (ours, theirs)]
    half_power = cutoff / (np.sqrt(2) - 1) ** 0.25
    assert gains == pytest.approx([1 / (1 + (frequency / half_power) ** 4)] * 2, abs=0.005)
