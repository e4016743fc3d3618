"""Gillies S. et al., Shapely (software for planar geometry, 2007-): areas and moments of exact
outlines, for the bearing wall and for a base that cannot pull.

The base is loaded on its axis of symmetry; the part that bears is the outline cut off at
a straight line, its pressure grows evenly from there, and one equation in the place of the
line is solved. The strips of wall must come to the same.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely.geometry import MultiPoint, Point, Polygon, box

from hoofcalc.capsule import Capsule, build_capsule
from hoofcalc.loadpath import pressure_under
from hoofcalc.profile import Profile


def sector(outer: float = 60.0, inner: float = 45.0, half_deg: float = 135.0, count: int = 4001):
    """A ring sector open behind, toe forward, its points on the ground and as an outline."""
    turn = np.radians(np.linspace(-half_deg, half_deg, count))
    arc = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    return Polygon(np.concatenate([outer * arc, inner * arc[::-1]])), arc


def shoe(thick: float = 15.0, count: int = 1441) -> Capsule:
    _, arc = sector(count=count)
    level = np.pad(arc, ((0, 0), (0, 1)))
    return Capsule(60 * level, 50 * level + np.array([0, 0, 60.0]), thick, heel_open=True)


def moments(area) -> np.ndarray:
    """Area and its first and second moments along x, by Green's theorem on the boundary."""
    total = np.zeros(3)
    for part in getattr(area, "geoms", [area]):
        x, y = np.array(part.exterior.coords).T
        cross = x[:-1] * y[1:] - x[1:] * y[:-1]
        first = ((x[:-1] + x[1:]) * cross).sum() / 6
        second = ((x[:-1] ** 2 + x[:-1] * x[1:] + x[1:] ** 2) * cross).sum() / 12
        total += np.sign(cross.sum()) * np.array([cross.sum() / 2, first, second])
    return total


def edge_pressure(outline: Polygon, place: float, force: float) -> tuple[float, float]:
    """Greatest pressure and where lifting begins, for a force at x = `place` beyond the kern."""
    low, _, high, _ = outline.bounds

    def parts(line: float) -> np.ndarray:
        return moments(outline.intersection(box(line, -1e3, 1e3, 1e3)))

    def off(line: float) -> float:
        area, first, second = parts(line)
        return (second - line * first) / (first - line * area) - place

    line = brentq(off, low, high - 1e-3 * (high - low))
    area, first, _ = parts(line)
    return force / (first - line * area) * (high - line), line


def test_the_sector_itself():
    """270 degrees of a 60/45 ring: A 3711.006, centroid 15.862716, Iy 3.177396e6 (derived).

    A strip's force acts in the middle of the wall, so second moments miss the wall's own,
    of order (thickness / radius)^2 / 12 of the whole and more about the centroid: 2.5 %
    for this wall of a quarter of its radius.
    """
    area, first, second = moments(sector()[0])
    assert (area, first / area) == pytest.approx((3711.006, 15.862716), rel=1e-6)
    assert second - first**2 / area == pytest.approx(3.177396e6, rel=1e-6)
    wall = shoe()
    x, areas = wall.bearing_points_mm[:, 0], wall.bearing_areas_mm2
    assert areas.sum() == pytest.approx(area, rel=1e-5)
    assert (areas @ x) / areas.sum() == pytest.approx(first / area, rel=0.025)
    assert areas @ (x - areas @ x / areas.sum()) ** 2 == pytest.approx(3.177396e6, rel=0.025)


def fine(wall: int = 30, around: int = 720) -> tuple[np.ndarray, np.ndarray]:
    """The sector cut up across the wall as well, for a comparison without the thin-wall error."""
    radius = 45 + (np.arange(wall) + 0.5) / wall * 15
    turn = np.radians((np.arange(around) + 0.5) / around * 270 - 135)
    r, t = np.meshgrid(radius, turn)
    points = np.stack([r * np.cos(t), r * np.sin(t)], axis=-1).reshape(-1, 2)
    return points, (r * 15 / wall * np.radians(270) / around).ravel()


@pytest.mark.parametrize("place", [35.0, 45.0, 52.0])
def test_pressure_under_a_shoe_whose_heels_lift(place):
    """The force ahead of the kern: greatest pressure and line of lifting, cut finely to 0.5 %."""
    want, line = edge_pressure(sector()[0], place, 1000.0)
    points, areas = fine()
    pressure = pressure_under(points, areas, 1000.0, (place, 0.0))
    bears = pressure > 0
    slope, start = np.polyfit(points[bears, 0], pressure[bears], 1)
    assert -start / slope == pytest.approx(line, abs=0.1)
    assert start + slope * 60 == pytest.approx(want, rel=5e-3)


@pytest.mark.parametrize("place", [35.0, 42.0, 48.0])
def test_strips_of_wall_come_close(place):
    """One point in the middle of the wall for each strip, wall 6 mm of a radius of 60.

    What bears is found to half a mm; the greatest pressure is that in mid-wall, 7 % less
    than at the outer edge.
    """
    outline = sector(60.0, 54.0)[0]
    want, line = edge_pressure(outline, place, 1000.0)
    wall = shoe(6.0)
    points = wall.bearing_points_mm
    pressure = pressure_under(points, wall.bearing_areas_mm2, 1000.0, (place, 0.0))
    assert points[pressure == 0, 0].max() == pytest.approx(line, abs=0.5)
    assert pressure.max() == pytest.approx(want, rel=0.07)


def test_bearing_area_of_a_foot_by_the_outline():
    """The wall between the ground ring and its inner edge as polygons (thickness square to it)."""
    foot = build_capsule(Profile.from_measures(50, 40, 85, 38, 105), per_side=360)
    outward = np.stack([foot.rim[:, 1], -foot.rim[:, 0]], axis=-1)
    inner = foot.ground[:, :2] - foot.thickness_mm[:, None] * outward
    wall = Polygon(np.concatenate([foot.ground[:, :2], inner[::-1]]))
    assert wall.is_valid
    assert foot.bearing_areas_mm2.sum() == pytest.approx(wall.area, rel=1e-3)
    assert moments(wall)[1] / wall.area == pytest.approx(
        np.average(foot.bearing_points_mm[:, 0], weights=foot.bearing_areas_mm2), rel=5e-3
    )


def test_refusal_outside_the_hull_agrees():
    """Random places: refused if and only if outside the convex hull of the bearing points."""
    foot = build_capsule(Profile.from_measures(50, 40, 85, 38, 105), per_side=20)
    points, areas = foot.bearing_points_mm, foot.bearing_areas_mm2
    hull = MultiPoint(points).convex_hull
    places = np.random.default_rng(7).uniform([-10, -70], [115, 70], (300, 2))
    for place in places:
        if hull.contains(Point(place)):
            assert np.all(pressure_under(points, areas, 1.0, place) >= 0)
        else:
            with pytest.raises(ValueError, match="the foot tips over"):
                pressure_under(points, areas, 1.0, place)
