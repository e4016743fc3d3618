"""Timoshenko S.P., Gere J.M., Theory of Elastic Stability, 2nd ed., McGraw-Hill 1961.

Article and table numbers from memory; the numbers are derived from the formulas by another
route, as each says.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from hoofcalc.columns import (
    bent_column,
    end_factor,
    euler_load_n,
    foundation_load_n,
    leaning_column,
    rod_section,
    slenderness,
    tube_axial_stress_mpa,
)

PCR = np.pi**2 / 4  # cantilever with L = E I = 1


def test_euler_load_of_a_steel_rod():
    """Article 2.1, derived: d 20 mm, L 1 m, 200 GPa, pinned and as a cantilever."""
    rod = rod_section(20.0)
    assert_allclose(slenderness(1000.0, rod.gyration_mm), 200.0, rtol=1e-12)
    assert_allclose(euler_load_n(200e3, rod.second_moment_mm4, 1000.0), 15503.1, rtol=1e-5)
    assert_allclose(euler_load_n(200e3, rod.second_moment_mm4, 1000.0, 2.0), 3875.78, rtol=1e-5)


def test_fixed_pinned_column_from_its_own_equation():
    """Article 2.3: tan z = z gives 20.19 E I / L^2 (root derived here)."""
    z = brentq(lambda z: np.sin(z) - z * np.cos(z), 4.0, 4.7, xtol=1e-14)
    assert_allclose(end_factor("fixed-pinned"), np.pi / z, rtol=1e-12)
    assert_allclose(euler_load_n(1, 1, 1, end_factor("fixed-pinned")), 20.19, atol=0.005)


def test_moment_and_deflection_of_a_cantilever_are_amplified_differently():
    """Articles 1.4 and 1.11, derived: tan(u)/u and 3 (tan u - u)/u^3 at r of buckling.

    Lean 90 would give no axial load, so the axial share is set by the force.
    """
    r = np.array([0.1, 0.2, 0.3, 0.5, 0.7, 0.9])
    lean = 0.1  # degrees; small enough for the tip to stay within the limit
    column = leaning_column(r * PCR / np.cos(np.radians(lean)), lean, 1, 1, 1)
    moment = column.base_moment_nmm / column.cross_n
    tip = column.tip_deflection_mm / (column.cross_n / 3)
    assert_allclose(moment, [1.091265, 1.205070, 1.351065, 1.816828, 2.900279, 8.306885], rtol=1e-6)
    assert_allclose(tip, [1.109648, 1.246675, 1.422814, 1.986288, 3.300660, 9.871230], rtol=1e-6)
    # the usual short forms: 1 % for the moment with 0.18, 1.3 % for the tip
    assert_allclose(moment, (1 - 0.18 * r) / (1 - r), rtol=0.01)
    assert_allclose(tip, 1 / (1 - r), rtol=0.013)


ELASTICA_TABLE = np.array(
    [  # tip angle, P/Pcr cut to three decimals; x_a/l and y_a/l (all derived)
        (20, 1.015, 0.9697, 0.2194),
        (40, 1.063, 0.8812, 0.4222),
        (60, 1.152, 0.7410, 0.5932),
        (80, 1.293, 0.5594, 0.7195),
        (100, 1.518, 0.3490, 0.7915),
        (120, 1.884, 0.1232, 0.8032),
        (140, 2.541, -0.1069, 0.7504),
        (160, 4.029, -0.3403, 0.6246),
        (176, 9.116, -0.5772, 0.4214),
    ]
)


def test_elastica_table_of_tip_angle_load_and_place():
    """Article 2.7, table 2-4: by complete elliptic integrals, loads to 2e-3, places to 4 digits."""
    angle, printed, x, y = ELASTICA_TABLE.T
    m = np.sin(np.radians(angle) / 2) ** 2
    ratio = (2 / np.pi * ellipk(m)) ** 2
    assert_allclose(ratio, printed, rtol=2e-3)
    bent = bent_column(ratio * PCR, 0.0, 1, 1, 1)
    assert_allclose(bent.tip_turn_deg, angle, atol=1e-6)
    assert_allclose(bent.along_mm[:, -1], x, atol=6e-5)
    assert_allclose(bent.tip_deflection_mm, y, atol=6e-5)
    assert_allclose(bent.along_mm[:, -1], 2 * ellipe(m) / ellipk(m) - 1, atol=1e-7)
    # just past buckling the load hardly grows: 1 + angle^2/8
    assert_allclose(ratio[0], 1 + np.radians(20) ** 2 / 8, rtol=3e-4)


BED = [0, 1, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000, 2000, 5000, 10000]
REDUCED = [1, 0.927, 0.819, 0.741, 0.615, 0.483, 0.437, 0.406, 0.351, 0.286, 0.263, 0.235]
REDUCED += [0.195, 0.165, 0.132, 0.110]


def test_reduced_length_of_a_pinned_column_on_an_elastic_bed():
    """Article 2.10, table of L/l against k l^4 / (16 E I): by half waves (derived)."""
    load = foundation_load_n(1, 1, 16 * np.array(BED), 1)
    waves = np.arange(1, 30)[:, None] * np.pi  # energy of each number of half waves
    assert_allclose(load, (waves**2 + 16 * np.array(BED) / waves**2).min(axis=0), rtol=1e-12)
    assert_allclose(np.pi / np.sqrt(load), REDUCED, atol=7.5e-4)
    at = [BED.index(1), BED.index(20), BED.index(100), BED.index(1000)]
    assert_allclose(load[at] / np.pi**2, [1.1643, 4.2851, 8.1064, 26.2660], atol=5e-5)


def test_number_of_half_waves_changes_where_two_give_the_same_load():
    """Article 2.10: m to m + 1 at k l^4 / (E I) = m^2 (m+1)^2 pi^4 (derived)."""
    m = np.arange(1, 6)
    bed = m**2 * (m + 1) ** 2 * np.pi**4
    assert_allclose(bed[:3], [389.636, 3506.73, 14026.9], rtol=1e-5)
    load = foundation_load_n(1, 1, bed, 1)
    assert_allclose(load / np.pi**2, m**2 + (m + 1) ** 2, rtol=1e-12)


def test_strand_in_an_elastic_bed():
    """Article 2.10, derived: E 1 GPa, d 0.2 mm, k 10 MN/m2."""
    strand = rod_section(0.2)
    args = 1000.0, strand.second_moment_mm4, 10.0
    assert_allclose(foundation_load_n(*args), 1.77245, rtol=1e-5)
    assert_allclose(foundation_load_n(*args) / strand.area_mm2, 56.42, rtol=1e-4)
    held = foundation_load_n(*args, length_mm=5.0)
    assert_allclose(held, 1.78837, rtol=1e-5)
    bare = foundation_load_n(1000.0, strand.second_moment_mm4, 0.0, length_mm=5.0)
    assert_allclose(bare, 0.03101, rtol=2e-4)
    assert_allclose(held / bare, 58, atol=0.5)


def test_classical_stress_of_a_thin_tube():
    """Article 11.1: E t / (R sqrt(3 (1 - nu^2))), read: 0.605 E t/R at nu 0.3."""
    assert_allclose(tube_axial_stress_mpa(1, 100, 1, 0.3, "perfect") * 100, 0.605228, rtol=1e-6)
    assert_allclose(tube_axial_stress_mpa(1, 100, 1, 0.4, "perfect") * 100, 0.629941, rtol=1e-6)


def test_column_and_wall_of_a_thin_tube_can_buckle_at_the_same_load():
    """Derived from articles 2.1 and 11.1: L/R = pi sqrt(R / (2 c t)), pinned; half for K 2."""
    c = 1 / np.sqrt(3 * (1 - 0.09))
    for thinness, ratio in [(10, 9.0297), (50, 20.1911), (100, 28.5546)]:
        r, t = 1.0 * thinness, 1.0
        assert_allclose(np.pi * np.sqrt(r / (2 * c * t)), ratio, rtol=1e-5)
        wall = 2 * np.pi * r * t * tube_axial_stress_mpa(3000.0, r, t, shell="perfect")
        for factor in (1.0, 2.0):
            length = ratio / factor * r
            column = euler_load_n(3000.0, np.pi * r**3 * t, length, factor)
            assert_allclose(column, wall, rtol=2e-5)
