"""Columns: what they refuse and in which words, and how arrays and numbers go together."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from hoofcalc import columns
from hoofcalc.columns import (
    bent_column,
    bundle_second_moment_mm4,
    bundle_section,
    capacity_at_lean_n,
    end_factor,
    euler_load_n,
    foundation_load_n,
    johnson_stress_mpa,
    leaning_column,
    perry_robertson_stress_mpa,
    rectangle_section,
    ring_collapse_n_per_mm,
    ring_side_stiffness,
    rod_section,
    secant_peak_stress_mpa,
    slenderness,
    tube_axial_stress_mpa,
    tube_section,
)

PCR = np.pi**2 / 4  # cantilever with L = E I = 1

# Every function with arguments it accepts; each is spoilt in turn below.
CALLS = {
    rod_section: {"diameter_mm": 2.0},
    tube_section: {"outer_diameter_mm": 20.0, "wall_mm": 1.0},
    rectangle_section: {"width_mm": 10.0, "depth_mm": 6.0},
    bundle_section: {"count": 7, "diameter_mm": 2.0, "bond": 0.5},
    bundle_second_moment_mm4: {"count": 7, "diameter_mm": 2.0, "bond": 0.5},
    slenderness: {"length_mm": 100.0, "gyration_mm": 5.0, "end_factor": 2.0},
    euler_load_n: {
        "modulus_mpa": 3000.0,
        "second_moment_mm4": 50.0,
        "length_mm": 100.0,
        "end_factor": 2.0,
    },
    johnson_stress_mpa: {"modulus_mpa": 3000.0, "yield_mpa": 60.0, "slenderness": 10.0},
    perry_robertson_stress_mpa: {
        "modulus_mpa": 3000.0,
        "yield_mpa": 60.0,
        "slenderness": 10.0,
        "imperfection": 0.1,
    },
    secant_peak_stress_mpa: {
        "force_n": 10.0,
        "area_mm2": 50.0,
        "eccentricity_mm": 1.0,
        "outer_fibre_mm": 5.0,
        "gyration_mm": 3.0,
        "length_mm": 100.0,
        "modulus_mpa": 3000.0,
        "end_factor": 1.0,
    },
    leaning_column: {
        "force_n": 1.0,
        "lean_deg": 10.0,
        "modulus_mpa": 3000.0,
        "second_moment_mm4": 50.0,
        "length_mm": 100.0,
        "area_mm2": 25.0,
        "outer_fibre_mm": 2.0,
        "strength_mpa": 60.0,
        "tension_strength_mpa": 50.0,
    },
    capacity_at_lean_n: {
        "lean_deg": 10.0,
        "modulus_mpa": 3000.0,
        "second_moment_mm4": 50.0,
        "length_mm": 100.0,
        "area_mm2": 25.0,
        "outer_fibre_mm": 2.0,
        "strength_mpa": 60.0,
        "tension_strength_mpa": 50.0,
    },
    bent_column: {
        "force_n": 1.0,
        "lean_deg": 10.0,
        "modulus_mpa": 3000.0,
        "second_moment_mm4": 50.0,
        "length_mm": 100.0,
    },
    foundation_load_n: {
        "modulus_mpa": 3000.0,
        "second_moment_mm4": 50.0,
        "foundation_mpa": 10.0,
        "length_mm": 100.0,
    },
    tube_axial_stress_mpa: {
        "modulus_mpa": 3000.0,
        "radius_mm": 20.0,
        "wall_mm": 1.0,
        "poisson": 0.3,
    },
    ring_side_stiffness: {
        "modulus_mpa": 3000.0,
        "radius_mm": 20.0,
        "wall_mm": 1.0,
        "length_mm": 50.0,
        "poisson": 0.3,
    },
    ring_collapse_n_per_mm: {
        "yield_mpa": 60.0,
        "radius_mm": 20.0,
        "wall_mm": 1.0,
        "closing_mm": 4.0,
    },
}
MAY_BE_ZERO = {
    "force_n", "eccentricity_mm", "lean_deg", "slenderness", "imperfection",
    "closing_mm", "poisson", "bond",
}  # fmt: skip
EACH = [(function, name) for function, kwargs in CALLS.items() for name in kwargs]


def parts(result):
    """The numbers of a result, whatever carries them."""
    if dataclasses.is_dataclass(result):
        return [getattr(result, field.name) for field in dataclasses.fields(result)]
    return [result]


def test_every_public_calculation_is_in_the_table():
    functions = {getattr(columns, name) for name in columns.__all__}
    calculations = {f for f in functions if not isinstance(f, type)} - {end_factor}
    assert calculations == set(CALLS)


@pytest.mark.parametrize(("function", "name"), EACH)
def test_every_argument_is_checked_by_name(function, name):
    good = CALLS[function]
    bad_ones = [np.nan, np.inf, "long"]
    if name != "lean_deg":
        bad_ones.append(-1.0)
    if name not in MAY_BE_ZERO and (function, name) != (foundation_load_n, "foundation_mpa"):
        bad_ones.append(0.0)
    for bad in bad_ones:
        with pytest.raises(ValueError, match=f"^{name} must be "):
            function(**{**good, name: bad})


@pytest.mark.parametrize(("function", "name"), EACH)
def test_shapes_that_do_not_go_together_are_named(function, name):
    """Three values of one argument beside two of any other, the rest single."""
    good = {key: np.array(value) for key, value in CALLS[function].items()}
    for other in good:
        if other != name:
            spoilt = dict(good)
            spoilt[name], spoilt[other] = np.full(3, good[name]), np.full(2, good[other])
            with pytest.raises(ValueError, match=r"^shapes do not go together: .*3"):
                function(**spoilt)


@pytest.mark.parametrize("function", CALLS)
def test_arrays_give_what_single_numbers_give(function):
    """Every argument varied a little along its own axis or not at all."""
    good = CALLS[function]
    stretch = np.array([1.0, 1.5])
    for name, value in good.items():
        varied = np.array([7, 12]) if name == "count" else stretch * value
        many = parts(function(**{**good, name: varied}))
        ones = [parts(function(**{**good, name: one})) for one in varied]
        for k, part in enumerate(many):
            if part is None:
                continue
            each = np.array([one[k] for one in ones])
            assert_allclose(np.broadcast_to(part, each.shape), each, rtol=1e-9)
            assert np.shape(part) == each.shape
            assert not np.shares_memory(part, varied)
    for part in parts(function(**good)):
        assert isinstance(part, (float, np.ndarray))


def test_sections_against_their_definitions():
    """Second moment as the integral of distance squared, on a fine grid."""
    y, x = np.mgrid[-10:10:801j, -10:10:801j]
    cell, r = (20 / 800) ** 2, np.hypot(x, y)
    for section, inside in [
        (rod_section(20.0), r < 10),
        (tube_section(20.0, 3.0), (r < 10) & (r > 7)),
        (rectangle_section(8.0, 18.0), (np.abs(x) < 4) & (np.abs(y) < 9)),
    ]:
        assert_allclose(section.area_mm2, inside.sum() * cell, rtol=0.01)
        assert_allclose(section.second_moment_mm4, (y**2 * inside).sum() * cell, rtol=0.01)
        assert_allclose(section.outer_fibre_mm, np.abs(y[inside]).max(), rtol=0.01)
        assert_allclose(
            section.gyration_mm**2, section.second_moment_mm4 / section.area_mm2, rtol=1e-12
        )


def test_a_tube_as_thick_as_can_be_is_a_rod():
    tube, rod = tube_section(20.0, 10.0), rod_section(20.0)
    assert_allclose(dataclasses.astuple(tube), dataclasses.astuple(rod))
    with pytest.raises(ValueError, match=r"at most half the outer diameter \(got 11 mm in 20 mm\)"):
        tube_section(20.0, 11.0)
    with pytest.raises(ValueError, match=r"\(got 1 mm in 1 mm\), at index 1"):
        tube_section([20.0, 1.0], 1.0)


def test_bundles_ask_for_whole_strands_and_a_bond():
    with pytest.raises(ValueError, match="count must be a whole number between 1 and 100000"):
        bundle_section(2.5, 1.0, 1.0)
    with pytest.raises(ValueError, match="count must be a whole number"):
        bundle_section(100_001, 1.0, 1.0)
    with pytest.raises(ValueError, match=r"bond must be between 0 and 1 \(got 1.1\)"):
        bundle_section(7, 1.0, 1.1)
    assert bundle_section(100_000, 1.0, 1.0).area_mm2 == pytest.approx(1e5 * np.pi / 4)
    assert bundle_section(np.array([], dtype=int), 1.0, 1.0).area_mm2.shape == (0,)


def test_loose_bundles_are_so_many_strands_and_two_glued_ones_no_stiffer_the_weak_way():
    strand = rod_section(2.0)
    loose = bundle_section([1, 2, 50], 2.0, 0.0)
    assert_allclose(loose.second_moment_mm4, np.array([1, 2, 50]) * strand.second_moment_mm4)
    assert_allclose(loose.outer_fibre_mm, strand.outer_fibre_mm)
    assert_allclose(bundle_second_moment_mm4([1, 2], 2.0, 1.0), loose.second_moment_mm4[:2])


def test_ends_are_called_by_their_names():
    with pytest.raises(ValueError, match="ends must be one of 'fixed-fixed', "):
        end_factor("welded")


def test_columns_of_no_slenderness_reach_their_strength():
    assert johnson_stress_mpa(3000.0, 60.0, 0) == 60.0
    assert_allclose(perry_robertson_stress_mpa(3000.0, 60.0, 0, 0.25), 60.0 / 1.25)
    assert_allclose(perry_robertson_stress_mpa(3000.0, 60.0, [5, 400], 0.0),
                    [60.0, np.pi**2 * 3000.0 / 400**2])  # fmt: skip


def test_eccentric_load_stops_at_the_buckling_load():
    tube = tube_section(20.0, 1.0)
    args = tube.area_mm2, 0.5, tube.outer_fibre_mm, tube.gyration_mm, 300.0, 3000.0
    with pytest.raises(ValueError, match=r"below the buckling load of 888.6 N \(got 900\)$"):
        secant_peak_stress_mpa(900.0, *args)
    with pytest.raises(ValueError, match=r"of 222.1 N \(got 300\), at index 1"):
        secant_peak_stress_mpa([100.0, 300.0], *args, end_factor=2.0)
    assert_allclose(secant_peak_stress_mpa(100.0, args[0], 0.0, *args[2:]), 100.0 / args[0])


# ---------------------------------------------------------------- the leaning column


def test_a_balanced_load_presses_and_does_not_bend():
    column = leaning_column(0.99 * PCR, 0, 1, 1, 1, area_mm2=2, outer_fibre_mm=3, strength_mpa=9)
    assert (column.axial_n, column.cross_n) == (0.99 * PCR, 0)
    assert (column.base_moment_nmm, column.tip_deflection_mm) == (0, 0)
    assert_allclose(column.peak_stress_mpa, 0.99 * PCR / 2)
    assert_allclose(column.tension_mpa, -0.99 * PCR / 2)
    assert_allclose(column.utilisation, 0.99 * PCR / 18)


def test_edges_add_and_subtract_bending_and_the_weaker_one_decides():
    args = {"area_mm2": 25.0, "outer_fibre_mm": 2.0}
    column = leaning_column(1.0, 30.0, 3000.0, 50.0, 100.0, **args, strength_mpa=60.0)
    bending, press = column.base_moment_nmm * 2.0 / 50.0, column.axial_n / 25.0
    assert_allclose(column.compression_mpa, bending + press)
    assert_allclose(column.tension_mpa, bending - press)
    assert column.peak_stress_mpa == column.compression_mpa
    assert_allclose(column.utilisation, column.compression_mpa / 60.0)
    brittle = leaning_column(
        1.0, 30.0, 3000.0, 50.0, 100.0, **args, strength_mpa=60.0, tension_strength_mpa=6.0
    )
    assert_allclose(brittle.utilisation, brittle.tension_mpa / 6.0)
    pulled = leaning_column(1.0, 150.0, 3000.0, 50.0, 100.0, **args)
    bare = leaning_column(1.0, 150.0, 3000.0, 50.0, 100.0)
    for name in ("axial_n", "cross_n", "base_moment_nmm", "tip_deflection_mm"):
        assert getattr(pulled, name) == getattr(bare, name)
    assert pulled.axial_n < 0
    assert pulled.peak_stress_mpa == pulled.tension_mpa > pulled.compression_mpa
    assert pulled.utilisation is None
    bare = leaning_column(1.0, 30.0, 3000.0, 50.0, 100.0)
    assert bare.compression_mpa is bare.tension_mpa is bare.peak_stress_mpa is None


def test_no_load_no_bending_at_any_lean():
    column = leaning_column(0.0, [0, 45, 90, 180], 3000.0, 50.0, 100.0)
    assert_array_equal(column.tip_deflection_mm, 0)
    assert_array_equal(column.base_moment_nmm, 0)
    bent = bent_column(0.0, [0, 45, 90, 180], 3000.0, 50.0, 100.0, count=3)
    assert_allclose(bent.across_mm, 0, atol=1e-12)
    assert_allclose(bent.along_mm, [[0, 50, 100]] * 4, atol=1e-12)


def test_a_load_straight_across_is_a_plain_bracket():
    """P L^3 / (3 E I) and P L; 90 degrees is where the axial share changes sign."""
    lean = np.array([89.999, 90, 90.001])
    column = leaning_column(1.0, lean, 3000.0, 50.0, 100.0)
    assert_allclose(column.tip_deflection_mm, 100.0**3 / (3 * 3000.0 * 50.0), rtol=1e-5)
    assert_allclose(column.base_moment_nmm, 100.0, rtol=1e-5)
    assert (np.diff(column.tip_deflection_mm) < 0).all()


def test_at_and_beyond_buckling_it_refuses_with_the_load_and_the_way_on():
    leaning_column(0.999 * PCR, 0.0, 1, 1, 1)
    for force in (PCR, 2 * PCR):
        with pytest.raises(ValueError, match=r"force_n must be below 2.467 N, where the column"):
            leaning_column(force, 0.0, 1, 1, 1)
    with pytest.raises(
        ValueError,
        match=r"below 2.849 N, .* \(got 3 N leaning 30 degrees\); bent_column .*, at index 1$",
    ):
        leaning_column([0.01, 3.0], 30.0, 1, 1, 1)


def test_too_much_rotation_is_refused_with_the_limit_and_the_way_on():
    with pytest.raises(
        ValueError,
        match=r"^force_n 0.5 N leaning -45 degrees moves the tip by about 0.137 mm, more than a"
        r" tenth of the 1 mm length, .*; bent_column gives the exact shape$",
    ):
        leaning_column(0.5, -45.0, 1, 1, 1)
    with pytest.raises(ValueError, match=r"bent_column gives the exact shape, at index \(1, 0\)$"):
        leaning_column([[0.1], [0.5]], 45.0, 1, 1, 1)
    # just inside the tenth it still answers: P L^3 / (3 E I) = 0.0999
    leaning_column(3 * 0.0999, 90.0, 1, 1, 1)
    with pytest.raises(ValueError, match="more than a tenth"):
        leaning_column(3 * 0.1001, 90.0, 1, 1, 1)


def test_a_section_is_given_whole_or_not_at_all():
    with pytest.raises(ValueError, match=r"^area_mm2 and outer_fibre_mm must be given together"):
        leaning_column(1, 10, 3000, 50, 100, area_mm2=25)
    with pytest.raises(ValueError, match=r"^area_mm2 and outer_fibre_mm must be given together"):
        leaning_column(1, 10, 3000, 50, 100, outer_fibre_mm=2)
    for strength in ({"strength_mpa": 5}, {"tension_strength_mpa": 5}):
        with pytest.raises(ValueError, match=r"^a strength needs area_mm2 and outer_fibre_mm"):
            leaning_column(1, 10, 3000, 50, 100, **strength)
    with pytest.raises(ValueError, match=r"^tension_strength_mpa needs strength_mpa"):
        leaning_column(1, 10, 3000, 50, 100, area_mm2=25, outer_fibre_mm=2, tension_strength_mpa=5)


def test_lean_is_half_a_turn_at_most():
    for function in (leaning_column, bent_column):
        with pytest.raises(ValueError, match="lean_deg must be between -180 and 180"):
            function(1, 181, 3000, 50, 100)
    for lean in (-91, 91):
        with pytest.raises(ValueError, match="lean_deg must be between -90 and 90"):
            capacity_at_lean_n(lean, 3000, 50, 100, 25, 2, 60)


def test_the_line_needs_two_points_or_more():
    for bad in (1, 2.5):
        with pytest.raises(ValueError, match="count must be a whole number at least 2"):
            bent_column(1, 10, 3000, 50, 100, count=bad)
    with pytest.raises(ValueError, match="count must be one number"):
        bent_column(1, 10, 3000, 50, 100, count=[3, 4])
    assert bent_column(1, [10, 20], 3000, 50, 100, count=2).along_mm.shape == (2, 2)
    assert bent_column(1, 10, 3000, 50, 100).along_mm.shape == (61,)


def test_the_exact_line_stops_at_twenty_five_times_the_buckling_load():
    bent_column(24.99 * PCR, [0, 90, 180], 1, 1, 1)
    with pytest.raises(
        ValueError, match=r"at most 25 times the buckling load of 2.467 N \(got 62\), at index 1$"
    ):
        bent_column([1, 62], 0, 1, 1, 1)
    # 25 pi^2 3000 50 / (4 100^2) = 925.3
    bent_column(925, 0, 3000, 50, 100)
    with pytest.raises(ValueError, match=r"load of 37.01 N \(got 926\)$"):
        bent_column(926, 0, 3000, 50, 100)


def test_the_exact_line_never_jumps():
    """Four thousand loads and leans: every line keeps its length, so no point is off."""
    lean, share = np.meshgrid(np.linspace(0, 180, 61), np.linspace(0, 24.5, 66))
    bent = bent_column(share * PCR, lean, 1, 1, 1, count=201)
    steps = np.hypot(np.diff(bent.along_mm), np.diff(bent.across_mm))
    assert_allclose(steps, 1 / 200, rtol=2e-3)


def test_a_straight_column_stays_straight_until_it_buckles():
    bent = bent_column(np.array([0.5, 0.999, 1.001]) * PCR, 0, 1, 1, 1)
    assert_allclose(bent.tip_deflection_mm[:2], 0, atol=1e-12)
    assert_allclose(bent.along_mm[:2, -1], 1, rtol=1e-12)
    assert bent.tip_deflection_mm[2] > 0.02
    assert_allclose(bent.tip_turn_deg[2], np.degrees(np.sqrt(8 * 0.001)), rtol=0.01)


def test_capacity_upright_is_the_smaller_of_crushing_and_buckling():
    args = 3000.0, 50.0, 100.0, 25.0, 2.0
    euler = euler_load_n(3000.0, 50.0, 100.0, 2.0)
    assert_allclose(capacity_at_lean_n(0, *args, [1.0, 1e3]), [25.0, euler])
    assert_allclose(capacity_at_lean_n(0, *args, 1e3, 1e-3), euler)
    assert_allclose(capacity_at_lean_n(90, *args, 60.0), 60.0 * 50.0 / (2.0 * 100.0))
    assert_allclose(capacity_at_lean_n(90, *args, 60.0, 10.0), 10.0 * 50.0 / (2.0 * 100.0))


# ------------------------------------------------------- tapered, embedded and joined


def test_a_bed_may_be_missing_only_where_there_is_a_length():
    bare = foundation_load_n(3000, 50, 0, length_mm=100)
    assert_allclose(bare, euler_load_n(3000, 50, 100))
    for kwargs in ({}, {"loaded_end": "free"}, {"loaded_end": "free", "length_mm": 100}):
        with pytest.raises(ValueError, match="foundation_mpa must be above 0"):
            foundation_load_n(3000, 50, 0, **kwargs)
    with pytest.raises(ValueError, match="foundation_mpa must be at least 0"):
        foundation_load_n(3000, 50, -1, length_mm=100)


def test_the_loaded_end_is_held_or_free_and_a_free_column_long():
    with pytest.raises(ValueError, match="loaded_end must be one of 'held', 'free'"):
        foundation_load_n(3000, 50, 10, loaded_end="loose")
    # (E I / k)^(1/4) = 10 mm
    free = foundation_load_n(2000, 50, 10, length_mm=[50, 500], loaded_end="free")
    assert_allclose(free, 1000.0)
    assert_allclose(foundation_load_n(2000, 50, 10), 2000.0)
    with pytest.raises(
        ValueError, match=r"length_mm must be at least 50 for a free .* \(got 49\), at index 1$"
    ):
        foundation_load_n(2000, 50, 10, length_mm=[60, 49], loaded_end="free")


# ------------------------------------------------------------------------ thin tubes


def test_thin_tubes_are_thin():
    with pytest.raises(ValueError, match=r"radius_mm over wall_mm must be between 1 and 1500"):
        tube_axial_stress_mpa(3000, 1, 2)
    with pytest.raises(ValueError, match="shell must be one of 'pressed', 'bent', 'perfect'"):
        tube_axial_stress_mpa(3000, 20, 1, shell="round")
    for call in (
        lambda r: ring_side_stiffness(3000, r, 1),
        lambda r: ring_collapse_n_per_mm(60, r, 1),
    ):
        call(1.0)
        with pytest.raises(ValueError, match=r"at most the radius of 0.5 \(got 1\), at index 1$"):
            call([20, 0.5])
    for function in (tube_axial_stress_mpa, ring_side_stiffness):
        with pytest.raises(ValueError, match=r"poisson must be between 0 and 0.5"):
            function(3000, 20, 1, poisson=0.6)


def test_a_tube_cannot_be_flattened_beyond_its_diameter():
    with pytest.raises(ValueError, match=r"below the diameter of 40 \(got 40\)$"):
        ring_collapse_n_per_mm(60, 20, 1, 40)
    with pytest.raises(ValueError, match=r"\(got 41\), at index 1$"):
        ring_collapse_n_per_mm(60, 20, 1, [0, 41])
    at_rest = ring_collapse_n_per_mm(60, 20, 1)
    assert at_rest == 3.0
    assert_array_equal(ring_collapse_n_per_mm(60, 20, 1, [0.0, 0.0]), [3.0, 3.0])
    assert_allclose(ring_collapse_n_per_mm(60, 20, 1, 24.0, long_tube=True), 3.75 * 2 / np.sqrt(3))
    assert_allclose(ring_collapse_n_per_mm(60, 20, 1, 1.0), 3.0 / np.sqrt(1 - 1 / 1600))


def test_a_perfect_tube_carries_more_than_a_bent_one_and_that_more_than_a_pressed_one():
    perfect, bent, pressed = (
        tube_axial_stress_mpa(3000, 20, 1, shell=s) for s in ("perfect", "bent", "pressed")
    )
    assert perfect > bent > pressed > 0
    assert tube_axial_stress_mpa(3000, 20, 1) == pressed
