"""Dawson-Haggerty M. et al., trimesh (software for triangular meshes, 2019-): an
independent look at the capsule's mesh and at the file written from it."""

from __future__ import annotations

import io

import numpy as np
import pytest
import trimesh

from hoofcalc.capsule import Capsule, build_capsule, plain_outline, write_stl
from hoofcalc.profile import Profile

PAIRS = [(50.0, 48.0), (48.0, 32.0), (60.0, 62.0), (52.0, 95.0)]


def made(toe: float, heel: float, **how: object) -> Capsule:
    return build_capsule(Profile.from_measures(toe, heel, 85, 30, 105), **how)


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("taper", [0.85, 1.1])
def test_mesh_is_watertight_and_measures_agree(pair, taper):
    foot = made(*pair, taper=taper)
    mesh = trimesh.Trimesh(*foot.mesh(), process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.is_volume
    assert mesh.volume == pytest.approx(foot.volume_mm3, rel=1e-12)  # rounding only
    assert mesh.area == pytest.approx(foot.surface_mm2, rel=1e-12)
    assert mesh.euler_number == 2


def test_normals_point_outward():
    """All look away from a point inside that every face can see; normals are trimesh's own."""
    foot = made(50, 40, per_side=12)
    mesh = trimesh.Trimesh(*foot.mesh(), process=False)
    middle = np.array([50.0, 0.0, 10.0])
    assert np.all(np.sum(mesh.face_normals * (mesh.triangles_center - middle), axis=-1) > 0)


def test_an_uneven_outline_too():
    """A wobbly, lopsided outline with 15 points (invented)."""
    wobble = np.random.default_rng(3).normal(0, 0.3, (15, 2))
    outline = plain_outline(105, 128, 15) + wobble
    foot = made(50, 40, outline=outline)
    mesh = trimesh.Trimesh(*foot.mesh(), process=False)
    assert mesh.is_volume
    assert mesh.volume == pytest.approx(foot.volume_mm3, rel=1e-12)


def test_stl_is_read_back():
    foot = made(50, 40, per_side=30)
    file = io.BytesIO()
    write_stl(foot, file)
    file.seek(0)
    mesh = trimesh.load(file, file_type="stl")
    assert len(mesh.faces) == 6 * 61
    assert mesh.is_watertight
    # 32-bit floats: six to seven digits
    assert mesh.volume == pytest.approx(foot.volume_mm3, rel=1e-5)
    np.testing.assert_allclose(mesh.bounds[0], foot.mesh().vertices_mm.min(axis=0), atol=1e-4)
    np.testing.assert_allclose(mesh.bounds[1], foot.mesh().vertices_mm.max(axis=0), atol=1e-4)
