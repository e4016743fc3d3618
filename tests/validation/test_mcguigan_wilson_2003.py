"""Peaks of the fore limbs at walk, trot, canter and gallop.

McGuigan M.P., Wilson A.M. 2003. The effect of gait and digital flexor muscle activation on limb
compliance in the forelimb of the horse Equus caballus. Journal of Experimental Biology 206, 1325.
Table 2 (read): peak vertical force [N/kg], mean +/- standard deviation, 4 to 7 horses: walk 6.16
+/- 0.53, trot 10.73 +/- 1.22, leading fore at canter 9.74 +/- 1.40, trailing 11.96 +/- 0.66.
Abstract (read): at a gallop of 12 m/s on a treadmill, *predicted* from the angle of the fetlock
joint, leading 12.79 (12.07-13.73), trailing 15.23 (13.51-17.10). Duty factors and speeds of walk
and canter not seen.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc import datasets
from hoofcalc.ground_force import gallop_timing, stance_force

MOMENTS = np.linspace(0, 1, 2001)


def peak(gait, limb, duty_factor):
    return stance_force(gait, limb, 1.0, duty_factor, MOMENTS).peak_vertical_n


@pytest.mark.parametrize(
    ("case", "value", "spread"),
    [
        ("walk, fore", 6.16, 0.53),
        ("trot, fore, second study", 10.73, 1.22),
        ("canter, leading fore", 9.74, 1.40),
        ("canter, trailing fore", 11.96, 0.66),
    ],
)
def test_the_table_is_the_one_that_the_course_hands_out(case, value, spread):
    """Read."""
    (figure,) = datasets.published("gait_forces", "peak_vertical", case)
    assert "McGuigan" in figure.citation
    assert (figure.value, figure.spread, figure.spread_kind) == (value, spread, "sd")
    assert figure.mark == "read"


def test_walk_at_a_usual_duty_factor():
    """Read; duty factor 0.60 to 0.65 from memory."""
    for duty_factor in (0.60, 0.65):
        assert peak("walk", "fore", duty_factor) == pytest.approx(6.16, abs=0.53)


def test_trot_at_a_usual_duty_factor():
    """Read; duty factor 0.38 to 0.46 from memory."""
    for duty_factor in (0.38, 0.46):
        assert peak("trot", "fore", duty_factor) == pytest.approx(10.73, abs=1.22)


def test_the_leading_fore_limb_at_canter_carries_0_81_of_the_trailing_one():
    """Derived from the table; exact, at every duty factor."""
    for duty_factor in (0.3, 0.36, 0.45):
        ratio = peak("canter", "leading fore", duty_factor) / peak(
            "canter", "trailing fore", duty_factor
        )
        assert ratio == pytest.approx(9.74 / 11.96, rel=1e-9)
        assert ratio == pytest.approx(0.81, abs=0.005)


def test_one_duty_factor_gives_both_peaks_of_the_canter():
    """Derived: 0.405, inside the usual 0.30 to 0.45 (from memory)."""
    for limb, published in (("leading fore", 9.74), ("trailing fore", 11.96)):
        assert 0.4 * peak("canter", limb, 0.4) / published == pytest.approx(0.405, abs=0.001)


@pytest.mark.parametrize(("limb", "predicted"), [("leading", 12.79), ("trailing", 15.23)])
def test_gallop_at_12_m_s_lies_within_two_spreads(limb, predicted):
    """Read; a prediction of theirs against ours, which knows no leading limb."""
    force = stance_force("gallop", "fore", 1.0, gallop_timing(12.0, "fore").duty_factor)
    assert predicted == pytest.approx(
        force.peak_vertical_n, abs=2 * force.spread * force.peak_vertical_n
    )


def test_at_gallop_the_two_limbs_lie_nine_per_cent_to_each_side():
    """Derived: one of the three parts of the spread at gallop."""
    middle = (12.79 + 15.23) / 2
    assert (15.23 - middle) / middle == pytest.approx(0.09, abs=0.005)
    assert stance_force("gallop", "fore", 1.0, 0.22).spread >= np.sqrt(
        0.09**2 + (0.57 / 0.50 - 1) ** 2 + 0.05**2
    )
