"""Tsai S.W., Wu E.M., "A general theory of strength for anisotropic materials", J. Composite
Materials 5 (1971) 58-80 (title page and abstract read). Material: T300/5208 as in Kaw 2006, Table
2.1."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import Horn, strength_at_deg, strength_ratio

SHEET = Horn(181e3, 10.3e3, 7.17e3, 0.28, 1500, 1500, 40, 246, 68)
ANGLES = [2, 5, 10, 20, 30, 45, 60, 90]


@pytest.mark.parametrize(
    ("sense", "expected"),
    [
        ("tension", [1178.47, 664.84, 343.48, 160.96, 101.22, 64.54, 48.96, 40]),
        ("compression", [1214.97, 743.44, 438.57, 265.70, 215.27, 198.90, 211.70, 246]),
    ],
)
def test_off_axis_strength(sense, expected):
    """F12 = -0.5 sqrt(F11 F22) (derived, printed digits)."""
    strength = strength_at_deg(SHEET, ANGLES, "tsai_wu", sense)
    np.testing.assert_allclose(strength, expected, atol=0.006)


def test_the_polynomial_is_one_at_failure():
    """F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 t^2 + 2 F12 s1 s2 = 1 (their sum Fi si +
    Fij si sj = 1, read, written out for plane stress), for random stresses in the tubules' axes."""
    s = np.random.default_rng(3).normal(scale=[300, 30, 30], size=(200, 3)).T
    s1, s2, t = s * strength_ratio(SHEET, *s, 0, "tsai_wu")
    f1, f2 = 0.0, 1 / 40 - 1 / 246
    f11, f22, f66 = 1 / 1500**2, 1 / (40 * 246), 1 / 68**2
    f12 = -0.5 * np.sqrt(f11 * f22)
    total = f1 * s1 + f2 * s2 + f11 * s1**2 + f22 * s2**2 + f66 * t**2 + 2 * f12 * s1 * s2
    np.testing.assert_allclose(total, 1.0, rtol=1e-10)


def test_its_overshoot_in_off_axis_compression():
    """Pressed at 45 degrees it allows half as much again as the limits of the single stresses."""
    over = strength_at_deg(SHEET, 45, "tsai_wu") / strength_at_deg(SHEET, 45, "max_stress")
    assert over == pytest.approx(198.9 / 136.0, abs=1e-3)
