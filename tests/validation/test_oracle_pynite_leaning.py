"""A leaning load on a cantilever by PyNite's P-Delta analysis of a frame.

Ten members; its base moment and tip agree with the closed form to its own
tolerance of convergence (1e-5 asked).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from Pynite import FEModel3D

from hoofcalc.columns import leaning_column


@pytest.mark.parametrize(("lean", "share"), [(10, 0.2), (2, 0.6), (60, 0.1), (130, 0.1)])
def test_tip_and_base_of_an_inclined_load(lean, share):
    e, i, area, length, n = 200e3, 1e4, 100.0, 1000.0, 10
    force = share * np.pi**2 * e * i / (2 * length) ** 2
    t = np.radians(lean)
    frame = FEModel3D()
    frame.add_material("steel", e, e / 2.6, 0.3, 0)
    frame.add_section("rod", area, i, i, 2 * i)
    for k in range(n + 1):
        frame.add_node(f"N{k}", k * length / n, 0, 0)
    for k in range(n):
        frame.add_member(f"M{k}", f"N{k}", f"N{k + 1}", "steel", "rod")
    frame.def_support("N0", True, True, True, True, True, True)
    frame.add_node_load(f"N{n}", "FX", -force * np.cos(t))
    frame.add_node_load(f"N{n}", "FY", force * np.sin(t))
    frame.analyze_PDelta()
    column = leaning_column(force, lean, e, i, length)
    assert_allclose(column.tip_deflection_mm, frame.nodes[f"N{n}"].DY["Combo 1"], rtol=1e-5)
    assert_allclose(abs(column.base_moment_nmm), abs(frame.nodes["N0"].RxnMZ["Combo 1"]), rtol=1e-5)
