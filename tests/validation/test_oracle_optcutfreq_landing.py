"""Residual analysis against an independent program.

Oracle: the package optcutfreq (0.0.10), which follows Winter 2009 with C = 0.802 and its own search
for the straight part of the curve; here it is told to use ours.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.landing import Track, residual_analysis

optcutfreq = pytest.importorskip("optcutfreq").optcutfreq


@pytest.mark.parametrize("seed", range(5))
def test_suggested_cutoff_and_residual_line(seed):
    fps = 200
    times = np.arange(1000) / fps
    path = 100 * np.sin(2 * np.pi * times) + 30 * np.sin(2 * np.pi * 3 * times)
    noisy = path + np.random.default_rng(seed).standard_normal(1000)
    found = residual_analysis(Track(times, np.stack([noisy, 0.5 * noisy], 1)))
    # it tries cutoffs up to 0.401 of the frame rate only: its line ends there, ours at 0.45
    theirs = optcutfreq(noisy, freq=fps, fclim=[fps / 4, 0.4 * fps])
    # the residual is flat near the crossing: 5 % in the line's height moves it by 15 to 25 %
    assert found.best_hz[0] == pytest.approx(theirs, rel=0.3)
    assert found.best_hz[1] == pytest.approx(found.best_hz[0], rel=1e-6)  # size does not matter
