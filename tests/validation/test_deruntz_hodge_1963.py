"""DeRuntz J.A., Hodge P.G., Crushing of a tube between rigid plates, J. Appl. Mech. 30 (1963)
391-395.

Collapse load 4 M0 / R and the rigid-plastic curve 1 / sqrt(1 - (closing/D)^2): from
memory; hinges at the quarter points: read. The load is bounded from below here.
"""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.optimize import linprog

from hoofcalc.columns import ring_collapse_n_per_mm


def test_collapse_of_a_tube_of_fifty_millimetres():
    """Derived: R 10, t 1, L 50 mm, 60 MPa: 300 N, 346.4 N as a long tube."""
    assert_allclose(50 * ring_collapse_n_per_mm(60.0, 10.0, 1.0), 300.0, rtol=1e-9)
    assert_allclose(50 * ring_collapse_n_per_mm(60.0, 10.0, 1.0, long_tube=True), 346.4, atol=0.02)


def test_the_tube_hardens_between_flat_plates():
    """Closing 0.4, 0.6, 0.8 of D: 1.09109, 1.25, 1.66667 times (derived from the curve)."""
    closing = 20.0 * np.array([0.4, 0.6, 0.8])
    ratio = ring_collapse_n_per_mm(60.0, 10.0, 1.0, closing) / 6.0
    assert_allclose(ratio, [1.09109, 1.25, 1.66667], atol=5e-6)


def test_energy_to_flatten_it_by_six_tenths():
    """P0 D asin(0.6) = 0.643501 P0 D (derived)."""
    energy = quad(lambda c: ring_collapse_n_per_mm(60.0, 10.0, 1.0, c), 0, 12.0)[0]
    assert_allclose(energy / (6.0 * 20.0), 0.643501, atol=5e-7)


def test_no_smaller_load_than_the_four_hinges_can_be_safe():
    """Lower-bound theorem by linear programming on a quarter ring: P R / M0 = 4.

    Moment M(a) = M(0) - P R sin(a) / 2, |M| <= M0: the largest P in equilibrium.
    """
    a = np.linspace(0, np.pi / 2, 181)
    rows = np.column_stack([np.ones_like(a), -np.sin(a) / 2])
    best = linprog(
        [0, -1],
        A_ub=np.vstack([rows, -rows]),
        b_ub=np.ones(2 * a.size),
        bounds=[(None, None), (0, None)],
    )
    m0 = 60.0 * 1.0**2 / 4
    assert_allclose(ring_collapse_n_per_mm(60.0, 10.0, 1.0), best.x[1] * m0 / 10.0, rtol=1e-9)
