"""Our elliptic integrals and functions against scipy's."""

from __future__ import annotations

import numpy as np
from scipy import special

from hoofcalc import _elliptic

VALUES = np.concatenate([[0.0], np.geomspace(1e-12, 1e6, 25)])


def test_the_integral_of_the_first_kind_is_scipys():
    x, y, z = np.meshgrid(VALUES, VALUES[1:], VALUES[1:])
    np.testing.assert_allclose(_elliptic.elliprf(x, y, z), special.elliprf(x, y, z), rtol=1e-12)


def test_the_integral_of_the_second_kind_is_scipys():
    x, y, z = np.meshgrid(VALUES, VALUES[1:], VALUES[1:])
    np.testing.assert_allclose(_elliptic.elliprd(x, y, z), special.elliprd(x, y, z), rtol=1e-12)


def test_the_functions_are_scipys():
    part = np.concatenate([np.linspace(0, 1, 41)[:-1], 1 - np.geomspace(1e-9, 1e-2, 10)])
    way, part = np.meshgrid(np.linspace(-1, 1, 81), part)
    u = way * special.ellipk(part)  # from one turning point of the swing to the other
    for ours, theirs in zip(_elliptic.ellipj(u, part), special.ellipj(u, part), strict=True):
        np.testing.assert_allclose(ours, theirs, rtol=1e-10, atol=2e-12)


def test_a_full_swing_of_any_size_ends_where_it_must():
    part = np.linspace(0, 0.999, 50)
    quarter = _elliptic.elliprf(0, 1 - part, 1)
    sn, cn, dn, _ = _elliptic.ellipj(quarter, part)
    np.testing.assert_allclose(sn, 1, rtol=1e-12)
    np.testing.assert_allclose(cn, 0, atol=1e-10)
    np.testing.assert_allclose(dn, np.sqrt(1 - part), rtol=1e-7)
