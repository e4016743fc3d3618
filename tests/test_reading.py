"""What the findings say, what they leave out, and how sure they claim to be."""

from __future__ import annotations

from datetime import date
from statistics import NormalDist

import numpy as np
import pytest

from hoofcalc.profile import Profile, error_of, with_error
from hoofcalc.reading import (
    CAUTION,
    NO_SOURCE,
    VET_SIGNS,
    compare,
    long_toe_mm,
    percentile,
    read_foot,
)

IN_LINE = Profile.from_measures(52, 49, 82, 34, 110)
UNDERRUN = Profile.from_measures(50, 30, 95, 50, 118)
UPRIGHT = Profile.from_measures(63, 62, 80, 45, 95)


def with_pastern(foot, deviation_deg):
    angle = np.radians(foot.toe_angle_deg + deviation_deg)
    low = foot.toe_coronet + np.array([-30.0, 25.0])
    high = low + 70 * np.array([-np.cos(angle), np.sin(angle)])
    return Profile(**foot.landmarks, pastern_low=low, pastern_high=high)


def met(reading):
    return {finding.name for finding in reading.findings if finding.met}


def test_three_feet_are_told_apart():
    assert "in line" in met(read_foot(IN_LINE))
    assert "heel underrun, five degrees" not in met(read_foot(IN_LINE))
    flat = met(read_foot(UNDERRUN))
    assert {"heel underrun, five degrees", "heel underrun, fifteen degrees"} <= flat
    assert "in line" not in flat
    assert {"upright", "in line"} <= met(read_foot(UPRIGHT))
    assert "upright" not in flat | met(read_foot(IN_LINE))
    steep = Profile.from_measures(55, 65, 80, 40, 100)
    assert "heel steeper than toe" in met(read_foot(steep))


def test_every_finding_carries_its_rule_source_error_and_sentence():
    reading = read_foot(
        with_pastern(UNDERRUN, 8),
        weight_kg=500,
        medial_height_mm=70,
        lateral_height_mm=63,
        heel_obliquity_deg=52,
        heel_utilisation=0.4,
    )
    for finding in reading.findings:
        assert finding.rule
        assert finding.source
        assert finding.rule in finding.sentence
        assert ("Met" if finding.met else "Not met") in finding.sentence
        if finding.error is None:
            assert finding.probability is None
            assert "not known" in finding.sentence
        else:
            assert finding.error > 0
            assert 0 <= finding.probability <= 1
    assert len({finding.name for finding in reading.findings}) == len(reading.findings)
    assert reading.caution == CAUTION
    assert reading.vet_signs == VET_SIGNS
    assert reading["axis broken back"].met
    assert reading["toe long"].met
    assert reading["sides uneven"].met
    assert reading["heel loaded across"].met
    assert not reading["heel at its strength"].met
    assert reading["sides uneven"].source == NO_SOURCE


def test_what_is_not_given_is_not_asked():
    names = {finding.name for finding in read_foot(IN_LINE).findings}
    assert names.isdisjoint({"toe long", "axis broken back", "sides uneven", "heel loaded across"})
    with pytest.raises(ValueError, match="name must be one of 'in line'"):
        read_foot(IN_LINE)["toe long"]


def test_nothing_says_diagnosis_and_no_vet_sign_is_scored():
    reading = read_foot(UNDERRUN)
    assert "not a diagnosis" in reading.caution
    words = " ".join(finding.sentence for finding in reading.findings).lower()
    for word in ("lame", "laminitis", "disease", "diagnos", "injur", "healthy"):
        assert word not in words


def test_the_axis_breaks_both_ways():
    assert read_foot(with_pastern(IN_LINE, 9))["axis broken back"].met
    forward = read_foot(with_pastern(IN_LINE, -9))
    assert forward["axis broken forward"].met
    assert "9.0 degrees steeper than the pastern" in forward["axis broken forward"].sentence
    straight = read_foot(with_pastern(IN_LINE, 1))
    assert not {"axis broken back", "axis broken forward"} & met(straight)


def test_probability_is_a_half_on_the_border():
    border = Profile.from_measures(52, 47, 85, 35, 110)
    finding = read_foot(border, 0.5)["heel underrun, five degrees"]
    assert finding.probability == pytest.approx(0.5, abs=1e-6)
    assert finding.error == pytest.approx(error_of(border, "angle_gap_deg", 0.5))


@pytest.mark.parametrize("foot", [IN_LINE, UNDERRUN, UPRIGHT])
def test_probabilities_by_formula_and_by_drawing_agree(foot):
    options = {"point_error_mm": 0.7, "weight_kg": 450}
    formula = read_foot(foot, **options)
    drawn = read_foot(foot, **options, draws=40_000, rng=np.random.default_rng(11))
    for one, other in zip(formula.findings, drawn.findings, strict=True):
        # 40,000 draws: 0.0025 at one half; the rest is curvature of the measures
        assert one.probability == pytest.approx(other.probability, abs=0.012), one.name


def test_a_sentence_never_claims_certainty_and_shows_what_lies_between():
    finding = read_foot(Profile.from_measures(52, 40, 85, 35, 110), 1.0)
    assert "above 0.99" in finding["heel underrun, five degrees"].sentence
    assert "below 0.01" in finding["in line"].sentence
    between = finding["heel underrun, ten degrees"]
    assert 0.5 < between.probability < 0.99
    assert f"is {between.probability:.2f} (error" in between.sentence


def test_scale_enters_lengths_and_nothing_else():
    sure, unsure = (read_foot(IN_LINE, weight_kg=450, scale_sd=scale) for scale in (0, 0.05))
    assert unsure["toe long"].error == pytest.approx(
        np.hypot(sure["toe long"].error, 0.05 * IN_LINE.toe_length_mm)
    )
    assert unsure["in line"].error == sure["in line"].error


def test_sides_have_a_sign_and_two_ends():
    high = read_foot(IN_LINE, medial_height_mm=66, lateral_height_mm=60)["sides uneven"]
    low = read_foot(IN_LINE, medial_height_mm=60, lateral_height_mm=66)["sides uneven"]
    assert (high.value, low.value) == (6, -6)
    assert high.met
    assert low.met
    assert high.probability == pytest.approx(low.probability)
    assert "6.0 mm lower" in low.sentence
    # four points, each of 1 mm, and 1 % of the difference from the scale
    assert high.error == pytest.approx(np.hypot(2.0, 0.06))
    # beyond +5 or beyond -5 with a value of 6
    normal = NormalDist(6, high.error)
    assert high.probability == pytest.approx(1 - normal.cdf(5) + normal.cdf(-5))
    even = read_foot(IN_LINE, medial_height_mm=60, lateral_height_mm=61)["sides uneven"]
    assert not even.met


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"point_error_mm": 0}, "point_error_mm must be above 0"),
        ({"limb": "near"}, "limb must be one of 'fore', 'hind'"),
        ({"scale_sd": 0.5}, "scale_sd must be between 0 and 0.2"),
        ({"weight_kg": 800}, "weight_kg must be between 360 and 575"),
        ({"medial_height_mm": 60}, "medial_height_mm and lateral_height_mm"),
        ({"medial_height_mm": 60, "lateral_height_mm": -1}, "lateral_height_mm must be above 0"),
        ({"heel_obliquity_deg": 95}, "heel_obliquity_deg must be between 0 and 90"),
        ({"heel_utilisation": -0.1}, "heel_utilisation must be at least 0"),
        ({"draws": 100}, "draws and rng must be given together"),
    ],
)
def test_what_cannot_be_read_is_refused(options, message):
    with pytest.raises(ValueError, match=message):
        read_foot(IN_LINE, **options)


def test_one_foot_at_a_time():
    feet = Profile.from_measures([52, 50], 40, 85, 35, 110)
    with pytest.raises(ValueError, match=r"pick\(index\)"):
        read_foot(feet)
    with pytest.raises(ValueError, match="profile must be a Profile"):
        read_foot("foot")


def test_percentiles_and_toe_lengths_refuse_what_nobody_published():
    with pytest.raises(ValueError, match="measure must be one of"):
        percentile("angle_gap_deg", 12)
    with pytest.raises(ValueError, match="limb must be one of"):
        percentile("toe_angle_deg", 52, "third")
    with pytest.raises(ValueError, match="weight_kg must be between 360 and 575"):
        long_toe_mm(300)


def test_comparison_calls_a_difference_real_only_beyond_its_error():
    feet = {"near fore": IN_LINE, "off fore": IN_LINE, "near hind": UNDERRUN}
    table = compare(feet, 0.5)
    assert table.labels == ("near fore", "off fore", "near hind")
    same = [d for d in table.differences if d.label == "off fore"]
    assert all(d.value == 0 and not d.exceeds for d in same)
    assert {d.label for d in table.real_differences} == {"near hind"}
    assert table.values["toe_angle_deg"] == pytest.approx((52, 52, 50))
    assert table.errors["toe_angle_deg"][0] == pytest.approx(
        error_of(IN_LINE, "toe_angle_deg", 0.5)
    )
    heel = next(
        d for d in table.differences if d.measure == "heel_angle_deg" and d.label == "near hind"
    )
    assert heel.sentence == (
        f"near hind: heel angle 19.0 degrees less than in near fore (error {heel.error:.1f}): "
        f"more than its error."
    )


def test_dates_are_put_in_order_and_the_earliest_leads():
    visits = {date(2026, 5, 4): UNDERRUN, date(2026, 3, 9): IN_LINE}
    table = compare(visits)
    assert table.labels == ("2026-03-09", "2026-05-04")
    assert "than on 2026-03-09" in table.differences[0].sentence
    ratio = next(d for d in table.differences if d.measure == "height_ratio")
    assert "height ratio" in ratio.sentence
    assert "axis_deviation_deg" not in table.values


def test_the_axis_is_compared_where_all_feet_have_it():
    table = compare({"a": with_pastern(IN_LINE, 2), "b": with_pastern(UNDERRUN, 9)})
    axis = next(d for d in table.differences if d.measure == "axis_deviation_deg")
    assert axis.value == pytest.approx(7)


def test_an_unchanged_foot_differs_one_time_in_twenty():
    rng = np.random.default_rng(8)
    ones, twos = (with_error(IN_LINE, 0.6, 300, rng) for _ in range(2))
    hits = 0
    for k in range(300):
        table = compare({"one": ones.pick(k), "two": twos.pick(k)}, 0.6, scale_sd=0)
        hits += sum(d.exceeds for d in table.differences if d.measure == "toe_angle_deg")
    # 300 x 0.05 = 15, standard deviation 3.8: three of them either way
    assert 3 <= hits <= 27


@pytest.mark.parametrize(
    ("feet", "message"),
    [
        ({"one": IN_LINE}, "at least two feet"),
        ({"one": IN_LINE, date(2026, 3, 9): IN_LINE}, "all by text or all by date"),
        ({"one": IN_LINE, "two": "foot"}, "two must be a Profile"),
        (
            {"one": IN_LINE, "two": Profile.from_measures([52, 50], 40, 85, 35, 110)},
            "two must hold one foot",
        ),
    ],
)
def test_what_cannot_be_compared_is_refused(feet, message):
    with pytest.raises(ValueError, match=message):
        compare(feet)


def test_errors_that_were_worked_out_elsewhere_take_the_place_of_the_derived_ones():
    given = {"angle_gap_deg": 7.0, "toe_length_mm": 4.0, "side_difference_mm": 1.5}
    options = {"weight_kg": 450, "medial_height_mm": 66, "lateral_height_mm": 60}
    found, plain = read_foot(IN_LINE, errors=given, **options), read_foot(IN_LINE, **options)
    assert found["in line"].error == 7.0
    # by hand: the gap is 3 degrees, the rule asks for -5 to 5
    assert found["in line"].probability == pytest.approx(
        NormalDist(3, 7).cdf(5) - NormalDist(3, 7).cdf(-5)
    )
    assert found["toe long"].error == 4.0
    assert found["sides uneven"].error == 1.5
    assert "error of the value 1.5 mm" in found["sides uneven"].sentence
    assert found["upright"] == plain["upright"]
    compared = compare({"a": IN_LINE, "b": IN_LINE}, errors={"b": {"toe_length_mm": 4.0}})
    alone = compare({"a": IN_LINE, "b": IN_LINE})
    assert compared.errors["toe_length_mm"] == (alone.errors["toe_length_mm"][0], 4.0)
    assert compared.errors["toe_angle_deg"] == alone.errors["toe_angle_deg"]


def test_two_photographs_need_not_share_the_larger_error():
    feet = {date(2026, 5, 4): UNDERRUN, date(2026, 3, 9): IN_LINE}
    both = compare(
        feet,
        {date(2026, 3, 9): 0.4, date(2026, 5, 4): 1.1},
        scale_sd={date(2026, 3, 9): 0.0, date(2026, 5, 4): 0.03},
    )
    for place, (foot, error, scale) in enumerate(((IN_LINE, 0.4, 0), (UNDERRUN, 1.1, 0.03))):
        alone = compare({"a": foot, "b": foot}, error, scale_sd=scale)
        for measure, values in alone.errors.items():
            assert both.errors[measure][place] == values[0]


@pytest.mark.parametrize(
    ("errors", "message"),
    [
        ({"toe_angel_deg": 1.0}, "measure in errors must be one of"),
        ({"toe_angle_deg": 0.0}, "toe_angle_deg in errors must be above 0"),
        ({"toe_angle_deg": float("nan")}, "toe_angle_deg in errors must be finite"),
    ],
)
def test_errors_that_cannot_be_are_refused(errors, message):
    with pytest.raises(ValueError, match=message):
        read_foot(IN_LINE, errors=errors)
    with pytest.raises(ValueError, match=message.replace("in errors", "in errors of two")):
        compare({"one": IN_LINE, "two": UNDERRUN}, errors={"two": errors})


def test_errors_must_belong_to_a_foot_and_not_to_draws():
    feet = {"one": IN_LINE, "two": UNDERRUN}
    with pytest.raises(ValueError, match="errors must be one of 'one', 'two'"):
        compare(feet, errors={"three": {"toe_angle_deg": 1.0}})
    with pytest.raises(ValueError, match="point_error_mm must have a value for every foot"):
        compare(feet, {"one": 1.0})
    with pytest.raises(ValueError, match="scale_sd of two must be between"):
        compare(feet, scale_sd={"one": 0.0, "two": 0.5})
    with pytest.raises(ValueError, match="errors and draws"):
        read_foot(IN_LINE, errors={"toe_angle_deg": 1.0}, draws=10, rng=np.random.default_rng(1))
