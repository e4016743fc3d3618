"""The capsule: the foot of its two views, closed and whole, or refused in words."""

from __future__ import annotations

import io
import struct

import numpy as np
import pytest

from hoofcalc.capsule import Capsule, build_capsule, plain_outline, write_stl
from hoofcalc.profile import Profile, line_angle_deg

FEET = {"in line": (50.0, 48.0), "underrun": (48.0, 32.0), "upright": (60.0, 62.0)}
TOE = 90  # the strip at the toe of a capsule of the default size


def foot(toe_deg: float = 50.0, heel_deg: float = 45.0, **how: object) -> Capsule:
    return build_capsule(Profile.from_measures(toe_deg, heel_deg, 85, 38, 105), **how)


def ring(count: int = 72, radius: float = 60.0, height: float = 0.0) -> np.ndarray:
    turn = 2 * np.pi * np.arange(count) / count
    return np.stack([radius * np.cos(turn), radius * np.sin(turn), height + 0 * turn], axis=-1)


@pytest.mark.parametrize("name", FEET)
def test_side_view_is_the_profile(name):
    side = Profile.from_measures(*FEET[name], 85, 38, 105)
    made = build_capsule(side)
    assert made.slopes_deg[TOE] == pytest.approx(side.toe_angle_deg, abs=1e-10)
    assert made.slopes_deg[[0, -1]] == pytest.approx([side.heel_angle_deg] * 2, abs=1e-10)
    np.testing.assert_allclose(made.ground[TOE, [0, 2]], side.toe_ground, atol=1e-9)
    np.testing.assert_allclose(made.coronet[TOE, [0, 2]], side.toe_coronet, atol=1e-9)
    for heel in (0, -1):
        np.testing.assert_allclose(made.ground[heel, [0, 2]], side.heel_ground, atol=1e-9)
        np.testing.assert_allclose(made.coronet[heel, [0, 2]], side.heel_coronet, atol=1e-9)
    # nothing of the model stands out of the profile's outline in front or behind
    assert made.ground[:, 0].max() == pytest.approx(made.ground[TOE, 0])
    assert made.lengths_mm[TOE] == pytest.approx(side.toe_length_mm)


def test_slopes_turn_evenly_along_the_bearing_length():
    side = Profile.from_measures(50, 30, 85, 38, 105)
    made = build_capsule(side)
    np.testing.assert_allclose(
        made.slopes_deg, line_angle_deg(side, made.back_fraction), atol=1e-10
    )
    assert made.back_fraction[[0, TOE, -1]] == pytest.approx([1, 0, 1])


def test_a_profile_out_of_level_makes_the_same_foot():
    """Only the angle to the bearing surface counts: the picture may be tilted."""
    turn = np.radians(7.0)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    level = Profile.from_measures(50, 40, 85, 38, 105)
    tilted = Profile(**{name: at @ matrix.T for name, at in level.landmarks.items()})
    a, b = build_capsule(level), build_capsule(tilted)
    np.testing.assert_allclose(a.ground, b.ground, atol=1e-9)
    np.testing.assert_allclose(a.coronet, b.coronet, atol=1e-9)


def test_coronary_band_is_a_straight_line_from_the_side():
    made = foot()
    line = made.coronet[[0, TOE]][:, [0, 2]]
    along = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
    arm = made.coronet[:, [0, 2]] - line[0]
    np.testing.assert_allclose(arm[:, 0] * along[1] - arm[:, 1] * along[0], 0, atol=1e-9)


def test_taper_draws_in_the_coronary_band():
    """Common practice, no source: the capsule is narrower at the coronary band."""
    made = foot()
    np.testing.assert_allclose(made.coronet[:, 1], 0.85 * made.ground[:, 1], atol=1e-9)
    np.testing.assert_allclose(foot(taper=1.0).coronet[:, 1], made.ground[:, 1], atol=1e-9)


def test_wall_thins_from_toe_to_heel():
    made = foot(toe_thickness_mm=9.0, heel_thickness_mm=6.0)
    assert made.wall_thickness_mm[[0, TOE, -1]] == pytest.approx([6, 9, 6])
    assert np.all(np.diff(made.wall_thickness_mm[: TOE + 1]) > 0)
    default = foot().wall_thickness_mm  # published range of the wall, 5 to 10 mm
    assert default.max() == pytest.approx(10)
    assert default.min() == pytest.approx(5.5)
    # a wall that leans prints wider on the ground than it is thick square to its face
    assert foot().thickness_mm[TOE] == pytest.approx(10 / np.sin(np.radians(50)))
    along = foot(thickness_across="ground")
    assert along.thickness_mm[[0, TOE, -1]] == pytest.approx([5.5, 10, 5.5])
    assert along.wall_thickness_mm[TOE] == pytest.approx(10 * np.sin(np.radians(50)))


def test_bearing_points_lie_in_the_middle_of_the_wall():
    made = Capsule(ring(), ring(72, 50, 80), 8.0)
    np.testing.assert_allclose(np.linalg.norm(made.bearing_points_mm, axis=-1), 56, rtol=1e-9)
    opened = Capsule(ring(), ring(72, 50, 80), 8.0, heel_open=True)
    # without the stretch behind, one side of 72 is missing
    assert opened.bearing_areas_mm2.sum() == pytest.approx(
        made.bearing_areas_mm2.sum() * 71 / 72, rel=2e-3
    )
    assert opened.widths_mm[0] == pytest.approx(opened.widths_mm[5] / 2, rel=2e-3)


def test_directions_at_each_point():
    made = foot()
    for vectors in (made.tubules, made.rim, made.outward):
        np.testing.assert_allclose(np.linalg.norm(vectors, axis=-1), 1)
    np.testing.assert_allclose(np.sum(made.outward * made.rim, axis=-1), 0, atol=1e-12)
    np.testing.assert_allclose(np.sum(made.outward * made.tubules, axis=-1), 0, atol=1e-12)
    slope = np.radians(50)
    np.testing.assert_allclose(made.rim[TOE], [0, 1, 0], atol=1e-12)  # right heel, toe, left
    np.testing.assert_allclose(made.tubules[TOE], [-np.cos(slope), 0, np.sin(slope)], atol=1e-12)
    np.testing.assert_allclose(made.outward[TOE], [np.sin(slope), 0, np.cos(slope)], atol=1e-12)
    # the ends of an open rim: one-sided, and as good as the middle
    arc = Capsule(ring(721)[:541], ring(721, 50, 80)[:541], 8.0, heel_open=True)
    radial = np.stack([arc.rim[..., 1], -arc.rim[..., 0]], axis=-1)
    np.testing.assert_allclose(radial, arc.ground[:, :2] / 60, atol=1e-4)


def test_several_feet_at_once():
    angles = np.array(list(FEET.values())).T
    many = build_capsule(Profile.from_measures(*angles, 85, 38, 105), width_mm=[120, 125, 130])
    assert many.ground.shape == (3, 181, 3)
    for i, (pair, width) in enumerate(zip(FEET.values(), (120, 125, 130), strict=True)):
        one = foot(*pair, width_mm=width)
        for name in ("ground", "coronet", "thickness_mm", "tubules", "widths_mm", "rim"):
            np.testing.assert_allclose(getattr(many, name)[i], getattr(one, name), atol=1e-9)
        for name in ("volume_mm3", "surface_mm2"):
            assert getattr(many, name)[i] == pytest.approx(getattr(one, name))
            assert type(getattr(one, name)) is float
    with pytest.raises(ValueError, match="one foot to be written"):
        write_stl(many, io.BytesIO())


def test_default_width_is_in_proportion():
    assert np.ptp(foot().ground[:, 1]) == pytest.approx(1.2 * 105)
    assert np.ptp(foot(width_mm=118.0).ground[:, 1]) == pytest.approx(118)


def test_outline_is_followed():
    """Points of an ellipse-like outline come back on its line, whichever way they run."""
    points = plain_outline(104.0, 130.0, 61) + np.array([7.0, 3.0])
    made = foot(outline=points)
    assert np.ptp(made.ground[:, 0]) == pytest.approx(105)  # stretched to the profile
    assert np.ptp(made.ground[:, 1]) == pytest.approx(130, rel=2e-3)
    assert made.ground[TOE, 1] == pytest.approx(3.0)  # the toe stands where the outline has it
    back = foot(outline=points[::-1])
    np.testing.assert_allclose(back.ground, made.ground, atol=1e-9)
    wider = foot(outline=points, width_mm=140.0)
    assert np.ptp(wider.ground[:, 1]) == pytest.approx(140)


def test_a_blunt_toe_is_met_in_its_middle():
    points = [(0, -50), (60, -60), (105, -20), (105, 30), (60, 60), (0, 50)]
    made = foot(outline=points, per_side=20)
    assert made.ground[20] == pytest.approx([105, 5, 0])


def test_plain_outline_has_the_size_asked_for():
    x, y = np.moveaxis(plain_outline([100.0, 80.0], 124.0), -1, 0)
    assert np.ptp(x, axis=-1) == pytest.approx([100, 80])
    assert np.ptp(y, axis=-1) == pytest.approx([124, 124], rel=2e-4)
    assert x[:, [0, -1]] == pytest.approx(np.zeros((2, 2)), abs=1e-12)
    # derived: the heels stand sin(125 degrees) of the width apart
    assert y[:, -1] - y[:, 0] == pytest.approx(124 * np.sin(np.radians([125, 125])))


def test_mesh_is_closed_and_looks_outward():
    made = foot()
    vertices, faces = made.mesh()
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    assert len({tuple(edge) for edge in edges}) == len(edges)  # each way once
    assert {tuple(edge) for edge in edges} == {tuple(edge[::-1]) for edge in edges}
    # Euler: vertices - edges + faces = 2 for a body without holes
    assert len(vertices) - len(edges) // 2 + len(faces) == 2
    corners = vertices[faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert np.all(np.linalg.norm(normals, axis=-1) > 0)
    n = len(made.ground)
    assert np.all(normals[4 * n : 5 * n, 2] < 0)  # the ground side looks down
    assert np.all(normals[5 * n :, 2] > 0)


def test_stl_holds_the_mesh(tmp_path):
    made = foot(per_side=10)
    target = tmp_path / "foot.stl"
    write_stl(made, target)
    content = target.read_bytes()
    (count,) = struct.unpack("<I", content[80:84])
    assert count == 6 * 21
    assert len(content) == 84 + 50 * count
    assert not content.startswith(b"solid")  # which would announce the text form
    first = struct.unpack("<12f", content[84 : 84 + 48])
    vertices, faces = made.mesh()
    np.testing.assert_allclose(np.reshape(first[3:], (3, 3)), vertices[faces[0]], rtol=1e-6)
    assert np.linalg.norm(first[:3]) == pytest.approx(1, rel=1e-6)
    memory = io.BytesIO()
    write_stl(made, memory)
    assert memory.getvalue() == content


def test_stl_never_overwrites_unasked(tmp_path):
    target = tmp_path / "foot.stl"
    target.write_text("precious")
    with pytest.raises(ValueError, match=r"foot\.stl exists already"):
        write_stl(foot(per_side=5), target)
    assert target.read_text() == "precious"
    write_stl(foot(per_side=5), str(target), overwrite=True)
    assert target.stat().st_size == 84 + 50 * 66


def test_a_capsule_does_not_change():
    ground = ring()
    made = Capsule(ground, ring(72, 50, 80), 8.0)
    ground[0] = 0.0
    assert made.ground[0, 0] == 60
    with pytest.raises(ValueError, match="read-only"):
        made.ground[0, 0] = 1.0


CROSSED = ring(8)[[0, 1, 2, 4, 3, 5, 6, 7]]
TWICE = ring(8)[[0, 1, 2, 2, 3, 4, 5, 6]]
STAR = ring(5)[[0, 2, 4, 1, 3]]
SIDEWAYS = np.array([0.0, 1.0])


@pytest.mark.parametrize(
    ("ground", "coronet", "thick", "words"),
    [
        (ring(), ring(70, 50, 80), 8, r"same size \(got shapes \(72, 3\) and \(70, 3\)\)"),
        (ring(2), ring(2, 50, 80), 8, "at least 3 points"),
        (ring()[0], ring(72, 50, 80)[0], 8, "at least 3 points"),
        (ring()[:, :2], ring(72, 50, 80), 8, "3 coordinates"),
        (ring()[::-1], ring(72, 50, 80)[::-1], 8, "the ground ring runs clockwise"),
        (ring(), ring(72, 50, 80)[::-1], 8, "the coronary ring runs clockwise"),
        (CROSSED, ring(8, 50, 80), 8, "the ground ring crosses itself, folds back"),
        (TWICE, ring(8, 50, 80), 8, "holds a point twice, at index 2"),
        (STAR, ring(5, 50, 80), 8, "goes round more than once"),
        (ring(), ring(72, 50, 0), 8, r"above the ground ring \(got 0 mm above it\), at index 0"),
        (ring(), np.roll(ring(72, 50, 80), 36, axis=0), 8, "the tubules cross each other"),
        (ring(), ring(72, 50, 80), 0, "thickness_mm must be above 0"),
        (ring(), ring(72, 50, 80), np.ones(71), "thickness_mm must be one number or as many"),
        (ring(), ring(72, 50, 80), np.ones((2, 72)), "thickness_mm must be one number or as many"),
        (ring(), ring(72, 50, 80), 121, "too great for the bend of the rim"),
        (ring() * np.nan, ring(72, 50, 80), 8, "ground must be finite"),
    ],
)
def test_impossible_capsules_are_refused(ground, coronet, thick, words):
    with pytest.raises(ValueError, match=words):
        Capsule(ground, coronet, thick)


def test_a_fold_behind_does_not_matter_where_the_wall_is_open():
    """The line across the heels is no wall, so it cannot fold."""
    outline = [(0, -20), (20, -55), (70, -60), (105, 0), (70, 60), (20, 55), (0, 20)]
    made = foot(outline=outline, toe_thickness_mm=6.0, heel_thickness_mm=6.0, per_side=30)
    with pytest.raises(ValueError, match="too great for the bend"):
        foot(outline=outline, toe_thickness_mm=60.0, heel_thickness_mm=60.0, per_side=30)
    assert (made.bearing_areas_mm2 > 0).all()


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"outline": plain_outline(80.0, 120.0)}, r"within a tenth .* 105 mm \(got 80 mm\)"),
        ({"outline": plain_outline(130.0, 120.0)}, "check the scale of the two photographs"),
        ({"outline": plain_outline(105.0, 120.0) + 70 * SIDEWAYS}, "both sides of the mid-line"),
        ({"outline": plain_outline(105.0, 120.0) - 70 * SIDEWAYS}, "both sides of the mid-line"),
        ({"outline": [(0, 1), (2, 3)]}, "at least 3 points"),
        ({"outline": np.zeros((2, 5, 2))}, "at least 3 points"),
        ({"outline": np.zeros((5, 3))}, "2 coordinates"),
        (
            {"outline": [(0, -50), (105, -40), (60, 0), (105, 40), (0, 50)]},
            "round a single toe",
        ),
        ({"outline": [(105, -50), (105, 50), (0, 50), (0, -50)]}, "must run from one heel"),
        (
            {"outline": [(0, -50), (60, 60), (60, -60), (105, 0), (0, 50)]},
            "the outline crosses itself",
        ),
        ({"taper": 0.0}, "taper must be above 0 and at most 1.5"),
        ({"taper": 1.6}, "taper must be above 0 and at most 1.5"),
        ({"width_mm": 0.0}, "width_mm must be above 0"),
        ({"outline": plain_outline(105.0, 120.0), "width_mm": -1.0}, "width_mm must be above 0"),
        ({"toe_thickness_mm": 0.0}, "toe_thickness_mm must be above 0"),
        ({"heel_thickness_mm": -1.0}, "heel_thickness_mm must be above 0"),
        ({"per_side": 1}, "per_side must be a whole number at least 2"),
        ({"per_side": 2.5}, "per_side must be a whole number"),
        ({"taper": [0.8, 0.9], "width_mm": [1.0, 2.0, 3.0]}, "shapes do not go together"),
    ],
)
def test_slips_are_named(how, words):
    with pytest.raises(ValueError, match=words):
        foot(**how)


def test_tubules_that_cross_are_refused():
    """Toe and heel lines that meet below the coronary band are no foot."""
    side = Profile.from_measures(46, 78, 112, 66, 72)
    with pytest.raises(ValueError, match=r"between toe and heel cross .* \(toe 46, heel 78"):
        build_capsule(side)
    both = Profile.from_measures([50, 46], [48, 78], [85, 112], [38, 66], [105, 72])
    with pytest.raises(ValueError, match=r"heel 78 degrees.*, at index 1"):
        build_capsule(both)


def test_a_steep_twist_is_allowed_until_the_tubules_meet():
    """Turned by a third of a turn the neck narrows; by half a turn all tubules meet."""
    neck = Capsule(ring(), np.roll(ring(72, 60, 80), -24, axis=0), 1.0)
    plain = Capsule(ring(), ring(72, 60, 80), 1.0)
    assert 0 < neck.volume_mm3 < plain.volume_mm3
    # derived: radius^2 = 1 - 3 s (1 - s) of the outer, so half the volume
    assert neck.volume_mm3 == pytest.approx(plain.volume_mm3 / 2, rel=1e-9)


@pytest.mark.parametrize(
    ("length", "width", "count", "words"),
    [
        (0.0, 100.0, 9, "length_mm must be above 0"),
        (100.0, 0.0, 9, "width_mm must be above 0"),
        (100.0, 100.0, 2, "count must be a whole number at least 3"),
        ([1.0, 2.0], [1.0, 2.0, 3.0], 9, "shapes do not go together"),
    ],
)
def test_plain_outline_slips(length, width, count, words):
    with pytest.raises(ValueError, match=words):
        plain_outline(length, width, count)
