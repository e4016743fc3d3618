"""AISC 360-16, Specification for Structural Steel Buildings, Commentary, Table C-A-7.1.

Approximate values of the effective length factor K: both rows read.
"""

from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from hoofcalc.columns import end_factor

TABLE = {
    "fixed-fixed": (0.5, 0.65),
    "fixed-pinned": (0.7, 0.80),
    "fixed-guided": (1.0, 1.2),
    "pinned-pinned": (1.0, 1.0),
    "fixed-free": (2.0, 2.10),
    "pinned-guided": (2.0, 2.0),
}


@pytest.mark.parametrize(("ends", "row"), TABLE.items())
def test_theoretical_and_recommended_factors(ends, row):
    """Table C-A-7.1 (read). Theory printed to one digit: 0.7 stands for 0.699."""
    assert_allclose(end_factor(ends), row[0], atol=0.0009)
    assert end_factor(ends, practical=True) == row[1]
