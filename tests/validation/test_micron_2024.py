"""Structural and mechanical characterization of the hoof in Mongolian equids, Micron 180 (2024)
103609 (authors not seen): nanoindentation against water content. Abstract read; it words its drops
as values."""

from __future__ import annotations

import pytest

from hoofcalc.horn import horn_at


def test_fall_of_the_modulus_with_water():
    """16.3 to 25.4 % from 10 to 20 % water, 3.5 to 4.8 % from 20 to 30 % (read)."""
    at10, at20, at30 = horn_at(water_percent=[10, 20, 30]).central.along_mpa
    assert 0.163 <= 1 - at20 / at10 <= 0.254
    assert 0.035 <= 1 - at30 / at20 <= 0.048
    assert 1 - at20 / at10 == pytest.approx((0.163 + 0.254) / 2)
