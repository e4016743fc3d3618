"""Hetenyi M., Beams on Elastic Foundation, University of Michigan Press 1946, chapter VII.

Axial load on a long beam on an elastic bed. Place from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.columns import foundation_load_n


def test_a_free_loaded_end_halves_the_load():
    """2 sqrt(k E I) held, sqrt(k E I) free (derived, and by finite elements elsewhere)."""
    held = foundation_load_n(1000.0, 7.0, [0.1, 10.0])
    free = foundation_load_n(1000.0, 7.0, [0.1, 10.0], loaded_end="free")
    assert_allclose(held, 2 * np.sqrt(np.array([0.1, 10.0]) * 7000.0), rtol=1e-12)
    assert_allclose(free, held / 2, rtol=1e-12)
