"""What must hold for every capsule: mirror, scale, turn, and the views it was made from."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.profile import Profile

quick = settings(max_examples=settings().max_examples // 4)


@st.composite
def feet(draw: st.DrawFn) -> tuple[Profile, Capsule]:
    toe = draw(st.floats(42, 65))
    heel = draw(st.floats(25, 62))
    side = Profile.from_measures(toe, heel, draw(st.floats(70, 100)), 38, draw(st.floats(90, 120)))
    made = build_capsule(
        side,
        taper=draw(st.floats(0.7, 1.0)),
        width_mm=draw(st.floats(100, 150)),
        per_side=draw(st.integers(6, 30)),
    )
    return side, made


def mirrored(capsule: Capsule) -> Capsule:
    """The same foot on the other side of the horse."""
    across = np.array([1.0, -1.0, 1.0])
    return Capsule(
        capsule.ground[::-1] * across,
        capsule.coronet[::-1] * across,
        capsule.thickness_mm[::-1],
        capsule.heel_open,
    )


@quick
@given(feet())
def test_side_view_reproduces_the_profile(case):
    side, made = case
    toe = len(made.ground) // 2
    np.testing.assert_allclose(made.slopes_deg[toe], side.toe_angle_deg, atol=1e-9)
    np.testing.assert_allclose(made.slopes_deg[[0, -1]], side.heel_angle_deg, atol=1e-9)
    np.testing.assert_allclose(made.lengths_mm[toe], side.toe_length_mm, rtol=1e-9)


@quick
@given(feet())
def test_mirrored_foot_is_the_same_size(case):
    _, made = case
    other = mirrored(made)
    for name in ("volume_mm3", "surface_mm2"):
        np.testing.assert_allclose(getattr(other, name), getattr(made, name), rtol=1e-12)
    for name in ("lengths_mm", "slopes_deg", "widths_mm", "wall_thickness_mm"):
        np.testing.assert_allclose(getattr(other, name)[::-1], getattr(made, name), rtol=1e-9)


@quick
@given(feet(), st.floats(0.3, 3.0))
def test_twice_the_size_is_eight_times_the_volume(case, factor):
    _, made = case
    big = Capsule(
        made.ground * factor, made.coronet * factor, made.thickness_mm * factor, made.heel_open
    )
    np.testing.assert_allclose(big.volume_mm3, made.volume_mm3 * factor**3, rtol=1e-9)
    np.testing.assert_allclose(big.surface_mm2, made.surface_mm2 * factor**2, rtol=1e-9)
    np.testing.assert_allclose(big.bearing_areas_mm2, made.bearing_areas_mm2 * factor**2, rtol=1e-9)
    np.testing.assert_allclose(big.slopes_deg, made.slopes_deg)


@quick
@given(feet(), st.floats(-180, 180), st.floats(-500, 500))
def test_turned_on_the_ground_nothing_but_direction_changes(case, turn_deg, shift):
    _, made = case
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    matrix = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    moved = Capsule(
        made.ground @ matrix.T + shift,
        made.coronet @ matrix.T + shift,
        made.thickness_mm,
        made.heel_open,
    )
    np.testing.assert_allclose(moved.volume_mm3, made.volume_mm3, rtol=1e-9)
    np.testing.assert_allclose(moved.surface_mm2, made.surface_mm2, rtol=1e-9)
    for name in ("tubules", "rim", "outward"):
        np.testing.assert_allclose(getattr(moved, name), getattr(made, name) @ matrix.T, atol=1e-9)
    for name in ("lengths_mm", "widths_mm", "bearing_areas_mm2", "wall_thickness_mm"):
        np.testing.assert_allclose(getattr(moved, name), getattr(made, name), rtol=1e-9)


@quick
@given(feet())
def test_solid_lies_between_its_prisms(case):
    """More than nothing, less than the larger ring as a prism of the greatest height."""
    _, made = case
    spread = np.concatenate([made.ground, made.coronet])
    assert 0 < made.volume_mm3 < np.prod(np.ptp(spread, axis=0))
    assert made.surface_mm2 > made.bearing_areas_mm2.sum() > 0
