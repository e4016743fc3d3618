"""Low-pass filtering and residual analysis of digitised tracks.

Winter D.A. 2009. Biomechanics and Motor Control of Human Movement, 4th ed. Wiley. Section 3.4.4:
second-order Butterworth run twice, cutoff divided by C = 0.802 (read); residual analysis.
Gains and corrected frequencies below: derived from the digital filter's response.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import butter, freqz

from hoofcalc.landing import Track, corrected_cutoff_hz, residual_analysis, smooth


def gain_of_two_passes(cutoff, fps, at):
    numerator, denominator = butter(2, cutoff, fs=fps)
    return float(np.abs(freqz(numerator, denominator, worN=[at], fs=fps)[1][0]) ** 2)


@pytest.mark.parametrize(
    ("fps", "cutoff", "simple_gain", "corrected_hz"),
    [
        (200, 6, 0.70847, 7.466823),
        (100, 10, 0.72288, 12.249241),
        (50, 10, 0.77907, 11.712557),
        (50, 15, 0.90119, 16.60101),
    ],
)
def test_gain_at_the_cutoff(fps, cutoff, simple_gain, corrected_hz):
    """Derived, as printed: without correction one half, with cutoff / C near enough only far below
    the frame rate, with the tangent exactly 1 / sqrt 2."""
    assert gain_of_two_passes(cutoff, fps, cutoff) == pytest.approx(0.5, abs=1e-12)
    per_pass = (np.sqrt(2) - 1) ** 0.25
    assert gain_of_two_passes(cutoff / per_pass, fps, cutoff) == pytest.approx(
        simple_gain, abs=6e-6
    )
    ours = corrected_cutoff_hz(cutoff, fps)
    assert ours == pytest.approx(corrected_hz, abs=6e-6)
    assert gain_of_two_passes(ours, fps, cutoff) == pytest.approx(np.sqrt(0.5), abs=1e-12)


def test_far_below_the_frame_rate_the_correction_is_the_printed_one():
    """Read: C = 0.802 for two passes of second order (0.802243, derived)."""
    assert 1.0 / corrected_cutoff_hz(1.0, 1e5) == pytest.approx(0.802243, abs=1e-6)
    assert 1.0 / corrected_cutoff_hz(1.0, 1e5) == pytest.approx(0.802, abs=5e-4)


@pytest.mark.parametrize("frequency", [1.0, 3.0, 6.0, 12.0, 25.0])
def test_smooth_has_the_gain_of_its_filter_at_other_frequencies_too(frequency):
    """Derived from the frequency response; a sine in the middle of a long film."""
    fps, cutoff = 200, 6.0
    times = np.arange(40 * fps) / fps
    angle = 2 * np.pi * frequency * times
    out = smooth(Track(times, np.stack([np.sin(angle), 0 * angle], 1)), cutoff).positions_mm[:, 0]
    inner = slice(10 * fps, 30 * fps)
    basis = np.stack([np.sin(angle), np.cos(angle)])[:, inner]
    gain, leak = basis @ out[inner] / (basis[0] @ basis[0])
    wanted = gain_of_two_passes(corrected_cutoff_hz(cutoff, fps), fps, frequency)
    assert gain == pytest.approx(wanted, abs=1e-8)
    assert leak == pytest.approx(0, abs=1e-8)  # zero phase: 1e-8 of the amplitude


def test_residual_analysis_meets_the_noise():
    """Derived: sine 1 Hz + 0.3 of 3 Hz + noise 0.01 at 200 frames a second: intercept near 0.0097,
    cutoff near 7.5 Hz. 10 % for the noise, a factor 1.5 for the cutoff (other draw and tail)."""
    times = np.arange(2000) / 200
    path = np.sin(2 * np.pi * times) + 0.3 * np.sin(2 * np.pi * 3 * times)
    noisy = path[:, None] + 0.01 * np.random.default_rng(0).standard_normal((2000, 2))
    found = residual_analysis(Track(times, noisy))
    assert found.noise_mm == pytest.approx(0.01, rel=0.10)
    assert found.best_hz == pytest.approx(7.5, rel=0.5)
    smoothed = smooth(Track(times, noisy), found.cutoff_hz).positions_mm
    inner = slice(200, -200)
    error = np.sqrt(np.mean((smoothed - path[:, None])[inner] ** 2))
    assert error < 0.5 * 0.01  # smoothing there takes more than half of the error away
