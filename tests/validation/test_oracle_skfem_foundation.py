"""The support of a tubule by the horn around it against plane-strain finite elements (scikit-fem)
of the same rigid rod in a ring of horn held at its outside."""

from __future__ import annotations

import numpy as np
import pytest
from skfem import Basis, ElementQuad2, ElementVector, MeshQuad, condense, solve
from skfem.models.elasticity import lame_parameters, linear_elasticity

from hoofcalc.horn import foundation_mpa


def ring_stiffness(inner, outer, modulus, poisson, layers=16, sectors=96):
    """Force per length and movement of the rod, by the energy of the deformed ring."""
    radius = np.geomspace(inner, outer, layers + 1)
    angle = np.linspace(0, 2 * np.pi, sectors, endpoint=False)
    r, t = (grid.ravel() for grid in np.meshgrid(radius, angle, indexing="ij"))
    i, j = (grid.ravel() for grid in np.meshgrid(range(layers), range(sectors), indexing="ij"))
    k = (j + 1) % sectors
    quads = np.array(
        [i * sectors + j, (i + 1) * sectors + j, (i + 1) * sectors + k, i * sectors + k]
    )
    mesh = MeshQuad(
        np.ascontiguousarray([r * np.cos(t), r * np.sin(t)]), np.ascontiguousarray(quads)
    )
    basis = Basis(mesh, ElementVector(ElementQuad2()), intorder=5)
    stiffness = linear_elasticity(*lame_parameters(modulus, poisson)).assemble(basis)
    rod = basis.get_dofs(lambda x: np.hypot(*x) < 1.001 * inner)
    held = basis.get_dofs(lambda x: np.hypot(*x) > 0.999 * outer)
    moved = basis.zeros()
    moved[rod.all(["u^1"])] = 1.0
    fixed = np.concatenate([rod.all(), held.all()])
    moved = solve(*condense(stiffness, x=moved, D=fixed))
    return moved @ (stiffness @ moved)


@pytest.mark.parametrize(
    ("diameter", "spacing", "poisson"),
    [(0.18, 0.25, 0.35), (0.2, 0.3, 0.2), (0.1, 0.35, 0.45)],
)
def test_rigid_rod_in_a_held_ring(diameter, spacing, poisson):
    """2e-4: the mesh's circles are polygons."""
    expected = ring_stiffness(diameter / 2, spacing - diameter / 2, 80.0, poisson)
    assert foundation_mpa(80.0, poisson, diameter, spacing) == pytest.approx(expected, rel=2e-4)
