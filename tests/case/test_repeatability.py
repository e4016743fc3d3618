"""The hand's own share of what two readings part by, against readings made with a known hand."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.case.repeatability import repeatability


def test_a_known_hand_is_found_again():
    """2,000 photographs of feet 3 degrees apart, read twice with 0.8 degrees."""
    rng = np.random.default_rng(8)
    feet = rng.normal(50, 3.0, (2000, 1))
    found = repeatability(feet + rng.normal(0, 0.8, (2000, 2)))
    assert found.within == pytest.approx(0.8, rel=0.03)
    assert found.coefficient == pytest.approx(1.96 * np.sqrt(2) * 0.8, rel=0.03)
    assert found.icc == pytest.approx(9 / (9 + 0.64), abs=0.01)
    apart = rng.normal(0, 0.8, 100_000) - rng.normal(0, 0.8, 100_000)
    assert np.mean(np.abs(apart) < found.coefficient) == pytest.approx(0.95, abs=0.01)


def test_a_hand_that_shifts_shows_in_the_limits():
    table = np.array([[50.0, 51.0], [44.0, 45.1], [48.0, 48.9], [52.0, 53.0]])
    found = repeatability(table)
    assert found.bias == pytest.approx(1.0)
    assert 0 < found.low < 1 < found.high


@pytest.mark.parametrize("table", [[[1.0, 2.0]], [[1.0], [2.0], [3.0]]])
def test_too_few_are_refused(table):
    with pytest.raises(ValueError, match="at least 3 photographs"):
        repeatability(table)
