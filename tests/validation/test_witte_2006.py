"""Stance times and peak forces of galloping Thoroughbreds.

Witte T.H., Hirst C.V., Wilson A.M. 2006. Effect of speed on stride parameters in racehorses at
gallop in field conditions. Journal of Experimental Biology 209, 4389-4397. Abstract (read): stance
at 9 and 17 m/s fore 131 and 77 ms, hind 143 and 94 ms; protraction fore 364 and 342, hind 355 and
326 ms; peak force from the duty factor at 17 m/s fore 24.7 (22.6-26.0), hind 15.3 (13.7-16.2) N/kg.
The labels of the two fits under figure 3 (read) look exchanged against the abstract.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.ground_force import gallop_timing, peak_vertical_n, stance_force
from hoofcalc.landing import duty_factor


@pytest.mark.parametrize(
    ("pair", "speed", "stance", "protraction"),
    [
        ("fore", 9.0, 0.131, 0.364),
        ("fore", 17.0, 0.077, 0.342),
        ("hind", 9.0, 0.143, 0.355),
        ("hind", 17.0, 0.094, 0.326),
    ],
)
def test_times_at_the_published_speeds(pair, speed, stance, protraction):
    """Read; exact."""
    timing = gallop_timing(speed, pair)
    assert timing.stance_s == pytest.approx(stance, rel=1e-12)
    assert timing.stride_s == pytest.approx(stance + protraction, rel=1e-12)
    assert timing.duty_factor == pytest.approx(duty_factor(stance, stance + protraction))


def test_stride_rate():
    """Derived: 2.0 and 2.4 strides a second at 9 and 17 m/s, rounded."""
    assert 1 / gallop_timing(9.0, "fore").stride_s == pytest.approx(2.0, abs=0.05)
    assert 1 / gallop_timing(17.0, "fore").stride_s == pytest.approx(2.4, abs=0.05)


@pytest.mark.parametrize(
    ("pair", "fit"),
    [("fore", (243.56, -17.426, 0.4591)), ("hind", (270.33, -19.1, 0.5047))],  # labels exchanged
)
def test_between_the_ends_stance_bends_as_the_published_fits_do(pair, fit):
    """Read; 7 %: the fits themselves miss the abstract's ends by up to 6 %."""
    speed = np.linspace(9, 17, 9)
    stance = gallop_timing(speed, pair).stance_s
    published = (fit[0] + fit[1] * speed + fit[2] * speed**2) / 1000
    assert stance == pytest.approx(published, rel=0.07)
    assert (np.diff(stance) < 0).all()
    assert (np.diff(stance, 2) > 0).all()


@pytest.mark.parametrize(
    ("pair", "share", "formula", "published", "low", "high"),
    [("fore", 0.57, 23.9, 24.7, 22.6, 26.0), ("hind", 0.43, 14.8, 15.3, 13.7, 16.2)],
)
def test_peak_at_17_m_s(pair, share, formula, published, low, high):
    """Formula derived from read times, 0.1; published read, 5 % (a mean of ratios)."""
    beta = gallop_timing(17.0, pair).duty_factor
    peak = peak_vertical_n(1.0, beta, share)
    assert peak == pytest.approx(formula, abs=0.1)
    assert peak == pytest.approx(published, rel=0.05)
    assert low < peak < high
    # the curve takes their share only when told to
    force = stance_force("gallop", pair, 1.0, beta, fore_share=0.57)
    assert force.peak_vertical_n == pytest.approx(peak, rel=1e-12)
    # their range is that of one estimate among nine horses, and not its error
    assert force.spread > 2 * (high - low) / 2 / published


def test_an_even_share_moves_the_peaks_by_as_much_as_the_sources_differ():
    """Derived: with 50:50, as measured at gallop by others, 21.0 and 17.2 N/kg at 17 m/s."""
    fore, hind = (gallop_timing(17.0, pair).duty_factor for pair in ("fore", "hind"))
    for pair, duty, peak in (("fore", fore, 21.0), ("hind", hind, 17.2)):
        assert peak_vertical_n(1.0, duty, 0.5) == pytest.approx(peak, abs=0.1)
        assert stance_force("gallop", pair, 1.0, duty).peak_vertical_n == pytest.approx(
            peak, abs=0.1
        )


@pytest.mark.parametrize(("pair", "share", "peak"), [("fore", 0.57, 16.6), ("hind", 0.43, 11.5)])
def test_peak_at_9_m_s(pair, share, peak):
    """Derived from read times."""
    beta = gallop_timing(9.0, pair).duty_factor
    assert peak_vertical_n(1.0, beta, share) == pytest.approx(peak, abs=0.06)
