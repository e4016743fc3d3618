"""Bonney C., Pang S., Meyers M.A., Jasiuk I. 2024, Acta Biomater. 184, 264-272: storage modulus of
hoof wall in a dynamic test."""

from __future__ import annotations

import pytest

from hoofcalc.horn import horn_at


def test_the_band_reaches_their_figures_although_the_central_value_does_not():
    """About 400 MPa room dry, about 250 MPa wet (read). Room dry is taken as 53 % humidity
    (assumed); Bertram and Gosline's pulled specimens were eight times as stiff there."""
    band = horn_at(humidity_percent=[53, 100])
    assert band.low.along_mpa == pytest.approx([400, 250])
    assert band.central.along_mpa[0] / 400 > 8


def test_dry_horn_is_spread_as_wet_horn_is():
    """Only one figure exists at 0 % humidity; the wet ratios 250/410 and 850/410 are assumed."""
    dry, wet = (horn_at(humidity_percent=humidity) for humidity in (0, 100))
    for edge in ("low", "high"):
        ratios = [getattr(band, edge).along_mpa / band.central.along_mpa for band in (dry, wet)]
        assert ratios[0] == pytest.approx(ratios[1])


def test_soaked_horn_lies_at_the_wet_end_of_the_water_scale_too():
    """About 250 MPa wet (read) is the lower edge at 35 % water; 1 %, its factor is rounded."""
    assert horn_at(water_percent=35).low.along_mpa == pytest.approx(250, rel=0.01)
