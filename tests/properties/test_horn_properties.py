"""What must hold for every sheet, angle, stress and moisture."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofcalc.horn import (
    CRITERIA,
    Horn,
    horn_at,
    modulus_at_deg,
    strength_at_deg,
    strength_ratio,
)

quick = settings(max_examples=settings().max_examples // 2)
angles = st.floats(-360, 360)
stresses = st.tuples(*(st.floats(-100, 100),) * 3).filter(lambda s: max(map(abs, s)) > 0.1)
criteria = st.sampled_from(CRITERIA)
modulus = st.floats(10, 1e5)


@st.composite
def sheets(draw):
    """Any admissible sheet that Tsai-Hill takes: its surface closes, and shear is no limit but its
    own."""
    e1, e2 = draw(modulus), draw(modulus)
    nu = draw(st.floats(-0.9, 0.9)) * (e1 / e2) ** 0.5
    pulled, pressed = draw(st.floats(5, 500)), draw(st.floats(5, 500))
    return Horn(
        e1,
        e2,
        draw(modulus),
        nu,
        pulled,
        pressed,
        pulled * draw(st.floats(0.05, 1.9)),
        pressed * draw(st.floats(0.05, 1.9)),
        min(pulled, pressed) * draw(st.floats(0.05, 1)),
    )


@quick
@given(sheets(), angles, criteria, st.sampled_from(["tension", "compression"]))
def test_mirror_images_are_alike(sheet, angle, criterion, sense):
    """t, -t and 180 - t are the same angle to the tubules."""
    seen = [angle, -angle, 180 - angle]
    for value in (modulus_at_deg(sheet, seen), strength_at_deg(sheet, seen, criterion, sense)):
        np.testing.assert_allclose(value, value[0], rtol=1e-7)


@quick
@given(
    sheets(), st.lists(angles, min_size=1, max_size=8), st.sampled_from(["tension", "compression"])
)
def test_tsai_hill_off_the_axis_never_exceeds_max_stress(sheet, at, sense):
    """True of every sheet that it takes."""
    ours, single = (strength_at_deg(sheet, at, name, sense) for name in ("tsai_hill", "max_stress"))
    assert (ours <= single * (1 + 1e-9)).all()


@quick
@given(sheets(), stresses, angles, angles, criteria)
def test_turning_stress_and_tubules_together_changes_nothing(sheet, stress, fibre, turn, criterion):
    x, y, xy = stress
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    q = np.array([[c, -s], [s, c]])
    t = q @ np.array([[x, xy], [xy, y]]) @ q.T
    before = strength_ratio(sheet, x, y, xy, fibre, criterion)
    after = strength_ratio(sheet, t[0, 0], t[1, 1], t[0, 1], fibre + turn, criterion)
    assert after == pytest.approx(before, rel=1e-5)


@quick
@given(sheets(), stresses, angles, criteria, st.floats(1e-3, 1e3))
def test_twice_the_stress_has_half_the_reserve(sheet, stress, fibre, criterion, factor):
    before = strength_ratio(sheet, *stress, fibre, criterion)
    after = strength_ratio(sheet, *(factor * s for s in stress), fibre, criterion)
    assert after == pytest.approx(before / factor, rel=1e-6)


@quick
@given(sheets(), stresses, angles, criteria)
def test_the_mirrored_stress_has_the_same_reserve(sheet, stress, fibre, criterion):
    x, y, xy = stress
    here = strength_ratio(sheet, x, y, xy, fibre, criterion)
    assert strength_ratio(sheet, x, y, -xy, -fibre, criterion) == pytest.approx(here, rel=1e-6)


@quick
@given(sheets(), angles, criteria, st.floats(0.1, 50))
def test_a_single_push_or_pull_is_the_strength_at_its_obliquity(sheet, angle, criterion, size):
    for sign, sense in ((1, "tension"), (-1, "compression")):
        assert size * strength_ratio(sheet, sign * size, 0, 0, angle, criterion) == pytest.approx(
            strength_at_deg(sheet, angle, criterion, sense), rel=1e-6
        )


@quick
@given(sheets(), stresses, angles)
def test_hashin_lies_at_most_a_root_of_two_below_max_stress(sheet, stress, fibre):
    """It adds shear to the limits of the single stresses and never takes anything off."""
    ratio = strength_ratio(sheet, *stress, fibre, "hashin") / strength_ratio(
        sheet, *stress, fibre, "max_stress"
    )
    assert 1 / 2**0.5 - 1e-9 <= ratio <= 1 + 1e-9


@quick
@given(sheets(), angles)
def test_stiffness_is_positive_and_four_directions_have_a_sum_that_does_not_turn(sheet, angle):
    """1/Ex is a constant and waves of 180 and of 90 degrees: four angles leave the constant."""
    inverse = 1 / modulus_at_deg(sheet, angle + np.array([0, 45, 90, 135]))
    assert (inverse > 0).all()
    constant = (3 / sheet.along_mpa + 3 / sheet.across_mpa) / 2 + (
        1 / sheet.shear_mpa - 2 * sheet.poisson / sheet.along_mpa
    ) / 2
    assert inverse.sum() == pytest.approx(constant, rel=1e-9)


@quick
@given(modulus, st.floats(-0.9, 0.45), angles)
def test_a_sheet_alike_in_all_directions_knows_no_angle(e, nu, angle):
    g = e / (2 * (1 + nu))
    sheet = Horn(e, e, g, nu, 50, 50, 50, 50, 50 / 3**0.5)
    assert modulus_at_deg(sheet, angle) == pytest.approx(e, rel=1e-9)
    assert strength_at_deg(sheet, angle) == pytest.approx(50, rel=1e-9)


@quick
@given(
    st.sampled_from(["outer", "middle", "inner", "white_line", "sole", "frog"]),
    st.sampled_from([None, "toe", "quarter", "heel"]),
    st.sampled_from([("water_percent", 10, 35), ("humidity_percent", 0, 100)]),
    st.lists(st.floats(0, 1), min_size=2, max_size=6, unique=True),
    st.sampled_from([None, 0.6, 1.0, 3.0]),
)
def test_damper_horn_is_softer_and_weaker_in_every_field_and_edge(
    region, place, scale, parts, contrast
):
    name, least, most = scale
    if region in ("sole", "frog"):
        place, (name, least, most) = None, ("water_percent", 10, 35)
    moisture = least + (most - least) * np.sort(parts)
    band = horn_at(**{name: moisture}, region=region, place=place, contrast=contrast)
    for horn in (band.low, band.central, band.high):
        for field in dataclasses.fields(Horn):
            value = getattr(horn, field.name)
            if field.name != "poisson":
                assert (np.diff(value) <= 1e-9 * value[0]).all(), field.name


@quick
@given(st.lists(sheets(), min_size=1, max_size=4), st.lists(angles, min_size=1, max_size=4))
def test_arrays_give_what_a_loop_gives(many, at):
    stacked = Horn(
        *(
            np.array([getattr(sheet, field.name) for sheet in many])[:, None]
            for field in dataclasses.fields(Horn)
        )
    )
    loop = [[modulus_at_deg(sheet, angle) for angle in at] for sheet in many]
    np.testing.assert_allclose(modulus_at_deg(stacked, at), loop, rtol=1e-9, atol=1e-12)
    for criterion in CRITERIA:
        loop = [[strength_at_deg(sheet, a, criterion) for a in at] for sheet in many]
        np.testing.assert_allclose(strength_at_deg(stacked, at, criterion), loop, rtol=1e-9)
        loop = [[strength_ratio(sheet, -2, 1, 3, a, criterion) for a in at] for sheet in many]
        together = strength_ratio(stacked, -2, 1, 3, at, criterion)
        np.testing.assert_allclose(together, loop, rtol=1e-9)
