"""EN 1995-1-1:2004, Eurocode 5: Design of timber structures, Annex B: mechanically jointed
beams (gamma method); the form E.1/E.2 of EN 1995-1-1:2023 read.

Examples derived. Equation numbers from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from hoofcalc.columns import bundle_section, euler_load_n, joined_parts, rod_section

A = ((11e3, 11e3), (5000, 5000), (50 * 100**3 / 12,) * 2, 100.0, 10.0, 4000.0)
B = (
    (12e3, 12e3),
    (8000, 12000),
    (200 * 40**3 / 12, 60 * 200**3 / 12),
    120.0,
    30.0,
    5000.0,
)


def annex_b(moduli, areas, seconds, apart, slip, length):
    """B.1 to B.6 as printed, with a1 and a2."""
    (e1, e2), (a1_, a2_), (i1, i2) = moduli, areas, seconds
    gamma = 1 / (1 + np.pi**2 * e1 * a1_ / (slip * length**2))
    a2 = gamma * e1 * a1_ * apart / (gamma * e1 * a1_ + e2 * a2_)
    a1 = apart - a2
    return gamma, a1, a2, e1 * i1 + e2 * i2 + gamma * e1 * a1_ * a1**2 + e2 * a2_ * a2**2


def test_two_equal_planks():
    """Two 50 x 100, E 11000 MPa, K/s 10 N/mm2, 4000 mm (derived)."""
    pair = joined_parts(*A)
    gamma, a1, a2, stiffness = annex_b(*A)
    assert_allclose([a1, a2], [81.4563, 18.5437], atol=5e-5)
    assert_allclose([pair.gamma, pair.stiffness_nmm2], [gamma, stiffness], rtol=1e-12)
    assert_allclose(pair.gamma, 0.227652, atol=5e-7)
    assert_allclose(
        [pair.loose_nmm2, pair.stiffness_nmm2, pair.glued_nmm2],
        [9.166667e10, 1.936568e11, 3.666667e11],
        rtol=5e-7,
    )
    assert_allclose(pair.bond, 0.37087, atol=5e-6)
    assert_allclose(euler_load_n(1, pair.stiffness_nmm2, 4000.0), 119457, rtol=5e-6)


def test_flange_on_a_web():
    """Flange 200 x 40 on web 60 x 200, E 12000 MPa, K/s 30 N/mm2, 5000 mm (derived)."""
    pair = joined_parts(*B)
    assert_allclose(annex_b(*B)[1:3], [92.6960, 27.3040], atol=5e-5)
    assert_allclose(pair.gamma, 0.441831, atol=5e-7)
    assert_allclose(
        [pair.loose_nmm2, pair.stiffness_nmm2, pair.glued_nmm2],
        [4.928e11, 9.646127e11, 1.32224e12],
        rtol=5e-6,
    )
    assert_allclose(euler_load_n(1, pair.stiffness_nmm2, 5000.0), 380814, rtol=2e-6)


def test_rigid_seam_is_the_parallel_axis_theorem():
    """50 x 20 mm of 10 GPa under 50 x 20 mm of 200 GPa: 1.0809524e10 N mm2 (derived)."""
    seconds = (50 * 20**3 / 12,) * 2
    pair = joined_parts((10e3, 200e3), (1000, 1000), seconds, 20.0, 1.0, 1000.0)
    assert_allclose(pair.glued_nmm2, 1.0809524e10, rtol=5e-8)
    assert_allclose(pair.loose_nmm2, 7.0e9, rtol=1e-12)


def test_the_bond_of_a_bundle_scales_what_the_glue_adds():
    """B.1 with one gamma for all strands; edge stress gamma a + half a strand, B.7 and B.8."""
    rod, bundle = rod_section(2.0), bundle_section(7, 2.0, 0.4)
    steiner = 6 * rod.area_mm2 * (2.0**2) / 2  # six strands on a circle of radius one diameter
    assert_allclose(bundle.second_moment_mm4, 7 * rod.second_moment_mm4 + 0.4 * steiner)
    assert_allclose(bundle.outer_fibre_mm, 0.4 * 2.0 + 1.0)
