"""What must hold for any load on any foot: balance, mirror, turn, scale, order of the strips."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.horn import Horn
from hoofcalc.loadpath import (
    Hold,
    along_across,
    force_vector,
    obliquity_deg,
    pressure_under,
    share_on_hard_ground,
    share_out,
    utilisation,
    wall_stress,
)
from hoofcalc.profile import Profile

HORN = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
quick = settings(max_examples=settings().max_examples // 4)
tilts = st.floats(-10, 10)
leans = st.floats(-5, 5)


@st.composite
def feet(draw: st.DrawFn) -> Capsule:
    side = Profile.from_measures(
        draw(st.floats(42, 62)), draw(st.floats(28, 62)), 85, 38, draw(st.floats(95, 115))
    )
    return build_capsule(
        side,
        width_mm=draw(st.floats(105, 145)),
        per_side=draw(st.integers(8, 25)),
    )


@st.composite
def loads(draw: st.DrawFn) -> tuple[Capsule, np.ndarray, np.ndarray]:
    """A foot, a force, and a place somewhere within its bearing points."""
    foot = draw(feet())
    force = force_vector(draw(st.floats(500, 4000)), draw(tilts), draw(leans))
    shift = np.array([draw(st.floats(-20, 20)), draw(st.floats(-25, 25))])
    middle = np.average(foot.bearing_points_mm, axis=0, weights=foot.bearing_areas_mm2)
    return foot, force, middle + shift


def moved(foot: Capsule, matrix: np.ndarray, shift: np.ndarray) -> Capsule:
    return Capsule(
        foot.ground @ matrix.T + shift,
        foot.coronet @ matrix.T + shift,
        foot.thickness_mm,
        foot.heel_open,
    )


def turn_about_z(angle_deg: float) -> np.ndarray:
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


@quick
@given(loads())
def test_balance(case):
    """Forces and all three moments add up to the wall's part of the load."""
    foot, force, centre = case
    shares = share_out(foot, force, centre, 0.3)
    assert_allclose(shares.sum(axis=0), 0.7 * force, rtol=1e-9, atol=1e-9 * force[2])
    at = np.pad(foot.bearing_points_mm, ((0, 0), (0, 1)))
    left_over = np.cross(at, shares).sum(axis=0) - np.cross(np.append(centre, 0), 0.7 * force)
    assert np.abs(left_over).max() < 1e-9 * force[2] * 150
    assert np.all(shares[:, 2] >= 0)


@st.composite
def clouds(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Points anywhere, areas within a thousand of one another, a place inside them."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    count = draw(st.integers(3, 30))
    points = rng.uniform(-50, 50, (count, 2)) * [1, draw(st.sampled_from([1.0, 0.1]))]
    areas = 10 ** rng.uniform(0, draw(st.sampled_from([0.0, 1.0, 3.0])), count)
    weights = rng.dirichlet(np.full(count, draw(st.sampled_from([0.05, 0.3, 1.0]))))
    return points, areas, weights @ points


@given(clouds())
def test_pressure_is_the_one_that_meets_all_conditions(case):
    """In balance, linear where it bears, and the plane does not press where it does not.

    derived: with these three the convex problem has no other solution.
    """
    points, areas, centre = case
    pressure = pressure_under(points, areas, 1000.0, centre)
    shares = pressure * areas
    assert_allclose(shares.sum(), 1000, rtol=1e-9)
    assert_allclose(shares @ points, 1000 * centre, atol=1e-9 * 1000 * 150)
    bears = pressure > 0
    if np.count_nonzero(bears) > 3:
        basis = np.column_stack([np.ones(len(points)), points])
        plane = np.linalg.lstsq(basis[bears], pressure[bears], rcond=None)[0]
        scale = pressure.max()
        assert_allclose(basis[bears] @ plane, pressure[bears], atol=1e-6 * scale)
        if np.linalg.matrix_rank(basis[bears], tol=1e-6 * 50) == 3:
            assert np.all(basis[~bears] @ plane <= 1e-4 * scale)


@quick
@given(clouds(), st.integers(0, 1000))
def test_order_of_the_points_does_not_matter(case, mix):
    points, areas, centre = case
    order = np.random.default_rng(mix).permutation(len(points))
    plain = pressure_under(points, areas, 10.0, centre)
    mixed = pressure_under(points[order], areas[order], 10.0, centre)
    assert_allclose(mixed, plain[order], rtol=1e-6, atol=1e-7 * plain.max())


@quick
@given(loads(), st.floats(0.1, 2.0))
def test_twice_the_force_is_twice_the_stress(case, factor):
    foot, force, centre = case
    one, more = share_out(foot, force, centre), share_out(foot, factor * force, centre)
    assert_allclose(more, factor * one, rtol=1e-9)
    assert_allclose(obliquity_deg(foot, factor * force), obliquity_deg(foot, force))
    small, large = wall_stress(foot, one, HORN), wall_stress(foot, more, HORN)
    for name in ("bearing_mpa", "axial_mpa", "worked_mpa", "bending_mpa"):
        assert_allclose(getattr(large, name), factor * getattr(small, name), rtol=1e-9, atol=1e-12)
    assert_allclose(utilisation(foot, more, HORN), factor * utilisation(foot, one, HORN), rtol=1e-9)


@quick
@given(loads())
def test_mirrored_foot_and_load_give_the_mirrored_answer(case):
    foot, force, centre = case
    across = np.array([1.0, -1.0, 1.0])
    other = Capsule(
        foot.ground[::-1] * across,
        foot.coronet[::-1] * across,
        foot.thickness_mm[::-1],
        foot.heel_open,
    )
    shares = share_out(foot, force, centre)
    mirrored = share_out(other, force * across, centre * across[:2])
    assert_allclose(mirrored, shares[::-1] * across, rtol=1e-7, atol=1e-7)
    assert_allclose(
        obliquity_deg(other, force * across)[::-1], obliquity_deg(foot, force), atol=1e-9
    )
    assert_allclose(
        utilisation(other, mirrored, HORN)[::-1], utilisation(foot, shares, HORN), rtol=1e-5
    )
    hard = share_on_hard_ground(foot, force, centre, HORN)
    mirrored = share_on_hard_ground(other, force * across, centre * across[:2], HORN)
    assert_allclose(mirrored, hard[::-1] * across, atol=1e-5 * force[2])


@quick
@given(loads(), st.floats(-180, 180), st.floats(-300, 300))
def test_turned_on_the_ground_with_its_load_nothing_changes(case, angle, shift):
    """With one hold all round and no bars (both go by x, which turns away)."""
    foot, force, centre = case
    matrix = turn_about_z(angle)
    there = np.array([shift, -shift, 0.0])
    other = moved(foot, matrix, there)
    place = (matrix @ np.append(centre, 0) + there)[:2]
    shares = share_out(foot, force, centre)
    turned = share_out(other, matrix @ force, place)
    assert_allclose(turned, shares @ matrix.T, rtol=1e-6, atol=1e-6)
    assert_allclose(obliquity_deg(other, matrix @ force), obliquity_deg(foot, force), atol=1e-9)
    same = Hold(toe_hold_mpa_per_mm=2.0, heel_hold_mpa_per_mm=2.0, bars=0.0)
    assert_allclose(
        utilisation(other, turned, HORN, hold=same),
        utilisation(foot, shares, HORN, hold=same),
        rtol=1e-5,
    )


@quick
@given(loads(), st.floats(-15, 15))
def test_pitched_with_its_forces_no_direction_changes(case, pitch):
    """Foot and rim forces turned together about y: the same along and across."""
    foot, force, centre = case
    c, s = np.cos(np.radians(pitch)), np.sin(np.radians(pitch))
    matrix = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])
    other = moved(foot, matrix, np.zeros(3))
    shares = share_out(foot, force, centre)
    plain, turned = along_across(foot, shares), along_across(other, shares @ matrix.T)
    assert_allclose(turned.along_n, plain.along_n, atol=1e-9 * force[2])
    assert_allclose(turned.across_n, plain.across_n, atol=1e-9 * force[2])


@quick
@given(feet(), st.floats(-10, 8), st.floats(0.1, 2.0))
def test_leaning_back_brings_the_force_nearer_the_tubules(foot, tilt, more):
    """Monotone in lean: at the toe and the heels obliquity falls as the force leans back."""
    before, after = obliquity_deg(foot, force_vector([1.0, 1.0], [tilt, tilt + more]))
    places = [0, len(foot.ground) // 2, -1]
    assert np.all(after[places] < before[places])


@quick
@given(loads(), st.floats(0.5, 6.0), st.floats(1.0, 4.0))
def test_more_free_height_or_softer_hold_bends_the_toe_more(case, height, more):
    foot, force, centre = case
    shares = share_out(foot, force, centre)
    toe = len(foot.ground) // 2
    plain = wall_stress(foot, shares, HORN, hold=Hold(height)).bending_mpa[toe]
    higher = wall_stress(foot, shares, HORN, hold=Hold(height + more)).bending_mpa[toe]
    soft = Hold(height, 3 / (1 + more), 1 / (1 + more))
    softer = wall_stress(foot, shares, HORN, hold=soft).bending_mpa[toe]
    assert abs(higher) >= abs(plain) * 0.99
    assert abs(softer) >= abs(plain) * 0.99


@quick
@given(loads(), st.floats(0, 0.5))
def test_balance_on_hard_ground(case, other):
    foot, force, centre = case
    try:
        shares = share_on_hard_ground(foot, force, centre, HORN, other)
    except ValueError as problem:
        if "no balance" not in str(problem):  # said in words, and rare
            raise
        return
    assert_allclose(shares.sum(axis=0), (1 - other) * force, rtol=1e-7, atol=1e-7 * force[2])
    moment = (shares[:, 2:] * foot.bearing_points_mm).sum(axis=0)
    assert_allclose(moment, (1 - other) * force[2] * centre, atol=1e-6 * force[2] * 100)
    assert np.all(shares[:, 2] >= 0)
