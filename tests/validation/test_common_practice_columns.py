"""Facts of the trade about tubes, tins, strands and bundles: common practice, no source.

What anyone finds at a kitchen table. Sizes, stiffnesses and strengths are typical ones
of our own choosing (invented), taken over a whole range where the fact claims one.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from hoofcalc.columns import (
    bundle_section,
    capacity_at_lean_n,
    euler_load_n,
    leaning_column,
    ring_collapse_n_per_mm,
    ring_side_stiffness,
    rod_section,
    tube_axial_stress_mpa,
    tube_section,
)

WEIGHT = 4.5 * 9.81  # N


def paper_tubes():
    """Every corner of what a rolled-paper household tube may be; 100 mm long."""
    ranges = (18.0, 25.0), (0.4, 0.7), (1000.0, 3000.0), (5.0, 12.0)
    return np.array(list(itertools.product(*ranges))).T


def end_capacity_n(radius, wall, modulus, strength, length):
    """Crushing, dimpling of the wall or buckling as a column fixed at its foot."""
    stress = np.minimum(strength, tube_axial_stress_mpa(modulus, radius, wall))
    section = tube_section(2 * radius + wall, wall)
    column = euler_load_n(modulus, section.second_moment_mm4, length, 2.0)
    return np.minimum(stress * section.area_mm2, column)


def test_a_paper_tube_on_end_carries_what_crushes_it_on_its_side():
    """4.5 kg on end: with a wide reserve. The same on its side: crushed. Any paper tube."""
    radius, wall, modulus, strength = paper_tubes()
    assert (end_capacity_n(radius, wall, modulus, strength, 100.0) > 4 * WEIGHT).all()
    for long_tube in (False, True):
        side = 100.0 * ring_collapse_n_per_mm(strength, radius, wall, long_tube=long_tube)
        assert (side < WEIGHT).all()


def test_a_drinks_tin_on_end_carries_many_times_what_crushes_it_on_its_side():
    """4.5 kg on end: many times over. On its side it dents under 1.4 kg and collapses under
    4.5 kg; the bare shell is meant, its ends stiffen a real tin and are left out here."""
    radius, wall, modulus, strength, length = 33.0, 0.1, 70e3, 280.0, 110.0
    assert end_capacity_n(radius, wall, modulus, strength, length) > 10 * WEIGHT
    side = length * ring_collapse_n_per_mm(strength, radius, wall)
    assert 5.0 < side < 1.4 * 9.81
    dent = 1.4 * 9.81 / ring_side_stiffness(modulus, radius, wall, length)
    assert dent > 1.0  # millimetres: more than a dent to be seen


def test_a_leaning_tube_topples_its_top_with_the_lean():
    """Top one way, foot the other: tip and base moment take the side of the lean."""
    tube = tube_section(43.0, 0.5)
    for lean in (-8.0, 8.0):
        column = leaning_column(60.0, lean, 2000.0, tube.second_moment_mm4, 100.0)
        assert np.sign(column.tip_deflection_mm) == np.sign(column.base_moment_nmm) == np.sign(lean)


def test_the_reserve_of_a_paper_tube_falls_with_lean():
    lean = np.linspace(0, 60, 61)
    radius, wall, modulus, strength = (x[:, np.newaxis] for x in paper_tubes())
    tube = tube_section(2 * radius + wall, wall)
    first = capacity_at_lean_n(
        lean,
        modulus,
        tube.second_moment_mm4,
        100.0,
        tube.area_mm2,
        tube.outer_fibre_mm,
        np.minimum(strength, tube_axial_stress_mpa(modulus, radius, wall)),
    )
    assert (np.diff(first) < 0).all()
    assert (first[:, 10] < 0.7 * first[:, 0]).all()  # ten degrees cost a third and more


STRAND = {"diameter_mm": 1.8}
BRITTLE = {"modulus_mpa": 4000.0, "length_mm": 120.0}
PRESSED, PULLED = 40.0, 25.0  # MPa


def capacity(section, lean):
    return capacity_at_lean_n(
        lean,
        second_moment_mm4=section.second_moment_mm4,
        area_mm2=section.area_mm2,
        outer_fibre_mm=section.outer_fibre_mm,
        strength_mpa=PRESSED,
        tension_strength_mpa=PULLED,
        **BRITTLE,
    )


def test_one_brittle_strand_holds_a_balanced_load_and_snaps_when_it_leans():
    """A load of 7/10 of what the upright strand holds: safe at 0, broken at 20 degrees."""
    strand = rod_section(**STRAND)
    upright, leaning = capacity(strand, 0.0), capacity(strand, 20.0)
    assert leaning < 0.7 * upright
    safe = leaning_column(
        0.7 * upright,
        0.0,
        BRITTLE["modulus_mpa"],
        strand.second_moment_mm4,
        BRITTLE["length_mm"],
        area_mm2=strand.area_mm2,
        outer_fibre_mm=strand.outer_fibre_mm,
        strength_mpa=PRESSED,
        tension_strength_mpa=PULLED,
    )
    assert safe.utilisation < 1


@pytest.mark.parametrize("count", [7, 19])
def test_a_glued_bundle_holds_more_than_its_strands_and_also_fails_once_it_leans(count):
    """More per strand than loose ones at every lean, and less and less with lean."""
    lean = np.array([0.0, 2, 5, 10, 20, 40])
    loose = capacity(bundle_section(count, bond=0.0, **STRAND), lean)
    glued = capacity(bundle_section(count, bond=1.0, **STRAND), lean)
    np.testing.assert_allclose(loose, count * capacity(rod_section(**STRAND), lean), rtol=1e-12)
    assert (glued > 1.5 * loose).all()
    assert (np.diff(glued) < 0).all()
    assert glued[-1] < 0.5 * glued[0]
