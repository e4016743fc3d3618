"""The load path: what must be true of any foot under any load, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc import loadpath
from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.horn import CRITERIA, Horn, horn_at, modulus_at_deg, strength_at_deg, strength_ratio
from hoofcalc.loadpath import (
    along_across,
    force_vector,
    held_strip,
    obliquity_deg,
    pressure_under,
    share_out,
    utilisation,
    wall_stress,
    weakest_place,
)
from hoofcalc.profile import Profile

HORN = Horn(600, 300, 150, 0.3, 30, 40, 15, 25, 12)  # round figures, not measured
TOE = 90
ANGLES = {"underrun": (48.0, 32.0), "in line": (50.0, 48.0), "upright": (60.0, 62.0)}


def foot(toe: float = 50.0, heel: float = 45.0, **how: object) -> Capsule:
    return build_capsule(Profile.from_measures(toe, heel, 85, 38, 105), **how)


FOOT = foot()
FEET = build_capsule(Profile.from_measures(*np.array(list(ANGLES.values())).T, 85, 38, 105))


def middle(capsule: Capsule) -> np.ndarray:
    weights = capsule.bearing_areas_mm2[..., None]
    return (capsule.bearing_points_mm * weights).sum(axis=-2) / weights.sum(axis=-2)


# ---- force


def test_force_leans_as_said():
    back, left = force_vector(100.0, [30.0, 0.0], [0.0, 30.0])
    assert back == pytest.approx([-100 * np.tan(np.radians(30)), 0, 100])
    assert left == pytest.approx([0, 100 * np.tan(np.radians(30)), 100])
    assert force_vector(0.0, 10.0) == pytest.approx([0, 0, 0])


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ((-1.0, 0.0), "vertical_n must be at least 0"),
        ((1.0, 90.0), "tilt_deg must be above -90 and below 90"),
        ((1.0, -90.0), "tilt_deg must be above -90 and below 90"),
        ((1.0, 0.0, 90.0), "side_lean_deg must be above -90 and below 90"),
        ((1.0, 0.0, -90.0), "side_lean_deg must be above -90 and below 90"),
        (([1.0, 2.0], [0.0, 1.0, 2.0]), "vertical_n .2,., tilt_deg .3,."),
    ],
)
def test_force_slips(args, words):
    with pytest.raises(ValueError, match=words):
        force_vector(*args)


# ---- pressure


def balance(points, areas, pressure, force, centre):
    """What is left over of force and moments, as a part of force and of force times size."""
    shares = pressure * areas
    size = np.ptp(points, axis=-2).max()
    up = shares.sum(axis=-1) / force - 1
    moment = (shares[..., None] * points).sum(axis=-2) / np.expand_dims(force, -1) - centre
    return np.abs(up).max(), np.abs(moment).max() / size


def test_pressure_balances_wherever_the_force_acts():
    """Inside the kern, outside it, close to the edge of the bearing points, at a corner of them."""
    points, areas = FOOT.bearing_points_mm, FOOT.bearing_areas_mm2
    heels = (points[0] + points[-1]) / 2
    places = np.array(
        [middle(FOOT), [20, 0], [100, 0], [60, 45], [10, -40], heels, points[0], points[TOE]]
    )
    force = np.linspace(100, 9000, len(places))
    pressure = pressure_under(points, areas, force, places)
    assert np.all(pressure >= 0)
    assert np.all(
        (pressure > 0).all(axis=-1) == [True, False, False, False, False, False, False, False]
    )
    left_over = balance(points, areas, pressure, force, places)
    assert max(left_over) < 1e-9
    # all the force on one point
    assert pressure[-2, 0] * areas[0] == pytest.approx(force[-2])
    assert np.count_nonzero(pressure[-2] > 1e-6 * pressure[-2].max()) == 1


def test_pressure_is_linear_where_it_bears():
    points, areas = FOOT.bearing_points_mm, FOOT.bearing_areas_mm2
    pressure = pressure_under(points, areas, 1000.0, (30.0, 15.0))
    bears = pressure > 0
    basis = np.column_stack([np.ones(len(points)), points])
    plane, rest, *_ = np.linalg.lstsq(basis[bears], pressure[bears], rcond=None)
    assert rest == pytest.approx(0, abs=1e-18)
    assert np.all(basis[~bears] @ plane <= 1e-12)  # and nothing would pull elsewhere


def test_even_pressure_under_the_middle():
    pressure = pressure_under(FEET.bearing_points_mm, FEET.bearing_areas_mm2, 5000.0, middle(FEET))
    expected = 5000 / FEET.bearing_area_mm2
    np.testing.assert_allclose(pressure, np.broadcast_to(expected[:, None], pressure.shape))


def test_no_force_no_pressure():
    assert np.all(pressure_under([(0, 0), (1, 0), (0, 1)], np.ones(3), 0.0, (0.3, 0.3)) == 0)


def test_many_loads_on_many_feet_are_the_single_ones():
    places = np.array([[60.0, 5.0], [20.0, 0.0], [95.0, -10.0]])
    force = np.array([1000.0, 2000.0, 3000.0])
    together = pressure_under(
        FEET.bearing_points_mm, FEET.bearing_areas_mm2, force[:, None], places[:, None]
    )
    assert together.shape == (3, 3, 181)
    for i in range(3):
        for j in range(3):
            alone = pressure_under(
                FEET.bearing_points_mm[j], FEET.bearing_areas_mm2[j], force[i], places[i]
            )
            np.testing.assert_allclose(together[i, j], alone, rtol=1e-9, atol=1e-12)


TRIANGLE = [(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (
            (TRIANGLE, np.ones(3), 1.0, (6.0, 6.0)),
            r"^centre_mm must lie .* over \(got forward 6, left 6\)",
        ),
        ((TRIANGLE, np.ones(3), 1.0, (-0.001, 5.0)), "or the foot tips over"),
        ((TRIANGLE, np.ones(3), 1.0, [(1.0, 1.0), (11.0, 0.0)]), "forward 11, left 0"),
        (
            (TRIANGLE, np.ones(2), 1.0, (1.0, 1.0)),
            "^points_mm and areas_mm2 must hold as many points",
        ),
        ((TRIANGLE[0], np.ones(2), 1.0, (1.0, 1.0)), "as many points as areas"),
        ((TRIANGLE, 1.0, 1.0, (1.0, 1.0)), "as many points as areas"),
        ((TRIANGLE, [1.0, 0.0, 1.0], 1.0, (1.0, 1.0)), "areas_mm2 must be above 0"),
        ((TRIANGLE, np.ones(3), -1.0, (1.0, 1.0)), "force_n must be at least 0"),
        ((TRIANGLE, np.ones(3), 1.0, (1.0, 1.0, 1.0)), "centre_mm must hold 2 coordinates"),
        (
            ([(0, 0), (1, 1), (2, 2)], np.ones(3), 1.0, (1.0, 1.0)),
            "^points_mm must not all lie on one line",
        ),
        (
            ([(2, 2), (2, 2), (2, 2)], np.ones(3), 1.0, (2.0, 2.0)),
            "^points_mm must not all lie in one place$",
        ),
        ((np.ones((3, 3)), np.ones(3), 1.0, (1.0, 1.0)), "points_mm must hold 2 coordinates"),
        ((TRIANGLE, np.ones(3), [1.0, 2.0], np.ones((3, 2))), r"force_n \(2,\), centre_mm \(3,\)"),
        (([TRIANGLE] * 2, np.ones(3), np.ones(3), (1.0, 1.0)), r"points_mm \(2,\), .* \(3,\)"),
        ((TRIANGLE, np.ones((2, 3)), 1.0, np.ones((3, 2))), r"areas_mm2 \(2,\), .* \(3,\)"),
    ],
)
def test_pressure_slips(args, words):
    with pytest.raises(ValueError, match=words):
        pressure_under(*args)


@pytest.mark.parametrize("areas", [[2.0, 3.0, 2.0, 4.0], [2e-6, 3.0, 2.0, 4e-6]])
def test_hard_cases_need_shortened_steps(areas):
    """Four points, the force almost on one of them, and areas far apart: still in balance."""
    points = np.array([[-6.0, 2.0], [-3.0, 6.0], [5.0, -3.0], [-2.0, 9.0]])
    centre = np.array([-2.18, 8.68])
    pressure = pressure_under(points, areas, 3.0, centre)
    assert max(balance(points, np.array(areas), pressure, np.array(3.0), centre)) < 1e-9
    # derived: the first and third do not bear, or they would lift the centre off the edge
    assert pressure[3] * areas[3] > 2.6


def test_it_says_so_when_no_balance_is_found(monkeypatch):
    monkeypatch.setattr(loadpath, "_MOST_STEPS", 1)
    with pytest.raises(ValueError, match=r"^no balance found in 1 steps: .* left over; the centre"):
        pressure_under(FOOT.bearing_points_mm, FOOT.bearing_areas_mm2, 1.0, (5.0, 30.0))


# ---- shares


def test_shares_add_up_with_their_moments():
    force = np.stack([force_vector(5000, 6, -3), force_vector(7000, -4, 2)])
    centre = np.array([[66.0, 4.0], [20.0, 0.0]])  # the second with the toe lifted
    shares = share_out(FOOT, force, centre)
    np.testing.assert_allclose(shares.sum(axis=-2), 0.8 * force, rtol=1e-9)
    at = np.concatenate([FOOT.bearing_points_mm, np.zeros((181, 1))], axis=-1)
    moment = np.cross(at, shares).sum(axis=-2)
    arm = np.concatenate([centre, np.zeros((2, 1))], axis=-1)
    np.testing.assert_allclose(moment, np.cross(arm, 0.8 * force), atol=1e-9 * 7000 * 100)
    assert np.all(shares[..., 2] >= 0)
    assert (shares[1, TOE] == 0).all()


def test_what_frog_bars_and_sole_take_is_off_the_wall():
    force = force_vector(5000, 6)
    whole = share_out(FOOT, force, (66, 0), other_share=0.0)
    np.testing.assert_allclose(whole.sum(axis=0), force, rtol=1e-12)
    np.testing.assert_allclose(share_out(FOOT, force, (66, 0), [0.5, 0.25])[1], 0.75 * whole)


def test_every_share_has_the_direction_of_the_force():
    force = force_vector(5000, 6, 2)
    shares = share_out(FOOT, force, (70, 5))
    np.testing.assert_allclose(shares / shares[:, 2:], np.broadcast_to(force / 5000, (181, 3)))


def test_load_moves_with_its_point():
    """Further back: more on the heels. To the left: more on the left."""

    def part(centre, where):
        return share_out(FOOT, force_vector(1000, 0), centre)[where, 2].sum()

    heels, left = FOOT.back_fraction > 0.7, FOOT.ground[:, 1] > 1
    assert part((50, 0), heels) > part((60, 0), heels) > part((70, 0), heels)
    assert part((66, 10), left) > part((66, 0), left) > part((66, -10), left)


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ((FOOT, (0.0, 0.0, 0.0), (60, 0)), r"force must press up on the foot.*\(got 0 N\)"),
        ((FOOT, (0.0, 0.0, -1.0), (60, 0)), "must press up"),
        ((FOOT, (0.0, 1.0), (60, 0)), "force must hold 3 coordinates"),
        ((FOOT, (0.0, 0.0, 1.0), (60, 0, 0)), "centre_mm must hold 2 coordinates"),
        ((FOOT, (0.0, 0.0, 1.0), (60, 0), 1.0), "other_share must be .*below 1"),
        ((FOOT, (0.0, 0.0, 1.0), (60, 0), -0.1), "other_share must be at least 0"),
        ((FOOT, (0.0, 0.0, 1.0), (200, 0)), "or the foot tips over"),
        ((FEET, np.ones((2, 3)), (60, 0)), r"capsule \(3,\), force \(2,\)"),
        ((FEET, np.ones(3), np.ones((2, 2))), r"capsule \(3,\), .*centre_mm \(2,\)"),
        ((FEET, np.ones(3), (60, 0), [0.1, 0.2]), r"other_share \(2,\)"),
    ],
)
def test_share_slips(args, words):
    with pytest.raises(ValueError, match=words):
        share_out(*args)


# ---- direction


def test_obliquity_in_the_side_view_is_geometry():
    """(90 - wall angle) - tilt, at the toe and on a foot as wide at the top as below (derived)."""
    straight = foot(50, 35, taper=1.0)
    for tilt in (-8.0, 0.0, 5.6):
        slants = obliquity_deg(straight, force_vector(3.0, tilt))
        assert slants[TOE] == pytest.approx(90 - 50 - tilt, abs=1e-9)
        assert slants[[0, -1]] == pytest.approx([90 - 35 - tilt] * 2, abs=1e-9)


def test_obliquity_keeps_small_angles_exact():
    upright = foot(50, 45, taper=1.0)
    along = upright.tubules[TOE] * 7.0
    assert obliquity_deg(upright, along)[TOE] == pytest.approx(0, abs=1e-13)
    nudged = along + np.array([0.0, 7e-9, 0.0])
    assert obliquity_deg(upright, nudged)[TOE] == pytest.approx(np.degrees(1e-9), rel=1e-6)


def test_obliquity_of_many_feet_and_directions():
    tilts = np.linspace(-6, 6, 5)
    force = force_vector(1.0, tilts)
    slants = obliquity_deg(FEET, force[:, None])
    assert slants.shape == (5, 3, 181)
    np.testing.assert_allclose(slants[:, 1], obliquity_deg(foot(*ANGLES["in line"]), force))
    assert np.all(np.diff(slants[:, :, TOE], axis=0) < 0)  # leaning back: more along the toe
    with pytest.raises(ValueError, match=r"capsule \(3,\), force \(5,\)"):
        obliquity_deg(FEET, force)
    with pytest.raises(ValueError, match="force must press up"):
        obliquity_deg(FEET, (0.0, 0.0, 0.0))


def test_along_and_across_make_up_the_force():
    shares = share_out(FEET, force_vector(5000, 6, 3), middle(FEET))
    along, across = along_across(FEET, shares)
    np.testing.assert_allclose(np.hypot(along, across), np.linalg.norm(shares, axis=-1))
    np.testing.assert_allclose(
        np.degrees(np.arctan2(across, along)), obliquity_deg(FEET, force_vector(1, 6, 3))
    )
    assert along_across(FOOT, FOOT.tubules * 5).along_n == pytest.approx(np.full(181, 5))
    assert along_across(FOOT, FOOT.outward * 5).across_n == pytest.approx(np.full(181, 5))
    assert along_across(FOOT, -FOOT.tubules).along_n == pytest.approx(np.full(181, -1))


@pytest.mark.parametrize("shape", [(180, 3), (3,), (2, 181, 3)])
def test_forces_for_other_strips_are_refused(shape):
    with pytest.raises(ValueError, match=r"^rim_forces must hold 3 coordinates"):
        along_across(FEET, np.ones((*shape[:-1], 2)))
    with pytest.raises(ValueError, match=r"rim_forces must hold one value for each strip"):
        along_across(FEET, np.ones(shape))


# ---- the strip as a beam


def test_with_nothing_free_the_strip_is_hetenyis_beam():
    """M = 0.3224 V / b at b x = pi / 4, tip 2 V b / k; gives way at sqrt(k E I), a free end."""
    stiff, hold = 5000.0, 0.8
    b = (hold / (4 * stiff)) ** 0.25
    beam = held_strip(stiff, hold, 0.0)
    assert beam.lever_mm * b == pytest.approx(np.exp(-np.pi / 4) * np.sin(np.pi / 4), rel=1e-12)
    assert beam.tip_mm_per_n == pytest.approx(2 * b / hold, rel=1e-12)
    assert beam.buckling_n == pytest.approx(np.sqrt(hold * stiff), rel=1e-12)
    assert type(beam.lever_mm) is type(beam.buckling_n) is float


def test_held_by_rock_the_strip_is_a_cantilever():
    """Foundation without give: M = V h, tip V h^3 / 3 E I, buckling pi^2 E I / 4 h^2."""
    beam = held_strip(5000.0, 1e13, 20.0)
    assert beam.lever_mm == pytest.approx(20, rel=1e-2)
    assert beam.tip_mm_per_n == pytest.approx(20**3 / 15000, rel=1e-2)
    assert beam.buckling_n == pytest.approx(np.pi**2 * 5000 / 4 / 400, rel=1e-2)


def test_stiffer_hold_and_shorter_free_height_help():
    holds = held_strip(5000.0, np.geomspace(0.01, 10, 20), 8.0)
    free = held_strip(5000.0, 1.0, np.linspace(0, 40, 20))
    for beams, sign in ((holds, -1), (free, 1)):
        assert np.all(sign * np.diff(beams.lever_mm) > 0)
        assert np.all(sign * np.diff(beams.tip_mm_per_n) > 0)
        assert np.all(sign * np.diff(beams.buckling_n) < 0)


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ((0.0, 1.0, 1.0), "stiffness_nmm2 must be above 0"),
        ((1.0, 0.0, 1.0), "foundation_mpa must be above 0"),
        ((1.0, 1.0, -1.0), "free_mm must be at least 0"),
        (([1.0, 2.0], [1.0, 2.0, 3.0], 1.0), "shapes do not go together"),
    ],
)
def test_strip_slips(args, words):
    with pytest.raises(ValueError, match=words):
        held_strip(*args)


# ---- stress


def flat_wall(slope_deg: float = 90.0, lean_out_deg: float = 0.0) -> Capsule:
    """A box; in the middle of its left side tubules of this slope, and this lean of the wall."""
    x = np.array([60.0, 60.0, 1.0, 0.0, -1.0, -60.0, -60.0])
    y = np.array([-40.0, 40.0, 40.0, 40.0, 40.0, 40.0, -40.0])
    ground = np.stack([x, y, 0 * x], axis=-1)
    up = [-1 / np.tan(np.radians(slope_deg)), -np.tan(np.radians(lean_out_deg)), 1.0]
    return Capsule(ground, ground + 30 * np.array(up), 8.0)


MID = 3


def test_plain_pressure_on_an_upright_wall():
    """Upright tubules, upright force: pressure along them and nothing else but held-back thrust."""
    wall = flat_wall()
    forces = np.array([0.0, 0.0, 2.0]) * wall.bearing_areas_mm2[:, None]
    stress = wall_stress(wall, forces, HORN)
    assert stress.bearing_mpa[MID] == pytest.approx(2)
    assert stress.axial_mpa[MID] == pytest.approx(-2)
    assert stress.upright_mpa[MID] == pytest.approx(-2)
    # derived: no strain along the rim, s2 / E2 - nu s1 / E1 = 0
    assert stress.thrust_mpa[MID] == pytest.approx(-2 * 0.3 * 300 / 600)
    for name in ("edge_shear_mpa", "bending_mpa", "through_shear_mpa", "tubule_deg"):
        assert getattr(stress, name)[MID] == pytest.approx(0, abs=1e-12)
    beam = held_strip(600 / (1 - 0.3**2 / 2) * 8**3 / 12, 2.0, 8.0)  # back fraction 1/2: hold 2
    share = 2 * 8 / beam.buckling_n
    assert stress.buckling_share[MID] == pytest.approx(share)
    assert utilisation(wall, forces, HORN, criterion="max_stress")[MID] == pytest.approx(2 / 40)


def turned_compliance(angle: float) -> np.ndarray:
    """Compliance of HORN in axes from which the tubules lie at `angle` [rad], by matrices."""
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array(
        [[c * c, s * s, 2 * s * c], [s * s, c * c, -2 * s * c], [-s * c, s * c, c * c - s * s]]
    )
    plain = np.array([[1 / 600, -0.3 / 600, 0], [-0.3 / 600, 1 / 300, 0], [0, 0, 1 / 150]])
    reuter = np.diag([1, 1, 2])
    return reuter @ np.linalg.inv(turn) @ np.linalg.inv(reuter) @ plain @ turn


@pytest.mark.parametrize("slope", [75.0, 40.0, 110.0])
def test_rim_neither_stretches_nor_shortens(slope):
    """The strain along the rim, by the whole compliance matrix turned, is zero (derived)."""
    wall = flat_wall(slope_deg=slope)
    forces = np.array([0.7, 0.0, 2.0]) * wall.bearing_areas_mm2[:, None]
    stress = wall_stress(wall, forces, HORN)
    # the rim runs backwards on the left: tubules that lean back lean with it
    assert stress.tubule_deg[MID] == pytest.approx(90 - slope)
    compliance = turned_compliance(np.radians(90 - slope))
    edge = np.array([stress.upright_mpa[MID], stress.thrust_mpa[MID], stress.edge_shear_mpa[MID]])
    assert (compliance @ edge)[1] == pytest.approx(0, abs=1e-12)
    assert edge[[0, 2]] == pytest.approx([-2, 0.7])  # forward is against the rim's run
    # the beam square to the face: as stiff as a sheet that cannot widen
    modulus = 1 / (compliance[0, 0] - compliance[0, 1] ** 2 / compliance[1, 1])
    beam = held_strip(modulus * 8**3 / 12, 2.0, 8.0)
    assert stress.buckling_share[MID] == pytest.approx(2 * 8 / beam.buckling_n)


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("level", [0.7, -0.7])
def test_utilisation_is_that_of_the_stress(criterion, level):
    """Without bending: one over the strength ratio of the very stress that is told."""
    wall = flat_wall(slope_deg=40.0)
    forces = np.array([level, 0.0, 2.0]) * wall.bearing_areas_mm2[:, None]
    stress = wall_stress(wall, forces, HORN)
    parts = (stress.upright_mpa, stress.thrust_mpa, stress.edge_shear_mpa, stress.tubule_deg)
    want = 1 / strength_ratio(HORN, *(part[MID] for part in parts), criterion)
    assert utilisation(wall, forces, HORN, criterion=criterion)[MID] == pytest.approx(want)


def test_stress_on_a_leaning_wall():
    """30 degrees out of upright: sections, signs and sizes by hand (derived)."""
    wall = flat_wall(lean_out_deg=30.0)
    forces = np.array([0.0, 0.0, 2.0]) * wall.bearing_areas_mm2[:, None]
    thick = 8 * np.cos(np.radians(30))
    assert wall.wall_thickness_mm[MID] == pytest.approx(thick)
    stress = wall_stress(wall, forces, HORN, free_height_mm=6.0)
    assert stress.upright_mpa[MID] == pytest.approx(-2)  # N cos 30 over A cos 30
    assert stress.axial_mpa[MID] == pytest.approx(-2)
    out = 2 * 8 * np.sin(np.radians(30))  # N for each mm of rim
    assert stress.through_shear_mpa[MID] == pytest.approx(1.5 * out / thick)
    beam = held_strip(600 / (1 - 0.3**2 / 2) * thick**3 / 12, 2.0, 6 / np.cos(np.radians(30)))
    share = 2 * thick / beam.buckling_n
    assert stress.buckling_share[MID] == pytest.approx(share)
    bending = -6 * out * beam.lever_mm / thick**2 / (1 - share)
    assert stress.bending_mpa[MID] == pytest.approx(bending)  # pushed out: outer face pressed
    inward = forces - 2 * np.sum(forces * wall.outward, axis=-1)[:, None] * wall.outward
    assert wall_stress(wall, inward, HORN, free_height_mm=6.0).bending_mpa[MID] == pytest.approx(
        -bending
    )


def test_hold_runs_from_toe_to_heel():
    """The toe feels only the toe's hold, the heels only the heel's."""
    shares = share_out(FOOT, force_vector(3000, 2), (66, 0))

    def bending(toe, heel):
        return wall_stress(
            FOOT, shares, HORN, toe_hold_mpa_per_mm=toe, heel_hold_mpa_per_mm=heel
        ).bending_mpa

    plain, soft_heel, soft_toe = bending(3.0, 1.0), bending(3.0, 0.6), bending(2.0, 1.0)
    assert soft_heel[TOE] == pytest.approx(plain[TOE])
    assert soft_toe[[0, -1]] == pytest.approx(plain[[0, -1]])
    assert np.all(np.abs(soft_heel[[0, -1]]) > np.abs(plain[[0, -1]]))
    assert abs(soft_toe[TOE]) > abs(plain[TOE])
    # half way back: half way between
    half = np.argmin(np.abs(FOOT.back_fraction - 0.5))
    even = 3 + FOOT.back_fraction[half] * (1 - 3)
    assert bending(even, even)[half] == pytest.approx(plain[half])


def test_beyond_buckling_bending_has_no_end():
    shares = share_out(FOOT, force_vector(1000, 0), (66, 0))
    reach = wall_stress(FOOT, shares, HORN).buckling_share[0]
    load = np.array([0.99, 1.01, 30])[:, None, None] / reach
    assert wall_stress(FOOT, shares * load, HORN).buckling_share[:, 0] == pytest.approx(
        [0.99, 1.01, 30]
    )
    bending = wall_stress(FOOT, shares * load, HORN).bending_mpa[:, 0]
    used = utilisation(FOOT, shares * load, HORN)[:, 0]
    for values in (bending, used):
        assert np.isfinite(values).tolist() == [True, False, False]
        assert np.all(values > 0)
    # a strip that nothing bends stays unbent, and still gives way
    wall = flat_wall()
    huge = np.array([0.0, 0.0, 1e6]) * np.ones((7, 1))
    assert wall_stress(wall, huge, HORN).bending_mpa[MID] == 0
    assert utilisation(wall, huge, HORN)[MID] == np.inf


def test_pulled_strips_bend_less():
    shares = share_out(FOOT, force_vector(1000, 0), (66, 0))
    pressed, pulled = (wall_stress(FOOT, sign * shares, HORN) for sign in (1, -1))
    assert np.all(np.abs(pulled.bending_mpa) < np.abs(pressed.bending_mpa))
    np.testing.assert_allclose(pulled.axial_mpa, -pressed.axial_mpa)


def test_toe_is_pressed_outside_and_heels_are_pushed_under():
    """An upright force presses the toe's outer face; the heels it bends inward and forward."""
    stress = wall_stress(FOOT, share_out(FOOT, force_vector(3000, 0), (66, 0)), HORN)
    assert stress.bending_mpa[TOE] < 0
    assert np.all(stress.bending_mpa[[0, -1]] > 0)
    # tubules lean to the back all round: against the rim's run on the right, with it on the left
    assert np.all(stress.tubule_deg[:TOE] < 0)
    assert np.all(stress.tubule_deg[TOE + 1 :] > 0)


def test_free_height_of_each_foot():
    shares = share_out(FEET, force_vector(3000, 0), middle(FEET))
    heights = np.array([6.0, 8.0, 10.0])
    many = wall_stress(FEET, shares, HORN, free_height_mm=heights)
    one = foot(*ANGLES["upright"])
    np.testing.assert_allclose(
        many.bending_mpa[2], wall_stress(one, shares[2], HORN, free_height_mm=10.0).bending_mpa
    )


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"free_height_mm": -1.0}, "free_height_mm must be at least 0"),
        ({"toe_hold_mpa_per_mm": 0.0}, "toe_hold_mpa_per_mm must be above 0"),
        ({"heel_hold_mpa_per_mm": 0.0}, "heel_hold_mpa_per_mm must be above 0"),
        ({"free_height_mm": [1.0, 2.0]}, "shapes do not go together: .*free_height_mm .2, 1."),
        ({"toe_hold_mpa_per_mm": [1.0, 2.0]}, r"toe_hold_mpa_per_mm \(2, 1\)"),
        ({"heel_hold_mpa_per_mm": [1.0, 2.0]}, r"heel_hold_mpa_per_mm \(2, 1\)"),
    ],
)
def test_stress_slips(how, words):
    forces = np.ones((3, 181, 3))
    for work in (wall_stress, utilisation):
        with pytest.raises(ValueError, match=words):
            work(FEET, forces, HORN, **how)


def test_horn_of_other_shape_is_refused():
    horn = Horn([600.0, 700.0], 300, 150, 0.3, 30, 40, 15, 25, 12)
    with pytest.raises(ValueError, match=r"horn \(2,\)"):
        utilisation(FOOT, np.ones((181, 3)), horn)


# ---- utilisation


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("slope", [90.0, 70.0, 40.0])
def test_without_thrust_utilisation_is_pressure_over_off_axis_strength(criterion, slope):
    """Horn that does not widen when pressed, at any angle: 1/G = 1/E1 + 1/E2, nu = 0 (derived)."""
    wall = flat_wall(slope_deg=slope)
    forces = np.array([0.0, 0.0, 1.5]) * wall.bearing_areas_mm2[:, None]
    horn = Horn(600, 300, 200, 0.0, 30, 40, 15, 25, 12)
    assert wall_stress(wall, forces, horn).thrust_mpa[MID] == pytest.approx(0, abs=1e-12)
    used = utilisation(wall, forces, horn, criterion=criterion)[MID]
    assert used == pytest.approx(1.5 / strength_at_deg(horn, 90 - slope, criterion), rel=1e-9)


def test_utilisation_of_bending_and_shear_by_hand():
    """A wall that leans 30 degrees out: face stress over strength, or shear if weak in shear."""
    wall = flat_wall(lean_out_deg=30.0)
    forces = np.array([0.0, 0.0, 2.0]) * wall.bearing_areas_mm2[:, None]
    stress = wall_stress(wall, forces, HORN)
    outer = stress.upright_mpa[MID] + stress.bending_mpa[MID]
    inner = stress.upright_mpa[MID] - stress.bending_mpa[MID]
    assert outer < 0 < inner
    used = utilisation(wall, forces, HORN, criterion="max_stress")[MID]
    assert used == pytest.approx(max(-outer / 40, inner / 30))
    # a sheet strong in everything but shear fails by the shear through its thickness
    strong = Horn(600, 300, 150, 0.3, 1e4, 1e4, 5e3, 5e3, 12)
    used = utilisation(wall, forces, strong, criterion="max_stress")[MID]
    assert used == pytest.approx(stress.through_shear_mpa[MID] / 12)
    # and one weak in compression alone fails at the pressed face
    brittle = Horn(600, 300, 150, 0.3, 1e4, 20, 5e3, 5e3, 1e4)
    used = utilisation(wall, forces, brittle, criterion="max_stress")[MID]
    assert used == pytest.approx(-outer / 20)


def test_underrun_above_in_line_above_upright():
    """Common practice, no source: the underrun heel is loaded more across and worked harder.

    Nothing in the model is told which foot is which; the order comes out, for the whole
    foot and for its heels, in walk and trot, braking and pushing off.
    """
    heels = FEET.back_fraction > 0.8
    for size in (2000.0, 5795.0):
        for tilt in (-4.0, 0.0, 6.0):
            force = force_vector(size, tilt)
            slants = np.where(heels, obliquity_deg(FEET, force), 0).max(axis=-1)
            used = utilisation(FEET, share_out(FEET, force, middle(FEET)), HORN)
            for measure in (slants, used.max(axis=-1), np.where(heels, used, 0).max(axis=-1)):
                assert measure[0] > measure[1] > measure[2]


@pytest.mark.parametrize("free_height", [0.0, 4.0, 8.0, 12.0])
@pytest.mark.parametrize("heel_hold", [0.5, 1.0, 3.0])
@pytest.mark.parametrize("band", ["low", "central", "high"])
def test_the_order_does_not_hang_on_the_choices(free_height, heel_hold, band):
    """The order at the heels for every free height, hold and horn tried, up to giving way."""
    horn = getattr(horn_at(water_percent=28.0), band)
    used = utilisation(
        FEET,
        share_out(FEET, force_vector(2500, 0), middle(FEET)),
        horn,
        free_height_mm=free_height,
        heel_hold_mpa_per_mm=heel_hold,
    )
    heels = used[:, :10].max(axis=-1)
    assert heels[1] > heels[2]
    assert heels[0] > heels[1] or np.isinf(heels[0])


def test_pushing_off_works_the_heels_harder():
    forces = force_vector(4000, np.linspace(6, -6, 7))
    used = utilisation(FOOT, share_out(FOOT, forces, (66, 0)), HORN)
    assert np.all(np.diff(used[:, 0]) > 0)


def test_horn_for_each_strip():
    soft = np.where(FOOT.back_fraction > 0.5, 20.0, 40.0)
    horn = Horn(600, 300, 150, 0.3, 30, soft, 15, 20, 12)
    shares = share_out(FOOT, force_vector(4000, 0), (66, 0))
    used = utilisation(FOOT, shares, horn)
    plain = utilisation(FOOT, shares, Horn(600, 300, 150, 0.3, 30, 40, 15, 20, 12))
    assert used[TOE] == plain[TOE]
    assert used[0] > plain[0]


# ---- weakest place


def test_weakest_place_is_named():
    used = np.zeros(181)
    for strip, name in ((0, "right heel"), (180, "left heel"), (90, "toe")):
        place = weakest_place(FOOT, np.where(np.arange(181) == strip, 2.0, used))
        assert (place.strip, place.utilisation, place.name) == (strip, 2.0, name)
        assert type(place.strip) is int
        np.testing.assert_array_equal(place.place_mm, FOOT.ground[strip, :2])
    quarter = int(np.argmin(np.abs(FOOT.back_fraction[:TOE] - 0.5)))
    places = weakest_place(FOOT, np.eye(181)[[quarter, 180 - quarter]])
    assert places.name.tolist() == ["right quarter", "left quarter"]
    assert places.strip.tolist() == [quarter, 180 - quarter]


def test_names_go_by_shape_not_by_size():
    small = Capsule(FOOT.ground / 100, FOOT.coronet / 100, FOOT.thickness_mm / 100, True)
    ones = np.eye(181, dtype=int)
    names = weakest_place(small, ones).name
    np.testing.assert_array_equal(names, weakest_place(FOOT, ones).name)
    assert type(weakest_place(FOOT, ones[3].tolist()).utilisation) is float


def test_regions_are_thirds():
    names = weakest_place(FOOT, np.eye(181)).name
    back = FOOT.back_fraction
    assert np.all((names == "toe") == (back < 1 / 3))
    assert np.all(np.char.endswith(names, "heel") == (back >= 2 / 3))


def test_weakest_place_of_many_and_of_the_infinite():
    used = np.ones((4, 3, 181))
    used[2, 1, 7] = np.inf
    places = weakest_place(FEET, used)
    assert places.strip.shape == places.name.shape == (4, 3)
    assert places.place_mm.shape == (4, 3, 2)
    assert places.strip[2, 1] == 7
    assert places.utilisation[2, 1] == np.inf
    assert places.strip[0, 0] == 0  # the first of equals
    np.testing.assert_array_equal(places.place_mm[2, 1], FEET.ground[1, 7, :2])
    assert weakest_place(FEET, np.ones(181)).strip.shape == (3,)
    for wrong in (np.ones(180), np.ones((2, 181)), 1.0):
        with pytest.raises(ValueError, match="used must hold one value for each strip"):
            weakest_place(FEET, wrong)


def test_a_rigid_modulus_is_what_the_beam_bends_with():
    """With no Poisson coupling and upright tubules the modulus is the one along (limit)."""
    plain = Horn(600, 300, 150, 0.0, 30, 40, 15, 25, 12)
    modulus, by_upright, by_shear = loadpath._without_stretch(plain, np.array([0.0, 90.0]))
    assert modulus == pytest.approx(modulus_at_deg(plain, [0, 90]))
    assert by_upright == pytest.approx([0, 0])
    assert by_shear == pytest.approx([0, 0], abs=1e-12)
