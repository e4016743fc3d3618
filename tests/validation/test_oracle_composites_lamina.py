"""A sheet off its axis against the `composites` package (stiffness of one ply) and against a plain
rotation of the compliance matrix."""

from __future__ import annotations

import numpy as np
import pytest
from composites import laminated_plate

from hoofcalc.horn import (
    Horn,
    modulus_at_deg,
    strength_ratio,
)

SHEETS = [
    Horn(181e3, 10.3e3, 7.17e3, 0.28, 1500, 1500, 40, 246, 68),
    Horn(54e3, 18e3, 9e3, 0.25, 1035, 1035, 28, 138, 41),
    Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12),  # round figures, the order of horn
]
ANGLES = np.array([-75.0, -20.0, 0.0, 7.0, 33.0, 45.0, 60.0, 90.0, 130.0])


@pytest.mark.parametrize("sheet", SHEETS)
def test_stiffness_of_one_ply(sheet):
    """To rounding: both are exact."""
    moduli = (sheet.along_mpa, sheet.across_mpa, sheet.poisson, *(sheet.shear_mpa,) * 3)
    for angle in ANGLES:
        ply = laminated_plate([float(angle)], plyt=1.0, laminaprop=moduli)
        s = np.linalg.inv(ply.A)
        assert modulus_at_deg(sheet, angle) == pytest.approx(1 / s[0, 0], rel=1e-9)


@pytest.mark.parametrize("sheet", SHEETS)
def test_stiffness_by_rotating_the_tensor(sheet):
    """The compliance as a fourth-order tensor, turned by its definition."""
    s = np.zeros((2, 2, 2, 2))
    s[0, 0, 0, 0], s[1, 1, 1, 1] = 1 / sheet.along_mpa, 1 / sheet.across_mpa
    s[0, 0, 1, 1] = s[1, 1, 0, 0] = -sheet.poisson / sheet.along_mpa
    for i, j, k, m in ((0, 1, 0, 1), (0, 1, 1, 0), (1, 0, 0, 1), (1, 0, 1, 0)):
        s[i, j, k, m] = 1 / (4 * sheet.shear_mpa)
    for angle in ANGLES:
        c, sine = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        q = np.array([[c, -sine], [sine, c]])
        turned = np.einsum("ia,jb,kc,ld,abcd->ijkl", q, q, q, q, s)
        assert modulus_at_deg(sheet, angle) == pytest.approx(1 / turned[0, 0, 0, 0], rel=1e-12)


@pytest.mark.parametrize("criterion", ["max_stress", "tsai_hill", "tsai_wu", "hashin"])
def test_stress_in_the_tubules_axes_by_rotating_the_tensor(criterion):
    """The ratio for a stress in x and y equals that of the turned stress with the tubules on x."""
    sheet = SHEETS[0]
    rng = np.random.default_rng(11)
    for x, y, xy in rng.normal(scale=50, size=(20, 3)):
        for angle in ANGLES:
            c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
            q = np.array([[c, s], [-s, c]])
            t = q @ np.array([[x, xy], [xy, y]]) @ q.T
            assert strength_ratio(sheet, x, y, xy, angle, criterion) == pytest.approx(
                strength_ratio(sheet, t[0, 0], t[1, 1], t[0, 1], 0, criterion), rel=1e-9
            )
