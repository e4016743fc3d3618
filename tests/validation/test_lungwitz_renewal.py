"""Lungwitz A., A Textbook of Horseshoeing, p. 47.

Horn grows from coronet to ground in 11-13 months at the toe, 6-8 at the sides and 3-5 at the
heels (read).
"""

from __future__ import annotations

import pytest

from hoofcalc.cycle import GROWTH_MM_DAY


@pytest.mark.parametrize(
    ("length_mm", "months"),
    [(90, (11, 13)), (55, (6, 8)), (32, (3, 5))],  # wall lengths ours, of a usual foot
    ids=["toe", "side", "heel"],
)
def test_months_from_coronet_to_ground(length_mm, months):
    low, high = months
    assert low <= length_mm / GROWTH_MM_DAY / 30.4 <= high
