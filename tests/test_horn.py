"""Horn: what is refused, what the edges of the band mean, and how horn joins columns."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from hoofcalc.columns import bundle_second_moment_mm4, euler_load_n, foundation_load_n, rod_section
from hoofcalc.horn import (
    CRITERIA,
    Horn,
    HornBand,
    bundle_moduli,
    foundation_mpa,
    horn_at,
    kink_stress_mpa,
    modulus_at_deg,
    strength_at_deg,
    strength_ratio,
)

GIVEN = {
    "along_mpa": 600.0,
    "across_mpa": 300.0,
    "shear_mpa": 150.0,
    "poisson": 0.3,
    "along_tension_mpa": 30.0,
    "along_compression_mpa": 40.0,
    "across_tension_mpa": 15.0,
    "across_compression_mpa": 25.0,
    "shear_strength_mpa": 12.0,
}  # round figures, not measured
SHEET = Horn(**GIVEN)
PLACES = [
    {"region": region, "place": place}
    for region in ("outer", "middle", "inner", "white_line")
    for place in ("toe", "quarter", "heel")
] + [{"region": "sole"}, {"region": "frog"}]


# ---------------------------------------------------------------- the sheet


@pytest.mark.parametrize("name", [name for name in GIVEN if name != "poisson"])
@pytest.mark.parametrize("value", [0.0, -1.0, [1.0, 0.0], np.nan, "stiff"])
def test_moduli_and_strengths_must_be_positive_numbers(name, value):
    with pytest.raises(ValueError, match=name):
        Horn(**{**GIVEN, name: value})


@pytest.mark.parametrize("poisson", [2**0.5, -(2**0.5), 3.0, [0.3, 1.5]])
def test_a_sheet_that_would_give_out_energy_is_refused(poisson):
    with pytest.raises(ValueError, match=r"poisson must be below sqrt.* = 1\.414 in size"):
        Horn(**{**GIVEN, "poisson": poisson})


@pytest.mark.parametrize("poisson", [1.41, -1.41, 0.0])
def test_the_stiffness_of_every_accepted_sheet_is_positive(poisson):
    sheet = Horn(**{**GIVEN, "poisson": poisson})
    cross = -poisson / 600
    assert np.linalg.eigvalsh([[1 / 600, cross], [cross, 1 / 300]]).min() > 0
    assert (modulus_at_deg(sheet, np.linspace(0, 90, 91)) > 0).all()


def test_fields_that_do_not_go_together_are_named():
    with pytest.raises(ValueError, match=r"along_mpa \(3,\).*across_mpa \(2,\)"):
        Horn(**{**GIVEN, "along_mpa": [600.0] * 3, "across_mpa": [300.0] * 2})


def test_a_sheet_is_frozen_arrays_and_all():
    mine = np.array([600.0, 700.0])
    sheet = Horn(**{**GIVEN, "along_mpa": mine})
    mine[0] = 1.0
    assert sheet.along_mpa[0] == 600.0
    with pytest.raises(ValueError, match="read-only"):
        sheet.along_mpa[0] = 1.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        sheet.poisson = 0.2


def test_plain_numbers_in_plain_numbers_out():
    whole = Horn(*(int(value) or 0.3 for value in GIVEN.values()))
    results = [
        whole.along_mpa,
        modulus_at_deg(whole, 30),
        *(strength_at_deg(whole, 30, c) for c in CRITERIA),
        *(strength_ratio(whole, -1, 0, 0, 30, c) for c in CRITERIA),
        kink_stress_mpa(100, 5, 2),
        kink_stress_mpa(100, 5, 2, "budiansky_fleck"),
        foundation_mpa(80, 0.35, 0.18, 0.25),
        bundle_moduli(470, 80, 0.4).across_mpa,
        horn_at(water_percent=25).central.shear_mpa,
        horn_at(humidity_percent=75).low.across_tension_mpa,
    ]
    assert {type(result) for result in results} == {float}


# ---------------------------------------------------------------- off the axis


def test_along_and_across_are_met_exactly():
    for sense in ("tension", "compression"):
        for criterion in CRITERIA:
            along, across = strength_at_deg(SHEET, [0, 90], criterion, sense)
            assert along == pytest.approx(GIVEN[f"along_{sense}_mpa"], rel=1e-12)
            assert across == pytest.approx(GIVEN[f"across_{sense}_mpa"], rel=1e-12)
    assert (modulus_at_deg(SHEET, 0), modulus_at_deg(SHEET, 90)) == (600.0, pytest.approx(300.0))


@pytest.mark.parametrize("criterion", CRITERIA)
def test_pure_shear_along_the_tubules_meets_the_shear_strength(criterion):
    assert strength_ratio(SHEET, 0, 0, [3.0, -3.0], 0, criterion) == pytest.approx([4.0, 4.0])


@pytest.mark.parametrize("criterion", CRITERIA)
def test_shear_at_45_degrees_pulls_one_diagonal_and_presses_the_other(criterion):
    """Positive shear stretches the diagonal +x +y: tubules at 45 are pulled, at 135 pressed."""
    assert strength_ratio(SHEET, 0, 0, 5, 45, criterion) == pytest.approx(
        strength_ratio(SHEET, 5, -5, 0, 0, criterion)
    )
    assert strength_ratio(SHEET, 0, 0, 5, 135, criterion) == pytest.approx(
        strength_ratio(SHEET, -5, 5, 0, 0, criterion)
    )


@pytest.mark.parametrize("criterion", CRITERIA)
def test_no_stress_at_all_may_grow_without_end(criterion):
    with np.errstate(all="raise"):
        assert strength_ratio(SHEET, 0, 0, 0, 30, criterion) == np.inf
    mixed = strength_ratio(SHEET, [0, -1], 0, 0, 30, criterion)
    assert mixed[0] == np.inf
    assert np.isfinite(mixed[1])


def test_max_stress_rises_a_little_above_the_strength_along():
    """40/cos^2 just off the axis: the rule itself, not a slip."""
    assert strength_at_deg(SHEET, 2, "max_stress") == pytest.approx(40 / np.cos(np.radians(2)) ** 2)


@pytest.mark.parametrize("sense", ["tension", "compression"])
def test_tsai_hill_refuses_a_sheet_stronger_in_shear_than_along(sense):
    """It would bear several times what max stress allows, and did so silently once."""
    least = min(GIVEN["along_tension_mpa"], GIVEN["along_compression_mpa"])
    edge = Horn(**{**GIVEN, "shear_strength_mpa": least})
    assert strength_at_deg(edge, 30) > 0
    other = {"tension": "compression", "compression": "tension"}[sense]
    beyond = Horn(
        **{
            **GIVEN,
            "shear_strength_mpa": 1.01 * GIVEN[f"along_{sense}_mpa"],
            f"along_{other}_mpa": 1e3,
        }
    )
    words = f"tsai_hill needs shear_strength_mpa at most along_{sense}_mpa"
    with pytest.raises(ValueError, match=words):
        strength_at_deg(beyond, 30)
    with pytest.raises(ValueError, match=words):
        strength_ratio(beyond, -1, 0, 0, 30)
    for criterion in ("max_stress", "tsai_wu", "hashin"):
        assert strength_at_deg(beyond, 30, criterion) > 0


def test_the_default_criterion_never_overshoots_in_off_axis_compression():
    angles = np.linspace(0, 90, 91)
    for sheet in (SHEET, Horn(181e3, 10.3e3, 7.17e3, 0.28, 1500, 1500, 40, 246, 68)):
        ours = strength_at_deg(sheet, angles)
        assert (ours <= strength_at_deg(sheet, angles, "max_stress") * (1 + 1e-12)).all()


@pytest.mark.parametrize("sense", ["tension", "compression"])
def test_tsai_hill_refuses_a_sheet_twice_as_strong_across(sense):
    open_sheet = Horn(**{**GIVEN, f"across_{sense}_mpa": 2 * GIVEN[f"along_{sense}_mpa"]})
    with pytest.raises(ValueError, match=f"across_{sense}_mpa below twice along_{sense}_mpa"):
        strength_at_deg(open_sheet, 30)
    for other in ("max_stress", "tsai_wu", "hashin"):
        assert strength_at_deg(open_sheet, 30, other) > 0


def test_what_is_not_a_criterion_a_sense_or_an_angle_is_refused():
    with pytest.raises(ValueError, match="criterion must be one of 'max_stress'"):
        strength_ratio(SHEET, 1, 0, 0, 0, "von_mises")
    with pytest.raises(ValueError, match="sense must be one of"):
        strength_at_deg(SHEET, 0, sense="shear")
    for function in (modulus_at_deg, strength_at_deg):
        with pytest.raises(ValueError, match="obliquity_deg must be finite"):
            function(SHEET, [0.0, np.nan])
    with pytest.raises(ValueError, match="shear_xy_mpa must be a number"):
        strength_ratio(SHEET, 1, 0, "x", 0)
    with pytest.raises(ValueError, match=r"shapes do not go together: stress_x_mpa \(2,\)"):
        strength_ratio(SHEET, [1, 2], [1, 2, 3], 0, 0)
    two = Horn(**{**GIVEN, "along_mpa": [600.0, 700.0]})
    with pytest.raises(ValueError, match=r"obliquity_deg \(3,\).*along_mpa \(2,\)"):
        modulus_at_deg(two, [0, 1, 2])


# ---------------------------------------------------------------- moisture and place


@pytest.mark.parametrize("where", PLACES)
@pytest.mark.parametrize("water", [10.0, 22.7, 28.0, 35.0])
def test_the_edges_lie_on_either_side(where, water):
    band = horn_at(water_percent=water, **where)
    for field in dataclasses.fields(Horn):
        low, central, high = (
            getattr(horn, field.name) for horn in (band.low, band.central, band.high)
        )
        if field.name == "poisson":  # goes with the contrast of each edge
            assert 0.1 < min(low, central, high) <= max(low, central, high) <= 0.4
        else:
            assert low < central < high


@pytest.mark.parametrize("where", PLACES)
def test_every_criterion_answers_for_the_whole_band(where):
    band = horn_at(water_percent=[10, 28, 35], **where)
    for horn in (band.low, band.central, band.high):
        for criterion in CRITERIA:
            strength = strength_at_deg(horn, np.array([[0], [30], [90]]), criterion)
            assert strength.shape == (3, 3)
            assert (strength > 0).all()


@pytest.mark.parametrize("where", [place for place in PLACES if "place" in place])
def test_humidity_works_everywhere_in_the_wall(where):
    band = horn_at(humidity_percent=[0, 50, 100], **where)
    assert (np.diff(band.central.along_compression_mpa) < 0).all()


@pytest.mark.parametrize("ratio", [0.5, 1.0, 6.0])
def test_a_given_contrast_is_kept_by_the_whole_band(ratio):
    band = horn_at(water_percent=28, region="inner", place="heel", contrast=ratio)
    for horn in (band.low, band.central, band.high):
        assert horn.along_mpa / horn.across_mpa == pytest.approx(ratio)
        assert (strength_at_deg(horn, [0, 45, 90]) > 0).all()


def doubt_added(whole, known):
    """The doubt that makes `known` the `whole`, squares of logarithms added."""
    return np.exp(np.sqrt(np.log(whole) ** 2 - np.log(known) ** 2))


@pytest.mark.parametrize(
    ("region", "place", "least", "most"),
    [
        ("outer", "toe", 0.5, 2.0),
        ("middle", "toe", 0.5, 2.0),
        ("inner", "toe", 1.0, 6.0),
        ("white_line", "toe", 1.0, 6.0),
        ("sole", None, 0.5, 2.0),
        ("frog", None, 0.5, 2.0),
    ],
)
def test_the_contrast_may_lie_anywhere_in_its_published_range(region, place, least, most):
    """1 to 6 where the tubules are the stiffer (Kasapi & Gosline 1999), half to double where they
    are alike (assumed): the doubt across beyond the doubt along."""
    band = horn_at(water_percent=28, region=region, place=place)
    central = band.central.along_mpa / band.central.across_mpa
    assert central == pytest.approx(2.0 if most == 6.0 else 1.0)
    for edge, limit in ((band.low, most), (band.high, least)):
        whole = edge.across_mpa / band.central.across_mpa
        added = doubt_added(whole, edge.along_mpa / band.central.along_mpa)
        assert added == pytest.approx(max(limit / central, central / limit), rel=1e-6)


@pytest.mark.parametrize(("place", "least"), [("quarter", 0.86), ("heel", 0.69)])
def test_places_behind_the_toe_may_be_no_softer_along_or_as_soft_as_assumed(place, least):
    """0.93 of the toe (Hinterhofer 1998), 1 (Douglas 1996), or as assumed at the low edge."""
    toe, here = (horn_at(water_percent=28, place=at) for at in ("toe", place))
    assert here.central.along_mpa / toe.central.along_mpa == pytest.approx(0.93)
    for edge, limit in (("low", least), ("high", 1.0)):
        whole, known = (
            getattr(band, edge).along_mpa / band.central.along_mpa for band in (here, toe)
        )
        assert doubt_added(whole, known) == pytest.approx(max(limit / 0.93, 0.93 / limit))


@pytest.mark.parametrize("contrast", [1.0, 3.0])
def test_strength_is_doubted_as_the_docstring_says(contrast):
    """Along half to double, across and in shear a third to double, beyond the modulus's doubt."""
    band = horn_at(water_percent=28, contrast=contrast)
    power = np.log(31 / 17) / np.log(850 / 280)
    for edge, along, across in ((band.low, 2, 3), (band.high, 2, 2)):
        known = (edge.along_mpa / band.central.along_mpa) ** power
        for name, factor in (
            ("along_tension_mpa", along),
            ("along_compression_mpa", along),
            ("across_tension_mpa", across),
            ("across_compression_mpa", across),
            ("shear_strength_mpa", across),
        ):
            whole = getattr(edge, name) / getattr(band.central, name)
            assert doubt_added(whole, known) == pytest.approx(factor, rel=1e-6)
    assert band.central.shear_strength_mpa == pytest.approx(
        band.central.across_tension_mpa / 3**0.5
    )


@pytest.mark.parametrize("name", ["along_compression_mpa", "along_tension_mpa"])
def test_the_wall_is_as_strong_inside_as_outside_and_the_white_line_is_weaker(name):
    """Kasapi & Gosline 1997 (read): stiffness falls inward, the ultimate properties do not. The
    white line and its yield: test_wagner_2001."""
    outer, middle, inner, white = (
        horn_at(water_percent=28, region=region, contrast=1)
        for region in ("outer", "middle", "inner", "white_line")
    )
    assert outer.central.along_mpa > middle.central.along_mpa > inner.central.along_mpa
    for edge in ("low", "central", "high"):
        strengths = [getattr(getattr(band, edge), name) for band in (outer, middle, inner)]
        assert strengths == pytest.approx([strengths[0]] * 3)
        assert getattr(getattr(white, edge), name) < 0.25 * strengths[0]


@pytest.mark.parametrize("region", ["sole", "frog"])
def test_the_strength_of_softer_horn_is_marked_as_never_measured(region):
    band = horn_at(water_percent=33, region=region)
    assert any("never found measured" in line for line in band.assumed)
    power = np.log(31 / 17) / np.log(850 / 280)
    known = (band.low.along_mpa / band.central.along_mpa) ** power
    whole = band.low.along_compression_mpa / band.central.along_compression_mpa
    assert doubt_added(whole, known) == pytest.approx(3)


def test_shear_modulus_is_doubted_twofold_and_poisson_as_in_models():
    band = horn_at(water_percent=28, contrast=1)
    for edge in (band.low, band.high):
        whole = edge.shear_mpa / band.central.shear_mpa
        assert doubt_added(whole, edge.along_mpa / band.central.along_mpa) == pytest.approx(2)
    assert [h.poisson for h in (band.low, band.central, band.high)] == [0.30, 0.35, 0.40]


def test_horn_alike_in_both_directions_is_isotropic():
    """Contrast 1: G = E/(2 (1 + nu)), the same modulus at every angle."""
    horn = horn_at(water_percent=28, contrast=1).central
    assert horn.shear_mpa == pytest.approx(horn.along_mpa / (2 * (1 + horn.poisson)))
    assert modulus_at_deg(horn, np.linspace(0, 90, 10)) == pytest.approx(horn.along_mpa)
    assert strength_at_deg(horn, np.linspace(0, 90, 10)) == pytest.approx(horn.along_tension_mpa)


def test_along_counts_more_where_the_contrast_is_greater():
    """Strength across over strength along falls as the contrast rises."""
    horn = horn_at(water_percent=28, contrast=[0.5, 1, 2, 4, 6]).central
    assert (np.diff(horn.across_compression_mpa / horn.along_compression_mpa) < 0).all()


def test_an_unsaid_place_is_the_toe():
    assert horn_at(water_percent=28) == horn_at(water_percent=28, place="toe")


def test_the_words_say_what_was_measured_and_what_was_not():
    heel = horn_at(water_percent=28, region="white_line", place="heel")
    assert any("Goodman & Haggis 2008" in line for line in heel.published)
    assert any("Wagner 2001" in line for line in heel.assumed)
    assert any("5.6 +/- 1.7 MPa" in line and "from memory" in line for line in heel.published)
    assert any("nothing is measured" in line for line in heel.assumed)
    wet = horn_at(humidity_percent=100, contrast=2)
    assert any("Bertram & Gosline 1987" in line for line in wet.published)
    assert not any("indentation" in line or "fine point" in line for line in wet.published)
    assert any("contrast is the one given" in line for line in wet.assumed)
    assert not any("Goodman" in line for line in (*wet.published, *wet.assumed))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({}, "exactly one of humidity_percent"),
        ({"humidity_percent": 50, "water_percent": 20}, "exactly one of humidity_percent"),
        ({"humidity_percent": 101}, "humidity_percent must be between 0 and 100"),
        ({"water_percent": 9.9}, "water_percent must be between 10 and 35"),
        ({"water_percent": [20, 36]}, "water_percent must be between 10 and 35 .*index 1"),
        ({"water_percent": 28, "region": "bar"}, "region must be one of 'outer'"),
        ({"water_percent": 28, "place": "bulb"}, "place must be one of 'toe'"),
        ({"water_percent": 28, "region": "frog", "place": "heel"}, "place is known for the wall"),
        ({"humidity_percent": 50, "region": "sole"}, "humidity_percent is known for the wall"),
        ({"water_percent": 28, "contrast": 0}, "contrast must be above 0"),
        ({"water_percent": [20, 30], "contrast": [1, 2, 3]}, "shapes do not go together"),
    ],
)
def test_what_no_figure_answers_is_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        horn_at(**arguments)


def test_moisture_and_contrast_broadcast():
    band = horn_at(water_percent=np.linspace(10, 35, 4)[:, None], contrast=[1, 2, 6])
    assert isinstance(band, HornBand)
    assert np.shape(band.central.across_mpa) == (4, 3)
    one = horn_at(water_percent=35, contrast=6)
    assert band.low.shear_strength_mpa[3, 2] == pytest.approx(one.low.shear_strength_mpa)


# ---------------------------------------------------------------- tubules in the horn between


def test_crookedness_and_remote_shear_lower_the_kink_stress():
    stress = kink_stress_mpa(280, 12, np.linspace(0, 20, 21))
    assert (np.diff(stress) < 0).all()
    assert stress[0] == pytest.approx(280)
    shear = np.array([0.0, 3.0, 6.0])
    for model in ("argon", "budiansky"):
        leaning = kink_stress_mpa(280, 12, 3, model, remote_shear_mpa=shear)
        assert leaning / leaning[0] == pytest.approx(1 - shear / 12)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((0, 12, 2), "shear_mpa must be above 0"),
        ((280, 0, 2), "shear_yield_mpa must be above 0"),
        ((280, 12, -1), "misalignment_deg must be between 0 and 20"),
        ((280, 12, 21), "misalignment_deg must be between 0 and 20"),
        ((280, 12, 0, "argon"), "misalignment_deg must be above 0"),
        ((280, 12, 2, "euler"), "model must be one of 'argon'"),
    ],
)
def test_kinking_refuses(arguments, message):
    with pytest.raises(ValueError, match=message):
        kink_stress_mpa(*arguments)


def test_the_limits_of_kinking_are_where_they_are_said_to_be():
    assert kink_stress_mpa(280, 12, 0.001, "argon") > 1e5
    assert kink_stress_mpa(280, 12, 20) > 0
    assert kink_stress_mpa(280, 12, 2, "budiansky_fleck", exponent=1.01) > 0


def test_kinking_refuses_what_its_model_cannot_hold():
    with pytest.raises(ValueError, match=r"remote_shear_mpa must be below shear_yield_mpa .*12"):
        kink_stress_mpa(280, 12, 2, remote_shear_mpa=12)
    with pytest.raises(ValueError, match="remote_shear_mpa must be 0 for 'budiansky_fleck'"):
        kink_stress_mpa(280, 12, 2, "budiansky_fleck", remote_shear_mpa=1)
    with pytest.raises(ValueError, match="exponent must be above 1"):
        kink_stress_mpa(280, 12, 2, "budiansky_fleck", exponent=1)
    with pytest.raises(ValueError, match=r"tube_fraction must be .*below 1"):
        bundle_moduli(470, 80, 1.0)


def test_a_tubule_alone_and_the_same_tubule_held_by_horn():
    """Hetenyi M., Beams on Elastic Foundation, 1946, ch. VII: E 1 GPa, d 0.2 mm, k 10 MN/m2:
    1.7725 N (derived). Alone over 60 mm it buckles at a fifth of a millinewton."""
    second = rod_section(0.2).second_moment_mm4
    assert foundation_load_n(1000, second, 10.0) == pytest.approx(1.7725, abs=5e-5)
    alone = euler_load_n(1000, second, 60)
    assert 1e-4 < alone < 1e-3
    held = foundation_load_n(1000, second, foundation_mpa(80, 0.35, 0.2, 0.25))
    assert held / alone > 1000


def test_the_horn_around_holds_far_more_than_the_usual_example():
    """Even the softest wet horn between tubules (30 MPa matrix, Kasapi & Gosline 1999) gives
    tens of times the 10 MPa of that example: buckling of tubules is not what limits horn."""
    assert foundation_mpa(30, 0.35, 0.18, 0.25) > 100


def test_a_tubule_in_a_wide_sleeve_is_held_less():
    spacing = np.linspace(0.2, 2.0, 30)
    support = foundation_mpa(80, 0.35, 0.18, spacing)
    assert (np.diff(support) < 0).all()
    assert foundation_mpa(80, 0.35, 0.18, 0.25, bond=[0, 0.5, 1]) == pytest.approx(
        foundation_mpa(80, 0.35, 0.18, 0.25) * np.array([0, 0.5, 1])
    )


def test_support_by_horn_that_does_not_narrow_when_pulled():
    """Poisson 0 and 0.499 are both answered; incompressible horn holds more."""
    assert foundation_mpa(80, 0, 0.18, 0.25) < foundation_mpa(80, 0.499, 0.18, 0.25)
    assert bundle_moduli(470, 80, 0.0, poisson=0).shear_mpa == pytest.approx(40)


def test_support_goes_by_shape_not_by_size():
    assert foundation_mpa(80, 0.35, 0.18, 0.25) == pytest.approx(foundation_mpa(80, 0.35, 18, 25))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((80, 0.35, 0.25, 0.25), r"spacing_mm must be above diameter_mm \(got 0.25 and 0.25\)"),
        ((80, 0.5, 0.18, 0.25), "poisson must be .*below 0.5"),
        ((0, 0.35, 0.18, 0.25), "matrix_mpa must be above 0"),
        ((80, 0.35, 0.18, 0.25, 1.01), "bond must be between 0 and 1"),
    ],
)
def test_support_refuses(arguments, message):
    with pytest.raises(ValueError, match=message):
        foundation_mpa(*arguments)


def test_loose_and_glued_bundle():
    """Loose: nothing across or in shear. Equal parts, fully glued: one solid."""
    loose = bundle_moduli(470, 80, 0.4, bond=0)
    assert (loose.across_mpa, loose.shear_mpa) == (0, 0)
    assert loose.along_mpa == pytest.approx(0.4 * 470)
    solid = bundle_moduli(300, 300, [0.0, 0.4, 0.9])
    assert solid.along_mpa == pytest.approx(300)
    assert solid.across_mpa == pytest.approx(300)
    assert solid.shear_mpa == pytest.approx(300 / 2.7)
    no_tubes = bundle_moduli(470, 80, 0.0)
    assert (no_tubes.along_mpa, no_tubes.across_mpa) == (80, pytest.approx(80))


def test_glue_counts_most_across():
    """From loose to glued the bundle gains without end across, little along; so does its bending
    (columns): seven strands bend seven times as hard loose, far more glued."""
    bond = np.linspace(0, 1, 11)
    bundle = bundle_moduli(470, 80, 0.4, bond)
    for modulus in (bundle.along_mpa, bundle.across_mpa, bundle.shear_mpa):
        assert (np.diff(modulus) > 0).all()
    assert bundle.along_mpa[-1] / bundle.along_mpa[0] < 1.5
    bending = bundle_second_moment_mm4(7, 0.2, bond)
    assert bending[0] == pytest.approx(7 * rod_section(0.2).second_moment_mm4)
    assert bending[-1] / bending[0] > 5


def test_bundle_refuses():
    with pytest.raises(ValueError, match="tube_fraction"):
        bundle_moduli(470, 80, 1.0)
    with pytest.raises(ValueError, match="bond must be between 0 and 1"):
        bundle_moduli(470, 80, 0.4, bond=-0.1)
    with pytest.raises(ValueError, match="bond must be between 0 and 1"):
        bundle_moduli(470, 80, 0.4, bond=1.01)
    with pytest.raises(ValueError, match=r"poisson must be .*below 0\.5"):
        bundle_moduli(470, 80, 0.4, poisson=0.5)
    with pytest.raises(ValueError, match="glue_mpa must be above 0"):
        bundle_moduli(470, 0, 0.4)
