"""Gustafsson T., McBain G.D., "scikit-fem: a Python package for finite element assembly",
Journal of Open Source Software 5 (2020) 2369: beam elements for the strip of wall that is free
below and held by springs above, under a force across and a force along its end.
"""

from __future__ import annotations

import numpy as np
import pytest
from skfem import (
    Basis,
    BilinearForm,
    ElementLineHermite,
    MeshLine,
    condense,
    solve,
    solver_eigen_scipy_sym,
)
from skfem.helpers import d, dd

from hoofcalc.loadpath import held_strip

CASES = [(7000.0, 0.6, 0.0), (7000.0, 0.6, 8.0), (7000.0, 0.6, 20.0), (25000.0, 3.0, 12.0)]


def beam(stiff: float, hold: float, free: float):
    """Matrices of the beam, axial force apart; free end at x = 0, held from x = `free` on."""
    b = (hold / (4 * stiff)) ** 0.25
    # the held part is ten characteristic lengths long: its far end feels e^-10 of the load
    points = np.concatenate([np.linspace(0, free, 41)[:-1], np.linspace(free, free + 10 / b, 301)])
    points = points if free > 0 else points[40:]
    basis = Basis(MeshLine(points), ElementLineHermite(), intorder=6)
    bend = BilinearForm(lambda u, v, w: stiff * dd(u)[0][0] * dd(v)[0][0])
    held = BilinearForm(lambda u, v, w: hold * (w.x[0] > free) * u * v)
    along = BilinearForm(lambda u, v, w: d(u)[0] * d(v)[0])
    far = basis.get_dofs(lambda x: x[0] > points[-1] - 1e-9).all()
    return basis, bend.assemble(basis) + held.assemble(basis), along.assemble(basis), far


def greatest_moment(basis: Basis, stiff: float, u: np.ndarray) -> float:
    return float(np.abs(stiff * basis.interpolate(u).hess).max())


@pytest.mark.parametrize(("stiff", "hold", "free"), CASES)
def test_force_across(stiff, hold, free):
    """Lever and movement of the end; tolerance from the elements' moment, linear in each."""
    basis, matrix, _, far = beam(stiff, hold, free)
    load = np.zeros(basis.N)
    load[basis.get_dofs(lambda x: x[0] < 1e-9).all(["u"])] = 1.0
    u = solve(*condense(matrix, load, D=far))
    strip = held_strip(stiff, hold, free)
    assert greatest_moment(basis, stiff, u) == pytest.approx(strip.lever_mm, rel=2e-3)
    assert u @ load == pytest.approx(strip.tip_mm_per_n, rel=1e-4)


@pytest.mark.parametrize(("stiff", "hold", "free"), CASES)
def test_buckling(stiff, hold, free):
    """The lowest force along the strip that keeps its direction and lets it give way."""
    _, matrix, along, far = beam(stiff, hold, free)
    lowest = solve(*condense(matrix, along, D=far), solver=solver_eigen_scipy_sym(k=1, sigma=0))[0][
        0
    ]
    # nothing free: the buckled shape dies out so slowly that ten lengths are still short
    assert held_strip(stiff, hold, free).buckling_n == pytest.approx(lowest, rel=2e-3)


@pytest.mark.parametrize(("stiff", "hold", "free"), CASES)
@pytest.mark.parametrize("part", [0.2, 0.5])
def test_beam_column(stiff, hold, free, part):
    """Both forces at once, solved whole, against lever / (1 - share): within 8.5 %."""
    basis, matrix, along, far = beam(stiff, hold, free)
    strip = held_strip(stiff, hold, free)
    load = np.zeros(basis.N)
    load[basis.get_dofs(lambda x: x[0] < 1e-9).all(["u"])] = 1.0
    u = solve(*condense(matrix - part * strip.buckling_n * along, load, D=far))
    ratio = greatest_moment(basis, stiff, u) / (strip.lever_mm / (1 - part))
    assert 0.99 < ratio < 1.085
