"""Hashin Z., "Failure criteria for unidirectional fiber composites", J. Applied Mechanics 47
(1980) 329-334 (abstract read; place read as cited). Material: T300/5208 as in Kaw 2006,
Table 2.1."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import Horn, strength_at_deg, strength_ratio

SHEET = Horn(181e3, 10.3e3, 7.17e3, 0.28, 1500, 1500, 40, 246, 68)


def test_off_axis_compression():
    """The plane-stress modes with a transverse shear strength of Yc/2 (derived, printed digits)."""
    angles = [2, 5, 10, 20, 30, 45, 60, 90]
    expected = [1501.83, 782.96, 397.17, 210.52, 155.08, 131.08, 141.64, 246]
    np.testing.assert_allclose(strength_at_deg(SHEET, angles, "hashin"), expected, atol=0.006)


@pytest.mark.parametrize(
    ("along", "across", "shear", "governing_sum"),
    [
        # fibre tension, fibre compression, matrix tension
        (1400.0, -10.0, 20.0, lambda s1, s2, t: (s1 / 1500) ** 2 + (t / 68) ** 2),
        (-1400.0, 1.0, 20.0, lambda s1, s2, t: (s1 / 1500) ** 2),
        (100.0, 30.0, 20.0, lambda s1, s2, t: (s2 / 40) ** 2 + (t / 68) ** 2),
        # matrix compression: (s2/2ST)^2 + [(Yc/2ST)^2 - 1] s2/Yc + (t/S)^2 with ST = Yc/2
        (100.0, -200.0, 20.0, lambda s1, s2, t: (s2 / 246) ** 2 + (t / 68) ** 2),
    ],
)
def test_each_mode_fails_where_its_own_sum_reaches_one(along, across, shear, governing_sum):
    """The four plane-stress modes (read in texts that cite him for them): the stress is scaled
    until the sum is one."""
    ratio = strength_ratio(SHEET, along, across, shear, 0, "hashin")
    at_failure = governing_sum(ratio * along, ratio * across, ratio * shear)
    assert at_failure == pytest.approx(1.0, rel=1e-12)
