"""EN 1995-1-1:2004, Eurocode 5: Design of timber structures, Annex B: mechanically jointed
beams (gamma method).

Equation numbers from memory.
"""

from __future__ import annotations

from numpy.testing import assert_allclose

from hoofcalc.columns import bundle_section, rod_section


def test_the_bond_of_a_bundle_scales_what_the_glue_adds():
    """B.1 with one gamma for all strands; edge stress gamma a + half a strand, B.7 and B.8."""
    rod, bundle = rod_section(2.0), bundle_section(7, 2.0, 0.4)
    steiner = 6 * rod.area_mm2 * (2.0**2) / 2  # six strands on a circle of radius one diameter
    assert_allclose(bundle.second_moment_mm4, 7 * rod.second_moment_mm4 + 0.4 * steiner)
    assert_allclose(bundle.outer_fibre_mm, 0.4 * 2.0 + 1.0)
