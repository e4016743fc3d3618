"""Glued bundles and tubes as meshed sections: sectionproperties.

Circles are drawn as 64-gons, whose area and second moment are 0.2 and 0.3 % small.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from sectionproperties.analysis import Section as Meshed
from sectionproperties.pre.library import circular_hollow_section, circular_section

from hoofcalc.columns import bundle_second_moment_mm4, bundle_section, tube_section


def weakest(geometry):
    geometry.create_mesh(mesh_sizes=[0.05])
    meshed = Meshed(geometry)
    meshed.calculate_geometric_properties()
    ixx, iyy, ixy = meshed.get_ic()
    return (ixx + iyy) / 2 - np.hypot((ixx - iyy) / 2, ixy)


@pytest.mark.parametrize("count", [2, 3, 4, 7])
def test_glued_bundle(count):
    centres = {
        2: [(0, 0), (1, 0)],
        3: [(0, 0), (1, 0), (0.5, np.sqrt(0.75))],
        4: [(0, 0), (1, 0), (0.5, np.sqrt(0.75)), (1.5, np.sqrt(0.75))],
        7: [(0, 0)] + [(np.cos(a), np.sin(a)) for a in np.radians(np.arange(0, 360, 60))],
    }[count]
    geometry = None
    for x, y in centres:
        strand = circular_section(d=1, n=64).shift_section(x, y)
        geometry = strand if geometry is None else geometry + strand
    assert_allclose(bundle_second_moment_mm4(count, 1.0, 1.0), weakest(geometry), rtol=4e-3)


def test_tube():
    assert_allclose(
        tube_section(20.0, 1.0).second_moment_mm4,
        weakest(circular_hollow_section(d=20, t=1, n=128)),
        rtol=2e-3,
    )


def test_edge_of_full_rings_and_of_any_bundle():
    """Full rings exactly; any other between a disc of the same area and one ring more."""
    full = bundle_section([1, 7, 19, 37, 61], 1.0, 1.0).outer_fibre_mm
    assert_allclose(full, [0.5, 1.5, 2.5, 3.5, 4.5])
    around_contact = bundle_section([2, 4], 1.0, 1.0).outer_fibre_mm
    assert_allclose(around_contact, [1.0, np.sqrt(0.75) + 0.5])
    around_hollow = bundle_section([3, 12], 1.0, 1.0).outer_fibre_mm
    assert_allclose(around_hollow, [np.sqrt(1 / 3) + 0.5, np.sqrt(7 / 3) + 0.5])
    count = np.arange(1, 400)
    fibre = bundle_section(count, 1.0, 1.0).outer_fibre_mm
    assert (fibre >= np.sqrt(count) / 2 - 1e-12).all()
    assert (fibre <= np.sqrt(count * np.sqrt(0.75) / np.pi) + 1.0).all()
