"""Peak force from the duty factor, for two legs and for four.

Alexander R.McN., Maloiy G.M.O., Hunter B., Jayes A.S., Musinguzi R. 1979. Mechanical stresses in
fast locomotion of buffalo and elephant. Journal of Zoology 189, 135-144. Formula and citation read
in a letter that quotes them (Hutchinson J.R. 2000: "F = (3.14159 * p * mass * g) / (4 * duty
factor)", p the part of the weight on the fore or the hind limbs); every number below is derived,
and the impulse is taken by quadrature, not by the formula's own integral.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from hoofcalc.ground_force import peak_vertical_n


def test_a_biped_carries_its_whole_weight_on_one_pair():
    """Derived: share 1 gives pi m g / (4 beta)."""
    assert peak_vertical_n(70.0, 0.35, 1.0) == pytest.approx(np.pi * 70 * 9.81 / (4 * 0.35))


def test_worked_example():
    """Derived: 500 kg, 0.57, 0.4, stride 0.7 s: 5489.64 N; limb impulse 978.5475 N s."""
    peak = peak_vertical_n(500.0, 0.4, 0.57)
    assert peak == pytest.approx(5489.64, abs=0.01)
    impulse, _ = quad(lambda t: peak * np.sin(np.pi * t / 0.28), 0, 0.28)
    assert impulse == pytest.approx(978.5475, rel=1e-7)
    assert impulse == pytest.approx(0.285 * 500 * 9.81 * 0.7, rel=1e-12)


@pytest.mark.parametrize(("beta", "fore"), [(0.25, 1.79071), (0.35, 1.27908), (0.5, 0.89535)])
def test_peak_in_body_weights(beta, fore):
    """Derived, six digits."""
    assert peak_vertical_n(1.0, beta, 0.57) / 9.81 == pytest.approx(fore, abs=5e-6)


def test_four_half_sines_carry_the_weight():
    """Derived: the impulses of the four limbs sum to m g T."""
    half_sine, _ = quad(lambda t: np.sin(np.pi * t / 0.28), 0, 0.28)
    peaks = peak_vertical_n(500.0, 0.4, 0.57), peak_vertical_n(500.0, 0.4, 0.43)
    assert 2 * half_sine * sum(peaks) == pytest.approx(500 * 9.81 * 0.7, rel=1e-12)
