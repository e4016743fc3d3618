"""Ground forces of sound Dutch Warmbloods on the force plate.

Merkens H.W., Schamhardt H.C., van Osch G.J.V.M., van den Bogert A.J. 1993. Ground reaction force
patterns of Dutch Warmblood horses at normal trot. Equine Veterinary Journal 25, 134-137.
Merkens H.W. et al. 1993. Ground reaction force patterns of Dutch Warmbloods at the canter.
American Journal of Veterinary Research 54, 670-674.
All from the abstracts (read); which braking figure belongs to which pair is a reading of the
first one's wording.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc._constants import GRAVITY_M_S2
from hoofcalc.ground_force import peak_vertical_n, stance_force, tilt_deg

# [N/kg]: vertical peak, braking peak, propulsion peak
FORE, HIND = (11.59, 1.13, 0.84), (10.21, 0.79, 1.17)
MOMENTS = np.linspace(0, 1, 2001)


def matching_duty_factor(limb, peak):
    """The duty factor at which our curve has that vertical peak (peak goes as 1 / duty factor)."""
    return 0.4 * stance_force("trot", limb, 1.0, 0.4, MOMENTS).peak_vertical_n / peak


@pytest.mark.parametrize(
    ("limb", "published", "duty_factor"), [("fore", FORE, 0.391), ("hind", HIND, 0.335)]
)
def test_trot_peaks_fit_together_at_one_duty_factor(limb, published, duty_factor):
    """Read; duty factors derived. They fall in the range of trots, 0.3 to 0.5 (from memory)."""
    beta = matching_duty_factor(limb, published[0])
    assert beta == pytest.approx(duty_factor, abs=0.001)
    force = stance_force("trot", limb, 1.0, beta, MOMENTS)
    # one net impulse closes the balance for both pairs: the four figures then fit within 1.2 %
    assert force.fore_aft_n.max() == pytest.approx(published[1], rel=0.015)
    assert -force.fore_aft_n.min() == pytest.approx(published[2], rel=0.015)


@pytest.mark.parametrize(
    ("share", "peak", "duty_factor"), [(0.57, FORE[0], 0.379), (0.43, HIND[0], 0.324)]
)
def test_a_plain_half_sine_needs_slightly_shorter_stances(share, peak, duty_factor):
    """Derived: the duty factors at which pi share g / (4 beta) gives the published peaks."""
    assert peak_vertical_n(1.0, duty_factor, share) == pytest.approx(peak, rel=0.002)


@pytest.mark.parametrize(
    ("limb", "peak", "duty_factor"), [("fore", FORE[0], 0.40), ("hind", HIND[0], 0.36)]
)
def test_trot_peak_at_a_usual_duty_factor(limb, peak, duty_factor):
    """Peaks read; duty factors from memory; 15 % is the range taken for sound horses."""
    force = stance_force("trot", limb, 1.0, duty_factor)
    assert force.peak_vertical_n == pytest.approx(peak, rel=0.15)


def test_share_of_peaks_is_not_share_of_weight():
    """Derived: 11.59 : 10.21 is 53:47. The model carries 57:43 and still has those peaks."""
    assert FORE[0] / (FORE[0] + HIND[0]) == pytest.approx(0.53, abs=0.005)
    fore = stance_force("trot", "fore", 1.0, matching_duty_factor("fore", FORE[0]))
    hind = stance_force("trot", "hind", 1.0, matching_duty_factor("hind", HIND[0]))
    carried = fore.mean_vertical_n * 0.391, hind.mean_vertical_n * 0.335
    assert carried[0] / sum(carried) == pytest.approx(0.57, abs=0.002)
    assert 2 * sum(carried) == pytest.approx(GRAVITY_M_S2, rel=0.002)


def test_fore_limbs_brake_more_and_hind_limbs_push_more():
    """Read (order): braking 1.13 > 0.79, propulsion 1.17 > 0.84."""
    fore = stance_force("trot", "fore", 1.0, 0.391).fore_aft_n
    hind = stance_force("trot", "hind", 1.0, 0.335).fore_aft_n
    assert fore.max() > hind.max()
    assert hind.min() < fore.min()


def test_tilt_of_the_peaks():
    """Derived: 1.13 over 11.59 leans 5.6 degrees back, 0.84 leans 4.1 forward."""
    assert tilt_deg(FORE[0], FORE[1]) == pytest.approx(5.57, abs=0.01)
    assert tilt_deg(FORE[0], -FORE[2]) == pytest.approx(-4.15, abs=0.01)


def test_canter_signs():
    """Read (American Journal of Veterinary Research): leading fore brakes; trailing fore propels
    and brakes little; trailing hind propels; leading hind helps to brake."""
    force = {
        limb: stance_force("canter", limb, 1.0, 0.36, MOMENTS)
        for limb in ("leading fore", "trailing fore", "trailing hind", "leading hind")
    }
    assert force["leading fore"].mean_fore_aft_n > 0
    assert force["trailing fore"].mean_fore_aft_n < 0
    assert force["trailing hind"].mean_fore_aft_n < 0
    assert force["leading hind"].mean_fore_aft_n > 0
    trailing = force["trailing fore"].fore_aft_n
    assert trailing.max() < 0.5 * -trailing.min()  # "little": our reading, under half
    assert trailing.max() < 0.5 * force["leading fore"].fore_aft_n.max()
