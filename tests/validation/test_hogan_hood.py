"""Hogan H.A., Hood D.M., ASCE Engineering Mechanics proceedings (1990s; year not seen): laminar
corium pulled. Not horn, but a neighbour fifty times softer: how far does the strength law reach?"""

from __future__ import annotations

from hoofcalc.horn import horn_at


def test_a_tissue_as_soft_as_the_frog_is_as_weak_as_the_law_says():
    """Modulus 5.57 to 11.30 MPa, strength 1.72 to 3.09 MPa (read). The frog's modulus lies among
    theirs; its strength, drawn from wet wall (17 to 31 MPa), must too."""
    frog = horn_at(water_percent=34.6, region="frog").central
    assert 5.57 < frog.along_mpa < 11.30
    assert 1.72 < frog.along_tension_mpa < 3.09
