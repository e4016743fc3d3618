"""What must hold for every column, tube and bundle: limits, order, scaling, symmetry."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from hoofcalc.columns import (
    bent_column,
    bundle_second_moment_mm4,
    bundle_section,
    capacity_at_lean_n,
    euler_load_n,
    foundation_load_n,
    johnson_stress_mpa,
    leaning_column,
    perry_robertson_stress_mpa,
    ring_collapse_n_per_mm,
    ring_side_stiffness,
    rod_section,
    secant_peak_stress_mpa,
    slenderness,
    tube_axial_stress_mpa,
    tube_section,
)

quick = settings(max_examples=settings().max_examples // 2)
modulus = st.floats(100, 3e5)
size = st.floats(0.05, 500)
ratio = st.floats(0.1, 10)
strength = st.floats(1, 1000)
slender = st.floats(0.1, 500)
PCR = np.pi**2 / 4


# ------------------------------------------------------------------ straight columns


@quick
@given(modulus, size, size, st.floats(0.5, 2.1), ratio)
def test_buckling_load_scales_with_stiffness_over_length_squared(e, i, length, k, s):
    load = euler_load_n(e, i, length, k)
    assert_allclose(euler_load_n(s * e, i, length, k), s * load)
    assert_allclose(euler_load_n(e, s * i, length, k), s * load)
    assert_allclose(euler_load_n(e, i, s * length, k), load / s**2)
    assert_allclose(euler_load_n(e, i, length, s * k), load / s**2)
    # similar columns: load grows with the square of size
    assert_allclose(euler_load_n(e, i * s**4, length * s, k), load * s**2)


@quick
@given(modulus, strength, slender)
def test_column_curves_lie_below_crushing_and_buckling_and_fall(e, fy, lam):
    euler = np.pi**2 * e / lam**2
    curves = [
        johnson_stress_mpa,
        lambda e, fy, lam: perry_robertson_stress_mpa(e, fy, lam, 0.003 * lam),
    ]
    for curve in curves:
        stress = curve(e, fy, lam)
        assert 0 < stress <= min(fy, euler) * (1 + 1e-12)
        assert curve(e, fy, 1.1 * lam) <= stress
    assert_allclose(perry_robertson_stress_mpa(e, fy, lam, 0), min(fy, euler))
    meet = np.pi * np.sqrt(2 * e / fy)  # where the parabola goes over into Euler's curve
    assert_allclose(johnson_stress_mpa(e, fy, [meet * (1 - 1e-9), meet * (1 + 1e-9)]), fy / 2)
    section = rod_section(1.0)
    assert_allclose(
        euler_load_n(e, section.second_moment_mm4, lam * section.gyration_mm) / section.area_mm2,
        euler,
    )
    assert_allclose(slenderness(lam * section.gyration_mm / 2, section.gyration_mm, 2), lam)


@quick
@given(st.floats(0.01, 0.9), st.floats(0.01, 5), st.floats(1, 10))
def test_an_eccentric_load_stresses_more_than_in_proportion(share, offset, fibre):
    load = share / 2 * np.pi**2  # pinned, E I = L = 1, area 1
    args = 1, offset, fibre, 1, 1, 1
    one, two = secant_peak_stress_mpa([load, 2 * load], *args)
    assert two > 2 * one > 2 * load * (1 + offset * fibre)
    assert_allclose(secant_peak_stress_mpa(load / 4, *args, end_factor=2),
                    secant_peak_stress_mpa(load, *args) / 4)  # fmt: skip


# ---------------------------------------------------------------- the leaning column

leaning = st.tuples(st.floats(-180, 180), st.floats(1e-6, 0.02))


@quick
@given(leaning)
def test_shares_are_the_sides_of_a_right_angle_and_mirror_with_the_lean(case):
    lean, share = case
    force = share * PCR
    column = leaning_column(force, lean, 1, 1, 1, area_mm2=1, outer_fibre_mm=1, strength_mpa=5)
    assert_allclose(column.axial_n**2 + column.cross_n**2, force**2)
    mirror = leaning_column(force, -lean, 1, 1, 1, area_mm2=1, outer_fibre_mm=1, strength_mpa=5)
    assert mirror.axial_n == column.axial_n
    assert mirror.utilisation == column.utilisation
    assert mirror.peak_stress_mpa == column.peak_stress_mpa
    for name in ("cross_n", "base_moment_nmm", "tip_deflection_mm"):
        assert getattr(mirror, name) == -getattr(column, name)
    # the moment at the base is that of the cross share on its lever and the axial one on the tip
    assert_allclose(
        column.base_moment_nmm, column.cross_n + column.axial_n * column.tip_deflection_mm
    )


@quick
@given(st.floats(0.1, 80), st.floats(0.05, 0.9), modulus, size, ratio)
def test_similar_columns_under_similar_loads_keep_their_shape(lean, share, e, length, s):
    d = length / 50
    force = share * 1e-2 * euler_load_n(e, rod_section(d).second_moment_mm4, length, 2)
    results = []
    for scale in (1, s):
        rod = rod_section(d * scale)
        results.append(
            leaning_column(
                force * scale**2,
                lean,
                e,
                rod.second_moment_mm4,
                length * scale,
                area_mm2=rod.area_mm2,
                outer_fibre_mm=rod.outer_fibre_mm,
            )
        )
    one, other = results
    assert_allclose(other.tip_deflection_mm, one.tip_deflection_mm * s)
    assert_allclose(other.base_moment_nmm, one.base_moment_nmm * s**3)
    assert_allclose(other.peak_stress_mpa, one.peak_stress_mpa)


@quick
@given(st.floats(0.001, 0.1), st.floats(0.01, 0.7))
def test_moment_and_tip_grow_with_lean_and_more_than_with_load(lean, share):
    force = share * PCR
    small = leaning_column(force, lean, 1, 1, 1)
    more_lean = leaning_column(force, 1.2 * lean, 1, 1, 1)
    more_load = leaning_column(1.2 * force, lean, 1, 1, 1)
    for name in ("base_moment_nmm", "tip_deflection_mm"):
        assert getattr(more_lean, name) > getattr(small, name)
        assert getattr(more_load, name) > 1.2 * getattr(small, name)


@quick
@given(st.floats(91, 180), st.floats(0.01, 0.1))
def test_a_pull_straightens(lean, share):
    """Past 90 degrees the axial share takes away from the bending."""
    column = leaning_column(share * PCR, lean, 1, 1, 1)
    assert column.base_moment_nmm <= column.cross_n
    assert column.tip_deflection_mm <= column.cross_n / 3


@quick
@given(st.floats(-1e-3, 1e-3), st.floats(0.01, 0.2))
def test_nothing_jumps_where_the_axial_share_vanishes(off, share):
    lean = 90 + np.array([-off, 0, off])
    column = leaning_column(share, lean, 1, 1, 1)
    assert_allclose(column.tip_deflection_mm, share / 3, rtol=2e-5)
    assert_allclose(column.base_moment_nmm, share, rtol=2e-5)


@pytest.mark.parametrize("axial", [1e-3, -1e-3])
def test_series_and_closed_form_meet(axial):
    """Both sides of the switch between them."""
    cross, tips = 0.1, []
    for a in (axial * (1 - 1e-9), axial * (1 + 1e-9)):
        lean = np.degrees(np.arctan2(cross, a))
        force = np.hypot(cross, a)
        tips.append(leaning_column(force, lean, 1, 1, 1).tip_deflection_mm)
    assert_allclose(*tips, rtol=1e-11)


HAIR = 1e-9


@quick
@example(lean=0.0, fy=1.0, pull=1.0, thickness=0.0625)  # buckles long before it is crushed
@example(lean=0.0, fy=0.02, pull=1.0, thickness=0.2)  # crushed long before it buckles
@example(lean=1e-300, fy=1.0, pull=1.0, thickness=0.0625)
@example(lean=1e-10, fy=1.0, pull=1.0, thickness=0.0625)
@example(lean=1e-6, fy=30.0, pull=0.1, thickness=0.05)
@example(lean=90.0, fy=1.0, pull=0.1, thickness=0.0625)
@given(st.floats(-90, 90), st.floats(0.02, 100), st.floats(0.1, 3), st.floats(0.02, 0.2))
def test_the_capacity_is_the_border_between_carrying_and_giving_way(lean, fy, pull, thickness):
    """A hair less load leaves the utilisation below 1; a hair more exceeds it, or buckles.

    Upright and next to it a slender column buckles while its stress is still far
    below the strength, so the utilisation at the capacity itself need not be 1.
    """
    rod = rod_section(thickness)
    capacity = capacity_at_lean_n(
        lean, 1000, rod.second_moment_mm4, 1, rod.area_mm2, rod.outer_fibre_mm, fy, pull * fy
    )

    def used(load):
        try:
            column = leaning_column(
                load,
                lean,
                1000,
                rod.second_moment_mm4,
                1,
                area_mm2=rod.area_mm2,
                outer_fibre_mm=rod.outer_fibre_mm,
                strength_mpa=fy,
                tension_strength_mpa=pull * fy,
            )
        except ValueError as refusal:
            assume("buckles" in str(refusal))  # else the tip moves too far for this theory
            return np.inf
        return column.utilisation

    assert used(capacity * (1 - HAIR)) < 1
    assert used(capacity * (1 + HAIR)) > 1


@quick
@example(lean=1e-109, more=1.0, fy=27.0, length=112.0, s=1.0)  # crushing just above buckling
@example(lean=1e-13, more=1.0, fy=26.7, length=112.0, s=1.0)
@given(st.floats(0, 89), st.floats(0.1, 1), st.floats(1, 1e3), st.floats(10, 500), ratio)
def test_capacity_along_the_axis_falls_with_lean_and_never_beats_euler_or_crushing(
    lean, more, fy, length, s
):
    tube = tube_section(20, 1)
    args = 3000, tube.second_moment_mm4, length, tube.area_mm2, tube.outer_fibre_mm, fy
    here, further, mirrored = capacity_at_lean_n([lean, lean + more, -lean], *args)
    # what is carried along the axis falls always; the load itself except for stubs, which are
    # left to shear, and for columns so slender that buckling decides alone
    assert further * np.cos(np.radians(lean + more)) < here * np.cos(np.radians(lean))
    assert here == mirrored
    upright = euler_load_n(3000, tube.second_moment_mm4, length, 2) / np.cos(np.radians(lean))
    assert here <= upright * (1 + 1e-12)
    assert here * np.cos(np.radians(lean)) <= fy * tube.area_mm2 * (1 + 1e-12)
    assert capacity_at_lean_n(lean, *args, fy * 0.2) <= here
    # similar tubes: the load grows with the square of size
    bigger = tube_section(20 * s, s)
    scaled = capacity_at_lean_n(
        lean, 3000, bigger.second_moment_mm4, length * s, bigger.area_mm2,
        bigger.outer_fibre_mm, fy,
    )  # fmt: skip
    assert_allclose(scaled, here * s**2, rtol=1e-9)


# ----------------------------------------------------------------- the exact bent line


@quick
@example(lean=5e-324, share=2.0)
@example(lean=0.0, share=1.5)  # an argument at which some elliptic integrals go astray
@given(st.floats(-180, 180), st.floats(0, 24.9))
def test_the_exact_line_keeps_its_length_balance_and_mirror(lean, share):
    force = share * PCR
    bent = bent_column(force, lean, 1, 1, 1, count=401)
    step = np.hypot(np.diff(bent.along_mm), np.diff(bent.across_mm))
    assert_allclose(step.sum(), 1, rtol=2e-4)
    t = np.radians(lean)
    # moments about the base: the tip carries the whole load
    by_statics = force * (np.sin(t) * bent.along_mm[-1] + np.cos(t) * bent.across_mm[-1])
    assert_allclose(bent.base_moment_nmm, by_statics, atol=1e-6 * max(force, 1))
    # energy of the swing: curvature^2 / 2 = P (cos(angle at base) - cos(angle at tip))
    end = np.radians(abs(lean) + abs(bent.tip_turn_deg))
    assert_allclose(
        bent.base_moment_nmm**2 / 2, force * (np.cos(t) - np.cos(end)), atol=1e-6 * max(force, 1)
    )
    if t:  # a lean too small for radians counts as upright
        mirror = bent_column(force, -lean, 1, 1, 1, count=401)
        assert_allclose(mirror.across_mm, -bent.across_mm, atol=1e-12)
        assert_allclose(mirror.along_mm, bent.along_mm, atol=1e-12)
        assert_allclose(mirror.tip_turn_deg, -bent.tip_turn_deg, atol=1e-9)


@quick
@given(st.floats(0.01, 179.9), st.floats(1e-9, 1e-4))
def test_the_exact_line_starts_out_as_the_small_one(lean, share):
    """First order in the load, down to loads that bend by a billionth."""
    bent = bent_column(share * PCR, lean, 1, 1, 1)
    small = leaning_column(share * PCR, lean, 1, 1, 1)
    assert_allclose(bent.tip_deflection_mm, small.tip_deflection_mm, rtol=1e-5)
    assert_allclose(bent.base_moment_nmm, small.base_moment_nmm, rtol=1e-5)
    assert_allclose(np.radians(bent.tip_turn_deg), small.cross_n / 2, rtol=2e-4)


@quick
@given(st.floats(0, 180), st.floats(0.01, 20), modulus, size, size)
def test_the_exact_line_scales(lean, share, e, i, length):
    bent = bent_column(share * euler_load_n(e, i, length, 2), lean, e, i, length, count=5)
    unit = bent_column(share * PCR, lean, 1, 1, 1, count=5)
    assert_allclose(bent.along_mm / length, unit.along_mm, atol=1e-7)
    assert_allclose(bent.across_mm / length, unit.across_mm, atol=1e-6)
    assert_allclose(bent.tip_turn_deg, unit.tip_turn_deg, atol=1e-4)
    assert_allclose(
        bent.base_moment_nmm * length / (e * i), unit.base_moment_nmm, atol=1e-6, rtol=1e-6
    )


# ---------------------------------------------------------------- embedded and bundled


@quick
@given(modulus, size, st.floats(1e-3, 1e3), st.floats(0.1, 1000))
def test_a_bed_helps_and_a_long_column_forgets_its_length(e, i, k, length):
    load = foundation_load_n(e, i, k, length)
    long_load = foundation_load_n(e, i, k)
    assert load >= max(long_load, euler_load_n(e, i, length)) * (1 - 1e-12)
    assert_allclose(foundation_load_n(e, i, k, loaded_end="free"), long_load / 2)
    wave = np.pi * (e * i / k) ** 0.25  # length of the half waves
    # a length of whole half waves buckles at the long column's load
    assert_allclose(foundation_load_n(e, i, k, 3 * wave), long_load)
    assert_allclose(foundation_load_n(e, i, k, 40.3 * wave), long_load, rtol=1e-3)
    # stiffness of the bed shared between k and 1/length: similar columns
    assert_allclose(foundation_load_n(e, i * 16, k, 2 * length), 4 * load)


@quick
@given(st.integers(1, 3000), st.floats(0.05, 5), st.floats(0, 1), ratio)
def test_a_bundle_gains_in_proportion_to_its_bond(count, d, bond, s):
    loose, between, glued = (bundle_section(count, d, b) for b in (0, bond, 1))
    for name in ("second_moment_mm4", "outer_fibre_mm"):
        a, b, c = (getattr(x, name) for x in (loose, between, glued))
        assert_allclose(b, a + bond * (c - a))
    assert loose.area_mm2 == glued.area_mm2
    assert_allclose(loose.second_moment_mm4, count * rod_section(d).second_moment_mm4)
    # glued: never stiffer than a solid disc that reaches as far
    assert glued.second_moment_mm4 <= np.pi * glued.outer_fibre_mm**4 / 4
    assert_allclose(bundle_second_moment_mm4(count, s * d, bond),
                    s**4 * between.second_moment_mm4)  # fmt: skip


@pytest.mark.parametrize("rings", [1, 2, 3, 4])
def test_full_hexagons_by_their_closed_form(rings):
    """Up to four rings the roundest bundle is the hexagon: squared distances summed."""
    points = [
        (a + b / 2, b * np.sqrt(0.75))
        for a in range(-rings, rings + 1)
        for b in range(-rings, rings + 1)
        if abs(a + b) <= rings
    ]
    x = np.array(points)[:, 0]
    count = len(points)
    assert count == 1 + 3 * rings * (rings + 1)
    glued = bundle_second_moment_mm4(count, 1, 1)
    assert_allclose(glued, count * np.pi / 64 + np.pi / 4 * (x**2).sum())


def moments(points):
    """Weakest second moment, and the whole, of equal points about their own middle."""
    off = points - points.mean(axis=0)
    spread = np.linalg.eigvalsh(off.T @ off)
    return spread[0], spread.sum()


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7])
def test_no_other_bundle_of_touching_strands_is_rounder(count):
    """All ways to choose so many places of a hexagon of nineteen."""
    grid = [(a + b / 2, b * np.sqrt(0.75)) for a in range(-2, 3) for b in range(-2, 3)
            if abs(a + b) <= 2]  # fmt: skip
    chosen = np.array(list(itertools.combinations(grid, count)))
    off = chosen - chosen.mean(axis=1, keepdims=True)
    whole = (off**2).sum(axis=(1, 2))
    roundest = chosen[whole < whole.min() + 1e-9]
    spreads = [moments(points)[0] for points in roundest]
    ours = (bundle_second_moment_mm4(count, 1, 1) - count * np.pi / 64) / (np.pi / 4)
    assert_allclose(ours, min(spreads, key=lambda one: abs(one - ours)), atol=1e-9)


def test_bundles_of_any_count_laid_out_one_by_one():
    """Strands nearest to each of three centres, ties in turn; the roundest of the three."""
    grid = np.array([(a + b / 2, b * np.sqrt(0.75)) for a in range(-9, 10) for b in range(-9, 10)])
    counts = np.arange(1, 91)
    bundle = bundle_section(counts, 1.0, 1.0)
    for count in counts:
        found = []
        for centre in ((0, 0), (0.5, 0), (0.5, 0.5 / np.sqrt(3))):
            off = grid - centre
            places = sorted(off, key=lambda p: (round(np.hypot(*p), 8), np.arctan2(p[1], p[0])))
            points = np.array(places[:count])
            reach = np.hypot(*points[-1]) + np.hypot(*points.mean(axis=0))
            spread, whole = moments(points) if count > 1 else (0, 0)
            found.append((round(whole, 7), reach, spread))
        _, reach, spread = min(found)
        assert_allclose(bundle.second_moment_mm4[count - 1],
                        count * np.pi / 64 + np.pi / 4 * spread, rtol=1e-6)  # fmt: skip
        assert_allclose(bundle.outer_fibre_mm[count - 1], reach + 0.5, rtol=1e-6)


def test_many_glued_strands_are_a_solid_rod_with_gaps():
    """I / A^2 of a solid disc is 1 / (4 pi); hexagonal packing fills pi / sqrt(12) of it."""
    bundle = bundle_section(50_000, 1, 1)
    filling = np.pi / np.sqrt(12)
    assert_allclose(
        bundle.second_moment_mm4 / bundle.area_mm2**2, 1 / (4 * np.pi * filling), rtol=2e-3
    )


# ------------------------------------------------------------------------ thin tubes


@quick
@given(modulus, st.floats(1, 1400), st.floats(0.01, 2), ratio)
def test_thin_tubes_depend_on_thinness_alone_and_lose_with_it(e, thinness, wall, s):
    radius = thinness * wall
    for shell in ("pressed", "bent", "perfect"):
        stress = tube_axial_stress_mpa(e, radius, wall, shell=shell)
        assert_allclose(tube_axial_stress_mpa(e, s * radius, s * wall, shell=shell), stress)
        assert_allclose(tube_axial_stress_mpa(s * e, radius, wall, shell=shell), s * stress)
        assert tube_axial_stress_mpa(e, 1.05 * radius, wall, shell=shell) < stress
        assert tube_axial_stress_mpa(e, radius, wall, 0.4, shell) > stress


@quick
@given(modulus, st.floats(1, 100), st.floats(0.01, 1), ratio)
def test_rings_give_with_the_cube_of_thinness_and_collapse_with_its_square(e, r, t, s):
    soft, hard = ring_side_stiffness(e, r, [t, t / 2])
    assert_allclose(soft / hard, 8)
    assert_allclose(ring_side_stiffness(e, s * r, s * t), soft)
    assert_allclose(ring_side_stiffness(s * e, r, t, length_mm=3), 3 * s * soft)
    assert_allclose(ring_side_stiffness(e, r, t, poisson=0.5), soft / 0.75)
    weak, strong = ring_collapse_n_per_mm(e, r, [t / 2, t])
    assert_allclose(strong / weak, 4)
    assert_allclose(ring_collapse_n_per_mm(s * e, s * r, s * t), s**2 * strong)
    assert ring_collapse_n_per_mm(e, r, t, closing_mm=0.1 * r) > strong
