"""Remmers, course notes on composite materials, worked example 3.11 (an E-glass/epoxy ply).

Material read as quoted in a secondary text; title and year of the notes not seen.
Results derived with it once in other software; five figures.
"""

from __future__ import annotations

import pytest

from hoofcalc.horn import Horn, strength_at_deg

PLY = Horn(39e3, 8.6e3, 3254, 0.28, 1080, 620, 39, 128, 89)


@pytest.mark.parametrize(
    ("criterion", "strength"),
    [("max_stress", 78.00), ("tsai_hill", 71.442), ("tsai_wu", 70.992)],
)
def test_pulled_at_45_degrees(criterion, strength):
    """Ex. 3.11, pulled at 45 degrees (derived)."""
    assert strength_at_deg(PLY, 45, criterion, "tension") == pytest.approx(strength, abs=6e-4)
