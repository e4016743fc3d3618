"""Azzi V.D., Tsai S.W., "Anisotropic strength of composites", Experimental Mechanics 5 (1965)
283-288 (title, authors and summary read; pages from memory)."""

from __future__ import annotations

import numpy as np
import pytest

from hoofcalc.horn import Horn, strength_at_deg


def test_off_axis_strength_where_pull_and_push_are_alike():
    """1/s^2 = cos^4/X^2 + (1/S^2 - 1/X^2) sin^2 cos^2 + sin^4/Y^2 (the sum of squares
    read in course notes on composites), for a sheet as strong pulled as pressed, where no choice
    of signs can matter."""
    x, y, s = 100.0, 30.0, 20.0
    sheet = Horn(1000, 500, 200, 0.3, x, x, y, y, s)
    angle = np.radians(np.linspace(0, 90, 37))
    sine2, cosine2 = np.sin(angle) ** 2, np.cos(angle) ** 2
    expected = (
        cosine2**2 / x**2 + (1 / s**2 - 1 / x**2) * sine2 * cosine2 + sine2**2 / y**2
    ) ** -0.5
    for sense in ("tension", "compression"):
        got = strength_at_deg(sheet, np.degrees(angle), "tsai_hill", sense)
        np.testing.assert_allclose(got, expected, rtol=1e-12)


def test_an_isotropic_sheet_with_von_mises_shear_fails_alike_at_every_angle():
    """X = Y and S = X/sqrt(3): Hill's form is von Mises' (derived)."""
    sheet = Horn(1000, 1000, 400, 0.25, 60, 60, 60, 60, 60 / 3**0.5)
    assert strength_at_deg(sheet, np.linspace(0, 90, 19)) == pytest.approx(60.0, rel=1e-12)
