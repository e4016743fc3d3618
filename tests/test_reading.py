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
    HowSure,
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
    assert reading["axis broken back"].met
    assert reading["toe long"].met
    assert reading["sides uneven"].met
    assert reading["heel loaded across"].met
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


def test_probability_is_a_half_on_the_border_where_no_feet_are_published():
    border = Profile.from_measures(
        52, 45, 85, 85 / 3 * np.sin(np.radians(52)) / np.sin(np.pi / 4), 110
    )
    finding = read_foot(border, 0.5)["heel low for its toe"]
    assert finding.value == pytest.approx(1 / 3)
    assert finding.probability == pytest.approx(0.5, abs=1e-6)
    assert finding.error == pytest.approx(error_of(border, "height_ratio", 0.5))


def test_a_poor_reading_far_from_the_usual_is_not_taken_at_its_word():
    border = Profile.from_measures(52, 47, 85, 35, 110)  # five degrees; the usual foot has 11.7
    close, poor = (read_foot(border, error)["heel underrun, five degrees"] for error in (0.3, 3))
    assert close.probability == pytest.approx(0.5, abs=0.03)
    assert poor.probability > 0.65
    steep = Profile.from_measures(61, 60, 85, 35, 110)  # a toe beyond the usual 59.6
    chances = [read_foot(steep, error)["upright"].probability for error in (0.3, 1, 3)]
    assert chances[0] > 0.99
    assert chances[1] > chances[2]
    assert chances[2] < 0.5


def published_feet(count, correlation, rng):
    """Fore feet by the published angles; lengths ours."""
    one, two = rng.standard_normal((2, count))
    toe = 51.8 + 3.9 * one
    heel = 40.1 + 9.3 * (correlation * one + np.sqrt(1 - correlation**2) * two)
    toe, heel = (angle[(heel > 14) & (heel < 72)] for angle in (toe, heel))
    lengths = (rng.normal(mean, sd, heel.size) for mean, sd in ((85, 6), (38, 5), (112, 8)))
    return Profile.from_measures(toe, heel, *lengths)


RULES = {
    "in line": ("angle_gap_deg", -5, 5),
    "heel underrun, five degrees": ("angle_gap_deg", 5, np.inf),
    "heel underrun, ten degrees": ("angle_gap_deg", 10, np.inf),
    "heel underrun, fifteen degrees": ("angle_gap_deg", 15, np.inf),
    "upright": ("toe_angle_deg", 59.6, np.inf),
    "toe angle usual": ("toe_angle_deg", 44.0, 59.6),
    "heel angle usual": ("heel_angle_deg", 21.5, 58.7),
}


@pytest.mark.parametrize(
    ("point_error_mm", "correlation"),
    [(0.5, 0.0), (1.0, 0.0), (1.0, 0.4), (2.0, 0.0), (2.0, 0.4), (3.0, 0.0)],
)
def test_what_is_called_so_probable_comes_true_so_often(point_error_mm, correlation):
    """Made feet, read with an error: of the readings called 0.3 to 0.5 as many meet the rule.

    Without the population, a stated 0.3 of "five degrees" came true in 0.5 at 2 mm.
    """
    rng = np.random.default_rng(12)
    true = published_feet(4000, correlation, rng)
    moved = {
        name: at + point_error_mm * rng.standard_normal(at.shape)
        for name, at in true.landmarks.items()
    }
    kept = [k for k in range(true.shape[0]) if is_a_foot({n: at[k] for n, at in moved.items()})]
    seen = Profile(**{name: at[kept] for name, at in moved.items()})
    errors = {
        name: error_of(seen, name, point_error_mm)
        for name in ("angle_gap_deg", "toe_angle_deg", "heel_angle_deg", "height_ratio")
    }
    readings = [
        read_foot(seen.pick(k), errors={name: every[k] for name, every in errors.items()})
        for k in range(len(kept))
    ]
    for name, (measure, low, high) in RULES.items():
        chance = np.array([found[name].probability for found in readings])
        truth = getattr(true, measure)[kept]
        came = (truth >= low) & (truth <= high)
        assert came.mean() == pytest.approx(chance.mean(), abs=0.03)
        for start in (0.1, 0.3, 0.5, 0.7):
            these = (chance >= start) & (chance < start + 0.2)
            if these.sum() < 100:
                continue
            by_chance = 3 * np.sqrt(0.25 / these.sum())
            assert came[these].mean() == pytest.approx(
                chance[these].mean(), abs=0.03 + by_chance
            ), (name, start)


def is_a_foot(landmarks):
    """Whether these points are a foot that a person would keep."""
    try:
        Profile(**landmarks)
    except ValueError:
        return False
    return True


def test_how_sure_is_said_in_one_form():
    reading = read_foot(UNDERRUN, 1.0, heel_obliquity_deg=50)
    gap = reading["heel underrun, five degrees"]
    sure = gap.how_sure
    assert isinstance(sure, HowSure)
    assert (sure.value, sure.unit) == (gap.value, "degrees")
    assert (sure.high - sure.low) == pytest.approx(2 * 1.96 * gap.error)
    assert "points" in sure.covers
    assert "camera" in sure.leaves_out
    assert str(sure) == f"20.0 ({sure.low:.1f} to {sure.high:.1f}) degrees"
    assert reading["heel loaded across"].how_sure is None
    assert sure.in_words == f"{sure}, 19 times in 20; {sure.scope}"
    assert sure.covers in sure.scope
    assert sure.leaves_out in sure.scope
    table = compare({"one": IN_LINE, "two": UNDERRUN})
    heel = next(each for each in table.differences if each.measure == "heel_angle_deg").how_sure
    assert heel.value == pytest.approx(-19)
    assert heel.low < heel.value < heel.high
    assert heel.unit == "degrees"


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: HowSure(1, 2, 3, "", "", ""), "value must lie from low to high"),
        (lambda: HowSure(1, float("nan"), 3, "", "", ""), "low must be finite"),
        (lambda: HowSure.from_error(1, -1, "", "", ""), "error must be at least 0"),
    ],
)
def test_an_interval_without_its_value_is_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()


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
        "near hind: heel angle 19.0 degrees less than in near fore; measuring alone explains up "
        f"to {heel.counts_from:.1f}: a real difference."
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


@pytest.mark.parametrize("foot", [IN_LINE, UNDERRUN], ids=["in line", "underrun"])
def test_an_unchanged_foot_shows_any_difference_one_time_in_twenty_at_most(foot):
    """Eight measures together; each from 1.96 times its error on would be one time in five."""
    rng = np.random.default_rng(8)
    count, errors = 500, 0.8
    ones, twos = (with_error(foot, errors, count, rng) for _ in range(2))
    sizes = 1 + 0.01 * rng.standard_normal((2, count))
    any_found = loose = 0
    for k in range(count):
        pair = {
            name: Profile(**{point: at * size[k] for point, at in feet.pick(k).landmarks.items()})
            for name, feet, size in (("one", ones, sizes[0]), ("two", twos, sizes[1]))
        }
        table = compare(pair, errors)
        any_found += bool(table.real_differences)
        loose += any(abs(each.value) > 1.96 * each.error for each in table.differences)
    assert loose / count > 0.13
    # at most 25 of 500, standard deviation 4.9: two and a half of them; and some there are
    assert 5 <= any_found <= 37


def test_one_measure_named_before_looking_differs_one_time_in_twenty():
    rng = np.random.default_rng(8)
    ones, twos = (with_error(IN_LINE, 0.6, 400, rng) for _ in range(2))
    hits = sum(
        bool(
            compare(
                {"one": ones.pick(k), "two": twos.pick(k)}, 0.6, measures=["toe_angle_deg"]
            ).real_differences
        )
        for k in range(400)
    )
    # 400 x 0.05 = 20, standard deviation 4.4: three of them either way
    assert 7 <= hits <= 33


def test_how_often_chance_alone_shows_a_difference_is_said():
    both = {"a": IN_LINE, "b": UNDERRUN}
    assert "these 8 measures in at most one of twenty" in compare(both).by_chance
    assert "only from 2.73 times" in compare(both).by_chance
    alone = compare(both, measures=["heel_angle_deg"])
    assert "in one of twenty comparisons: it counts from 1.96 times" in alone.by_chance
    assert alone.differences[0].counts_from == pytest.approx(
        1.96 * alone.differences[0].error, rel=1e-4
    )


@pytest.mark.parametrize("measures", [[], "toe_angle_deg", ["axis_deviation_deg"], ["toe"]])
def test_measures_that_cannot_be_compared_are_refused(measures):
    with pytest.raises(ValueError, match="measures must be"):
        compare({"a": IN_LINE, "b": UNDERRUN}, measures=measures)


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
    # feet are spread about 11.7 by the root of 3.9 and 9.3 squared, 10.08; both weighed by
    # one over the square of their spread
    feet, seen = 1 / (3.9**2 + 9.3**2), 1 / 7**2
    likely = NormalDist((3 * seen + 11.7 * feet) / (seen + feet), (seen + feet) ** -0.5)
    assert found["in line"].probability == pytest.approx(likely.cdf(5) - likely.cdf(-5))
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


def test_errors_must_belong_to_a_foot():
    feet = {"one": IN_LINE, "two": UNDERRUN}
    with pytest.raises(ValueError, match="errors must be one of 'one', 'two'"):
        compare(feet, errors={"three": {"toe_angle_deg": 1.0}})
    with pytest.raises(ValueError, match="point_error_mm must have a value for every foot"):
        compare(feet, {"one": 1.0})
    with pytest.raises(ValueError, match="scale_sd of two must be between"):
        compare(feet, scale_sd={"one": 0.0, "two": 0.5})
