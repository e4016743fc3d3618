"""Bowles J.E., Foundation Analysis and Design, 5th ed., McGraw-Hill 1996, Ch. 8 (rigid footing
with eccentric load; title page read, chapter from memory; formulas and the kern B/6 read in course
notes).

Rectangle B x L under P at eccentricity e along B: e <= B/6 gives P/(BL) (1 +- 6 e/B),
beyond it 2 P / (3 L (B/2 - e)) at the edge over a contact of 3 (B/2 - e). Strips stand
in for the area: their middles miss the edge by half a strip, so the edge pressure is
read from the line through the two outermost strips.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.loadpath import pressure_under

SIDE_MM, LOAD_N = 1500.0, 450e3


def strips(count: int = 3000) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A square in strips along y, each as two points so that the foot does not tip sideways."""
    y = (np.arange(count) + 0.5) / count * SIDE_MM - SIDE_MM / 2
    points = np.concatenate([np.stack([np.full(count, x), y], axis=-1) for x in (-500, 500)])
    return y, points, np.full(2 * count, SIDE_MM**2 / (2 * count))


@pytest.mark.parametrize(
    ("eccentricity_mm", "edge_kpa", "other_edge_kpa", "contact_mm"),
    [
        (0.0, 200.0, 200.0, 1500.0),
        (100.0, 280.0, 120.0, 1500.0),
        (250.0, 400.0, 0.0, 1500.0),
        (300.0, 444.4444, 0.0, 1350.0),
        (500.0, 800.0, 0.0, 750.0),
    ],
)
@pytest.mark.parametrize("way", [1.0, -1.0])
def test_square_footing(eccentricity_mm, edge_kpa, other_edge_kpa, contact_mm, way):
    """450 kN on 1.5 m x 1.5 m: derived from the formulas above.

    Tolerance 1e-3: a thousandth of the contact length is not resolved by the strips.
    """
    y, points, areas = strips()
    pressure = 1e3 * pressure_under(points, areas, LOAD_N, (0.0, way * eccentricity_mm))
    line = pressure[: len(y)][:: int(way)]
    assert 1.5 * line[-1] - 0.5 * line[-2] == pytest.approx(edge_kpa, rel=1e-3)
    assert 1.5 * line[0] - 0.5 * line[1] == pytest.approx(other_edge_kpa, abs=0.2)
    assert np.count_nonzero(line > 0) / len(y) * SIDE_MM == pytest.approx(contact_mm, rel=1e-3)


def test_kern_of_the_square_is_a_diamond():
    """|ex| / B + |ey| / L <= 1/6 (derived): just inside all bears, just outside a corner lifts."""
    at = (np.arange(60) + 0.5) / 60 - 0.5
    x, y = np.meshgrid(at, at)
    points = np.stack([x.ravel(), y.ravel()], axis=-1)
    kern = (1 - 1 / 60**2) / 6 / (1 - 1 / 60)  # of the grid: inertia and corner of the points
    for share in np.linspace(-1, 1, 9):
        place = kern * np.array([share, 1 - abs(share)])
        for scale, all_bear in ((0.999, True), (1.001, False)):
            pressure = pressure_under(points, np.full(3600, 1 / 3600), 1.0, scale * place)
            assert np.all(pressure > 0) == all_bear


def ring(outer: float, inner: float, around: int = 720, across: int = 200) -> tuple:
    radius = inner + (np.arange(across) + 0.5) / across * (outer - inner)
    turn = 2 * np.pi * np.arange(around) / around
    r, t = np.meshgrid(radius, turn)
    points = np.stack([r * np.cos(t), r * np.sin(t)], axis=-1).reshape(-1, 2)
    return points, (r * (outer - inner) / across * 2 * np.pi / around).ravel()


def test_kern_of_a_ring():
    """(ro^2 + ri^2) / (4 ro): 4.1 for 10/8, in every direction (derived)."""
    points, areas = ring(10, 8)
    for turn in np.radians([0, 33, 90, 200]):
        way = np.array([np.cos(turn), np.sin(turn)])
        # 200 rings of points end half a step inside the edge: 0.05 % of the radius
        for radius, all_bear in ((4.1 * 0.999, True), (4.1 * 1.002, False)):
            assert np.all(pressure_under(points, areas, 1.0, radius * way) > 0) == all_bear


def test_pressure_on_a_ring_inside_its_kern():
    """p = P / A (1 + 4 e r / (ro^2 + ri^2)) along the line of the load (derived)."""
    points, areas = ring(10, 8)
    pressure = pressure_under(points, areas, 100.0, (3.0, 0.0))
    want = 100 / (np.pi * 36) * (1 + 4 * 3 * points[:, 0] / 164)
    np.testing.assert_allclose(pressure, want, rtol=1e-3)
