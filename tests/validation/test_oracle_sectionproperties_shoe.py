"""van Leeuwen R., "sectionproperties: a Python package for the analysis of arbitrary
cross-sections using the finite element method", Journal of Open Source Software 8 (2023) 6105.

The bearing wall as a section: where the force must act so that a heel, the toe or a side
begins to lift (the ends of the kern), from second moments that know nothing of strips.
"""

from __future__ import annotations

import numpy as np
import pytest
from sectionproperties.analysis import Section
from sectionproperties.pre import Geometry
from shapely.geometry import Polygon

from hoofcalc.capsule import build_capsule
from hoofcalc.loadpath import pressure_under
from hoofcalc.profile import Profile


def section_of(outline: np.ndarray) -> tuple[Section, tuple[float, float]]:
    geometry = Geometry(Polygon(outline))
    geometry.create_mesh([5.0])
    section = Section(geometry)
    section.calculate_geometric_properties()
    return section, section.get_c()


def cut(outer: float, inner: float, half_deg: float, wall: int = 40, around: int = 1080):
    radius = inner + (np.arange(wall) + 0.5) / wall * (outer - inner)
    turn = np.radians(((np.arange(around) + 0.5) / around * 2 - 1) * half_deg)
    r, t = np.meshgrid(radius, turn)
    points = np.stack([r * np.cos(t), r * np.sin(t)], axis=-1).reshape(-1, 2)
    return points, (r * (outer - inner) / wall * np.radians(2 * half_deg) / around).ravel()


def test_kern_of_a_horseshoe_on_its_axis():
    """270 degrees of a 60/45 ring: heels lift 14.689 mm ahead of its centroid, toe 19.399 behind.

    derived: I / (A c), here by the section's own numbers; tolerance from cutting the
    area into points, whose outermost lie a little inside the edge: 1 %.
    """
    turn = np.radians(np.linspace(-135, 135, 721))
    arc = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    section, (cx, _) = section_of(np.concatenate([60 * arc, 45 * arc[::-1]]))
    _, iyy, _ = section.get_ic()
    area = section.get_area()
    assert (area, cx, iyy) == pytest.approx((3711.006, 15.862716, 3.177396e6), rel=2e-4)
    heel = 60 * np.cos(np.radians(135))
    front, back = iyy / area / (cx - heel), iyy / area / (60 - cx)
    assert (front, back) == pytest.approx((14.6890, 19.3988), rel=1e-3)
    points, areas = cut(60, 45, 135)
    # the force ahead lifts the heels, behind it lifts the toe
    for shift, all_bear in ((front * 0.99, True), (front * 1.01, False)):
        pressure = pressure_under(points, areas, 1.0, (cx + shift, 0.0))
        assert np.all(pressure > 0) == all_bear
    for shift, all_bear in ((back * 0.99, True), (back * 1.01, False)):
        pressure = pressure_under(points, areas, 1.0, (cx - shift, 0.0))
        assert np.all(pressure > 0) == all_bear


def test_pressure_under_a_foot_is_bending_of_its_section():
    """p = P / A + M x / I from the section of the wall, at each strip: thin-wall error, 1.5 %."""
    foot = build_capsule(Profile.from_measures(50, 40, 85, 38, 105), per_side=180)
    outward = np.stack([foot.rim[:, 1], -foot.rim[:, 0]], axis=-1)
    inner = foot.ground[:, :2] - foot.thickness_mm[:, None] * outward
    section, (cx, cy) = section_of(np.concatenate([foot.ground[:, :2], inner[::-1]]))
    ixx, iyy, ixy = section.get_ic()
    area = section.get_area()
    place = np.array([cx + 3.0, cy + 6.0])
    pressure = pressure_under(foot.bearing_points_mm, foot.bearing_areas_mm2, 1000.0, place)
    assert np.all(pressure > 0)
    arms = foot.bearing_points_mm - np.array([cx, cy])
    turn = np.linalg.solve(np.array([[iyy, ixy], [ixy, ixx]]), 1000 * np.array([3.0, 6.0]))
    want = 1000 / area + arms @ turn
    np.testing.assert_allclose(pressure, want, atol=0.015 * want.max())
