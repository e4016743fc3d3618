"""NASA SP-8007, Buckling of Thin-Walled Circular Cylinders, 1968; NASA/SP-8007-2020/REV 2.

Reduction factors 1 - 0.901 (1 - exp(-phi)) for axial load and 1 - 0.731 (1 - exp(-phi))
for bending, phi = sqrt(r/t)/16, for r/t below 1500: read. Values derived to 6 digits.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hoofcalc.columns import tube_axial_stress_mpa

THINNESS = np.array([50, 100, 200, 500, 1000, 1500])
FACTORS = {
    "pressed": [0.678151, 0.581271, 0.471271, 0.321731, 0.223846, 0.179069],
    "bent": [0.738877, 0.660276, 0.571031, 0.449706, 0.370290, 0.333962],
}


@pytest.mark.parametrize(("shell", "factors"), FACTORS.items())
def test_reduction_factors(shell, factors):
    real = tube_axial_stress_mpa(200e3, THINNESS, 1.0, shell=shell)
    perfect = tube_axial_stress_mpa(200e3, THINNESS, 1.0, shell="perfect")
    assert_allclose(real / perfect, factors, atol=5.1e-7)


def test_steel_cylinder():
    """r/t 200, 200 GPa: classical 605.228 MPa, with the axial factor 285.226 MPa (derived)."""
    assert_allclose(tube_axial_stress_mpa(200e3, 200, 1, shell="perfect"), 605.228, rtol=1e-6)
    assert_allclose(tube_axial_stress_mpa(200e3, 200, 1), 285.226, rtol=2e-6)


def test_the_factors_end_at_1500():
    with pytest.raises(ValueError, match="between 1 and 1500"):
        tube_axial_stress_mpa(200e3, 1501, 1.0)
