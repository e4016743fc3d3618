"""Zwillinger D., CRC Standard Mathematical Tables and Formulae, 31st ed., CRC Press 2003,
Ch. 4 (geometry; section numbers from memory): frustum of a cone, prismatoid, polygons.

The capsule between two rings is a ruled solid with many flat or twisted sides. A
regular n-gon stands in for a circle: its area is the circle's times
sin(2 pi / n) / (2 pi / n), exactly, and so is the volume of every ruled solid here.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.capsule import Capsule


def ellipse(count: int, a: float, b: float, height: float, shift: float = 0.0) -> np.ndarray:
    turn = 2 * np.pi * np.arange(count) / count
    return np.stack([a * np.cos(turn) + shift, b * np.sin(turn), np.full(count, height)], axis=-1)


@pytest.mark.parametrize("count", [64, 256, 2000])
def test_frustum(count):
    """V = pi h / 3 (R^2 + R r + r^2): 762359.8173 mm3 for 60, 50, 80 mm (derived)."""
    solid = Capsule(ellipse(count, 60, 60, 0), ellipse(count, 50, 50, 80), 1.0)
    ratio = np.sin(2 * np.pi / count) / (2 * np.pi / count)
    assert solid.volume_mm3 / 762359.8173 == pytest.approx(ratio, rel=1e-9)  # printed digits
    # pi (R + r) s + pi (R^2 + r^2) = 47024.8779 mm2 (derived); n-gon error of order n^-2
    assert solid.surface_mm2 == pytest.approx(47024.8779, rel=4 / count**2)


@pytest.mark.parametrize("shift", [-40.0, 15.0])
def test_oblique_frustum_has_the_volume_of_the_right_one(shift):
    """Cavalieri: sliding one end sideways changes no level section (derived)."""
    count = 180
    right = Capsule(ellipse(count, 60, 60, 0), ellipse(count, 50, 50, 80), 1.0)
    oblique = Capsule(ellipse(count, 60, 60, 0), ellipse(count, 50, 50, 80, shift), 1.0)
    assert oblique.volume_mm3 == pytest.approx(right.volume_mm3, rel=1e-12)
    assert oblique.surface_mm2 > right.surface_mm2


@pytest.mark.parametrize("shift", [0.0, -30.0])
def test_ruled_solid_between_ellipses(shift):
    """V = pi h / 6 (2 a1 b1 + 2 a2 b2 + a1 b2 + a2 b1): 816814.0899 mm3 (derived, prismatoid)."""
    count = 360
    solid = Capsule(ellipse(count, 65, 60, 0), ellipse(count, 55, 48, 80, shift), 1.0)
    ratio = np.sin(2 * np.pi / count) / (2 * np.pi / count)
    assert solid.volume_mm3 == pytest.approx(816814.0899 * ratio, rel=1e-9)


def test_limits_cylinder_and_nearly_a_cone():
    """R = r gives pi R^2 h, r -> 0 gives a third of it (derived)."""
    count = 360
    area = count / 2 * np.sin(2 * np.pi / count) * 60**2
    same = Capsule(ellipse(count, 60, 60, 0), ellipse(count, 60, 60, 80), 1.0)
    assert same.volume_mm3 == pytest.approx(area * 80, rel=1e-12)
    tip = Capsule(ellipse(count, 60, 60, 0), ellipse(count, 1e-6, 1e-6, 80), 1.0)
    assert tip.volume_mm3 == pytest.approx(area * 80 / 3, rel=1e-6)


def test_box():
    """1 x 2 x 3: volume 6, surface 22 (derived)."""
    base = np.array([[1.0, 0, 0], [1, 2, 0], [0, 2, 0], [0, 0, 0]])
    box = Capsule(base, base + np.array([0.0, 0, 3]), 0.1)
    assert (box.volume_mm3, box.surface_mm2) == pytest.approx((6, 22), rel=1e-14)


def test_annulus_and_its_sector():
    """Ring sector: half angle times (R^2 - r^2) (derived); trapezoids on the middle line, n^-2."""
    count = 720
    whole = Capsule(ellipse(count, 60, 60, 0), ellipse(count, 50, 50, 80), 15.0)
    assert whole.bearing_areas_mm2.sum() == pytest.approx(np.pi * (60**2 - 45**2), rel=1e-4)
    # 270 degrees, open behind: A 3711.006 mm2
    keep = np.radians(np.linspace(-135, 135, count))
    arc = np.stack([np.cos(keep), np.sin(keep), 0 * keep], axis=-1)
    shoe = Capsule(60 * arc, 50 * arc + np.array([0, 0, 80.0]), 15.0, heel_open=True)
    assert shoe.bearing_areas_mm2.sum() == pytest.approx(3711.006, rel=1e-4)
