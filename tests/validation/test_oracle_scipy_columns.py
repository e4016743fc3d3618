"""Boundary-value problems of columns solved by scipy, beside the closed forms.

The equations are written down afresh here; only their numerical solution is
scipy's (solve_bvp, tolerance 1e-9 and finer).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import brentq

from hoofcalc.columns import (
    bent_column,
    capacity_at_lean_n,
    leaning_column,
    secant_peak_stress_mpa,
    tube_section,
)

PCR = np.pi**2 / 4  # cantilever with L = E I = 1


def small_rotations(axial, cross):
    """E I y'''' + axial y'' = 0, fixed base; tip without moment, tip shear = cross."""
    x = np.linspace(0, 1, 41)
    return solve_bvp(
        lambda x, y: [y[1], y[2], y[3], -axial * y[2]],
        lambda a, b: [a[0], a[1], b[2], b[3] + axial * b[1] + cross],
        x,
        np.zeros((4, x.size)),
        tol=1e-10,
    )


@pytest.mark.parametrize(
    ("lean", "share"), [(1, 0.5), (-3, 0.3), (10, 0.2), (88, 0.1), (120, 0.1), (179, 4.0)]
)
def test_small_rotation_theory_of_the_leaning_column(lean, share):
    force = share * PCR
    axial, cross = force * np.cos(np.radians(lean)), force * np.sin(np.radians(lean))
    solved = small_rotations(axial, cross)
    column = leaning_column(force, lean, 1, 1, 1)
    assert_allclose(column.axial_n, axial, rtol=1e-12)
    assert_allclose(column.cross_n, cross, rtol=1e-12)
    assert_allclose(column.base_moment_nmm, solved.y[2, 0], rtol=1e-7)
    assert_allclose(column.tip_deflection_mm, solved.y[0, -1], rtol=1e-7)


TABLE = [  # lean, share of Pcr along the leaning load, base moment / (P L), tip / L: derived
    (1, 0.5, 0.03170, 0.01425),
    (5, 0.5, 0.15707, 0.07045),
    (5, 0.8, 0.32660, 0.24362),
    (10, 0.2, 0.20841, 0.03543),
    (10, 0.5, 0.30586, 0.13625),
    (20, 0.5, 0.55796, 0.24315),
    (45, 0.2, 0.79336, 0.13264),
    (80, 0.2, 0.99725, 0.16309),
]


@pytest.mark.parametrize(("lean", "share", "moment", "tip"), TABLE)
def test_exact_shape_of_the_leaning_column(lean, share, moment, tip):
    """E I theta'' = -axial sin(theta) - cross cos(theta), theta(0) = 0, theta'(L) = 0."""
    force = share * PCR
    axial, cross = force * np.cos(np.radians(lean)), force * np.sin(np.radians(lean))
    s = np.linspace(0, 1, 61)
    solved = solve_bvp(
        lambda s, y: [
            y[1],
            -axial * np.sin(y[0]) - cross * np.cos(y[0]),
            np.cos(y[0]),
            np.sin(y[0]),
        ],
        lambda a, b: [a[0], b[1], a[2], a[3]],
        s,
        np.vstack([0.1 * s, 0.1 + 0 * s, s, 0 * s]),
        tol=1e-10,
    )
    bent = bent_column(force, lean, 1, 1, 1)
    assert_allclose(
        [bent.base_moment_nmm / force, bent.tip_deflection_mm], [moment, tip], atol=6e-6
    )
    assert_allclose(bent.base_moment_nmm, solved.y[1, 0], rtol=1e-8)
    assert_allclose(bent.tip_turn_deg, np.degrees(solved.y[0, -1]), rtol=1e-8)
    assert_allclose(bent.along_mm, solved.sol(s)[2], atol=1e-9)
    assert_allclose(bent.across_mm, solved.sol(s)[3], atol=1e-9)


@pytest.mark.parametrize(
    ("lean", "share"),
    [(0, 1.5), (0, 20), (30, 3), (90, 2), (135, 1), (170, 24), (0.01, 5), (179.9, 9)],
)
def test_exact_shape_far_beyond_small_rotations(lean, share):
    """March from the base with the moment found: the tip must come out free of moment."""
    force, t = share * PCR, np.radians(lean)
    bent = bent_column(force, lean, 1, 1, 1)
    marched = solve_ivp(
        lambda s, y: [y[1], -force * np.sin(y[0] + t), np.cos(y[0]), np.sin(y[0])],
        (0, 1),
        [0, bent.base_moment_nmm, 0, 0],
        rtol=1e-12,
        atol=1e-14,
    )
    theta, curvature, along, across = marched.y[:, -1]
    assert_allclose(curvature, 0, atol=1e-6 * bent.base_moment_nmm)
    assert_allclose([along, across], [bent.along_mm[-1], bent.across_mm[-1]], atol=1e-7)
    assert_allclose(np.degrees(theta), bent.tip_turn_deg, atol=1e-5)


def test_small_and_exact_agree_while_rotations_are_small():
    """Loads well inside the limits, leans of every kind: within 1 %."""
    lean = np.array([0.1, 1, 5, 20, 60, 90, 150])
    force = np.array([0.9, 0.6, 0.3, 0.1, 0.05, 0.05, 0.1]) * PCR
    small, exact = leaning_column(force, lean, 1, 1, 1), bent_column(force, lean, 1, 1, 1)
    assert_allclose(small.base_moment_nmm, exact.base_moment_nmm, rtol=0.01)
    assert_allclose(small.tip_deflection_mm, exact.tip_deflection_mm, rtol=0.01)


@pytest.mark.parametrize(
    ("lean", "least", "most"),
    [
        (0.2, 0.09, 0.11),
        (1, 0.025, 0.032),
        (5, 0.01, 0.016),
        (45, 0.005, 0.012),
        (89, 0.005, 0.012),
    ],
)
def test_how_far_small_and_exact_part_where_the_small_one_stops(lean, least, most):
    """At a tip movement of a tenth of the length: always too high, most near buckling."""
    t = np.radians(lean)

    def beyond(axial):
        return np.tan(t) * (np.tan(np.sqrt(axial)) / np.sqrt(axial) - 1) - 0.0999999

    force = brentq(beyond, 1e-9, 0.99999 * PCR) / np.cos(t)
    small, exact = leaning_column(force, lean, 1, 1, 1), bent_column(force, lean, 1, 1, 1)
    for name in ("tip_deflection_mm", "base_moment_nmm"):
        assert least < getattr(small, name) / getattr(exact, name) - 1 < most


@pytest.mark.parametrize("lean", [0.01, 1.0, 7.0, 30.0, 75.0, 90.0])
@pytest.mark.parametrize("strength", [0.5, 8.0, 300.0])
@pytest.mark.parametrize("tension", [None, 0.4])
def test_capacity_by_bisection_of_the_edge_stress(lean, strength, tension):
    tube = tube_section(20.0, 1.0)
    second, area, c, length, e = tube.second_moment_mm4, tube.area_mm2, 10.0, 300.0, 3000.0
    t = np.radians(lean)

    def most(force):
        u = length * np.sqrt(force * np.cos(t) / (e * second))
        bending = force * np.sin(t) * length * np.tan(u) / u * c / second
        press = force * np.cos(t) / area
        edges = [(bending + press) / strength]
        if tension:
            edges.append((bending - press) / (tension * strength))
        return max(edges) - 1

    euler = np.pi**2 * e * second / (2 * length) ** 2
    top = min(euler / np.cos(t) * (1 - 1e-13), 1e6)
    expected = brentq(most, 1e-9, top, xtol=1e-10, rtol=1e-13)
    got = capacity_at_lean_n(
        lean, e, second, length, area, c, strength, tension and tension * strength
    )
    assert_allclose(got, expected, rtol=1e-9)


def test_capacity_errs_low_where_the_column_is_slender_and_strong():
    """Against the exact shape at the same load: the true edge stress is below the strength."""
    d, length, e, strength = 3.0, 250.0, 12e3, 100.0
    area, second = np.pi * d**2 / 4, np.pi * d**4 / 64
    lean = np.array([0.5, 2, 5, 10, 20, 45, 70, 90])
    load = capacity_at_lean_n(lean, e, second, length, area, d / 2, strength)
    bent = bent_column(load, lean, e, second, length)
    assert (bent.tip_deflection_mm / length > 0.1).any()
    stress = load * np.cos(np.radians(lean)) / area + bent.base_moment_nmm * d / 2 / second
    assert (stress <= strength * (1 + 1e-9)).all()


def test_eccentric_column_by_its_differential_equation():
    """y'' + k^2 (y + e) = 0, pinned: e (sec(kL/2) - 1) at mid height; P = 0.5 pi^2, e 0.01."""
    p, e = 0.5 * np.pi**2, 0.01
    x = np.linspace(0, 1, 41)
    solved = solve_bvp(
        lambda x, y: [y[1], -p * (y[0] + e)],
        lambda a, b: [a[0], b[0]],
        x,
        np.zeros((2, x.size)),
        tol=1e-10,
    )
    middle = solved.sol(0.5)[0]
    assert_allclose(middle, 0.01252171903, atol=1e-10)
    # area 1, gyration 1 (I = 1), outer fibre 2: stress = P + P (e + y) 2
    stress = secant_peak_stress_mpa(p, 1, e, 2, 1, 1, 1)
    assert_allclose(stress, p + p * (e + middle) * 2, rtol=1e-9)
