"""Facts of the bench about tubes, skewers and bundles: common practice, no source.

What anyone finds with a postal tube, a drinking straw and skewers. Sizes, stiffnesses, strengths
and loads are typical ones of our own choosing (invented), taken over a whole range where the
fact claims one.
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

LOAD_N = 50.0  # a round load of our own


def postal_tubes():
    """Every corner of what a thin postal tube may be; 100 mm long."""
    ranges = (18.0, 25.0), (0.4, 0.7), (1000.0, 3000.0), (5.0, 12.0)
    return np.array(list(itertools.product(*ranges))).T


def end_capacity_n(radius, wall, modulus, strength, length):
    """Crushing, dimpling of the wall or buckling as a column fixed at its foot."""
    stress = np.minimum(strength, tube_axial_stress_mpa(modulus, radius, wall))
    section = tube_section(2 * radius + wall, wall)
    column = euler_load_n(modulus, section.second_moment_mm4, length, 2.0)
    return np.minimum(stress * section.area_mm2, column)


def test_a_postal_tube_on_end_carries_what_crushes_it_on_its_side():
    """50 N on end: with a reserve. The same on its side: crushed. Any thin postal tube."""
    radius, wall, modulus, strength = postal_tubes()
    assert (end_capacity_n(radius, wall, modulus, strength, 100.0) > 3 * LOAD_N).all()
    for long_tube in (False, True):
        side = 100.0 * ring_collapse_n_per_mm(strength, radius, wall, long_tube=long_tube)
        assert (side < LOAD_N).all()


def test_a_straw_on_end_carries_many_times_what_crushes_it_on_its_side():
    """A short piece of drinking straw: 10 N on end is nothing to it, on its side it is crushed."""
    radius, wall, modulus, strength, length = 3.0, 0.15, 1500.0, 30.0, 30.0
    assert end_capacity_n(radius, wall, modulus, strength, length) > 4 * 10.0
    side = length * ring_collapse_n_per_mm(strength, radius, wall)
    assert side < 10.0
    dent = 5.0 / ring_side_stiffness(modulus, radius, wall, length)
    assert dent > 0.3  # millimetres: more than a dent to be seen


def test_a_leaning_tube_topples_its_top_with_the_lean():
    """Top one way, foot the other: tip and base moment take the side of the lean."""
    tube = tube_section(43.0, 0.5)
    for lean in (-8.0, 8.0):
        column = leaning_column(60.0, lean, 2000.0, tube.second_moment_mm4, 100.0)
        assert np.sign(column.tip_deflection_mm) == np.sign(column.base_moment_nmm) == np.sign(lean)


def test_the_reserve_of_a_postal_tube_falls_with_lean():
    lean = np.linspace(0, 60, 61)
    radius, wall, modulus, strength = (x[:, np.newaxis] for x in postal_tubes())
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


SKEWER = {"diameter_mm": 3.0}
BAMBOO = {"modulus_mpa": 12000.0, "length_mm": 120.0}
PRESSED, PULLED = 60.0, 100.0  # MPa


def capacity(section, lean):
    return capacity_at_lean_n(
        lean,
        second_moment_mm4=section.second_moment_mm4,
        area_mm2=section.area_mm2,
        outer_fibre_mm=section.outer_fibre_mm,
        strength_mpa=PRESSED,
        tension_strength_mpa=PULLED,
        **BAMBOO,
    )


def test_one_skewer_holds_a_balanced_load_and_breaks_when_it_leans():
    """A load of 7/10 of what the upright skewer holds: safe at 0, broken at 20 degrees."""
    skewer = rod_section(**SKEWER)
    upright, leaning = capacity(skewer, 0.0), capacity(skewer, 20.0)
    assert leaning < 0.7 * upright
    safe = leaning_column(
        0.7 * upright,
        0.0,
        BAMBOO["modulus_mpa"],
        skewer.second_moment_mm4,
        BAMBOO["length_mm"],
        area_mm2=skewer.area_mm2,
        outer_fibre_mm=skewer.outer_fibre_mm,
        strength_mpa=PRESSED,
        tension_strength_mpa=PULLED,
    )
    assert safe.utilisation < 1


@pytest.mark.parametrize("count", [7, 19])
def test_a_glued_bundle_holds_more_than_its_skewers_and_also_fails_once_it_leans(count):
    """More per strand than loose ones at every lean, and less and less with lean."""
    lean = np.array([0.0, 2, 5, 10, 20, 40])
    loose = capacity(bundle_section(count, bond=0.0, **SKEWER), lean)
    glued = capacity(bundle_section(count, bond=1.0, **SKEWER), lean)
    np.testing.assert_allclose(loose, count * capacity(rod_section(**SKEWER), lean), rtol=1e-12)
    assert (glued > 1.5 * loose).all()
    assert (np.diff(glued) < 0).all()
    assert glued[-1] < 0.5 * glued[0]
