"""Halpin J.C., Kardos J.L., "The Halpin-Tsai equations: a review", Polymer Engineering and Science
16 (1976) 344-352 (title page and abstract read; the shape factor 2 for round fibres across
read in the documentation of a library of materials, 1 in shear derived)."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import bundle_moduli


def test_between_the_bounds_of_springs_in_series_and_side_by_side():
    """Every fraction and ratio of moduli lies between the two (derived)."""
    fraction = np.linspace(0, 0.9, 10)[:, None]
    ratio = np.geomspace(0.05, 50, 13)
    bundle = bundle_moduli(80 * ratio, 80, fraction)
    series = 1 / (fraction / (80 * ratio) + (1 - fraction) / 80)
    assert (bundle.across_mpa >= series * (1 - 1e-12)).all()
    assert (bundle.across_mpa <= bundle.along_mpa * (1 + 1e-12)).all()


def test_the_form_as_printed():
    """M/Mm = (1 + x h f)/(1 - h f), h = (Mf/Mm - 1)/(Mf/Mm + x), x = 2 across, 1 in shear."""
    bundle = bundle_moduli(470, 80, 0.4, poisson=0.25)
    for x, got, unit in ((2, bundle.across_mpa, 1), (1, bundle.shear_mpa, 2.5)):
        h = (470 / 80 - 1) / (470 / 80 + x)
        assert got == pytest.approx(80 / unit * (1 + x * h * 0.4) / (1 - h * 0.4))


def test_shear_form_is_the_exact_one_of_coated_cylinders():
    """x = 1 is Hashin and Rosen's 1964 result G = Gm [Gf (1+f) + Gm (1-f)]/[Gf (1-f) + Gm (1+f)]
    (solved here: a coated rod sheared along its axis, w = a r and b r + c / r times the cosine)."""
    gf, gm, f = 470 / 2.7, 80 / 2.7, 0.39
    # at the rim of the core w and shear go on, at the outer rim w is 1
    walls = [[1, -1, -1 / f], [gf, -gm, gm / f], [0, 1, 1]]
    _, b, c = np.linalg.solve(walls, [0, 0, 1])
    assert bundle_moduli(470, 80, f).shear_mpa == pytest.approx(gm * (b - c))
    exact = gm * (gf * (1 + f) + gm * (1 - f)) / (gf * (1 - f) + gm * (1 + f))
    assert bundle_moduli(470, 80, f).shear_mpa == pytest.approx(exact)
